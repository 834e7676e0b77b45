// Package geometry measures, offsets and combines flat shapes whose edges are
// straight lines and circular arcs, and keeps the arcs.
//
// Conventions, everywhere in this package:
//
//   - lengths are millimetres, angles radians, X to the right, Y up;
//   - an outer contour runs counter-clockwise, a hole clockwise, so the inside
//     is always on the left of travel;
//   - a positive offset grows the material of a Region, a negative one shrinks it;
//   - a tolerance is an argument with a name; there is no package-wide epsilon.
//
// The package imports only the standard library.
package geometry

import (
	"iter"
	"math"
	"slices"
)

// Point is a place or a displacement in the plane, in mm.
type Point struct{ X, Y float64 }

// Add is p moved by q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub is the way from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Scale is p times k, about the origin.
func (p Point) Scale(k float64) Point { return Point{k * p.X, k * p.Y} }

// Dot is |p||q| times the cosine of the angle between them, in mm².
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross is |p||q| times the sine of the angle from p to q, in mm²: positive when q is
// to the left of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Norm is the length of p in mm. It is 0 below 1e-162 mm and +Inf above 1e154 mm,
// where the square leaves the range of a double.
func (p Point) Norm() float64 { return math.Sqrt(p.X*p.X + p.Y*p.Y) }

// DistanceTo is the distance of q from p in mm, with the limits of Norm.
func (p Point) DistanceTo(q Point) float64 { return p.Sub(q).Norm() }

// Left is p turned a quarter turn counter-clockwise.
func (p Point) Left() Point { return Point{-p.Y, p.X} }

// Box is an axis-parallel rectangle. The zero value is the point (0, 0); use
// EmptyBox to gather bounds.
type Box struct{ Min, Max Point }

// EmptyBox holds nothing: its union with b is b.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Point{inf, inf}, Point{-inf, -inf}}
}

// Empty reports whether b holds no point; a box of no width or height holds some.
func (b Box) Empty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// Width is the extent along X in mm; -Inf of EmptyBox.
func (b Box) Width() float64 { return b.Max.X - b.Min.X }

// Height is the extent along Y in mm; -Inf of EmptyBox.
func (b Box) Height() float64 { return b.Max.Y - b.Min.Y }

// Union is the smallest box that holds both.
func (b Box) Union(c Box) Box {
	return Box{
		Point{min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)},
		Point{max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)},
	}
}

// Grow moves every side out by d mm (in, when d is negative).
func (b Box) Grow(d float64) Box {
	return Box{Point{b.Min.X - d, b.Min.Y - d}, Point{b.Max.X + d, b.Max.Y + d}}
}

// Vertex is a corner of a Path or Contour and the start of its next segment.
// Bulge is tan(included angle / 4) of that segment, as DXF has it: 0 is a
// straight line, positive turns left (counter-clockwise), 1 is a half circle.
type Vertex struct {
	Point
	Bulge float64
}

// Segment is one line or arc from A to B; Bulge as in Vertex.
type Segment struct {
	A, B  Point
	Bulge float64
}

// Path is an open chain of segments. The zero value is the empty path. The
// bulge of its last vertex is ignored.
type Path struct{ vertices []Vertex }

// NewPath copies the vertices.
func NewPath(vertices ...Vertex) Path { return Path{slices.Clone(vertices)} }

// Contour is a closed chain of segments; the last vertex's segment returns to
// the first vertex. The zero value is the empty contour. Two vertices are
// enough: a circle is two half circles.
type Contour struct{ vertices []Vertex }

// NewContour copies the vertices.
func NewContour(vertices ...Vertex) Contour { return Contour{slices.Clone(vertices)} }

// Region is a set of points of the plane bounded by contours that neither
// cross themselves nor each other: outer contours counter-clockwise, holes
// clockwise, islands in holes counter-clockwise again. The zero value is the
// empty region.
type Region struct{ contours []Contour }

// NewRegion copies the slice of contours. It does not check them: see Validate.
func NewRegion(contours ...Contour) Region { return Region{slices.Clone(contours)} }

// Len is the number of vertices.
func (c Contour) Len() int { return len(c.vertices) }

// Vertices is a copy of the vertices.
func (c Contour) Vertices() []Vertex { return slices.Clone(c.vertices) }

// Vertices is a copy of the vertices.
func (p Path) Vertices() []Vertex { return slices.Clone(p.vertices) }

// Contours is a copy of the list of contours.
func (r Region) Contours() []Contour { return slices.Clone(r.contours) }

// Empty reports whether the region has no contour.
func (r Region) Empty() bool { return len(r.contours) == 0 }

// Segments walks the closed chain, starting at the first vertex.
func (c Contour) Segments() iter.Seq[Segment] {
	return func(yield func(Segment) bool) {
		for i, v := range c.vertices {
			next := c.vertices[(i+1)%len(c.vertices)]
			if !yield(Segment{v.Point, next.Point, v.Bulge}) {
				return
			}
		}
	}
}

// Segments walks the open chain.
func (p Path) Segments() iter.Seq[Segment] {
	return func(yield func(Segment) bool) {
		for i := 0; i+1 < len(p.vertices); i++ {
			if !yield(Segment{p.vertices[i].Point, p.vertices[i+1].Point, p.vertices[i].Bulge}) {
				return
			}
		}
	}
}
