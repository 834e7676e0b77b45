package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// lineCut is a square line of 30 mm from (40, 40) with what a kerf makes of it.
func lineCut(t interface {
	require.TestingT
	Helper()
}, kerf, depth float64, beam bool) plan.Cut {
	t.Helper()
	line := rectangle(40, 40, 30, 30, 0)
	hole, err := geometry.Offset(line, kerf/2, tol)
	require.NoError(t, err)
	cut := plan.Cut{Name: "square 30", Shape: hole, DepthMM: depth, Through: beam, Along: line.Contours()[0]}
	if !beam {
		plug, err := geometry.Offset(line, -kerf/2, tol)
		require.NoError(t, err)
		cut.Shape = geometry.NewRegion(hole.Contours()[0], plug.Contours()[0].Reverse())
	}
	return cut
}

// cutBounds is the box of an operation's straight cuts at a height.
func cutBounds(op Op, level float64) geometry.Box {
	box, at := geometry.EmptyBox(), op.Moves[0].To
	for _, m := range op.Moves {
		if m.Kind != Rapid && math.Abs(m.To.Z-level) < 1e-9 && math.Abs(at.Z-level) < 1e-9 {
			box = box.Union(geometry.Segment{A: at.Point, B: m.To.Point}.Bounds())
		}
		at = m.To
	}
	return box
}

func TestAlongLineKeepsTheNominalSize(t *testing.T) {
	p, err := made(laserSheet(lineCut(t, 0.3, 12, true)), benchLaser(), tol)
	require.NoError(t, err)
	assert.Equal(t, "square 30", p.Ops[0].Name)
	box := cutBounds(p.Ops[0], 0)
	assert.InDelta(t, 30, box.Width(), 1e-9)
	assert.InDelta(t, 30, box.Height(), 1e-9)
	assert.Equal(t, 2, p.Ops[0].Passes)
	first := p.Ops[0].Moves[0].To
	assert.Less(t, first.DistanceTo(geometry.Point{X: 40, Y: 40}), 6.0, "the beam comes in beside the line's first corner")
	assert.InDelta(t, 30*4, p.Drawn[0].Contour.Length(), 1e-9)

	p, err = made(routerSheet(12, lineCut(t, 3.175, 11.4, false)), benchRouter(), tol)
	require.NoError(t, err)
	box = cutBounds(p.Ops[0], -11.4)
	assert.InDelta(t, 30, box.Width(), 1e-9)
	assert.InDelta(t, 30, box.Height(), 1e-9)
	assert.InDelta(t, 40, box.Min.X, 1e-9)
	assert.Equal(t, 2, p.Ops[0].Passes)
	for _, m := range p.Ops[0].Moves {
		assert.GreaterOrEqual(t, m.To.Z, -11.4-1e-9)
	}
}

func TestAlongLineClimbsOnThePlug(t *testing.T) {
	p, err := made(routerSheet(12, lineCut(t, 3.175, 11.4, false)), benchRouter(), tol)
	require.NoError(t, err)
	turn, at := 0.0, p.Ops[0].Moves[0].To
	for _, m := range p.Ops[0].Moves {
		if m.Kind != Rapid {
			turn += at.Sub(geometry.Point{X: 55, Y: 55}).Cross(m.To.Sub(geometry.Point{X: 55, Y: 55}))
		}
		at = m.To
	}
	assert.Negative(t, turn, "clockwise around what stays: the foam lies to the right of travel")
}

// A plug is waste and the wall around it is not: it is climbed on, the drawing goes to the
// groove's floor, what is finished goes through, and the cutter ends on a straight
// part, where the last that it takes of the plug is smallest.
func TestAlongAPlug(t *testing.T) {
	cut := lineCut(t, 3.175, 11.4, false)
	cut.Plug = true
	p, err := made(routerSheet(12, cut), benchRouter(), tol)
	require.NoError(t, err)
	op := p.Ops[0]
	turn, middle := 0.0, geometry.Point{X: 55, Y: 55}
	each(op, func(from Point, m Move) {
		if m.Kind != Rapid {
			turn += from.Sub(middle).Cross(m.To.Sub(middle))
		}
	})
	assert.Positive(t, turn, "against the clock inside what stays: the foam lies to the right of travel")
	assert.InDelta(t, 0.6, op.PlugSkinMM, 1e-9)
	last := op.Moves[len(op.Moves)-2].To // before the retract
	corner := math.Inf(1)
	for _, v := range cut.Along.Vertices() {
		corner = math.Min(corner, v.DistanceTo(last.Point))
	}
	assert.GreaterOrEqual(t, corner, 3.175-1e-9, "a kerf from the corners")
	assert.LessOrEqual(t, corner, 15.0)
	assert.Equal(t, 11.4, p.Drawn[0].DepthMM)
	assert.Zero(t, p.Finished[0].DepthMM)
	assert.InDelta(t, 33.175, p.Finished[0].Contour.Bounds().Width(), 1e-6, "the hole, and not its plug")
	if len(p.Finished) > 1 {
		assert.Greater(t, p.Finished[1].Contour.Bounds().Width(), 33.2, "the outline comes next")
	}
}

// Wherever the cutter comes from, a groove around a plug ends on a long straight part, a kerf from its corners or in
// its middle, and begins no farther away than one that ends in the middle of the longest.
func TestAGrooveEndsOnAStraight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		long, wide := rapid.Float64Range(4, 60).Draw(t, "long"), rapid.Float64Range(4, 60).Draw(t, "wide")
		ring := rectangle(40, 40, long, wide, 0).Contours()[0]
		kerf := 3.175
		cut := plan.Cut{Name: "it", Along: ring, Plug: true, DepthMM: 20, KerfMM: []float64{kerf}, Recipes: []profiles.Recipe{routerRecipe("pad")}}
		cut.Passes = routing{}.Passes(0, 20, []plan.Bed{{BottomMM: 30, Recipe: cut.Recipes[0]}})
		r, err := newRouter(routerSheet(30), benchRouter(), tol)
		require.NoError(t, err)
		near := geometry.Point{X: rapid.Float64Range(0, 120).Draw(t, "x"), Y: rapid.Float64Range(0, 120).Draw(t, "y")}
		begin, run := r.closingStraight(cut, ring, near), 0.0
		for _, l := range r.levels(cut, ring.Length()) {
			run += l.ramp + l.flat
		}
		way := newTrack(ring)
		ends := func(p geometry.Point) geometry.Point { mm, _ := alongPath(pathOf(ring), p); return way.at(mm + run) }
		end := ends(begin.Point)
		for s := range ring.Segments() {
			if on, share := s.Nearest(end); on.DistanceTo(end) < 1e-6 && share > 1e-9 && share < 1-1e-9 {
				assert.GreaterOrEqual(t, s.Length(), math.Max(long, wide)/2-1e-6)
				assert.GreaterOrEqual(t, math.Min(share, 1-share)*s.Length(), math.Min(kerf, s.Length()/2)-1e-6)
			}
			if s.Length() >= math.Max(long, wide)-1e-9 { // to end in its middle is one of those looked at
				mm, _ := alongPath(pathOf(ring), s.At(0.5))
				assert.LessOrEqual(t, begin.DistanceTo(near), way.at(mm-run).DistanceTo(near)+1e-6)
			}
		}
	})
}

// pathOf is a contour as a path that ends where it begins.
func pathOf(c geometry.Contour) geometry.Path {
	v := c.Vertices()
	return geometry.NewPath(append(v, geometry.Vertex{Point: v[0].Point})...)
}

// A groove goes on down where its level began: nowhere does it take more than a step-down of what
// the way before it left, whole laps at each level or not, and its last lap is whole.
func TestAGrooveNeverTakesMoreThanAStep(t *testing.T) {
	step := routerRecipe("pad").StepdownMM.Value
	rapid.Check(t, func(rt *rapid.T) {
		depth := rapid.Float64Range(0.5, 40).Draw(rt, "depth")
		cut := lineCut(t, 3.175, depth, false)
		cut.Plug = rapid.Bool().Draw(rt, "plug")
		p, err := made(routerSheet(depth+0.6, cut), benchRouter(), tol)
		require.NoError(rt, err)
		op, left := p.Ops[0], make([]float64, 120) // the foam's height at every mm of the square's middle line
		each(op, func(from Point, m Move) {
			if m.Kind == Rapid {
				return
			}
			n := max(1, math.Ceil(from.DistanceTo(m.To.Point)/0.1))
			for i := 0.0; i <= n; i++ {
				at, z := geometry.Segment{A: from.Point, B: m.To.Point}.At(i/n), from.Z+(m.To.Z-from.Z)*i/n
				k := int(math.Round(alongSquare(at))) % len(left)
				require.LessOrEqual(rt, left[k]-z, step+0.2, "at %v, Z%.3f", at, z) // a mm of the ramp is 0.14 mm high
				left[k] = math.Min(left[k], z)
			}
		})
		for k, z := range left {
			require.InDelta(rt, -depth, z, 1e-9, "%d mm along", k)
		}
	})
}

// alongSquare is how far along the square of lineCut a place lies.
func alongSquare(p geometry.Point) float64 {
	switch x, y := p.X-40, p.Y-40; {
	case y < 1e-6:
		return x
	case x > 30-1e-6:
		return 30 + y
	case y > 30-1e-6:
		return 90 - x
	default:
		return 120 - y
	}
}

func TestAlongLineLetsNothingFly(t *testing.T) {
	cut := lineCut(t, 3.175, 12, false)
	cut.Through = true
	_, err := made(routerSheet(12, cut), benchRouter(), tol)
	assert.ErrorContains(t, err, "the plug inside it would fly loose")
}

func TestAlongLineChecksItsShape(t *testing.T) {
	cut := lineCut(t, 0.1, 12, true)
	_, err := made(laserSheet(cut), benchLaser(), tol)
	assert.ErrorContains(t, err, "of the wall instead of 0.150000 mm", "a shape that the recipe's kerf does not leave")
}
