package trace

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

func gridOf(rows ...[]float32) grid {
	g := newGrid(len(rows[0]), len(rows))
	for j, row := range rows {
		copy(g.v[j*g.w:], row)
	}
	return g
}

// Whatever the picture, its rings are a valid region with every dark pixel's centre
// inside and every other outside.
func TestRingsOfAnyPictureAreARegion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 9).Draw(t, "w"), rapid.IntRange(1, 9).Draw(t, "h")
		g := newGrid(w, h)
		for i := range g.v {
			g.v[i] = float32(rapid.SampledFrom([]int{0, 1, 50, 99, 100, 101, 150, 255}).Draw(t, "v"))
		}
		invert := rapid.Bool().Draw(t, "invert")
		rings, _, err := contours(g, 100, invert, 0)
		require.NoError(t, err)
		var all []geometry.Contour
		for _, r := range rings {
			all = append(all, geometry.Polygon(r...))
		}
		region := geometry.NewRegion(all...)
		require.NoError(t, region.Validate(1e-9))
		for j := range h {
			for i := range w {
				v := g.v[j*w+i]
				ink := v < 100 && !invert || v > 100 && invert
				p := geometry.Point{X: float64(i) + 0.5, Y: float64(h-j) - 0.5}
				require.Equal(t, ink, region.Contains(p), "pixel %d,%d", i, j)
			}
		}
		fitted, err := regionOf(rings, 0.15, inPixels)
		require.NoError(t, err)
		require.NoError(t, fitted.Validate(validTolerance))
	})
}

// Two dark corners of a square are joined when the saddle between them is dark, by
// the bilinear surface: here (a d - b c) / (a + d - b - c).
func TestSaddles(t *testing.T) {
	for _, c := range []struct {
		name  string
		g     grid
		rings int
	}{
		{"saddle at 80, darker than 100", gridOf([]float32{0, 160}, []float32{160, 0}), 1},
		{"saddle at 120, lighter", gridOf([]float32{40, 200}, []float32{200, 40}), 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			rings, _, err := contours(c.g, 100, false, 0)
			require.NoError(t, err)
			assert.Len(t, rings, c.rings)
		})
	}
}

func TestInkAtTheBorderEndsThere(t *testing.T) {
	rings, _, err := contours(gridOf([]float32{0, 0, 0}, []float32{0, 0, 0}), 100, false, 0)
	require.NoError(t, err)
	require.Len(t, rings, 1)
	b := boundsOf(rings)
	assert.Equal(t, geometry.Box{Max: geometry.Point{X: 3, Y: 2}}, b)
	// The corners of the picture are cut off, half a pixel each way.
	assert.InDelta(t, 6-4*0.125, rings[0].area(), 1e-9)
}

func TestSpecksAreDropped(t *testing.T) {
	g := newGrid(40, 40)
	for i := range g.v {
		g.v[i] = 200
	}
	for j := 10; j < 30; j++ {
		for i := 10; i < 30; i++ {
			g.v[j*40+i] = 0
		}
	}
	g.v[5*40+5] = 0     // an island
	g.v[20*40+20] = 200 // a hole
	rings, dropped, err := contours(g, 100, false, smallestSpeck)
	require.NoError(t, err)
	assert.Len(t, rings, 1)
	assert.Equal(t, 2, dropped)
	rings, dropped, err = contours(g, 100, false, 0)
	require.NoError(t, err)
	assert.Len(t, rings, 3)
	assert.Zero(t, dropped)
	signs := 0.0
	for _, r := range rings {
		signs += math.Copysign(1, r.area())
	}
	assert.Equal(t, 1.0, signs, "two outer rings and a hole")
}
