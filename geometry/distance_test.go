package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestDistanceTable(t *testing.T) {
	square := Rectangle(box(0, 0, 10, 10), 0)
	for _, c := range []struct {
		name string
		a, b Contour
		d    float64
	}{
		{"side by side", square, Rectangle(box(13, 2, 5, 5), 0), 3},
		{"corner to corner", square, Rectangle(box(13, 14, 5, 5), 0), 5},
		{"rounded corner to corner", Rectangle(box(0, 0, 10, 10), 2), Rectangle(box(13, 14, 5, 5), 2), math.Hypot(7, 8) - 4},
		{"discs", Circle(Point{}, 2), Circle(Point{6, 8}, 3), 5},
		{"disc in a disc", Circle(Point{}, 9), Circle(Point{1, 1}, 3), 6 - math.Sqrt2},
		{"disc about a disc", Circle(Point{1, 1}, 3), Circle(Point{}, 9), 6 - math.Sqrt2},
		{"discs with one centre", Circle(Point{}, 9), Circle(Point{}, 3), 6},
		{"disc over a side", Circle(Point{5, 14}, 3), square, 1},
		{"crossing", Circle(Point{5, 12}, 3), square, 0},
		{"sharing a side", Rectangle(box(10, 0, 4, 4), 0), square, 0},
		{"nothing", Contour{}, square, math.Inf(1)},
		{"a point", Polygon(Point{13, 14}), square, 5},
	} {
		for _, tr := range symmetries() {
			d, p, q := Distance(tr.contour(c.a), tr.contour(c.b))
			assert.InDelta(t, c.d, d, 1e-9, c.name)
			if !math.IsInf(d, 0) {
				assert.InDelta(t, d, p.DistanceTo(q), 1e-9, c.name)
			}
		}
	}
}

func TestDistanceAgreesWithSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, u := anySegment(t), anySegment(t)
		a, b := NewContour(Vertex{s.A, s.Bulge}, Vertex{s.B, -s.Bulge}), NewContour(Vertex{u.A, u.Bulge}, Vertex{u.B, -u.Bulge})
		d, p, q := Distance(a, b)
		back, _, _ := Distance(b, a)
		assert.InDelta(t, d, back, 1e-7)
		assert.InDelta(t, d, p.DistanceTo(q), 1e-7)
		near, _ := s.Nearest(p)
		assert.InDelta(t, 0, near.DistanceTo(p), 1e-7)
		near, _ = u.Nearest(q)
		assert.InDelta(t, 0, near.DistanceTo(q), 1e-7)
		least := math.Inf(1)
		const n = 400
		for i := range n + 1 {
			p := s.At(float64(i) / n)
			q, _ := u.Nearest(p)
			least = math.Min(least, p.DistanceTo(q))
		}
		assert.LessOrEqual(t, d, least+1e-7)
		assert.GreaterOrEqual(t, d, least-s.Length()/n)
	})
}

func TestGapsAgreeWithSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		contours := make([]Contour, rapid.IntRange(0, 20).Draw(t, "n"))
		for i := range contours {
			contours[i] = anyContour(t).Transform(Translate(number(-30, 30).Draw(t, "dx"), number(-30, 30).Draw(t, "dy")))
		}
		limit := number(1e-6, 10).Draw(t, "limit")
		var want []Gap
		for i := range contours {
			for j := i + 1; j < len(contours); j++ {
				if d, _, _ := Distance(contours[i], contours[j]); d < limit {
					want = append(want, Gap{I: i, J: j, Distance: d})
				}
			}
		}
		got := Gaps(contours, limit)
		for i := range got {
			assert.InDelta(t, got[i].Distance, got[i].OnI.DistanceTo(got[i].OnJ), 1e-7)
			got[i].OnI, got[i].OnJ = Point{}, Point{}
		}
		if assert.Len(t, got, len(want)) {
			for i := range got {
				assert.Equal(t, [2]int{want[i].I, want[i].J}, [2]int{got[i].I, got[i].J})
				assert.InDelta(t, want[i].Distance, got[i].Distance, 1e-7)
			}
		}
	})
}

// How far a contour is from walls is how far it is from the nearest of their contours.
func TestWallsGapAgreesWithSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		moved := func() Contour {
			return anyContour(t).Transform(Translate(number(-30, 30).Draw(t, "dx"), number(-30, 30).Draw(t, "dy")))
		}
		walls := make([]Contour, rapid.IntRange(0, 8).Draw(t, "n"))
		for i := range walls {
			walls[i] = moved()
		}
		c, limit := moved(), number(1e-6, 40).Draw(t, "limit")
		if rapid.IntRange(0, 4).Draw(t, "a place") == 0 {
			c = NewContour(c.vertices[0])
		}
		want := limit
		for _, w := range walls {
			d, _, _ := Distance(c, w)
			want = min(want, d)
		}
		d, at := NewWalls(NewRegion(walls...)).Gap(c, limit)
		assert.InDelta(t, want, d, 1e-7)
		if d < limit {
			assert.InDelta(t, d, NewWalls(NewRegion(walls...)).DistanceTo(at, 0), 1e-7)
		}
	})
}
