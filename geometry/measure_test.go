package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// box is the box from the origin, or from (x, y), with that width and height.
func box(x, y, w, h float64) Box { return Box{Point{x, y}, Point{x + w, y + h}} }

func number(lo, hi float64) *rapid.Generator[float64] { return rapid.Float64Range(lo, hi) }

func anySegment(t *rapid.T) Segment {
	c := number(-100, 100)
	s := Segment{Point{c.Draw(t, "ax"), c.Draw(t, "ay")}, Point{c.Draw(t, "bx"), c.Draw(t, "by")}, 0}
	if rapid.Bool().Draw(t, "arc") {
		s.Bulge = number(-4, 4).Draw(t, "bulge")
	}
	if s.Chord() < 1e-3 {
		s.B = s.A.Add(Point{1, 0})
	}
	return s
}

func TestSegmentProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySegment(t)
		u := number(0, 1).Draw(t, "u")
		p := s.At(u)
		assert.True(t, s.Bounds().Grow(1e-9).overlaps(Box{p, p}))
		near, v := s.Nearest(p)
		assert.InDelta(t, 0, near.DistanceTo(p), 1e-9)
		assert.InDelta(t, 0, s.At(v).DistanceTo(p), 1e-9)
		assert.InDelta(t, 0, s.reverse().At(1-u).DistanceTo(p), 1e-9)
		assert.InDelta(t, 0, s.startTangent().DistanceTo(s.Tangent(0)), 1e-9)
		assert.InDelta(t, 0, s.endTangent().DistanceTo(s.Tangent(1)), 1e-9)
		q := Point{number(-150, 150).Draw(t, "qx"), number(-150, 150).Draw(t, "qy")}
		near, _ = s.Nearest(q)
		assert.LessOrEqual(t, near.DistanceTo(q), p.DistanceTo(q)+1e-9)
	})
}

func TestWindingAgreesWithArea(t *testing.T) {
	// A closed contour of two segments winds around a point as the angle says.
	rapid.Check(t, func(t *rapid.T) {
		s := anySegment(t)
		c := NewContour(Vertex{s.A, s.Bulge}, Vertex{s.B, number(-4, 4).Draw(t, "back")})
		q := Point{number(-150, 150).Draw(t, "qx"), number(-150, 150).Draw(t, "qy")}
		angle := 0.0
		for s := range c.Segments() {
			const n = 3000
			for i := range n {
				a, b := s.At(float64(i)/n).Sub(q), s.At(float64(i+1)/n).Sub(q)
				if a.Norm() < 0.5 {
					t.Skip("too near to the contour to count angles")
				}
				angle += math.Atan2(a.Cross(b), a.Dot(b))
			}
		}
		assert.Equal(t, int(math.Round(angle/2/math.Pi)), c.Winding(q))
	})
}

func TestTransforms(t *testing.T) {
	r := NewRegion(Rectangle(box(1, 2, 30, 20), 3), Circle(Point{10, 10}, 4).Reverse())
	for name, tr := range map[string]Transform{
		"zero": {}, "move": Translate(1e4, -3), "turn": Rotate(0.3, Point{5, 5}),
		"mix": Rotate(1, Point{2, 3}).Then(Translate(3, 4)).Then(Rotate(-2, Point{1, 7})),
	} {
		moved := r.Transform(tr)
		assert.InDelta(t, r.Area(), moved.Area(), 1e-6, name)
		assert.InDelta(t, r.Length(), moved.Length(), 1e-6, name)
		p := Point{3, 9}.Transform(tr)
		assert.True(t, moved.Contains(p), name)
		assert.False(t, moved.Contains(Point{10, 10}.Transform(tr)), name)
	}
	assert.InDelta(t, 4*r.Area(), r.Transform(Scale(2, Point{9, 9})).Area(), 1e-9)
	assert.Equal(t, Point{-2, 1}, Point{1, 2}.Transform(Rotate(math.Pi/2, Point{})))
	a, b := Rotate(0.4, Point{1, 2}).Then(Scale(3, Point{2, 2})), Translate(5, 6)
	assert.InDelta(t, 0, Point{7, 8}.Transform(a).Transform(b).DistanceTo(Point{7, 8}.Transform(a.Then(b))), 1e-12)
}

func TestPieces(t *testing.T) {
	ring := NewRegion(Circle(Point{}, 10), Circle(Point{}, 8).Reverse(), Circle(Point{}, 5), Circle(Point{1, 0}, 2).Reverse())
	pieces := ring.Pieces()
	assert.Len(t, pieces, 2)
	assert.InDelta(t, math.Pi*36, pieces[0].Area(), 1e-9)
	assert.InDelta(t, math.Pi*21, pieces[1].Area(), 1e-9)
	assert.Empty(t, Region{}.Pieces())
}

func TestBoxTreeAgreesWithSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 200).Draw(t, "n")
		boxes := make([]Box, n)
		for i := range boxes {
			boxes[i] = box(number(0, 100).Draw(t, "x"), number(0, 100).Draw(t, "y"), number(0, 9).Draw(t, "w"), number(0, 9).Draw(t, "h"))
		}
		q := box(number(0, 100).Draw(t, "x"), number(0, 100).Draw(t, "y"), number(0, 30).Draw(t, "w"), number(0, 30).Draw(t, "h"))
		want := map[int]bool{}
		for i, b := range boxes {
			if b.overlaps(q) {
				want[i] = true
			}
		}
		got := map[int]bool{}
		tree := newBoxTree(boxes)
		for i := range tree.overlapping(q) {
			got[i] = true
		}
		assert.Equal(t, want, got)
	})
}
