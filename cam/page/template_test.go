package page

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// Pages cover the tray, none is larger than its room, and neighbours show
// overlapMM twice.
func TestTiling(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		whole := box(rapid.Float64Range(-5, 5).Draw(r, "x"), 0, rapid.Float64Range(5, 3000).Draw(r, "width"), rapid.Float64Range(5, 2000).Draw(r, "height"))
		page := room{rapid.Float64Range(100, 300).Draw(r, "room width"), rapid.Float64Range(100, 300).Draw(r, "room height")}
		tiles := newTiling(whole, page)
		union := geometry.EmptyBox()
		for n := range tiles.count() {
			b := tiles.box(n)
			assert.LessOrEqual(r, b.Width(), page.width+1e-9)
			assert.LessOrEqual(r, b.Height(), page.height+1e-9)
			if n%tiles.columns > 0 {
				assert.InDelta(r, overlapMM, tiles.box(n-1).Max.X-b.Min.X, 1e-9)
			}
			if n >= tiles.columns {
				assert.InDelta(r, overlapMM, b.Max.Y-tiles.box(n-tiles.columns).Min.Y, 1e-9)
			}
			union = union.Union(b)
		}
		assert.InDelta(r, whole.Min.X, union.Min.X, 1e-9)
		assert.InDelta(r, whole.Max.X, union.Max.X, 1e-9)
		assert.InDelta(r, whole.Min.Y, union.Min.Y, 1e-9)
		assert.InDelta(r, whole.Max.Y, union.Max.Y, 1e-9)
	})
}

// Each name is on two pages, at one place of the tray, which both show.
func TestMarksMeet(t *testing.T) {
	tiles := newTiling(box(0, 0, 600, 400), room{194, 255})
	tiles.avoid = []geometry.Box{box(100, 300, 80, 80)}
	require.Equal(t, 8, tiles.count())
	pages, places := map[string]int{}, map[string]geometry.Point{}
	for n := range tiles.count() {
		for _, m := range tiles.marks(n) {
			if at, known := places[m.name]; known {
				assert.Equal(t, at, m.at, m.name)
			}
			pages[m.name]++
			places[m.name] = m.at
			b := tiles.box(n)
			assert.True(t, b.Min.X < m.at.X && m.at.X < b.Max.X && b.Min.Y < m.at.Y && m.at.Y < b.Max.Y, m.name)
		}
	}
	assert.Len(t, pages, 20) // ten seams: 2 x 3 upright, 4 lying
	for name, n := range pages {
		assert.Equal(t, 2, n, name)
	}
}

func TestLetters(t *testing.T) {
	for n, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		assert.Equal(t, want, alphabetic(n, 'A'))
	}
}

// The curve strays from the circle by less than 5e-6 of the radius: of arcs of
// 4 m and less, less than 0.02 mm.
func TestCurvesAreRound(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := geometry.Segment{
			A:     geometry.Point{X: rapid.Float64Range(-500, 500).Draw(r, "x"), Y: rapid.Float64Range(-500, 500).Draw(r, "y")},
			B:     geometry.Point{X: 501, Y: 3},
			Bulge: rapid.Float64Range(0.01, 3).Draw(r, "bulge") * rapid.SampledFrom([]float64{-1, 1}).Draw(r, "turn"),
		}
		n := math.Max(1, math.Ceil(math.Abs(s.Sweep())/mostSweep))
		for i := range int(n) {
			b := bezier(s, float64(i)/n, float64(i+1)/n)
			for k := range 11 {
				at := onCurve(b, float64(k)/10)
				assert.InDelta(r, s.Radius(), at.DistanceTo(s.Center()), 5e-6*s.Radius())
			}
		}
	})
}

// onCurve is the point of a cubic Bézier curve (Bernstein's polynomials).
func onCurve(b [4]geometry.Point, t float64) geometry.Point {
	u := 1 - t
	p := b[0].Scale(u * u * u).Add(b[1].Scale(3 * u * u * t))
	return p.Add(b[2].Scale(3 * u * t * t)).Add(b[3].Scale(t * t * t))
}
