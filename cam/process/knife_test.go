package process

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

const trailMM = 0.5

var dragBlade = profiles.Tool{ID: "blade", Number: 1, DiameterMM: number(0.4), ReachMM: number(8), TrailMM: number(trailMM), SlantDegrees: number(10), GougeMM: number(0.2)}

func benchKnife() profiles.Machine {
	m := benchRouter()
	m.ID, m.Process, m.ZZero = "test-knife", profiles.Knife, profiles.ZBed
	return m
}

func knifeRecipe() profiles.Recipe {
	return profiles.Recipe{
		Foam: "pad", Machine: "test-knife", Tool: "blade", KerfMM: number(0.2), FeedMMPerMin: number(1200), PlungeMMPerMin: number(300),
		MMPerPass: number(3), Passes: number(2), LeadInMM: number(3.1), OvercutMM: number(0.7), BreakthroughMM: number(0.3), MarkDepthMM: number(1),
	}
}

func knifeSheet(cuts ...plan.Cut) plan.Sheet {
	return sheetOf([]profiles.Recipe{knifeRecipe()}, []float64{6}, dragBlade, cuts)
}

// wheel is a trailing wheel as it rolls, by its own equation and nothing of the package's: with the
// axis at p it moves the way that it points, as fast as the axis goes that way. Each step is the
// midpoint rule's.
type wheel struct{ tip geometry.Point }

func (w *wheel) follow(from, to geometry.Point) {
	half := w.tip.Add(rolled(w.tip, from, to.Sub(from).Scale(0.5)))
	w.tip = w.tip.Add(rolled(half, from.Add(to).Scale(0.5), to.Sub(from)))
	h := to.Sub(w.tip)
	w.tip = to.Sub(h.Scale(trailMM / h.Norm())) // it is rigid
}

func rolled(tip, axis, step geometry.Point) geometry.Point {
	h := axis.Sub(tip)
	return h.Scale(h.Dot(step) / h.Dot(h))
}

// rolls takes a wheel along a line of length s whose blade points so many degrees off it, and is
// the angle that is left.
func rolls(degrees, s float64) float64 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	w := wheel{geometry.Point{X: -trailMM * cos, Y: -trailMM * sin}}
	const n = 20000
	for k := range n {
		w.follow(geometry.Point{X: s * float64(k) / n}, geometry.Point{X: s * float64(k+1) / n})
	}
	return math.Atan2(-w.tip.Y, s-w.tip.X) * 180 / math.Pi
}

// The tractrix, tan(phi/2) = tan(phi0/2) exp(-s/e), and how long a run-up straightens the blade:
// from facts that were derived and simulated, e 0.5.
func TestATrailingBladeStraightens(t *testing.T) {
	for _, c := range []struct{ degrees, s, left float64 }{{90, 0.5, 40.395}, {90, 1, 15.415}, {90, 2, 2.099}, {150, 1, 53.595}, {90, 4.741 * trailMM, 1}, {150, 6.058 * trailMM, 1}} {
		assert.InDelta(t, c.left, rolls(c.degrees, c.s), 0.001, "%+v", c)
	}
	short := wheel{geometry.Point{X: -trailMM}}
	for k := range 2000 {
		short.follow(geometry.Point{X: float64(k) / 100}, geometry.Point{X: float64(k+1) / 100})
	}
	assert.InDelta(t, 20-trailMM, short.tip.X, 1e-9, "an open way that nobody lengthens ends its trail short")
	assert.LessOrEqual(t, rolls(150, settled*trailMM), 1.0)
	assert.InDelta(t, 180, math.Abs(rolls(180, 5*trailMM)), 1e-6, "one that points straight back never settles")
	assert.InDelta(t, settled, math.Log(math.Tan(75*math.Pi/180)/math.Tan(0.5*math.Pi/180)), 0.02)
}

// simulated are the tip's places while an operation cuts, from a heading of the blade.
func simulated(op Op, heading geometry.Point) (places []geometry.Point, end geometry.Point) {
	const step = 0.02
	w := wheel{}
	at := op.Moves[0].To
	w.tip = at.Sub(heading.Scale(trailMM))
	for _, m := range op.Moves {
		switch flat := wayOf(Point{at.Point, 0}, Move{Kind: m.Kind, To: Point{m.To.Point, 0}, Center: m.Center}); {
		case m.Kind == Rapid: // in the air it stays as it is
			w.tip = w.tip.Add(m.To.Sub(at.Point))
		case flat > 0:
			n := math.Ceil(flat / step)
			for k := range int(n) {
				w.follow(onWay(at, m, float64(k)/n), onWay(at, m, float64(k+1)/n))
				places = append(places, w.tip)
			}
		}
		at = m.To
	}
	h := at.Sub(w.tip)
	return places, h.Scale(1 / h.Norm())
}

// requireTip: the tip of every operation keeps half a kerf from its edge, to within, and comes
// along all of it.
func requireTip(t require.TestingT, s plan.Sheet, p Program, within float64) {
	heading := geometry.Point{X: 1}
	for _, op := range p.Ops {
		cut, by, outside := s.Edge, 0.1, true
		for _, c := range s.Cuts {
			if c.Name == op.Name {
				cut, by, outside = c, -0.1, false
			}
		}
		var places []geometry.Point
		places, heading = simulated(op, heading)
		walls := geometry.NewWalls(cut.Shape)
		for _, at := range places {
			if d := walls.DistanceTo(at, 0); d < 0.1-within || walls.Contains(at) == outside {
				require.Failf(t, "off the line", "%s at %v: %v mm from the edge", op.Name, at, d)
			}
		}
		wanted, err := geometry.Offset(cut.Shape, by, tol)
		require.NoError(t, err)
		been := map[geometry.Point]bool{}
		for _, at := range places {
			for i := range 9 {
				been[cellOf(at).Add(geometry.Point{X: float64(i%3 - 1), Y: float64(i/3 - 1)})] = true
			}
		}
		for _, c := range wanted.Contours() {
			track := newTrack(c)
			for along := 0.0; along < track.length(); along += 0.1 {
				require.True(t, been[cellOf(track.at(along))], "%s never comes to %v", op.Name, track.at(along))
			}
		}
	}
}

// cellOf is a square of 0.1 mm.
func cellOf(p geometry.Point) geometry.Point {
	return geometry.Point{X: math.Round(p.X * 10), Y: math.Round(p.Y * 10)}
}

// The tip's way of every shape, simulated: lines, arcs both ways round, corners, islands.
func TestTheTipFollowsTheWantedLine(t *testing.T) {
	for name, shape := range shapes(t) {
		if testing.Short() && name > "ring" {
			continue
		}
		if name == "rectangle, tightest" || name == "round, just fits" || name == "slot, just fits" || name == "keyhole" {
			continue // tight curves, which are refused
		}
		cut := plan.Cut{Name: name, Shape: opened(t, shape, 4), Through: true}
		s := knifeSheet(cut)
		p, err := made(s, benchKnife(), tol)
		require.NoError(t, err, name)
		requireTip(t, s, p, 1e-4)
	}
}

// However the blade stands at the start, up to 150 degrees off, the waste takes the error: what
// reaches the wall is 0.5 sin 1° off at most.
func TestTheWasteTakesWhatTheBladeIsOff(t *testing.T) {
	cut := plan.Cut{Name: "hole", Shape: rectangle(30, 25, 60, 40, 4), Through: true}
	p, err := made(knifeSheet(cut), benchKnife(), tol)
	require.NoError(t, err)
	op := opNamed(t, p, "hole")
	for _, off := range []float64{-150, -90, -20, 20, 90, 150} {
		sin, cos := math.Sincos(off * math.Pi / 180)
		places, _ := simulated(op, geometry.Point{X: cos, Y: sin})
		near := 0.0
		for _, at := range places {
			require.True(t, cut.Shape.Contains(at))
			near = math.Max(near, 0.1-edgeDistance(cut.Shape, at))
		}
		assert.Less(t, near, trailMM*math.Sin(math.Pi/180)+1e-3, "%g degrees", off)
	}
}

// A round hole of radius 5: the axis goes on sqrt(5² + 0.5²) = 5.024938, and one on 5 would have
// taken the tip to 4.974937 (derived and simulated).
func TestTheAxisGoesOnAWiderCircle(t *testing.T) {
	p, err := made(knifeSheet(plan.Cut{Name: "hole", Shape: round(60, 60, 10.2), Through: true}), benchKnife(), tol)
	require.NoError(t, err)
	op, seen := opNamed(t, p, "hole"), 0
	for _, m := range op.Moves {
		if m.Kind == CCW && m.Center.DistanceTo(geometry.Point{X: 60, Y: 60}) < 1e-6 {
			assert.InDelta(t, 5.024938, m.To.DistanceTo(m.Center), 1e-6)
			seen++
		}
	}
	assert.Positive(t, seen)
	w := wheel{geometry.Point{X: 5, Y: -trailMM}}
	for k := range 40000 {
		a, b := float64(k)/40000*12, float64(k+1)/40000*12
		w.follow(geometry.Point{X: 5 * math.Cos(a), Y: 5 * math.Sin(a)}, geometry.Point{X: 5 * math.Cos(b), Y: 5 * math.Sin(b)})
	}
	assert.InDelta(t, 4.974937, w.tip.Norm(), 1e-5)
}

// At a corner the axis turns on an arc of its trail about the tip; without, the tip would pass
// 0.6627 of it inside, be 0.4823 of it off the two legs at most, and less than 0.1 mm after 1.146 mm of the
// second with a trail of half a mm (derived and simulated).
func TestACornerIsTurnedAboutTheTip(t *testing.T) {
	p, err := made(knifeSheet(plan.Cut{Name: "hole", Shape: rectangle(30, 25, 40, 30, 0.1), Through: true}), benchKnife(), tol)
	require.NoError(t, err)
	corners := map[geometry.Point]bool{}
	each(opNamed(t, p, "hole"), func(from Point, m Move) {
		if m.Kind == CCW && math.Abs(from.DistanceTo(m.Center)-trailMM) < 1e-9 {
			corners[geometry.Point{X: math.Round(m.Center.X*100) / 100, Y: math.Round(m.Center.Y*100) / 100}] = true
		}
	})
	for _, at := range []geometry.Point{{X: 30.1, Y: 25.1}, {X: 69.9, Y: 25.1}, {X: 69.9, Y: 54.9}, {X: 30.1, Y: 54.9}} {
		assert.True(t, corners[at], "%v", at)
	}
	w, nearest := wheel{geometry.Point{X: -10 - trailMM}}, math.Inf(1)
	farthest, near := 0.0, 0.0
	corner := geometry.Point{}
	for k := range 60000 { // to the corner, and up from it
		at := func(k int) geometry.Point {
			s := float64(k)/60000*20 - 10
			return geometry.Point{X: math.Min(s, 0), Y: math.Max(s, 0)}
		}
		w.follow(at(k), at(k+1))
		nearest = math.Min(nearest, w.tip.DistanceTo(corner))
		off := math.Min(math.Hypot(math.Max(0, w.tip.X), w.tip.Y), math.Hypot(w.tip.X, math.Min(0, w.tip.Y)))
		farthest = math.Max(farthest, off)
		if up := at(k + 1).Y; up > 0 && math.Abs(w.tip.X) >= 0.1 {
			near = up
		}
	}
	assert.InDelta(t, 0.4823*trailMM, farthest, 1e-4)
	assert.InDelta(t, 1.146, near, 1e-3)
	assert.InDelta(t, 0.6627*trailMM, nearest, 1e-3)
}

// numbers reads those of a hint that end in mm.
func numbersIn(hint string) (list []float64) {
	for _, m := range regexp.MustCompile(`([0-9.]+) mm`).FindAllStringSubmatch(hint, -1) {
		v, _ := strconv.ParseFloat(m[1], 64)
		list = append(list, v)
	}
	return list
}

// A curve that is too tight and a hole that is too narrow are refused, with what would do: that
// is tried.
func TestWhatABladeCannotTurnIsRefused(t *testing.T) {
	cut := func(r geometry.Region, thick float64) error {
		_, err := made(sheetOf([]profiles.Recipe{knifeRecipe()}, []float64{thick}, dragBlade, []plan.Cut{{Name: "hole", Shape: r, Through: true}}), benchKnife(), tol)
		return err
	}
	err := cut(rectangle(30, 25, 40, 30, 2), 6)
	require.ErrorContains(t, err, "radius 2.00 mm")
	hint := hintOf(t, err)
	would := numbersIn(hint)
	require.Len(t, would, 2, hint)
	assert.NoError(t, cut(rectangle(30, 25, 40, 30, would[0]), 6))
	assert.Error(t, cut(rectangle(30, 25, 40, 30, would[0]-0.02), 6))
	assert.NoError(t, cut(rectangle(30, 25, 40, 30, 2), would[1]))
	assert.Error(t, cut(rectangle(30, 25, 40, 30, 2), would[1]+0.02))
	assert.NoError(t, cut(rectangle(30, 25, 40, 30, 0.1), 6), "a sharp corner is turned about the tip")

	err = cut(rectangle(30, 25, 40, 3, 0), 6)
	require.ErrorContains(t, err, "no room")
	wide := numbersIn(hintOf(t, err))[0]
	assert.NoError(t, cut(rectangle(30, 25, 40, wide+0.01, 0.1), 6))
	assert.Error(t, cut(rectangle(30, 25, 40, wide-0.01, 0.1), 6))
	long, hole := numbersIn(hintOf(t, err))[1], numbersIn(hintOf(t, err))[2]
	assert.NoError(t, cut(rectangle(30, 25, long+0.01, wide+0.01, 0.1), 6))
	assert.NoError(t, cut(round(60, 60, hole+0.01), 6))
	assert.Error(t, cut(round(60, 60, hole-0.01), 6))

	s := knifeSheet(plan.Cut{Name: "hole", Shape: rectangle(30, 25, 40, 30, 4), DepthMM: 3})
	_, err = made(s, benchKnife(), tol)
	require.ErrorContains(t, err, "whole layers")
	none := dragBlade
	none.TrailMM = profiles.Number{}
	_, err = made(sheetOf([]profiles.Recipe{knifeRecipe()}, []float64{6}, none, nil), benchKnife(), tol)
	assert.ErrorContains(t, err, "trails")
}

// A blade that leans far forward needs more room about its tip than its run-up is long.
func TestWhereASlantedBladeTurns(t *testing.T) {
	slanted := dragBlade
	slanted.SlantDegrees, slanted.GougeMM = number(45), profiles.Number{}
	cut := func(r geometry.Region) error {
		_, err := made(sheetOf([]profiles.Recipe{knifeRecipe()}, []float64{6}, slanted, []plan.Cut{{Name: "hole", Shape: r, Through: true}}), benchKnife(), tol)
		return err
	}
	would := numbersIn(hintOf(t, cut(rectangle(30, 25, 40, 4.1, 0))))
	require.Len(t, would, 3)
	assert.NoError(t, cut(rectangle(30, 25, would[1]+0.01, would[0]+0.01, 0.1)))
	assert.Error(t, cut(rectangle(30, 25, would[1]+0.01, would[0]-0.01, 0.1)))
	assert.NoError(t, cut(round(60, 60, would[2]+0.01)))
	assert.Error(t, cut(round(60, 60, would[2]-0.01)))
}

// In an acute corner there is no room, and in the middle of a side there is.
func TestABladeComesInOutOfAcuteCorners(t *testing.T) {
	shape := opened(t, geometry.NewRegion(geometry.Polygon(geometry.Point{X: 15, Y: 37.1}, geometry.Point{X: 44.8, Y: 27.8}, geometry.Point{X: 42.4, Y: 54.6})), 0.1)
	s := knifeSheet(plan.Cut{Name: "hole", Shape: shape, Through: true})
	p, err := made(s, benchKnife(), tol)
	require.NoError(t, err)
	requireTip(t, s, p, 1e-4)
}

// Passes are equal, each deeper, and the last ends in what the foam lies on.
func TestABladeGoesDownInPasses(t *testing.T) {
	p, err := made(knifeSheet(plan.Cut{Name: "hole", Shape: rectangle(30, 25, 40, 30, 4), Through: true}), benchKnife(), tol)
	require.NoError(t, err)
	assert.Equal(t, []float64{-3, -6.3}, floors(opNamed(t, p, "hole")))
	assert.Equal(t, Outline, p.Ops[len(p.Ops)-1].Kind)
	for _, op := range p.Ops {
		assert.Equal(t, 2, op.Passes)
		assert.LessOrEqual(t, op.LeastS, secondsAtFeeds(op))
	}
}

func secondsAtFeeds(op Op) (s float64) {
	each(op, func(from Point, m Move) {
		if m.Kind != Rapid {
			s += 60 * wayOf(from, m) / m.FeedMMPerMin
		}
	})
	return s
}

// Random shapes with room, by a seed: boxes with corners of any allowed radius, rounds, and polygons.
func TestAnyShapeIsFollowed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var cuts []plan.Cut
		for i := range rapid.IntRange(1, 2).Draw(t, "holes") {
			x, y := 15+60*float64(i), rapid.Float64Range(15, 60).Draw(t, "y")
			var shape geometry.Region
			switch rapid.IntRange(0, 2).Draw(t, "shape") {
			case 0:
				corner := rapid.SampledFrom([]float64{0.1, 3.5, 5.5}).Draw(t, "corner")
				shape = rectangle(x, y, rapid.Float64Range(12, 45).Draw(t, "length"), rapid.Float64Range(12, 45).Draw(t, "width"), corner)
			case 1:
				shape = round(x+22, y+22, rapid.Float64Range(7.9, 44).Draw(t, "diameter"))
			default:
				n := rapid.IntRange(3, 7).Draw(t, "corners")
				var list []geometry.Point
				for k := range n {
					sin, cos := math.Sincos(2 * math.Pi * (float64(k) + rapid.Float64Range(0.1, 0.6).Draw(t, "turn")) / float64(n))
					r := rapid.Float64Range(12, 22).Draw(t, "r")
					list = append(list, geometry.Point{X: x + 22 + r*cos, Y: y + 22 + r*sin})
				}
				shape = opened(t, geometry.NewRegion(geometry.Polygon(list...)), 0.1)
			}
			cuts = append(cuts, plan.Cut{Name: fmt.Sprint("hole ", i), Shape: shape, Through: true})
		}
		s := knifeSheet(cuts...)
		p, err := made(s, benchKnife(), tol)
		require.NoError(t, err)
		p.Ops = p.Ops[:len(cuts)] // the outline is the same every time
		requireTip(t, s, p, 1e-4)
	})
}

// Lines are scored with the tip on them.
func TestMarksAreScored(t *testing.T) {
	s := knifeSheet()
	way := geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 20, Y: 20}}, geometry.Vertex{Point: geometry.Point{X: 30, Y: 20}, Bulge: 0.5}, geometry.Vertex{Point: geometry.Point{X: 30, Y: 26}}, geometry.Vertex{Point: geometry.Point{X: 22, Y: 30}})
	s.Marks, s.Marking = []geometry.Path{way}, plan.Cut{Name: "marks", Tool: dragBlade, Recipes: []profiles.Recipe{knifeRecipe()}}
	p, err := made(s, benchKnife(), tol)
	require.NoError(t, err)
	require.Equal(t, Mark, p.Ops[0].Kind)
	assert.Equal(t, []float64{-1}, floors(p.Ops[0]))
	places, _ := simulated(p.Ops[0], geometry.Point{X: 1})
	for _, at := range places {
		off := math.Inf(1)
		for seg := range way.Segments() {
			on, _ := seg.Nearest(at)
			off = math.Min(off, on.DistanceTo(at))
		}
		require.Less(t, off, 1e-4)
	}
}

func hintOf(t *testing.T, err error) string {
	var list finding.List
	require.ErrorAs(t, err, &list)
	return list[0].Hint
}
