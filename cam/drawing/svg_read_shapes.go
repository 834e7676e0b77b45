package drawing

import (
	"math"

	"traywright/geometry"
)

// svgShapes are the elements that are drawn, and how (SVG 1.1, section 9).
var svgShapes = map[string]func(*attributes) []Piece{
	"path": readPath, "rect": readRect, "circle": readCircle, "ellipse": readEllipse,
	"line": readLine, "polyline": readPolyline, "polygon": readPolygon,
}

func closedPiece(curves ...Curve) []Piece {
	return []Piece{{Curves: curves, Closed: true}}
}

func readCircle(a *attributes) []Piece {
	r := a.length("r")
	return oval(a, r, r)
}

func readEllipse(a *attributes) []Piece { return oval(a, a.length("rx"), a.length("ry")) }

// oval is a whole ellipse. One without a radius is not drawn.
func oval(a *attributes, rx, ry float64) []Piece {
	if !(rx > 0) || !(ry > 0) {
		return nil
	}
	return closedPiece(arc{
		Center: geometry.Point{X: a.length("cx"), Y: a.length("cy")},
		U:      geometry.Point{X: rx}, V: geometry.Point{Y: ry}, To: 2 * math.Pi,
	})
}

// readRect is a rectangle, with rounded corners where it has them: a missing
// radius is the other one, and neither is more than half a side.
func readRect(a *attributes) []Piece {
	x, y, w, h := a.length("x"), a.length("y"), a.length("width"), a.length("height")
	if !(w > 0) || !(h > 0) {
		return nil
	}
	rx, ry := a.length("rx"), a.length("ry")
	if a.text("rx") == "" {
		rx = ry
	}
	if a.text("ry") == "" {
		ry = rx
	}
	rx, ry = math.Min(math.Max(rx, 0), w/2), math.Min(math.Max(ry, 0), h/2)
	if rx == 0 || ry == 0 {
		return closedPiece(sides([]float64{x, y, x + w, y, x + w, y + h, x, y + h}, true)...)
	}
	return closedPiece(roundedSides(x, y, w, h, rx, ry)...)
}

func roundedSides(x, y, w, h, rx, ry float64) []Curve {
	var curves []Curve
	centers := [4]geometry.Point{{X: x + w - rx, Y: y + ry}, {X: x + w - rx, Y: y + h - ry}, {X: x + rx, Y: y + h - ry}, {X: x + rx, Y: y + ry}}
	var last geometry.Point
	for i, c := range centers {
		corner := arc{Center: c, U: geometry.Point{X: rx}, V: geometry.Point{Y: ry},
			From: float64(i-1) * math.Pi / 2, To: float64(i) * math.Pi / 2}
		begin, end := corner.ends()
		if i > 0 {
			curves = append(curves, segment{A: last, B: begin})
		}
		curves = append(curves, corner)
		last = end
	}
	return curves
}

func readLine(a *attributes) []Piece {
	from := geometry.Point{X: a.length("x1"), Y: a.length("y1")}
	to := geometry.Point{X: a.length("x2"), Y: a.length("y2")}
	if from == to {
		return nil
	}
	return []Piece{{Curves: []Curve{segment{A: from, B: to}}}}
}

func readPolyline(a *attributes) []Piece {
	return []Piece{{Curves: sides(a.points(), false)}}
}

func readPolygon(a *attributes) []Piece { return closedPiece(sides(a.points(), true)...) }

// points is the points attribute: X and Y in turn.
func (a *attributes) points() []float64 {
	s := scanner{text: a.text("points")}
	v := s.numbers()
	if s.more() || len(v)%2 != 0 {
		a.fail("points="+quote(a.text("points"))+" is not a list of X and Y", notSVG)
		return nil
	}
	return v
}

// sides are straight sides from point to point.
func sides(xy []float64, closed bool) []Curve {
	var curves []Curve
	at := func(i int) geometry.Point { return geometry.Point{X: xy[i%len(xy)], Y: xy[i%len(xy)+1]} }
	for i := 0; i < len(xy); i += 2 {
		if i+2 == len(xy) && !closed {
			break
		}
		if at(i) != at(i+2) {
			curves = append(curves, segment{A: at(i), B: at(i + 2)})
		}
	}
	return curves
}
