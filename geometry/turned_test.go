package geometry

import (
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawnCurves are those of a rough shape or a gear, so that lines and arcs lie aslant in
// bundles.
func drawnCurves(t *rapid.T) []curve {
	shapes := roughShapes(rapid.IntRange(80, 600).Draw(t, "points"), rapid.Uint64().Draw(t, "seed"))
	shapes["gear"] = NewRegion(gear(rapid.IntRange(20, 100).Draw(t, "teeth"), 40))
	shapes["leaning spikes"] = leaningSpikes(rapid.IntRange(40, 300).Draw(t, "spikes"), rapid.Float64Range(-1.3, 1.3).Draw(t, "lean"))
	r := shapes[rapid.SampledFrom(slices.Sorted(maps.Keys(shapes))).Draw(t, "shape")]
	curves, _ := r.Transform(Rotate(rapid.Float64Range(0, 7).Draw(t, "turn"), Point{})).appendTo(nil, nil)
	return curves
}

// What a tree of curves leaves out is as far away as was asked: the source of what is
// expected is each curve by itself.
func TestTreesOfCurvesLeaveOutOnlyWhatIsFar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		curves := drawnCurves(t)
		tree, index := treeOf(curves), indexOf(curves)
		near := rapid.SampledFrom([]float64{1e-6, 0.01, 1}).Draw(t, "near")
		c := &curves[rapid.IntRange(0, len(curves)-1).Draw(t, "curve")]
		found := make([]bool, len(curves))
		along := c.probe(near)
		tree.visit(&along, func(i int) bool { found[i] = true; return true })
		p := Point{rapid.Float64Range(-60, 60).Draw(t, "x"), rapid.Float64Range(-60, 60).Draw(t, "y")}
		least, hits := math.Inf(1), 0
		for i := range curves {
			if d, _, _ := c.distance(&curves[i]); d <= near {
				require.True(t, found[i], "curve %d is %g mm away", i, d)
			}
			least = min(least, curves[i].nearest(p).DistanceTo(p))
			hits += curves[i].crossings(p)
		}
		require.Equal(t, least, index.distanceTo(p, 0, math.Inf(1)))
		limit, met := math.Inf(1), 0
		index.toRight(p, &limit, func(i int) { met += curves[i].crossings(p) })
		require.Equal(t, hits, met)
	})
}

// leaningSpikes are spikes around a circle, each of which ends an angle farther round than it
// begins: the line on from the beginning of one crosses many others.
func leaningSpikes(n int, lean float64) Region {
	var v []Vertex
	for i := range 2 * n {
		angle, out := math.Pi*float64(i)/float64(n), 12.0
		if i%2 == 1 {
			angle, out = angle+lean, 52
		}
		sin, cos := math.Sincos(angle)
		v = append(v, Vertex{Point: Point{out * cos, out * sin}})
	}
	return NewRegion(NewContour(v...))
}

// Of spikes around a circle hardly any boxes keep apart, and yet each meets few others: the
// number does not grow with theirs.
func TestSpikesMeetFewOthers(t *testing.T) {
	for _, n := range []int{2_000, 20_000} {
		for name, r := range map[string]Region{"straight": roughShapes(n, 1)["long spikes"], "leaning": leaningSpikes(n/2, 1.2), "other way": leaningSpikes(n/2, -0.7)} {
			curves, _ := r.appendTo(nil, nil)
			tree, met := treeOf(curves), 0
			for i := range curves {
				along := curves[i].probe(tol)
				tree.visit(&along, func(int) bool { met++; return true })
			}
			require.Less(t, met, 4*n, "%s: itself and its two neighbours", name)
		}
	}
}

// Windings beside edges that run nearer to each other than the tolerance are those that all
// that lies to their right adds up to.
func TestWindingsInACrowd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const tol = 1e-6
		var contours []Contour
		x := 0.0
		for range rapid.IntRange(2, 60).Draw(t, "bars") {
			x += rapid.SampledFrom([]float64{1.2 * tol, 2 * tol, 3}).Draw(t, "gap")
			contours = append(contours, Rectangle(box(x, 0, x+rapid.SampledFrom([]float64{1.2 * tol, 1}).Draw(t, "wide"), 10), 0))
		}
		in := weighted{}
		in.addRegion(NewRegion(contours...), winds{1, 0})
		a := arrange(in, tol)
		a.tol = 4 * tol // so that they are crowds
		r, sides := a.newRays(), a.sides()
		for i := range a.edges {
			for j := r.first[i]; j < r.first[i+1]; j++ {
				p := &r.pieces[j]
				y := p.low + (p.high-p.low)/2
				beyond := r.sumRight(Point{p.xAt(y), y}, j, a.edges)
				require.Equal(t, p.sides(beyond, a.edges[i].weight), sides[i])
			}
		}
	})
}

// An arc lies in the box that is turned along its chord.
func TestATurnedBoxHoldsItsArc(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Float64Range(-100, 100)
		s := Segment{Point{place.Draw(t, "x"), place.Draw(t, "y")}, Point{place.Draw(t, "u"), place.Draw(t, "v")}, rapid.Float64Range(-1, 1).Draw(t, "bulge")}
		b := boxAlong([]rod{s.rod(0)}, 1e-9)
		p := s.At(rapid.Float64Range(0, 1).Draw(t, "share"))
		require.Zero(t, b.apart(&rod{p, p, 0}))
	})
}
