package drawing

import (
	"math"

	"traywright/geometry"
)

// Affine is the map x' = A x + C y + E, y' = B x + D y + F: translation,
// rotation, scale and skew, the coefficients in the order in which SVG's
// matrix() has them.
type Affine struct{ A, B, C, D, E, F float64 }

// Identity leaves every point where it is.
func Identity() Affine { return Affine{A: 1, D: 1} }

// Apply is the image of a point.
func (m Affine) Apply(p geometry.Point) geometry.Point {
	return geometry.Point{X: m.A*p.X + m.C*p.Y + m.E, Y: m.B*p.X + m.D*p.Y + m.F}
}

// direction is the image of a displacement.
func (m Affine) direction(p geometry.Point) geometry.Point {
	return geometry.Point{X: m.A*p.X + m.C*p.Y, Y: m.B*p.X + m.D*p.Y}
}

// Of is the map that applies inner first and then m.
func (m Affine) Of(inner Affine) Affine {
	u, v := m.direction(geometry.Point{X: inner.A, Y: inner.B}), m.direction(geometry.Point{X: inner.C, Y: inner.D})
	at := m.Apply(geometry.Point{X: inner.E, Y: inner.F})
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

// Curve is one of Segment, Arc, Bezier and Spline.
type Curve interface {
	// Map is the curve's image.
	Map(Affine) Curve
	// Ends are the first and the last point.
	Ends() (geometry.Point, geometry.Point)
}

// Segment is a straight or circular piece, as geometry has it.
type Segment geometry.Segment

// Arc is a piece of an ellipse: Center + cos(t) U + sin(t) V for t from From
// to To. It is circular when U and V are equally long and at right angles.
type Arc struct {
	Center, U, V geometry.Point
	From, To     float64
}

// Bezier is a cubic Bézier curve with its four control points.
type Bezier [4]geometry.Point

// Spline is a B-spline of any degree with a knot vector that is as long as the
// control points and the degree and one together. Weights is empty, or holds a
// positive weight for each control point. Its curve runs from knot number
// Degree to knot number len(Control).
type Spline struct {
	Degree  int
	Knots   []float64
	Control []geometry.Point
	Weights []float64
}

// Map is the segment's image: an ellipse's piece when an arc is stretched or skewed.
func (s Segment) Map(m Affine) Curve {
	if s.Bulge != 0 && !m.similar() {
		return s.arc().Map(m)
	}
	if m.A*m.D-m.B*m.C < 0 {
		s.Bulge = -s.Bulge
	}
	return Segment{m.Apply(s.A), m.Apply(s.B), s.Bulge}
}

// arc is a circular segment by its circle.
func (s Segment) arc() Arc {
	g := geometry.Segment(s)
	center := g.Center()
	u := s.A.Sub(center)
	return Arc{Center: center, U: u, V: u.Left(), To: g.Sweep()}
}

// Ends are A and B.
func (s Segment) Ends() (geometry.Point, geometry.Point) { return s.A, s.B }

// Map is the arc's image, in general an ellipse's.
func (a Arc) Map(m Affine) Curve {
	a.Center, a.U, a.V = m.Apply(a.Center), m.direction(a.U), m.direction(a.V)
	return a
}

// Ends are the points at From and To.
func (a Arc) Ends() (geometry.Point, geometry.Point) { return a.at(a.From), a.at(a.To) }

// at is the point of the ellipse at parameter t.
func (a Arc) at(t float64) geometry.Point {
	sin, cos := math.Sincos(t)
	return a.Center.Add(a.U.Scale(cos)).Add(a.V.Scale(sin))
}

// Map is the curve's image: that of its control points.
func (b Bezier) Map(m Affine) Curve {
	for i := range b {
		b[i] = m.Apply(b[i])
	}
	return b
}

// Ends are the first and the last control point.
func (b Bezier) Ends() (geometry.Point, geometry.Point) { return b[0], b[3] }

// Piece is a chain of curves, each beginning where the one before ends.
type Piece struct {
	Curves []Curve
	Closed bool // a straight side joins the last end to the first, where they differ
	Line   int  // of the file, for messages
}

// Map is the piece's image.
func (p Piece) Map(m Affine) Piece {
	curves := make([]Curve, len(p.Curves))
	for i, c := range p.Curves {
		curves[i] = c.Map(m)
	}
	p.Curves = curves
	return p
}

// Limits of any drawing.
const (
	largestNumber = 1e9     // more than any coordinate; what is beyond it is not read
	mostPieces    = 200_000 // far above any outline's
)
