package geometry

import "math"

// Transform is a similarity: any mix of moves, turns and uniform scaling. Circles stay circles under it. The zero value leaves everything as
// it is.
type Transform struct {
	// A point z = x+iy goes to m·z + move.
	m, move Point
	set     bool // false in the zero value, whose m is to be read as 1
}

func (t Transform) multiplier() Point {
	if !t.set {
		return Point{X: 1}
	}
	return t.m
}

// Translate moves by (dx, dy) mm.
func Translate(dx, dy float64) Transform {
	return Transform{m: Point{X: 1}, move: Point{dx, dy}, set: true}
}

// Rotate turns by angle radians, counter-clockwise when positive, about a point.
// Whole quarter turns are exact.
func Rotate(angle float64, about Point) Transform {
	sin, cos := math.Sincos(angle)
	if quarters := angle / (math.Pi / 2); quarters == math.Trunc(quarters) {
		sin, cos = math.Round(sin), math.Round(cos)
	}
	return keeping(about, Transform{m: Point{cos, sin}, set: true})
}

// Scale makes everything factor times as large, about a point. A factor of 0
// or less is not a similarity and gives shapes that Validate refuses.
func Scale(factor float64, about Point) Transform {
	return keeping(about, Transform{m: Point{X: factor}, set: true})
}

// keeping adds the move that leaves the given point in place.
func keeping(fixed Point, t Transform) Transform {
	t.move = fixed.Sub(t.apply(fixed))
	return t
}

// Then does t first and u afterwards.
func (t Transform) Then(u Transform) Transform {
	return Transform{m: times(u.multiplier(), t.multiplier()), move: u.apply(t.move), set: true}
}

// times multiplies as complex numbers do.
func times(p, q Point) Point { return Point{p.X*q.X - p.Y*q.Y, p.X*q.Y + p.Y*q.X} }

func (t Transform) apply(p Point) Point { return times(t.multiplier(), p).Add(t.move) }

func (t Transform) vertices(from []Vertex) []Vertex {
	to := make([]Vertex, len(from))
	for i, v := range from {
		to[i] = Vertex{t.apply(v.Point), v.Bulge}
	}
	return to
}

// Transform is the point moved by t.
func (p Point) Transform(t Transform) Point { return t.apply(p) }

// Transform is the contour moved by t.
func (c Contour) Transform(t Transform) Contour { return Contour{t.vertices(c.vertices)} }

// Transform is the path moved by t, travelled from the same end.
func (p Path) Transform(t Transform) Path { return Path{t.vertices(p.vertices)} }

// Transform is the region moved by t.
func (r Region) Transform(t Transform) Region {
	contours := make([]Contour, len(r.contours))
	for i, c := range r.contours {
		contours[i] = c.Transform(t)
	}
	return Region{contours}
}
