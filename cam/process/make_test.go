package process

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

func TestOtherProcessesAreRefused(t *testing.T) {
	for _, p := range []profiles.Process{"plasma", ""} {
		m := benchRouter()
		m.Process = p
		_, err := Make(routerSheet(12.7), m, tol)
		require.ErrorContains(t, err, "test-router")
		assert.ErrorContains(t, err, "not built yet")
	}
}

// Pockets of one shape share a path, wherever they are.
func TestGridOfEqualPockets(t *testing.T) {
	var cuts []plan.Cut
	for i := range 12 {
		x, y := 20+32.3*float64(i%4), 20+32.3*float64(i/4)
		cuts = append(cuts, plan.Cut{Name: fmt.Sprint("token ", i), Shape: round(x, y, 25.75), DepthMM: 12})
	}
	p, err := made(routerSheet(25.4, cuts...), benchRouter(), tol)
	require.NoError(t, err)
	for i, c := range cuts {
		op := opNamed(t, p, c.Name)
		requireSound(t, op, routerRecipe("pad"), p.ClearZ, 12)
		first := opNamed(t, p, "token 0")
		require.Len(t, op.Moves, len(first.Moves))
		shift := geometry.Point{X: 32.3 * float64(i%4), Y: 32.3 * float64(i/4)}
		for k, m := range op.Moves {
			require.InDelta(t, 0, m.To.DistanceTo(first.Moves[k].To.Add(shift)), 1e-9)
		}
	}
}

func TestSameSheetSameProgram(t *testing.T) {
	var cuts []plan.Cut
	for name, shape := range shapes(t) {
		cuts = append(cuts, plan.Cut{Name: name, Shape: shape, DepthMM: 8})
	}
	a, err := made(routerSheet(25.4, cuts...), benchRouter(), tol)
	require.NoError(t, err)
	b, err := made(routerSheet(25.4, cuts...), benchRouter(), tol)
	require.NoError(t, err)
	assert.Equal(t, a, b)
}

// Whatever the direction, a pocket is cleared alike: mirrored and turned shapes
// give a path of the same length to a tenth of a per cent.
func TestRouterIsFairToAllDirections(t *testing.T) {
	shape := shapes(t)["L with notch"]
	length := func(r geometry.Region) float64 {
		p, err := made(routerSheet(25.4, plan.Cut{Name: "hole", Shape: r, DepthMM: 6}), benchRouter(), tol)
		require.NoError(t, err)
		return Measure(Program{Ops: p.Ops[:1]}).CutLengthMM
	}
	want := length(shape)
	for quarter := range 4 {
		turned := shape.Transform(geometry.Rotate(float64(quarter)*math.Pi/2, geometry.Point{X: 60, Y: 60}))
		assert.InEpsilon(t, want, length(turned), 0.05)
		assert.InEpsilon(t, want, length(mirrored(turned)), 0.05)
	}
}

// mirrored exchanges left and right, with each inside still on the left of travel.
func mirrored(r geometry.Region) geometry.Region {
	var contours []geometry.Contour
	for _, c := range r.Contours() {
		vertices := c.Vertices()
		for i, v := range vertices {
			vertices[i] = geometry.Vertex{Point: geometry.Point{X: 120 - v.X, Y: v.Y}, Bulge: -v.Bulge}
		}
		contours = append(contours, geometry.NewContour(vertices...).Reverse())
	}
	return geometry.NewRegion(contours...)
}

func TestRouterMarksFirst(t *testing.T) {
	sheet := routerSheet(25.4, plan.Cut{Name: "hole", Shape: round(50, 50, 20), DepthMM: 6})
	sheet.Marks = []geometry.Path{
		geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 100, Y: 20}}, geometry.Vertex{Point: geometry.Point{X: 120, Y: 20}}),
		geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 130, Y: 20}, Bulge: 1}, geometry.Vertex{Point: geometry.Point{X: 140, Y: 20}}),
	}
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	assert.Equal(t, Mark, p.Ops[0].Kind)
	requireSound(t, p.Ops[0], routerRecipe("pad"), p.ClearZ, 0.6)
	assert.InDeltaSlice(t, []float64{-0.6}, floors(p.Ops[0]), 1e-12)
	require.Len(t, p.Drawn, 4)
	assert.Equal(t, Mark, p.Drawn[0].Kind)
	assert.Zero(t, p.Drawn[0].Contour.Len())
}

// The plan may have marks engraved with another tool, and says how deep; a
// recipe of the outline's may say so too. Never past the middle of a layer.
func TestRouterMarksAsPlanned(t *testing.T) {
	line := geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 100, Y: 20}}, geometry.Vertex{Point: geometry.Point{X: 120, Y: 20}})
	marked := func(thickness float64, marking plan.Cut, depth float64) Op {
		sheet := routerSheet(thickness)
		sheet.Edge.Recipes[0].MarkDepthMM = number(depth)
		sheet.Marks, sheet.Marking = []geometry.Path{line}, marking
		p, err := made(sheet, benchRouter(), tol)
		require.NoError(t, err)
		return p.Ops[0]
	}
	thin := routerRecipe("pad")
	thin.KerfMM = number(1)
	fine := profiles.Tool{ID: "fine", Number: 7, ReachMM: number(5)}
	thin.MarkDepthMM = number(0.8)
	op := marked(25.4, plan.Cut{Tool: fine, Recipes: []profiles.Recipe{thin}}, 0)
	assert.Equal(t, fine, op.Tool)
	assert.Equal(t, 1.0, op.KerfMM)
	assert.Equal(t, "marks", op.Name)
	assert.InDeltaSlice(t, []float64{-0.8}, floors(op), 1e-12)
	assert.InDeltaSlice(t, []float64{-1.2}, floors(marked(25.4, plan.Cut{}, 1.2)), 1e-12)
	assert.InDeltaSlice(t, []float64{-1}, floors(marked(2, plan.Cut{}, 3)), 1e-12)
}

// The last check finds a path that was spoilt.
func TestSelfCheckFindsFaults(t *testing.T) {
	cut := plan.Cut{Name: "hole", Shape: rectangle(20, 20, 40, 30, 3), DepthMM: 6}
	p, err := made(routerSheet(25.4, cut), benchRouter(), tol)
	require.NoError(t, err)
	for name, spoil := range map[string]func([]Move){
		"too near":    func(m []Move) { m[len(m)/2].To.X += 40 },
		"by a little": func(m []Move) { shiftAll(m, 1e-5) },
		"elsewhere":   func(m []Move) { shiftAll(m, 500) },
	} {
		moves := append([]Move(nil), p.Ops[0].Moves...)
		require.NoError(t, keepsFrom(moves, cut, 3.175/2, false))
		spoil(moves)
		require.ErrorContains(t, keepsFrom(moves, cut, 3.175/2, false), "hole: the path made for it", name)
	}
}

func shiftAll(moves []Move, by float64) {
	for i := range moves {
		moves[i].To.X += by
		moves[i].Center.X += by
	}
}

// demoSheet is about what one sheet of a real job holds: 20 pockets.
func demoSheet() plan.Sheet {
	var cuts []plan.Cut
	for i := range 20 {
		x, y := 8+37*float64(i%5), 8+34*float64(i/5)
		shape := rectangle(x, y, 31-float64(i%3), 28, 3)
		if i%4 == 0 {
			shape = round(x+14, y+14, 27)
		}
		cuts = append(cuts, plan.Cut{Name: fmt.Sprint("pocket ", i), Shape: shape, DepthMM: 22})
	}
	return routerSheet(25.4, cuts...)
}

func BenchmarkRouterSheet(b *testing.B) {
	sheet := demoSheet()
	for b.Loop() {
		if _, err := made(sheet, benchRouter(), tol); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPockets is for growth: ns per pocket should hardly change with their
// number.
func BenchmarkPockets(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		var cuts []plan.Cut
		side := int(math.Ceil(math.Sqrt(float64(n))))
		for i := range n {
			diameter := 6 + 2*float64(i)/float64(n) // no two alike
			cuts = append(cuts, plan.Cut{Name: fmt.Sprint(i), Shape: round(10*float64(i%side), 10*float64(i/side), diameter), DepthMM: 6, Through: true})
		}
		for _, c := range []struct {
			sheet   plan.Sheet
			machine profiles.Machine
		}{{routerSheet(12, cuts...), benchRouter()}, {laserSheet(cuts...), benchLaser()}} {
			b.Run(fmt.Sprint(c.machine.ID, "/", n), func(b *testing.B) {
				for b.Loop() {
					if _, err := made(c.sheet, c.machine, tol); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/pocket")
			})
		}
	}
}
