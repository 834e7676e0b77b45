package geometry

import (
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is left of a star after many laps is a circle of thousands of parts, none much longer
// than the tolerance once it has shrunk. It has an offset like any other circle: every shape of
// these seeds, one of which closed only at a coarser tolerance and was then refused as too near.
func TestOffsetOfACircleOfCrumbs(t *testing.T) {
	const radius, d, tol = 1.8, -1.45, 1e-6
	for seed := int64(14); seed < 20; seed++ {
		rng := rand.New(rand.NewSource(seed))
		n := 500 + rng.Intn(2500)
		noise := math.Pow(10, -7+2*rng.Float64())
		step := 2 * math.Pi / float64(n)
		var vertices []Vertex
		for i := range n {
			sin, cos := math.Sincos(step * (float64(i) + 0.9*rng.Float64()))
			r := radius + noise*rng.Float64()
			vertices = append(vertices, Vertex{Point{r * cos, r * sin}, step / 4 * (0.5 + rng.Float64())})
		}
		crumbs, err := Union(tol, NewRegion(NewContour(vertices...)))
		require.NoError(t, err)
		inner, err := Offset(crumbs, d, tol)
		require.NoError(t, err, "seed %d, %d parts", seed, n)
		// An arc may bulge by its sagitta, chord/2 times its bulge, beyond the circle.
		most := radius + noise + step*radius/2*step/4*1.5 + d
		require.InDelta(t, math.Pi*most*most, inner.Area(), 2*math.Pi*most*3e-4, "seed %d", seed)
	}
}

// Three arcs of a fan of 60,000 points met within 13 nm, and a crumb that one of them hid by a
// picometre was boundary too, so that the whole shape was arranged instead. At the finest look
// only what a double is off is.
func TestTheFinestLookTellsAPicometre(t *testing.T) {
	const d, tol = 2.0, 1e-6
	for _, wall := range []float64{1, 16, 120, 400} {
		o, _ := newOffsetter(NewRegion(Rectangle(Box{Point{}, Point{500, wall}}, 0)), d, tol, 1, &offsetRoom{})
		o.look = finerTraced[len(finerTraced)-1]
		o.tol /= o.finer
		finest := tracer{offsetter: &o}
		for _, below := range []float64{0, 1.3e-12} {
			boundary, clear := finest.isBoundary(Point{wall, wall + d - below})
			require.True(t, clear, "wall %g", wall)
			require.Equal(t, below == 0 || wall > 300, boundary, "wall %g, %g below; where doubles are coarser it is not told", wall, below)
		}
	}
}
