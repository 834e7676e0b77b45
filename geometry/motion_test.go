package geometry

import "math"

// intersection is what lies inside both regions: the third boolean, whose area the two
// others have to agree with.
func intersection(a, b Region, tol float64) (Region, error) {
	return combinePair(a, b, tol, func(w winds) bool { return w[0] >= 1 && w[1] >= 1 })
}

// motion is a similarity, before which left and right may be exchanged about the Y axis.
type motion struct {
	Transform
	mirrored bool
}

// symmetries are the motions under which no answer may change.
func symmetries() map[string]motion {
	return map[string]motion{
		"as is": {}, "mirrored": {Translate(6, 0), true}, "turned": {Rotate(0.7, Point{1, 2}), false},
		"a quarter": {Rotate(math.Pi/2, Point{}), false}, "far away": {Translate(1e4, -1e4), false},
		"turned and mirrored": {Rotate(2.5, Point{4, 4}), true},
	}
}

func (m motion) segment(s Segment) Segment {
	if m.mirrored {
		s = Segment{Point{-s.A.X, s.A.Y}, Point{-s.B.X, s.B.Y}, -s.Bulge}
	}
	return Segment{s.A.Transform(m.Transform), s.B.Transform(m.Transform), s.Bulge}
}

// contour keeps its inside on the left of travel.
func (m motion) contour(c Contour) Contour {
	if m.mirrored {
		vertices := c.Vertices()
		for i, v := range vertices {
			vertices[i] = Vertex{Point{-v.X, v.Y}, -v.Bulge}
		}
		c = NewContour(vertices...).Reverse()
	}
	return c.Transform(m.Transform)
}

func (m motion) region(r Region) Region {
	var contours []Contour
	for _, c := range r.Contours() {
		contours = append(contours, m.contour(c))
	}
	return NewRegion(contours...)
}
