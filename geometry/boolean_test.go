package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const tol = 1e-6 // mm, in all tests

func must(t require.TestingT, r Region, err error) Region {
	require.NoError(t, err)
	require.NoError(t, r.Validate(tol))
	return r
}

func TestBooleanTable(t *testing.T) {
	square := NewRegion(Rectangle(box(0, 0, 10, 10), 0))
	at := func(x, y, w, h float64) Region { return NewRegion(Rectangle(box(x, y, w, h), 0)) }
	disc := func(x, y, r float64) Region { return NewRegion(Circle(Point{x, y}, r)) }
	lens := 2*25*math.Acos(0.5) - 2.5*math.Sqrt(75) // two circles of radius 5, centres 5 apart
	for _, c := range []struct {
		name             string
		a, b             Region
		both             float64 // area of the intersection
		union            int     // contours of the union
		inter, less, rev int     // of the intersection and of the differences a-b, b-a
	}{
		{"apart", square, at(20, 0, 5, 5), 0, 2, 0, 1, 1},
		{"same", square, square, 100, 1, 1, 0, 0},
		{"inside", square, at(2, 2, 5, 5), 25, 1, 1, 2, 0},
		{"inside, sharing an edge", square, at(2, 0, 5, 5), 25, 1, 1, 1, 0},
		{"corner", square, at(5, 5, 10, 10), 25, 1, 1, 1, 1},
		{"cross", at(0, 4, 10, 2), at(4, 0, 2, 10), 4, 1, 1, 2, 2},
		{"shared edge", square, at(10, 0, 5, 10), 0, 1, 0, 1, 1},
		{"part of an edge", square, at(10, 2, 5, 5), 0, 1, 0, 1, 1},
		{"touching corners", square, at(10, 10, 5, 5), 0, 2, 0, 1, 1},
		{"edge shared but for rounding", square, at(10+1e-9, 0, 5, 10), 0, 1, 0, 1, 1},
		{"empty", square, Region{}, 0, 1, 0, 1, 0},
		{"discs", disc(0, 0, 5), disc(5, 0, 5), lens, 1, 1, 1, 1},
		{"same disc", disc(1, 2, 5), disc(1, 2, 5), 25 * math.Pi, 1, 1, 0, 0},
		{"same disc but for rounding", disc(1, 2, 5), disc(1+1e-10, 2-1e-10, 5+1e-10), 25 * math.Pi, 1, 1, 0, 0},
		{"discs touching outside", disc(0, 0, 5), disc(10, 0, 5), 0, 2, 0, 1, 1},
		{"discs touching inside", disc(0, 0, 5), disc(2, 0, 3), 9 * math.Pi, 1, 1, 2, 0},
		{"disc in a square, touching four sides", square, disc(5, 5, 5), 25 * math.Pi, 1, 1, 4, 0},
		{"half disc on an edge", square, disc(5, 10, 3), 4.5 * math.Pi, 1, 1, 1, 1},
		{"arc along an arc", disc(0, 0, 5), NewRegion(NewContour(Vertex{Point{0, -5}, 1}, Vertex{Point{0, 5}, 0})), 12.5 * math.Pi, 1, 1, 1, 0},
	} {
		for name, tr := range symmetries() {
			a, b := tr.region(c.a), tr.region(c.b)
			union, err := Union(tol, a, b)
			union = must(t, union, err)
			inter, err := intersection(a, b, tol)
			inter = must(t, inter, err)
			less, err := Difference(a, b, tol)
			less = must(t, less, err)
			rev, err := Difference(b, a, tol)
			rev = must(t, rev, err)
			assert.InDelta(t, c.both, inter.Area(), 2e-5, "%s, %s", c.name, name)
			assert.InDelta(t, a.Area()+b.Area()-c.both, union.Area(), 2e-5, "%s, %s", c.name, name)
			assert.InDelta(t, a.Area()-c.both, less.Area(), 2e-5, "%s, %s", c.name, name)
			assert.InDelta(t, b.Area()-c.both, rev.Area(), 2e-5, "%s, %s", c.name, name)
			assert.Equal(t, []int{c.union, c.inter, c.less, c.rev},
				[]int{len(union.contours), len(inter.contours), len(less.contours), len(rev.contours)}, "%s %s", "%s, %s", c.name, name)
		}
	}
}

// shapes draws a contour: boxes with or without rounded corners, discs, slots,
// polygons, on a coarse grid as often as not, so that edges coincide and touch.
func anyContour(t *rapid.T) Contour {
	coarse := rapid.Bool().Draw(t, "coarse")
	c := func(lo, hi float64, name string) float64 {
		if coarse {
			return float64(rapid.IntRange(int(lo), int(hi)).Draw(t, name))
		}
		return number(lo, hi).Draw(t, name)
	}
	p := func() Point { return Point{c(-10, 10, "x"), c(-10, 10, "y")} }
	switch rapid.IntRange(0, 4).Draw(t, "shape") {
	case 0:
		q := p()
		return Rectangle(box(q.X, q.Y, c(1, 10, "w"), c(1, 10, "h")), 0)
	case 1:
		q := p()
		return Rectangle(box(q.X, q.Y, c(1, 10, "w"), c(1, 10, "h")), c(0, 3, "corner"))
	case 2:
		return Circle(p(), c(1, 6, "r"))
	case 3:
		return Slot(p(), p(), c(1, 5, "width"))
	default:
		tri := Polygon(p(), p(), p())
		if tri.Area() < 0 {
			tri = tri.Reverse()
		}
		if tri.Area() < 0.1 {
			return Rectangle(box(0, 0, 1, 1), 0)
		}
		return tri
	}
}

// anyRegion draws up to n contours joined, with up to two cut out again.
func anyRegion(t *rapid.T, n int) Region {
	var r Region
	for range rapid.IntRange(1, n).Draw(t, "contours") {
		u, err := Union(tol, r, NewRegion(anyContour(t)))
		r = must(t, u, err)
	}
	for range rapid.IntRange(0, 2).Draw(t, "cutouts") {
		d, err := Difference(r, NewRegion(anyContour(t)), tol)
		r = must(t, d, err)
	}
	return r
}
