package geometry

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fingered is a pocket of a size with a finger's notch at its right side.
func fingered(l, w float64) Region {
	r, err := Union(1e-6, NewRegion(Rectangle(Box{Point{}, Point{l, w}}, 0)), NewRegion(Circle(Point{l, w / 2}, w/4)))
	if err != nil {
		panic(err)
	}
	return r
}

// Two squares, by hand: the moves that bring one onto the other are a square of both sides
// together, and those that come within a distance are that, grown, its corners round.
func TestTooNearOfSquares(t *testing.T) {
	stands, moves := NewRegion(Rectangle(Box{Point{20, 0}, Point{30, 10}}, 0)), NewRegion(Rectangle(Box{Point{}, Point{5, 5}}, 0))
	r, err := TooNear(stands, moves, 0, 1e-6)
	require.NoError(t, err)
	assert.InDelta(t, 225, r.Area(), 1e-9)
	assert.Equal(t, Box{Point{15, -5}, Point{30, 10}}, r.Bounds())
	r, err = TooNear(stands, moves, 6, 1e-6)
	require.NoError(t, err)
	assert.InDelta(t, 9, r.Bounds().Min.X, 1e-9, "flat sides are exact")
	assert.InDelta(t, 225+4*15*6+math.Pi*36, r.Area(), 0.5)
	room := Within([]Point{{2, 3}, {50, 3}, {50, 40}, {2, 40}}, []Region{moves})
	assert.InDeltaSlice(t, []float64{2, 3, 45, 35}, []float64{boxOf(room).Min.X, boxOf(room).Min.Y, boxOf(room).Max.X, boxOf(room).Max.Y}, 1e-9)
	assert.Empty(t, Within([]Point{{0, 0}, {4, 0}, {4, 40}, {0, 40}}, []Region{moves}), "it does not fit")
	assert.Empty(t, Within(nil, []Region{moves}), "nothing to be in")
}

func boxOf(points []Point) Box { return Polygon(points...).Bounds() }

// Random moves of random shapes, held against the distance between the contours as it is
// measured: what is allowed keeps it, and what is forbidden breaks it but for what the chords
// of arcs take.
func TestTooNearAgreesWithMeasuredDistances(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 0))
	shape := func() Region {
		l, w := 8+r.Float64()*20, 8+r.Float64()*20
		var s Region
		switch r.IntN(4) {
		case 0:
			s = NewRegion(Circle(Point{l, l}, l/2))
		case 1:
			s = NewRegion(Rectangle(Box{Point{}, Point{l, w}}, 2))
		case 2:
			s = NewRegion(Polygon(Point{}, Point{l, 0}, Point{l, w}, Point{l / 2, w / 3}, Point{0, w}))
		default:
			s = fingered(l, w)
		}
		return s.Transform(Rotate(r.Float64()*6, Point{l / 2, w / 2}))
	}
	near, far := 0, 0
	for range 120 {
		stands, moves, distance := shape(), shape(), 6*r.Float64()
		forbidden, err := TooNear(stands, moves, distance, 1e-6)
		require.NoError(t, err)
		require.NoError(t, forbidden.Validate(1e-9))
		area := forbidden.Bounds().Grow(3)
		for range 60 {
			d := Point{area.Min.X + r.Float64()*area.Width(), area.Min.Y + r.Float64()*area.Height()}
			moved := moves.Transform(Translate(d.X, d.Y))
			gap, _, _ := Distance(stands.Contours()[0], moved.Contours()[0])
			if stands.Contains(moved.Contours()[0].Vertices()[0].Point) || moved.Contains(stands.Contours()[0].Vertices()[0].Point) {
				gap = 0
			}
			if !forbidden.Contains(d) {
				far++
				require.GreaterOrEqual(t, gap, distance-1e-6)
			} else {
				near++
				require.LessOrEqual(t, gap, distance+0.15)
			}
		}
	}
	assert.Greater(t, near, 1000)
	assert.Greater(t, far, 1000)
}
