package drawing

import (
	"math"

	"traywright/geometry"
)

// Affine is the map x' = A x + C y + E, y' = B x + D y + F: translation,
// rotation, scale and skew, the coefficients in the order in which SVG's
// matrix() has them.
type Affine struct{ A, B, C, D, E, F float64 }

// identity leaves every point where it is.
func identity() Affine { return Affine{A: 1, D: 1} }

// apply is the image of a point.
func (m Affine) apply(p geometry.Point) geometry.Point {
	return geometry.Point{X: m.A*p.X + m.C*p.Y + m.E, Y: m.B*p.X + m.D*p.Y + m.F}
}

// direction is the image of a displacement.
func (m Affine) direction(p geometry.Point) geometry.Point {
	return geometry.Point{X: m.A*p.X + m.C*p.Y, Y: m.B*p.X + m.D*p.Y}
}

// of is the map that applies inner first and then m.
func (m Affine) of(inner Affine) Affine {
	u, v := m.direction(geometry.Point{X: inner.A, Y: inner.B}), m.direction(geometry.Point{X: inner.C, Y: inner.D})
	at := m.apply(geometry.Point{X: inner.E, Y: inner.F})
	return Affine{u.X, u.Y, v.X, v.Y, at.X, at.Y}
}

// similar reports whether the map keeps shapes: circles stay circles.
func (m Affine) similar() bool {
	return round(geometry.Point{X: m.A, Y: m.B}, geometry.Point{X: m.C, Y: m.D})
}

// round reports whether u and v are equally long and at right angles, to what
// the rounding of a few multiplications leaves.
func round(u, v geometry.Point) bool {
	const slack = 1e-12
	uu, vv := u.Dot(u), v.Dot(v)
	return math.Abs(uu-vv) <= slack*(uu+vv) && math.Abs(u.Dot(v)) <= slack*(uu+vv)
}

// Curve is one of segment, arc, bezier and spline.
type Curve interface {
	// mapped is the curve's image.
	mapped(Affine) Curve
	// ends are the first and the last point.
	ends() (geometry.Point, geometry.Point)
}

// segment is a straight or circular piece, as geometry has it.
type segment geometry.Segment

// arc is a piece of an ellipse: Center + cos(t) U + sin(t) V for t from From
// to To. It is circular when U and V are equally long and at right angles.
type arc struct {
	Center, U, V geometry.Point
	From, To     float64
}

// bezier is a cubic Bézier curve with its four control points.
type bezier [4]geometry.Point

// spline is a B-spline of any degree with a knot vector that is as long as the
// control points and the degree and one together. Weights is empty, or holds a
// positive weight for each control point. Its curve runs from knot number
// Degree to knot number len(Control).
type spline struct {
	Degree  int
	Knots   []float64
	Control []geometry.Point
	Weights []float64
}

// mapped is the segment's image: an ellipse's piece when an arc is stretched or skewed.
func (s segment) mapped(m Affine) Curve {
	if s.Bulge != 0 && !m.similar() {
		return s.arc().mapped(m)
	}
	if m.A*m.D-m.B*m.C < 0 {
		s.Bulge = -s.Bulge
	}
	return segment{m.apply(s.A), m.apply(s.B), s.Bulge}
}

// arc is a circular segment by its circle.
func (s segment) arc() arc {
	g := geometry.Segment(s)
	center := g.Center()
	u := s.A.Sub(center)
	return arc{Center: center, U: u, V: u.Left(), To: g.Sweep()}
}

// ends are A and B.
func (s segment) ends() (geometry.Point, geometry.Point) { return s.A, s.B }

// mapped is the arc's image, in general an ellipse's.
func (a arc) mapped(m Affine) Curve {
	a.Center, a.U, a.V = m.apply(a.Center), m.direction(a.U), m.direction(a.V)
	return a
}

// ends are the points at From and To.
func (a arc) ends() (geometry.Point, geometry.Point) { return a.at(a.From), a.at(a.To) }

// at is the point of the ellipse at parameter t.
func (a arc) at(t float64) geometry.Point {
	sin, cos := math.Sincos(t)
	return a.Center.Add(a.U.Scale(cos)).Add(a.V.Scale(sin))
}

// mapped is the curve's image: that of its control points.
func (b bezier) mapped(m Affine) Curve {
	for i := range b {
		b[i] = m.apply(b[i])
	}
	return b
}

// ends are the first and the last control point.
func (b bezier) ends() (geometry.Point, geometry.Point) { return b[0], b[3] }

// Piece is a chain of curves, each beginning where the one before ends.
type Piece struct {
	Curves []Curve
	Closed bool // a straight side joins the last end to the first, where they differ
	Line   int  // of the file, for messages
}

// mapped is the piece's image.
func (p Piece) mapped(m Affine) Piece {
	curves := make([]Curve, len(p.Curves))
	for i, c := range p.Curves {
		curves[i] = c.mapped(m)
	}
	p.Curves = curves
	return p
}

// Limits of any drawing.
const (
	largestNumber = 1e9     // more than any coordinate; what is beyond it is not read
	mostPieces    = 200_000 // far above any outline's
)
