package drawing

import (
	"fmt"
	"math"

	"traywright/geometry"
)

// Kinds that are not outlines: they say something about the drawing, or belong
// to an entity before them that has taken what it needs.
var dxfNotOutlines = map[string]bool{
	"TEXT": true, "MTEXT": true, "ATTDEF": true, "ATTRIB": true, "DIMENSION": true, "LEADER": true, "MULTILEADER": true,
	"TOLERANCE": true, "POINT": true, "HATCH": true, "VIEWPORT": true, "VERTEX": true, "SEQEND": true, "IMAGE": true,
}

// pieceOf reads one entity; a piece without curves is no outline.
func pieceOf(e entity) (Piece, error) {
	n := numbers{entity: e}
	p := Piece{Line: e.line()}
	switch kind := e.kind(); kind {
	case "LINE":
		p.Curves = []Curve{segment{A: n.point(10), B: n.point(11)}}
	case "ARC":
		p.Curves = []Curve{n.arc()}
		p = p.mapped(n.plane())
	case "CIRCLE":
		p.Curves, p.Closed = []Curve{n.circle(0, 2*math.Pi)}, true
		p = p.mapped(n.plane())
	case "ELLIPSE":
		p.Curves = []Curve{n.ellipse()}
	case "LWPOLYLINE":
		vertices := n.lightVertices()
		p.Closed = n.whole(70)&1 != 0
		p.Curves = polylineCurves(vertices, p.Closed)
		p = p.mapped(n.plane())
	case "SPLINE":
		p.Curves = n.spline()
		p.Closed = n.whole(70)&1 != 0
	default:
		if !dxfNotOutlines[kind] {
			n.fail(e.line(), "a "+kind+" is not an outline that can be read",
				"explode it into lines, arcs, polylines and splines, or delete it, and export again")
		}
	}
	return p, n.err
}

// point reads X and Y at code and code+10.
func (n *numbers) point(code int) geometry.Point {
	return geometry.Point{X: n.real(code, 0), Y: n.real(code+10, 0)}
}

// plane maps an entity's own coordinates to the world's. Group 210 names the
// direction that it is seen from; from below, X is mirrored (the arbitrary
// axis rule of the DXF reference for a direction of 0, 0, -1).
func (n *numbers) plane() Affine {
	x, y, z := n.real(210, 0), n.real(220, 0), n.real(230, 1)
	const slack = 1e-6 // of a unit vector: what exporters' rounding leaves
	switch {
	case math.Abs(x) > slack || math.Abs(y) > slack || math.Abs(math.Abs(z)-1) > slack:
		n.fail(n.line(), fmt.Sprintf("this %s lies in a tilted plane (%g, %g, %g)", n.kind(), x, y, z), "flatten the drawing and export again")
	case z < 0:
		return Affine{A: -1, D: 1}
	}
	return identity()
}

// arc is an ARC: from one angle counter-clockwise to the other, in degrees.
func (n *numbers) arc() arc {
	from, to := n.real(50, 0), n.real(51, 360)
	sweep := math.Mod(to-from, 360)
	if sweep <= 0 {
		sweep += 360
	}
	return n.circle(from*math.Pi/180, (from+sweep)*math.Pi/180)
}

func (n *numbers) circle(from, to float64) arc {
	r := n.real(40, 0)
	if !(r > 0) {
		n.fail(n.line(), fmt.Sprintf("this %s has the radius %g", n.kind(), r), "delete it and export again")
	}
	return arc{Center: n.point(10), U: geometry.Point{X: r}, V: geometry.Point{Y: r}, From: from, To: to}
}

// ellipse reads the major half axis (group 11), the ratio of the minor one to
// it (40), and the parameters of start and end (41, 42). It is given in world
// coordinates; seen from below the minor axis points the other way.
func (n *numbers) ellipse() arc {
	u, ratio := n.point(11), n.real(40, 1)
	from, to := n.real(41, 0), n.real(42, 2*math.Pi)
	if !(u.Norm() > 0) || !(ratio > 0) {
		n.fail(n.line(), fmt.Sprintf("this ELLIPSE has half axes of %g and %g", u.Norm(), ratio*u.Norm()), "delete it and export again")
	}
	for to <= from {
		to += 2 * math.Pi
	}
	v := u.Left().Scale(ratio * n.plane().A)
	return arc{Center: n.point(10), U: u, V: v, From: from, To: to}
}

// lightVertices are the corners of an LWPOLYLINE.
func (n *numbers) lightVertices() []geometry.Vertex {
	var out []geometry.Vertex
	for _, g := range n.entity {
		switch last := len(out) - 1; {
		case g.code == 10:
			out = append(out, geometry.Vertex{Point: geometry.Point{X: n.parse(g)}})
		case last < 0:
		case g.code == 20:
			out[last].Y = n.parse(g)
		case g.code == 42:
			out[last].Bulge = n.parse(g)
		}
	}
	return out
}

// Flags of POLYLINE and VERTEX, group 70.
const (
	polylineClosed = 1
	polyline3D     = 8
	polylineMesh   = 16
	polylineFaces  = 64
	vertexControl  = 16 // a point of the frame that a fitted curve was drawn from
)

// heavyPolyline reads a POLYLINE with the vertices that follow it.
func heavyPolyline(e entity, vertices []entity) (Piece, error) {
	n := numbers{entity: e}
	p := Piece{Line: e.line()}
	flags := n.whole(70)
	if flags&(polylineMesh|polylineFaces) != 0 {
		n.fail(e.line(), "this POLYLINE is a mesh, not an outline", "delete it and export again")
	}
	var corners []geometry.Vertex
	for _, v := range vertices {
		vn := numbers{entity: v}
		if vn.whole(70)&vertexControl == 0 {
			corners = append(corners, geometry.Vertex{Point: vn.point(10), Bulge: vn.real(42, 0)})
		}
		if vn.err != nil {
			return p, vn.err
		}
	}
	p.Closed = flags&polylineClosed != 0
	p.Curves = polylineCurves(corners, p.Closed)
	if flags&polyline3D == 0 {
		p = p.mapped(n.plane())
	}
	return p, n.err
}

// polylineCurves are the curves of a polyline. A polyline of one corner has none.
func polylineCurves(vertices []geometry.Vertex, closed bool) []Curve {
	var curves []Curve
	for i, v := range vertices {
		next := i + 1
		if next == len(vertices) {
			if !closed || next == 1 {
				break
			}
			next = 0
		}
		curves = append(curves, segment{A: v.Point, B: vertices[next].Point, Bulge: v.Bulge})
	}
	return curves
}

// Flags of SPLINE, group 70, are 1 closed, 2 periodic, 4 rational. The knots
// are written out in full, so periodic splines need nothing of their own.
func (n *numbers) spline() []Curve {
	s := spline{Degree: n.whole(71), Knots: n.all(40), Weights: n.all(41)}
	xs, ys := n.all(10), n.all(20)
	if len(xs) != len(ys) {
		n.fail(n.line(), fmt.Sprintf("this SPLINE has %d X and %d Y", len(xs), len(ys)), notDXF)
		return nil
	}
	for i := range xs {
		s.Control = append(s.Control, geometry.Point{X: xs[i], Y: ys[i]})
	}
	if len(s.Control) == 0 && len(n.all(11)) > 0 {
		n.fail(n.line(), "this SPLINE has fit points alone", "convert it to one with control points, or to a polyline, and export again")
		return nil
	}
	if err := s.validate(); err != nil {
		n.fail(n.line(), "this SPLINE "+err.Error(), notDXF)
		return nil
	}
	return []Curve{s}
}

// insertPlaces are the maps of an INSERT: one for each column and row.
func (n *numbers) insertPlaces(base geometry.Point) []Affine {
	sx, sy := n.real(41, 1), n.real(42, 1)
	sin, cos := math.Sincos(n.real(50, 0) * math.Pi / 180)
	columns, rows := max(1, n.whole(70)), max(1, n.whole(71))
	if columns > mostPieces || rows > mostPieces/columns {
		n.fail(n.line(), fmt.Sprintf("this INSERT has %d columns and %d rows", columns, rows), "insert the block once")
		return nil
	}
	plane, at := n.plane(), n.point(10)
	turn := Affine{A: cos, B: sin, C: -sin, D: cos, E: at.X, F: at.Y}
	scale := Affine{A: sx, D: sy, E: -sx * base.X, F: -sy * base.Y}
	var places []Affine
	for row := range rows {
		for column := range columns {
			step := Affine{A: 1, D: 1, E: float64(column) * n.real(44, 0), F: float64(row) * n.real(45, 0)}
			places = append(places, plane.of(turn).of(step).of(scale))
		}
	}
	return places
}
