package geometry

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// againShapes are outlines whose offsets have arcs that collapse to the corners they came from:
// rays from a middle, spikes, and a wave that a file rounds to 1e-6 mm.
func againShapes(n int, seed uint64) map[string]Region {
	random := rand.New(rand.NewPCG(seed, 2))
	ring := func(radius func(i int) float64) Region {
		points := make([]Point, n)
		for i := range points {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			points[i] = Point{cos, sin}.Scale(radius(i))
			points[i] = Point{math.Round(points[i].X*1e6) / 1e6, math.Round(points[i].Y*1e6) / 1e6}
		}
		return NewRegion(Polygon(points...))
	}
	return map[string]Region{
		"fan":    ring(func(i int) float64 { return 10 + float64(i%2)*(30+60*random.Float64()) }),
		"spikes": ring(func(i int) float64 { return 80 + float64(i%2)*(8+4*random.Float64()) }),
		"wave":   ring(func(i int) float64 { return 80 + 15*math.Cos(7*2*math.Pi*float64(i)/float64(n)) }),
	}
}

// Opened by a tool, grown back and opened again, the shape is each time what an arrangement of
// the raw curve says, and found without one.
func TestOffsetsThereAndBackAreTraced(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := 2 * rapid.IntRange(200, 600).Draw(t, "pairs")
		shapes := againShapes(n, rapid.Uint64().Draw(t, "seed"))
		name := rapid.SampledFrom([]string{"fan", "spikes", "wave"}).Draw(t, "shape")
		d := rapid.Float64Range(1, 3).Draw(t, "d")
		source, err := Offset(shapes[name], -d, tol)
		require.NoError(t, err)
		for _, d := range [...]float64{d, -d} {
			o, ends := newOffsetter(source, d, tol, 1, &offsetRoom{})
			o.gather(ends, nil)
			want, err := o.arranged(o.tol)
			require.NoError(t, err)
			if !o.traceable() {
				o.smoothInTol = looseInTol
				o.move(d, ends)
			}
			got, ok := o.traced(&offsetRoom{})
			require.True(t, ok, "it is traced")
			require.NoError(t, got.Validate(tol))
			require.NoError(t, checkOffset(source, d, got, 4*tol))
			require.Len(t, got.Contours(), len(want.Contours()))
			require.InDelta(t, want.Area(), got.Area(), tol*(1+want.Length()))
			require.InDelta(t, want.Length(), got.Length(), 1e-3, "mm")
			source = got
		}
	})
}
