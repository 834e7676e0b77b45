package process

import (
	"cmp"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// By hand: a square outline of 200 x 150 mm with corners of 8 mm, 10 mm deep but for its skin, in
// passes of the recipe's step-down, the first on its ramp; and a pocket of 60 x 40 mm, 10 mm deep.
func TestLeastSecondsByHand(t *testing.T) {
	m := benchRouter()
	m.Controller.SpinUpS = 3
	sheet := routerSheet(12, plan.Cut{Name: "it", Shape: rectangle(30, 30, 60, 40, 3), DepthMM: 10})
	p, err := made(sheet, m, tol)
	require.NoError(t, err)
	r := sheet.Edge.Recipes[0]
	kerf, feed, plunge, step := r.KerfMM.Value, r.FeedMMPerMin.Value/60, r.PlungeMMPerMin.Value/60, r.StepdownMM.Value

	walls := 2*(60-kerf+40-kerf) - 8*(3-kerf/2) + 2*math.Pi*(3-kerf/2)
	area := 60*40 - (4-math.Pi)*9
	passes := math.Ceil(10 / step)
	pocket := passes*walls/feed + (area-walls*r.FinishMM.Value)*10/(kerf*step*r.Stepover.Value*feed) + 10/plunge
	assert.InDelta(t, pocket, opNamed(t, p, "it").LeastS, 1e-6)

	deep := 12 - r.SkinMM.Value
	if r.SkinMM.Value == 0 {
		deep = 12 + r.BreakthroughMM.Value
	}
	around := 2*(200+150) - 8*8 + 2*math.Pi*(8+kerf/2)
	laps := float64(opNamed(t, p, "outline").Passes)
	sine := math.Sin(r.RampDegrees.Value * math.Pi / 180)
	outline := laps*around/feed + (deep-(laps-1)*step)/math.Min(plunge, feed*sine)
	assert.InDelta(t, outline, opNamed(t, p, "outline").LeastS, 1e-6)

	way := p.Ops[0].Moves[0].To.DistanceTo(p.Ops[1].Moves[0].To.Point)
	assert.InDelta(t, 3+pocket+outline+(way+2*p.ClearZ)*60/m.RapidMMPerMin.Value, LeastSeconds(p, m), 1e-6)
}

// By hand: the same pocket, of whose finishing laps there is one, at full depth; no other time changes.
func TestLeastSecondsOfOneWallLap(t *testing.T) {
	least := func(words profiles.WallLap) (float64, plan.Cut) {
		r := routerRecipe("pad")
		r.WallLap, r.FinishMM.Value = words, 0.2
		tool := cutter3
		tool.FluteMM.Value = 22
		sheet := routerSheet(22, plan.Cut{Name: "it", Shape: rectangle(30, 30, 60, 40, 8), DepthMM: 20, Tool: tool, Recipes: []profiles.Recipe{r}})
		require.NoError(t, sheet.Complete(routing{}, tol))
		p, err := Make(sheet, benchRouter(), tol)
		require.NoError(t, err)
		return opNamed(t, p, "it").LeastS, sheet.Cuts[0]
	}
	each, cut := least(profiles.LapEachLevel)
	assert.Zero(t, cut.WallOnceMM)
	once, cut := least(profiles.LapOnce)
	assert.Positive(t, cut.WallOnceMM)
	walls := 2*(60-3.175+40-3.175) - 8*(8-3.175/2) + 2*math.Pi*(8-3.175/2)
	assert.InDelta(t, float64(len(cut.Passes)-1)*walls/(cut.Recipes[0].FeedMMPerMin.Value/60), each-once, 1e-6)
}

// No groove is cut in less than its least time: its moves at their feeds take longer, however many levels it has.
func TestLeastOfAGrooveIsNotBeaten(t *testing.T) {
	for _, depth := range []float64{2, 10, 22, 40} {
		p, err := made(routerSheet(depth+0.6, lineCut(t, 3.175, depth, false)), benchRouter(), tol)
		require.NoError(t, err)
		for _, op := range p.Ops {
			seconds := 0.0
			each(op, func(from Point, m Move) {
				along := from.DistanceTo(m.To.Point)
				if m.Kind == CW || m.Kind == CCW {
					along = from.DistanceTo(m.Center) * math.Abs(sweep(from.Point, m))
				}
				if m.Kind != Rapid {
					seconds += 60 * math.Hypot(along, m.To.Z-from.Z) / m.FeedMMPerMin
				}
			})
			assert.LessOrEqual(t, op.LeastS, seconds, "%s, %g mm deep", op.Name, depth)
		}
	}
}

// By hand: a stem and an arm that begins on it, entered once, and a stroke 9 mm beside them.
func TestLeastSecondsOfMarksByHand(t *testing.T) {
	m := benchRouter()
	m.Controller.SpinUpS = 3
	s := markSheet(lineOf(20, 20, 20, 34), lineOf(20, 27, 28, 27), lineOf(37, 20, 37, 30))
	s.Edge = plan.Cut{}
	p, err := made(s, m, tol)
	require.NoError(t, err)
	marks := (14+8+10)/30.0 + 2*1.5/10
	require.Len(t, p.Ops, 1)
	assert.InDelta(t, marks, p.Ops[0].LeastS, 1e-9)
	assert.InDelta(t, 3+marks+(9+2*p.ClearZ)/50, LeastSeconds(p, m), 1e-9)
}

// No program is quicker than its least time, on a machine without inertia: strokes that meet or not, grooves and outlines
// of any number of levels.
func TestNoProgramIsQuickerThanItsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := benchRouter()
		deep := rapid.Float64Range(1, 40)
		s := routerSheet(42, lineCut(t, 3.175, deep.Draw(t, "groove"), false))
		at := rapid.Float64Range(0, 40)
		var strokes []geometry.Path
		for range rapid.IntRange(1, 8).Draw(t, "strokes") {
			strokes = append(strokes, lineOf(at.Draw(t, "x"), math.Round(at.Draw(t, "y")), at.Draw(t, "x"), math.Round(at.Draw(t, "y"))))
		}
		marked := markSheet(strokes...)
		s.Marks, s.Marking = marked.Marks, marked.Marking
		p, err := made(s, m, tol)
		require.NoError(t, err)
		seconds, last := 2*p.ClearZ*60/m.RapidMMPerMin.Value, Point{Z: p.ClearZ}
		for _, op := range p.Ops {
			own := 0.0
			each(op, func(from Point, move Move) {
				own += 60 * wayOf(from, move) / cmp.Or(move.FeedMMPerMin, m.RapidMMPerMin.Value)
			})
			assert.LessOrEqual(t, op.LeastS, own, op.Name)
			seconds, last = seconds+own+60*last.DistanceTo(op.Moves[0].To.Point)/m.RapidMMPerMin.Value, op.Moves[len(op.Moves)-1].To
		}
		assert.LessOrEqual(t, LeastSeconds(p, m), seconds)
	})
}

// A tree of points on a line is as long as the line; of the corners of a square three sides; of boxes it goes
// from edge to edge, and nowhere between those that meet.
func TestTree(t *testing.T) {
	at := func(xy ...float64) (list []geometry.Box) {
		for i := 0; i < len(xy); i += 2 {
			p := geometry.Point{X: xy[i], Y: xy[i+1]}
			list = append(list, geometry.Box{Min: p, Max: p})
		}
		return list
	}
	for _, c := range []struct {
		places []geometry.Box
		mm     float64
		ways   int
	}{
		{nil, 0, 0},
		{at(4, 4), 0, 0},
		{at(9, 0, 0, 0, 4, 0, 2, 0), 9, 3},
		{at(0, 0, 5, 5, 0, 5, 5, 0), 15, 3},
		{append(at(7, 8, 0, 0), geometry.Box{Max: geometry.Point{X: 4, Y: 4}}), 5, 1},
	} {
		mm, ways := spanning(c.places)
		assert.InDelta(t, c.mm, mm, 1e-12)
		assert.Equal(t, c.ways, ways)
	}
	rapid.Check(t, func(t *rapid.T) { // no longer than any way through a place of each
		var list []geometry.Box
		var last geometry.Point
		way, edge := 0.0, rapid.Float64Range(0, 9)
		for i := range rapid.IntRange(1, 9).Draw(t, "n") {
			a := geometry.Point{X: edge.Draw(t, "x"), Y: edge.Draw(t, "y")}
			b := a.Add(geometry.Point{X: edge.Draw(t, "wide") / 3, Y: edge.Draw(t, "high") / 3})
			list = append(list, geometry.Box{Min: a, Max: b})
			to := a.Add(b.Sub(a).Scale(rapid.Float64Range(0, 1).Draw(t, "where")))
			if i > 0 {
				way += last.DistanceTo(to)
			}
			last = to
		}
		mm, _ := spanning(list)
		assert.LessOrEqual(t, mm, way+1e-9)
	})
}
