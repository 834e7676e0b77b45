package process

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
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

// What a beam and a cutter can and cannot do, as a person knows them: a beam goes through a sheet
// and leaves corners sharp and at one height, a cutter goes as deep as it is told, leaves its
// own radius, cuts several heights and is put in by a hand.
func TestWhatEachProcessCanDo(t *testing.T) {
	laser, router := beaming{}, routing{}
	assert.Equal(t, [4]bool{true, false, false, false}, [4]bool{laser.WholeLayers(), laser.RoundCorners(), laser.TakesHeight(), laser.FitsTools()})
	assert.Equal(t, [4]bool{false, true, true, true}, [4]bool{router.WholeLayers(), router.RoundCorners(), router.TakesHeight(), router.FitsTools()})
	r := profiles.Recipe{FeedMMPerMin: number(1), Passes: number(2), PowerPercent: number(3), KerfMM: number(4), StepdownMM: number(5), RPM: number(6)}
	shown := func(p Process) (list []string) {
		for _, s := range p.Settings(r) {
			list = append(list, fmt.Sprint(s.Name, " ", s.Number.Value, " ", s.Unit))
		}
		return list
	}
	assert.Equal(t, []string{"feed 1 1", "passes 2 2", "power 3 3", "kerf 4 7"}, shown(laser))
	assert.Equal(t, []string{"feed 1 1", "step-down 5 0", "speed 6 4", "kerf 4 7"}, shown(router))
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
