package geometry

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// roughShapes are outlines of n points as a scanner, a tracer or a careless export makes
// them: their detail is much finer than the tools that are to follow them.
func roughShapes(n int, seed uint64) map[string]Region {
	random := rand.New(rand.NewPCG(seed, 1))
	ring := func(radius func(i int) float64) Region {
		points := make([]Point, n)
		for i := range points {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			points[i] = Point{cos, sin}.Scale(radius(i))
		}
		return NewRegion(Polygon(points...))
	}
	spikes := func(high float64) Region {
		return ring(func(i int) float64 { return 40 + high*float64(i%2) })
	}
	coast := coastRadii(n, random)
	var teeth []Point
	for i := range n / 4 {
		x, wide := 520*float64(i)/float64(n), 520/float64(n)
		teeth = append(teeth, Point{x, 70}, Point{x + wide/2, 70}, Point{x + wide/2, 0}, Point{x + wide, 0})
	}
	teeth = append(teeth, Point{teeth[len(teeth)-1].X, -10}, Point{0, -10})
	comb := Polygon(teeth...)
	if comb.Area() < 0 {
		comb = comb.Reverse()
	}
	return map[string]Region{
		"noise":        ring(func(int) float64 { return 40 + 0.02*random.Float64() }),
		"rough":        ring(func(int) float64 { return 40 + random.Float64() }),
		"short spikes": spikes(0.5),
		"long spikes":  spikes(10),
		"coast":        ring(func(i int) float64 { return coast[i] }),
		"comb":         NewRegion(comb),
	}
}

// coastRadii is a ring of radii by the displacement of midpoints (Fournier, Fussell,
// Carpenter, Communications of the ACM 25, 1982).
func coastRadii(n int, random *rand.Rand) []float64 {
	size := 1
	for size < n {
		size *= 2
	}
	radii := make([]float64, size)
	for i, swing := size, 6.0; i > 1; i, swing = i/2, swing/2 {
		for at := i / 2; at < size; at += i {
			radii[at] = (radii[at-i/2]+radii[(at+i/2)%size])/2 + swing*(2*random.Float64()-1)
		}
	}
	for i := range n {
		radii[i] = 40 + radii[i*size/n]
	}
	return radii[:n]
}

// TestOffsetsOfRoughShapesAreThoseOfTheArrangement compares what is found from the visible parts
// with what an arrangement of the whole raw curve says.
func TestOffsetsOfRoughShapesAreThoseOfTheArrangement(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shapes := roughShapes(rapid.IntRange(150, 500).Draw(t, "points"), rapid.Uint64().Draw(t, "seed"))
		source := shapes[rapid.SampledFrom(slices.Sorted(maps.Keys(shapes))).Draw(t, "shape")]
		d := rapid.Float64Range(3, 12).Draw(t, "d") * rapid.SampledFrom([]float64{-1, 1}).Draw(t, "side")
		var few offsetRoom
		o, ends := newOffsetter(source, d, tol, 1, &few)
		o.gather(ends, few.lanes[:0])
		want, err := o.arranged(o.tol)
		require.NoError(t, err)

		got, ok := o.dense(ends)
		require.True(t, ok, "nothing was undecided")
		require.NoError(t, got.Validate(tol))
		require.NoError(t, checkOffset(source, d, got, 4*tol))
		require.Len(t, got.Contours(), len(want.Contours()))
		require.InDelta(t, want.Area(), got.Area(), tol*(1+want.Length()))
		require.InDelta(t, want.Length(), got.Length(), 1e-3, "mm")
	})
}

// BenchmarkRough offsets outlines whose detail is finer than the tool: a time per point that
// stays nearly level shows that nothing grows with the square.
func BenchmarkRough(b *testing.B) {
	for _, points := range []int{6_000, 60_000} {
		for name, source := range roughShapes(points, 5) {
			b.Run(fmt.Sprintf("%s/%d", strings.ReplaceAll(name, " ", "-"), points), func(b *testing.B) {
				for b.Loop() {
					if _, err := Offset(source, -1.5875, 1e-6); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(points), "ns/point")
			})
		}
	}
}
