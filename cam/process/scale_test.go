package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
)

// roundSheet has a round hole, one with rounded corners, and a tray around them.
func roundSheet() plan.Sheet {
	hole := func(name string, c geometry.Contour) plan.Cut {
		return plan.Cut{Name: name, Shape: geometry.NewRegion(c), DepthMM: 20, Through: true}
	}
	box := geometry.Box{Min: geometry.Point{X: 80, Y: 20}, Max: geometry.Point{X: 140, Y: 60}}
	return routerSheet(20, hole("round", geometry.Circle(geometry.Point{X: 40, Y: 40}, 20)), hole("soft", geometry.Rectangle(box, 6)))
}

// Every drawn path, made larger by the scale, is the path of a machine without
// one; the finished foam is not touched.
func TestDrawnPathsCarryTheScale(t *testing.T) {
	m := benchRouter()
	plain, err := made(roundSheet(), m, tol)
	require.NoError(t, err)
	for _, s := range [][2]float64{{0.997, 0.997}, {0.997, 1.004}, {1.05, 0.93}} {
		m.ScaleX, m.ScaleY = number(s[0]), number(s[1])
		scaled, err := made(roundSheet(), m, tol)
		require.NoError(t, err)
		assert.Equal(t, plain.Finished, scaled.Finished)
		require.Len(t, scaled.Drawn, len(plain.Drawn))
		for i, d := range scaled.Drawn {
			require.Positive(t, d.Contour.Len())
			for seg := range d.Contour.Segments() {
				for _, share := range []float64{0, 0.3, 0.5, 0.8} {
					p := seg.At(share)
					dot := geometry.NewContour(geometry.Vertex{Point: geometry.Point{X: p.X * s[0], Y: p.Y * s[1]}}, geometry.Vertex{Point: geometry.Point{X: p.X*s[0] + 1e-6, Y: p.Y * s[1]}})
					off, _, _ := geometry.Distance(dot, plain.Drawn[i].Contour)
					assert.Less(t, off, 2*scaleTolMM)
				}
			}
			assert.InDelta(t, plain.Drawn[i].Contour.Area()/s[0]/s[1], d.Contour.Area(), 0.5)
		}
	}
}

// Arcs short and long, both ways round: with two scales every place of the chain is the place
// meant, multiplied (the formula by hand), to the tolerance, and it ends where the chain ends.
func TestChainsAreScaledPlaceByPlace(t *testing.T) {
	for _, s := range []scaling{{1 / 0.997, 1 / 1.004}, {1.02, 0.95}} {
		for _, bulge := range []float64{-0.9, -0.4, -0.05, 0, 0.05, 0.4, 0.9} {
			path := geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 5, Y: 9}, Bulge: bulge},
				geometry.Vertex{Point: geometry.Point{X: 60, Y: 31}, Bulge: -bulge}, geometry.Vertex{Point: geometry.Point{X: 70, Y: -4}})
			list, err := s.chain(path.Segments())
			require.NoError(t, err)
			assert.Equal(t, s.point(geometry.Point{X: 70, Y: -4}), list[len(list)-1].Point)
			scaled := geometry.NewPath(list...)
			for seg := range path.Segments() {
				for _, share := range []float64{0, 0.2, 0.5, 0.9} {
					least := math.Inf(1)
					for part := range scaled.Segments() {
						q, _ := part.Nearest(s.point(seg.At(share)))
						least = min(least, q.DistanceTo(s.point(seg.At(share))))
					}
					assert.LessOrEqual(t, least, scaleTolMM*1.01, "bulge %v", bulge)
				}
			}
			assert.InDelta(t, path.Length(), scaled.Length(), 0.06*path.Length(), "no way twice: bulge %v", bulge)
		}
	}
}

// A pass back over an arc that has become oval is the pass there, point for
// point and centre for centre, whichever way it was cut first.
func TestOvalPassesRepeat(t *testing.T) {
	s := scaling{1 / 0.997, 1 / 1.004}
	a, b := at(20, 0, -1), at(0, 20, -1)
	there, err := s.moves([]Move{{Kind: Rapid, To: a}, {Kind: CCW, To: b, FeedMMPerMin: 900}})
	require.NoError(t, err)
	back, err := s.moves([]Move{{Kind: Rapid, To: b}, {Kind: CW, To: a, FeedMMPerMin: 900}})
	require.NoError(t, err)
	require.Len(t, back, len(there))
	require.Greater(t, len(there), 2)
	for i := 1; i < len(there); i++ {
		mirror := back[len(back)-i]
		assert.Equal(t, there[i].Center, mirror.Center)
		assert.Equal(t, there[i-1].To, mirror.To)
	}
	whole, err := s.moves([]Move{{Kind: Rapid, To: at(20, 0, 0)}, {Kind: CCW, To: at(20, 0, -4), FeedMMPerMin: 900}})
	require.NoError(t, err)
	z := 0.0
	for _, m := range whole[1:] {
		assert.Less(t, m.To.Z, z)
		z = m.To.Z
		round := math.Hypot(m.To.X/s.x, m.To.Y/s.y)
		assert.InDelta(t, 20, round, 2*scaleTolMM)
	}
	assert.Equal(t, -4.0, z)
}
