package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A piece is where its segment is, to the last digits, however flat the arc: at every height
// of its range the place that it tells lies on the segment, within its box, and each place
// of the segment is on one of its pieces.
func TestPiecesLieOnTheirSegment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-100, 100)
		bulge := rapid.SampledFrom([]float64{0, 1e-14, 1e-12, 1e-9, 1e-7, 1e-5, 1e-3, 0.1, 0.4, 0.9, 1}).Draw(t, "bulge")
		if rapid.Bool().Draw(t, "clockwise") {
			bulge = -bulge
		}
		s := Segment{Point{number.Draw(t, "ax"), number.Draw(t, "ay")}, Point{number.Draw(t, "bx"), number.Draw(t, "by")}, bulge}
		if s.Chord() < 1 {
			t.Skip("a point")
		}
		var all []piece
		s.pieces(func(p piece) { all = append(all, p) })
		require.LessOrEqual(t, len(all), 2)
		for _, p := range all {
			require.LessOrEqual(t, p.low, p.high)
			for _, share := range []float64{0, 0.01, 0.3, 0.5, 0.8, 1} {
				y := p.low + share*(p.high-p.low)
				x := p.xAt(y)
				require.True(t, x >= p.left && x <= p.right)
				near, _ := s.Nearest(Point{x, y})
				require.InDelta(t, 0, near.DistanceTo(Point{x, y}), 1e-11, "%v at %g", s, share)
				// A ray meets it from the left of there, and not from the right.
				if share > 0 && share < 1 && p.high-p.low > 1e-6 {
					way := -1
					if p.rises {
						way = 1
					}
					require.Equal(t, way, p.crossing(Point{x - 1e-6*(1+p.right-p.left) - 1e-9, y}))
					require.Zero(t, p.crossing(Point{x + 1e-6*(1+p.right-p.left), y}))
				}
			}
		}
		for i := range 21 {
			q := s.At(float64(i) / 20)
			off := math.Inf(1)
			for _, p := range all {
				if q.Y >= p.low-1e-9 && q.Y <= p.high+1e-9 {
					off = min(off, Point{p.xAt(min(max(q.Y, p.low), p.high)), q.Y}.DistanceTo(q))
				}
			}
			// Where it runs level a hair of height is a long way aside.
			require.Less(t, off, 1e-3, "%v at %d", s, i)
		}
	})
}

// What touches a contour from inside all along one side, or in single points, is inside it;
// from outside it is not: most of its segments' middles tell.
func TestWhatTouchesIsInsideOrNot(t *testing.T) {
	around := Rectangle(box(0, 0, 20, 20), 0)
	for _, c := range []struct {
		name string
		hole Contour
		want int
	}{
		{"well inside", Rectangle(box(5, 5, 3, 3), 1), 0},
		{"along one side", Polygon(Point{0, 5}, Point{4, 5}, Point{6, 8}, Point{4, 11}, Point{0, 11}), 0},
		{"in two corners", Polygon(Point{0, 0}, Point{9, 1}, Point{9, 9}, Point{1, 9}), 0},
		{"outside", Rectangle(box(25, 5, 3, 3), 1), -1},
		{"along it outside", Polygon(Point{20, 5}, Point{24, 5}, Point{26, 8}, Point{24, 11}, Point{20, 11}), -1},
		{"larger", Rectangle(box(-5, -5, 40, 40), 0), -1},
	} {
		assert.Equal(t, c.want, newOuterFinder([]Contour{around}).smallestAround(c.hole.Reverse()), c.name)
	}
	list := []Contour{Rectangle(box(-1, -1, 40, 40), 2), around, Rectangle(box(30, 30, 5, 5), 0), Rectangle(box(4, 4, 6, 6), 0)}
	assert.Equal(t, 3, newOuterFinder(list).smallestAround(Circle(Point{7, 7}, 1).Reverse()), "the smallest of three")
}
