package process

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// beds are layers one under the other, each with its thickness and step-down.
func beds(layers ...[2]float64) []plan.Bed {
	var list []plan.Bed
	top := 0.0
	for _, l := range layers {
		list = append(list, plan.Bed{TopMM: top, BottomMM: top + l[0], Recipe: profiles.Recipe{StepdownMM: number(l[1])}})
		top += l[0]
	}
	return list
}

func TestRouterPasses(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to float64
		steps    [2]float64
		want     []float64
	}{
		{"one pass", 0, 5, [2]float64{6, 2}, []float64{5}},
		{"exactly one pass", 0, 6, [2]float64{6, 2}, []float64{6}},
		{"equal passes", 0, 20, [2]float64{6, 2}, []float64{5, 10, 15, 20}},
		{"up to the glue line", 0, 25.4, [2]float64{12.7, 2}, []float64{12.7, 25.4}},
		{"across the glue line", 0, 28.4, [2]float64{12.7, 2}, []float64{12.7, 25.4, 26.9, 28.4}},
		{"below the foam", 0, 32.25, [2]float64{30, 10}, []float64{25.4, 32.25}},
		{"a step of all its foam, and below it", 0, 32.55, [2]float64{30, 6.35}, []float64{25.4, 32.55}},
		{"far below it", 0, 33.1, [2]float64{30, 6.35}, []float64{25.4, 29.25, 33.1}},
		{"from a floor", 20, 26.4, [2]float64{6, 2}, []float64{25.4, 26.4}},
		{"from below the glue line", 26, 30, [2]float64{6, 2}, []float64{28, 30}},
		{"nothing", 5, 5, [2]float64{6, 2}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []float64
			floor := c.from
			for _, p := range (routing{}).Passes(c.from, c.to, beds([2]float64{25.4, c.steps[0]}, [2]float64{6.35, c.steps[1]})) {
				assert.InDelta(t, floor, p.FromMM, 1e-9)
				floor = p.ToMM
				got = append(got, p.ToMM)
			}
			assert.InDeltaSlice(t, c.want, got, 1e-9)
		})
	}
}

func TestRouterPassesAreEqualAndNeverTooDeep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(1, 60).Draw(t, "upper")
		b := rapid.Float64Range(1, 60).Draw(t, "lower")
		layers := beds([2]float64{a, rapid.Float64Range(0.5, 20).Draw(t, "step")}, [2]float64{b, rapid.Float64Range(0.5, 20).Draw(t, "step")})
		depth := rapid.Float64Range(0.1, a+b+1).Draw(t, "depth")
		list := routing{}.Passes(0, depth, layers)
		require.NotEmpty(t, list)
		assert.Equal(t, depth, list[len(list)-1].ToMM)
		heights := map[int]float64{}
		for i, p := range list {
			h := p.ToMM - p.FromMM
			if below := depth - a - b; i == len(list)-1 && below > 0 && below <= 0.2*layers[1].Recipe.StepdownMM.Value {
				h -= below // that is the board, and no foam
			}
			assert.LessOrEqual(t, h, layers[p.Layer].Recipe.StepdownMM.Value*(1+2e-6))
			if known, ok := heights[p.Layer]; ok {
				assert.InDelta(t, known, h, 1e-9)
			}
			heights[p.Layer] = h
			assert.False(t, p.FromMM < a-1e-9 && p.ToMM > a+1e-9, "a pass across the glue line")
		}
	})
}

func TestBeamPassesAreAsManyAsTheRecipeSays(t *testing.T) {
	r := profiles.Recipe{Passes: number(2.2), FocusStepMM: number(3)}
	got := beaming{}.Passes(0, 12.7, []plan.Bed{{BottomMM: 12.7, Recipe: r}})
	assert.Equal(t, []plan.Pass{{ToMM: 12.7}, {ToMM: 12.7, FocusMM: 3}, {ToMM: 12.7, FocusMM: 6}}, got)
	// Many weak passes: the focus goes down with the cut, and never below the foam.
	r.Passes.Value = 10
	for k, p := range (beaming{}).Passes(0, 12.7, []plan.Bed{{BottomMM: 12.7, Recipe: r}}) {
		assert.InDelta(t, 1.27*float64(k), p.FocusMM, 1e-12)
	}
	assert.Empty(t, beaming{}.Passes(0, 12.7, beds([2]float64{6, 1}, [2]float64{6.7, 1})), "one layer at a time")
}

func TestRecipesLack(t *testing.T) {
	for key, spoil := range map[string]func(*profiles.Recipe){
		"":                  func(*profiles.Recipe) {},
		"feed_mm_per_min":   func(r *profiles.Recipe) { r.FeedMMPerMin = number(0) },
		"kerf_mm":           func(r *profiles.Recipe) { r.KerfMM = number(math.NaN()) },
		"plunge_mm_per_min": func(r *profiles.Recipe) { r.PlungeMMPerMin = number(-1) },
		"stepdown_mm":       func(r *profiles.Recipe) { r.StepdownMM = number(math.Inf(1)) },
		"ramp_degrees":      func(r *profiles.Recipe) { r.RampDegrees = number(90) },
		"stepover":          func(r *profiles.Recipe) { r.Stepover = number(1) },
	} {
		r := routerRecipe("pad")
		spoil(&r)
		assert.Equal(t, key, routing{}.Lacks(r))
	}
	for key, spoil := range map[string]func(*profiles.Recipe){
		"":              func(r *profiles.Recipe) { r.PowerPercent = number(100) },
		"power_percent": func(r *profiles.Recipe) { r.PowerPercent = number(101) },
		"mm_per_pass":   func(r *profiles.Recipe) { r.Passes = number(1001) },
		"kerf_mm":       func(r *profiles.Recipe) { r.KerfMM = number(0) },
	} {
		r := laserRecipe()
		spoil(&r)
		assert.Equal(t, key, beaming{}.Lacks(r))
	}
}

// A router's tray flies loose unless a skin or tabs hold it.
func TestRouterHolds(t *testing.T) {
	r := routerRecipe("pad")
	hold, loose := routing{}.Hold(r, 12.7)
	assert.Empty(t, loose)
	assert.Equal(t, plan.Hold{SkinMM: 0.6}, hold)
	_, loose = routing{}.Hold(r, 0.6)
	assert.Contains(t, loose, "is all of a sheet of 0.60 mm")
	r.SkinMM = number(0)
	hold, loose = routing{}.Hold(r, 12.7)
	assert.Empty(t, loose)
	assert.Equal(t, plan.Hold{Tabs: 4, TabMM: 6, TabHighMM: 3}, hold)
	for _, spoil := range []func(*profiles.Recipe){
		func(r *profiles.Recipe) { r.TabCount = number(0) }, func(r *profiles.Recipe) { r.TabWidthMM = number(0) },
		func(r *profiles.Recipe) { r.TabHeightMM = number(0) }, func(r *profiles.Recipe) { r.TabHeightMM = number(12.7) },
	} {
		none := r
		spoil(&none)
		_, loose = routing{}.Hold(none, 12.7)
		assert.Contains(t, loose, "neither a skin nor tabs")
	}
	_, loose = routing{}.Hold(r, 6)
	assert.Empty(t, loose)
	_, loose = routing{}.Hold(r, 5.9)
	assert.Contains(t, loose, "more than half of a sheet of 5.90 mm")
}

func TestMarkingIsSettled(t *testing.T) {
	r := routerRecipe("pad")
	_, depth := routing{}.Marking(r, 25.4)
	assert.InDelta(t, 0.6, depth, 1e-12, "a tenth of a pass")
	r.MarkDepthMM = number(1.5)
	_, depth = routing{}.Marking(r, 25.4)
	assert.Equal(t, 1.5, depth)
	_, depth = routing{}.Marking(r, 2)
	assert.Equal(t, 1.0, depth, "never past the middle of the layer")
	once, depth := beaming{}.Marking(laserRecipe(), 12)
	assert.Zero(t, depth)
	assert.InDelta(t, 6, once.PowerPercent.Value, 1e-12)
	again, _ := beaming{}.Marking(once, 12)
	assert.Equal(t, once, again, "what comes out, put in again, comes out as it is")
}

// What each process can and cannot do, as a person knows them: all but a cutter go through whole sheets and leave corners
// sharp; a cutter goes as deep as it is told, leaves its own radius and is put in by a hand; what is lowered into the foam has to be
// lifted over it. The numbers of a recipe that each has, each its own.
func TestWhatEachProcessCanDo(t *testing.T) {
	r := profiles.Recipe{
		FeedMMPerMin: number(1), Passes: number(2), PowerPercent: number(3), KerfMM: number(4), StepdownMM: number(5), RPM: number(6), MMPerPass: number(7), CurrentA: number(8), PauseS: number(9),
	}
	for name, c := range map[string]struct {
		p                                 Process
		whole, round, height, fits, holds bool
		settings                          []string
		zero                              string
	}{
		"laser":  {beaming{}, true, false, false, false, false, []string{"feed 1 1", "passes 2 2", "deep in one pass at most 7 0", "power 3 3", "kerf 4 7", "pause between passes 9 5"}, "focus there"},
		"router": {routing{}, false, true, true, true, true, []string{"feed 1 1", "step-down 5 0", "speed 6 4", "kerf 4 7"}, "zero point"},
		"knife":  {knifing{}, true, false, true, false, false, []string{"feed 1 1", "passes 2 2", "deep in one pass at most 7 0", "kerf 4 7"}, "by hand until it points to the right"},
		"turned": {knifing{turned: true}, true, false, true, false, false, []string{"feed 1 1", "passes 2 2", "deep in one pass at most 7 0", "kerf 4 7"}, "call that A0"},
		"wire":   {wiring{}, true, false, false, false, false, []string{"feed 1 1", "current 8 6", "kerf 4 7"}, "stand the wire beside the sheet"},
		"hand":   {byHand{}, true, false, false, false, false, []string{"passes 2 2", "deep in one pass at most 7 0", "kerf 4 7"}, "Lay the template"},
	} {
		assert.Equal(t, [4]bool{c.whole, c.round, c.height, c.fits}, [4]bool{c.p.WholeLayers(), c.p.RoundCorners(), c.p.TakesHeight(), c.p.FitsTools()}, name)
		var shown []string
		for _, s := range c.p.Settings(r) {
			shown = append(shown, fmt.Sprint(s.Name, " ", s.Number.Value, " ", s.Unit))
		}
		assert.Equal(t, c.settings, shown, name)
		assert.Contains(t, c.p.SetZero(), c.zero)
		if c.holds {
			continue
		}
		places, _, asked := c.p.Bridges(rectangle(0, 0, 90, 90, 0).Contours()[0], r, 12)
		hold, loose := c.p.Hold(r, 12)
		assert.Equal(t, []any{0, 0, plan.Hold{}, ""}, []any{len(places), asked, hold, loose}, name)
	}
	assert.Len(t, byHand{}.Settings(profiles.Recipe{}), 2, "no kerf is known")
}

// What drags or is turned, what is a wire and what is a hand's draw marks as they can: a blade scores a tenth of a pass, no deeper
// than half the layer; the others take a pen of half a mm.
func TestMarksOfBladesAndPens(t *testing.T) {
	r := profiles.Recipe{MMPerPass: number(8), KerfMM: number(0.3)}
	how, depth := knifing{}.Marking(r, 12)
	assert.Equal(t, []float64{0.8, 0.3}, []float64{depth, how.KerfMM.Value})
	_, depth = knifing{}.Marking(r, 1)
	assert.Equal(t, 0.5, depth)
	r.MarkDepthMM = number(1.5)
	_, depth = knifing{}.Marking(r, 12)
	assert.Equal(t, 1.5, depth)
	for _, p := range []Process{knifing{turned: true}, wiring{}, byHand{}} {
		how, depth = p.Marking(r, 12)
		assert.Equal(t, []float64{0, 0.5}, []float64{depth, how.KerfMM.Value})
	}
}

// A blade's passes are equally deep in the foam, and the last ends where the cut does, below it.
func TestKnifePasses(t *testing.T) {
	for _, c := range []struct {
		passes, to float64
		want       []plan.Pass
	}{
		{0, 12, []plan.Pass{{ToMM: 12}}}, {2.2, 12, []plan.Pass{{ToMM: 4}, {FromMM: 4, ToMM: 8}, {FromMM: 8, ToMM: 12}}},
		{3, 12.5, []plan.Pass{{ToMM: 4}, {FromMM: 4, ToMM: 8}, {FromMM: 8, ToMM: 12.5}}}, {2, 6, []plan.Pass{{ToMM: 3}, {FromMM: 3, ToMM: 6}}},
	} {
		assert.Equal(t, c.want, knifing{}.Passes(0, c.to, bedOf(12, profiles.Recipe{Passes: number(c.passes)})), "%+v", c)
	}
	two := beds([2]float64{6, 1}, [2]float64{6, 1})
	assert.Empty(t, knifing{}.Passes(0, 12, two))
	assert.Empty(t, wiring{}.Passes(0, 12, two))
	assert.Empty(t, byHand{}.Passes(0, 12, two))
	assert.Equal(t, []plan.Pass{{FromMM: 1, ToMM: 12}}, wiring{}.Passes(1, 12, two[:1]))
}

// What a machine cannot make it refuses before it makes anything: several layers at once, a way in that begins in the foam, a blade nobody knows.
func TestCuttersRefuse(t *testing.T) {
	wire, two := wireSheet(through("keg", rectangle(20, 20, 30, 20, 0))), routerSheet(12)
	two.Layers = append(two.Layers, two.Layers[0])
	for _, p := range []Process{wiring{}, byHand{}, knifing{}} {
		_, err := p.cutter(two, profiles.Machine{ID: "m"}, tol)
		assert.ErrorContains(t, err, "and this sheet has 2")
	}
	lead := func(mm float64) error {
		wire.Edge.Recipes[0].LeadInMM = number(mm)
		_, err := made(wire, benchWire(), tol)
		return err
	}
	assert.NoError(t, lead(16)) // a kerf of 1 mm, and leadRoomMM
	assert.ErrorContains(t, lead(15.9), "set lead_in_mm to 16 or more")
	assert.ErrorContains(t, lead(15.9), "edge lies up to 11 mm")
	wire.Edge.Recipes[0].LeadInMM = number(20)
	m := benchWire()
	m.Controller.ParkAt = []float64{0, 0, 0}
	_, err := made(wire, m, tol)
	assert.ErrorContains(t, err, "park_at")
	for _, c := range []struct {
		tool profiles.Tool
		kerf []float64
		want bool
	}{{profiles.Tool{}, nil, true}, {profiles.Tool{}, []float64{1}, false}, {profiles.Tool{TrailMM: number(2)}, []float64{1}, true}, {profiles.Tool{ChordMM: number(2)}, []float64{1}, true}} {
		assert.Equal(t, c.want, knifing{}.known(plan.Cut{Tool: c.tool, KerfMM: c.kerf}) == nil, "%+v", c)
	}
}

// A cutter's laps have their wall on the right when they climb, and on the left the conventional way: in a round pocket they go
// round against the clock and with it, and around the tray the other way. Nothing else changes.
func TestConventionalLapsGoTheOtherWay(t *testing.T) {
	turning := func(op Op, about geometry.Point) (turn, length float64) {
		each(op, func(from Point, m Move) {
			if m.Kind == Rapid {
				return
			}
			a, b := from.Sub(about), m.To.Sub(about)
			if m.Kind == Line {
				length += from.Point.DistanceTo(m.To.Point)
				turn += math.Atan2(a.Cross(b), a.Dot(b))
				return
			}
			c, d := from.Sub(m.Center), m.To.Sub(m.Center)
			sweep := math.Atan2(c.Cross(d), c.Dot(d))
			if m.Kind == CCW && sweep <= 1e-9 {
				sweep += 2 * math.Pi
			} else if m.Kind == CW && sweep >= -1e-9 {
				sweep -= 2 * math.Pi
			}
			length += math.Abs(sweep) * from.Point.DistanceTo(m.Center)
			if m.Center.DistanceTo(about) < from.Point.DistanceTo(m.Center) {
				turn += sweep
			}
		})
		return turn, length
	}
	var lengths [2][2]float64
	for i, direction := range []profiles.Direction{"", profiles.Conventional} {
		s := routerSheet(12, plan.Cut{Name: "keg", Shape: round(100, 75, 50), DepthMM: 6})
		for _, cut := range []*plan.Cut{&s.Cuts[0], &s.Edge} {
			cut.Recipes = []profiles.Recipe{routerRecipe("pad")}
			cut.Recipes[0].CutDirection = direction
		}
		p, err := made(s, benchRouter(), tol)
		require.NoError(t, err)
		sign := 1 - 2*float64(i)
		pocket, l := turning(opNamed(t, p, "keg"), geometry.Point{X: 100, Y: 75})
		assert.Greater(t, sign*pocket, 2*math.Pi)
		outline, m := turning(opNamed(t, p, "outline"), geometry.Point{X: 100, Y: 75})
		assert.Less(t, sign*outline, -math.Pi)
		lengths[i] = [2]float64{l, m}
		require.Len(t, p.Finished, 2)
		assert.InDelta(t, math.Pi*25*25, math.Abs(p.Finished[0].Contour.Area()), 1e-6)
	}
	assert.InDelta(t, lengths[0][0], lengths[1][0], 0.01*lengths[0][0])
	assert.InDelta(t, lengths[0][1], lengths[1][1], 0.05*lengths[0][1])
}

// In true mm, each move with where it begins: a machine that makes 2 mm of one in X and half of one in Y.
func TestWaysAreInTrueMM(t *testing.T) {
	m := profiles.Machine{ScaleX: number(2), ScaleY: number(0.5)}
	to := func(x, y, z float64) Point { return Point{geometry.Point{X: x, Y: y}, z} }
	p := Program{ClearZ: 5, Ops: []Op{{Moves: []Move{{To: to(1, 4, 5)}, {Kind: CW, To: to(3, 4, -2), Center: geometry.Point{X: 2, Y: 4}}}}, {Moves: []Move{{To: to(9, 8, 5)}}}}}
	var got []Point
	for from, move := range p.Ways(m) {
		got = append(got, from, move.To, Point{move.Center, 0})
	}
	assert.Equal(t, []Point{to(0, 0, 5), to(2, 2, 5), {}, to(2, 2, 5), to(6, 2, -2), to(4, 2, 0), to(0, 0, 5), to(18, 4, 5), {}}, got)
	for range p.Ways(m) {
		break
	}
}

// From rest to rest over so many mm: at the speed, with the time to gather and lose it once; or half the way faster and half slower.
func TestTimeFromRest(t *testing.T) {
	r := &router{machine: profiles.Machine{AccelerationMMPerS2: number(100)}}
	for _, c := range []struct{ mm, feed, want float64 }{{0, 600, 0}, {50, 0, 0}, {10, 600, 1.1}, {1, 600, 0.2}, {0.25, 600, 0.1}} { // 10 mm/s: 1 mm to gather and lose it
		assert.InDelta(t, c.want, r.fromRest(c.mm, c.feed), 1e-12, "%+v", c)
	}
	r.machine.AccelerationMMPerS2 = number(0)
	assert.InDelta(t, 1, r.fromRest(10, 600), 1e-12)
}

func TestEveryProcessHasOneDoor(t *testing.T) {
	for _, p := range profiles.Processes() {
		door, ok := For(p)
		assert.Equal(t, ok, MeansOf(profiles.Machine{Process: p}) != nil, p)
		if ok {
			assert.NotNil(t, door)
		}
	}
}
