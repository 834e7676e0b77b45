package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestOffsetTable(t *testing.T) {
	square := Rectangle(box(0, 0, 10, 10), 0)
	ring := NewRegion(Rectangle(box(0, 0, 40, 40), 5), Circle(Point{20, 20}, 10).Reverse())
	ell := NewRegion(Polygon(Point{0, 0}, Point{20, 0}, Point{20, 6}, Point{6, 6}, Point{6, 20}, Point{0, 20}))
	bone := NewRegion(Polygon(Point{0, 0}, Point{10, 0}, Point{10, 4}, Point{20, 4}, Point{20, 0}, Point{30, 0},
		Point{30, 10}, Point{20, 10}, Point{20, 6}, Point{10, 6}, Point{10, 10}, Point{0, 10}))
	// Half of the tip that reaches into the neck between two arcs of radius 1.5.
	neck := 1.5 - math.Sqrt(1.25) - (1.125*math.Acos(math.Sqrt(1.25)/1.5) - math.Sqrt(1.25)/2)
	for _, c := range []struct {
		name     string
		r        Region
		d        float64
		area     float64
		contours int
	}{
		{"square in", NewRegion(square), -2, 36, 1},
		{"square to nothing", NewRegion(square), -5, 0, 0},
		{"square past nothing", NewRegion(square), -7, 0, 0},
		{"square far past nothing", NewRegion(square), -70, 0, 0},
		{"square out", NewRegion(square), 3, 100 + 40*3 + 9*math.Pi, 1},
		{"hole in a square grows", NewRegion(Rectangle(box(-5, -5, 20, 20), 0), square.Reverse()), -2, 16*16 - 100 - 80 - 4*math.Pi, 2},
		{"disc in", NewRegion(Circle(Point{}, 5)), -2, 9 * math.Pi, 1},
		{"disc to nothing", NewRegion(Circle(Point{}, 5)), -5, 0, 0},
		{"disc past nothing", NewRegion(Circle(Point{}, 5)), -8, 0, 0},
		{"ring in", ring, -3, 34*34 - (4-math.Pi)*4 - 169*math.Pi, 2},
		{"ring in until the walls break into corners", ring, -5.5, 29*29 - 15.5*15.5*math.Pi + overshoot(14.5, 15.5), 4},
		{"ring out, hole vanishes", ring, 11, 1600 - 25*(4-math.Pi) + 11*(120+10*math.Pi) + 121*math.Pi, 1},
		{"rounded rectangle past its corners", NewRegion(Rectangle(box(0, 0, 20, 10), 2)), -3, 14 * 4, 1},
		{"rounded rectangle by its corners", NewRegion(Rectangle(box(0, 0, 20, 10), 2)), -2, 16 * 6, 1},
		{"slot to nothing", NewRegion(Slot(Point{}, Point{10, 0}, 4)), -2, 0, 0},
		{"slot in", NewRegion(Slot(Point{}, Point{10, 0}, 4)), -1, 20 + math.Pi, 1},
		{"ell in, round inner corner", ell, -1, 18*4 + 14*4 + (1 - math.Pi/4), 1},
		{"dumb-bell parts", bone, -1.5, 98 + 4*neck, 2},
		{"two discs merge", NewRegion(Circle(Point{}, 2), Circle(Point{5, 0}, 2)), 1, 2*9*math.Pi - (2*9*math.Acos(2.5/3) - 2.5*math.Sqrt(36-25)), 1},
		{"an island outgrows its hole", NewRegion(Circle(Point{}, 9), Circle(Point{}, 7).Reverse(), Circle(Point{}, 5)), 1.5, 10.5 * 10.5 * math.Pi, 1},
		{"nothing", Region{}, 3, 0, 0},
		{"no offset", NewRegion(square), 0, 100, 1},
	} {
		for name, tr := range symmetries() {
			r := tr.region(c.r)
			for start := range 3 {
				got, err := Offset(startingAt(r, start), c.d, tol)
				got = must(t, got, err)
				assert.InDelta(t, c.area, got.Area(), 1e-4, "%s, %s", c.name, name)
				assert.Len(t, got.contours, c.contours, "%s, %s", c.name, name)
			}
		}
	}
}

// overshoot is by how much a disc of radius r sticks out of a square of half width h, four sides.
func overshoot(h, r float64) float64 {
	return 4 * (r*r*math.Acos(h/r) - h*math.Sqrt(r*r-h*h))
}

// startingAt is the region with vertex i first in every contour.
func startingAt(r Region, i int) Region {
	contours := r.Contours()
	for j := range contours {
		contours[j] = contours[j].StartAt(i)
	}
	return NewRegion(contours...)
}

// distanceTo asks every segment.
func (r Region) distanceTo(p Point) float64 {
	least := math.Inf(1)
	for _, c := range r.contours {
		for s := range c.Segments() {
			q, _ := s.Nearest(p)
			least = math.Min(least, q.DistanceTo(p))
		}
	}
	return least
}

func TestTracedOffsetsAgreeWithTheArrangement(t *testing.T) {
	tried, traced := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		tried++
		r := anyRegion(t, 4)
		d := number(-3, 3).Draw(t, "d")
		var room offsetRoom
		o, ends := newOffsetter(r, d, tol, 1, &room)
		o.gather(ends, nil)
		quick, ok := o.traced(&room)
		if !ok {
			return
		}
		traced++
		slow, err := o.arranged(o.tol)
		slow = must(t, slow, err)
		quick = must(t, quick, nil)
		assert.InDelta(t, slow.Area(), quick.Area(), tol*(1+r.Length()))
		assert.InDelta(t, slow.Length(), quick.Length(), tol*(10+r.Length()))
		assert.Len(t, quick.contours, len(slow.contours))
		assert.LessOrEqual(t, quick.size(), 2*slow.size()+2*len(slow.contours), "arcs in halves, and one cut by the start")
	})
	assert.Greater(t, traced, tried/4, "the short way was hardly taken")
}

// TestCommonPocketsAreTraced keeps the short way open: the shapes of the benchmarks take it.
func TestCommonPocketsAreTraced(t *testing.T) {
	traced := func(name string, r Region, d float64) {
		var room offsetRoom
		o, ends := newOffsetter(r, d, tol, 1, &room)
		o.gather(ends, nil)
		_, ok := o.traced(&room)
		assert.True(t, ok, "%s by %g", name, d)
	}
	for _, shape := range benchShapes() {
		traced(shape.name, shape.r, -2)
		traced(shape.name, shape.r, 2)
	}
	for _, r := range batch() {
		traced("batch", r, batchOffset)
	}
	traced("comb", NewRegion(comb(30)), -1)
}

func TestCheckOffsetSeesTheWrongSide(t *testing.T) {
	square := NewRegion(Rectangle(box(0, 0, 10, 10), 0))
	inner := NewRegion(Rectangle(box(2, 2, 6, 6), 0))
	assert.NoError(t, checkOffset(square, -2, inner, tol))
	assert.ErrorContains(t, checkOffset(square, 2, inner, tol), "wrong side")
}

func TestBoundsOfDistanceHold(t *testing.T) {
	proved := 0
	rapid.Check(t, func(t *rapid.T) {
		s, u := anySegment(t), anySegment(t)
		if rapid.Bool().Draw(t, "parallel") { // as an offset has it
			d := number(-20, 20).Draw(t, "d")
			o, _ := newOffsetter(Region{}, d, tol, 1, &offsetRoom{})
			o.source.curves = s.appendTo(nil)
			l := o.lane(0)
			u = Segment{l.start, l.end, o.source.curves[0].Bulge}
		}
		reach := number(0.1, 50).Draw(t, "reach")
		for _, c := range s.appendTo(nil) {
			for _, e := range u.appendTo(nil) {
				if c.clearOf(&e, reach) {
					proved++
					d, _, _ := c.distance(&e)
					assert.GreaterOrEqual(t, d, reach-1e-9)
				}
			}
		}
	})
	assert.Positive(t, proved, "no bound was ever enough")
}

// checkOffset is the check that every offset passes, by itself.
func checkOffset(source Region, d float64, result Region, slack float64) error {
	x := newSegmentIndex(source)
	return x.check(d, result, slack)
}
