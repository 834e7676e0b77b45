package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestIntersectTable(t *testing.T) {
	line := func(x1, y1, x2, y2 float64) Segment { return Segment{Point{x1, y1}, Point{x2, y2}, 0} }
	top := Segment{Point{5, 0}, Point{-5, 0}, 1} // the upper half of a circle of radius 5
	for _, c := range []struct {
		name   string
		s, u   Segment
		kind   meeting
		points int
	}{
		{"lines apart", line(0, 0, 1, 0), line(0, 1, 1, 1), apart, 0},
		{"lines crossing", line(0, 0, 2, 2), line(0, 2, 2, 0), cross, 1},
		{"end on a line", line(0, 0, 2, 0), line(1, 0, 1, 5), touch, 1},
		{"end to end", line(0, 0, 2, 0), line(2, 0, 4, 0), touch, 1},
		{"lines overlapping", line(0, 0, 3, 0), line(2, 0, 5, 0), runAlong, 2},
		{"line within", line(0, 0, 9, 0), line(2, 0, 5, 0), runAlong, 2},
		{"secant", top, line(-9, 3, 9, 3), cross, 2},
		{"tangent", top, line(-9, 5, 9, 5), touch, 1},
		{"just short of tangent", top, line(-9, 5+1e-7, 9, 5+1e-7), touch, 1},
		{"well past tangent", top, line(-9, 5+1e-3, 9, 5+1e-3), apart, 0},
		{"just inside tangent", top, line(-9, 5-1e-3, 9, 5-1e-3), cross, 2},
		{"below the half circle", top, line(-9, -3, 9, -3), apart, 0},
		{"circles crossing", top, Segment{Point{8, 1}, Point{-2, 1}, 1}, cross, 1},
		{"circles touching", top, Segment{Point{-1, 6}, Point{1, 6}, 1}, touch, 1},
		{"circles touching inside", top, Segment{Point{1, 4}, Point{-1, 4}, 1}, touch, 1},
		{"one circle", top, Segment{Point{0, 5}, Point{0, -5}, 1}, runAlong, 2},
		{"one circle, end to end", top, Segment{Point{-5, 0}, Point{5, 0}, 1}, touch, 2},
		{"one centre", top, Segment{Point{4, 0}, Point{-4, 0}, 1}, apart, 0},
		{"three quarters and a line", Segment{Point{5, 0}, Point{0, -5}, 1 + math.Sqrt2}, line(-9, 0.5, 9, 0.5), cross, 2},
		{"no length", line(1, 1, 1, 1), line(0, 0, 2, 2), apart, 0},
		{"not a number", line(math.NaN(), 1, 1, 1), line(0, 0, 2, 2), apart, 0},
	} {
		for name, tr := range symmetries() {
			for _, pair := range [][2]Segment{{c.s, c.u}, {c.u, c.s}, {c.s.reverse(), c.u}} {
				kind, points := intersect(tr.segment(pair[0]), tr.segment(pair[1]), tol)
				assert.Equal(t, c.kind, kind, "%s, %s", c.name, name)
				assert.Len(t, points, c.points, "%s, %s", c.name, name)
			}
		}
	}
	assert.Equal(t, "apart touch cross run along", apart.String()+" "+touch.String()+" "+cross.String()+" "+runAlong.String())
}

func TestMeetingsLieOnBoth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, u := anySegment(t), anySegment(t)
		kind, points := intersect(s, u, tol)
		assert.Equal(t, kind == apart, len(points) == 0)
		for _, p := range points {
			q, _ := s.Nearest(p)
			assert.InDelta(t, 0, q.DistanceTo(p), 2*tol)
			q, _ = u.Nearest(p)
			assert.InDelta(t, 0, q.DistanceTo(p), 2*tol)
		}
	})
}
