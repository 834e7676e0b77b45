package page

import (
	"iter"
	"math"

	"traywright/geometry"
)

// sheetView turns the foam's mm, Y up, into the page's, Y down, at true size:
// corner is on the page where the foam's point upperLeft is.
type sheetView struct{ upperLeft, corner geometry.Point }

func (v sheetView) at(p geometry.Point) geometry.Point {
	return geometry.Point{X: v.corner.X + p.X - v.upperLeft.X, Y: v.corner.Y + v.upperLeft.Y - p.Y}
}

// region draws a region's contours as one path: how is fpdf's, "D", "f*" or "B*".
func (d *document) region(r geometry.Region, v sheetView, how string) {
	contours := r.Contours()
	if len(contours) == 0 {
		return
	}
	for _, c := range contours {
		d.follow(c.Segments(), v)
		d.ClosePath()
	}
	d.DrawPath(how)
}

// follow adds a chain of segments to the path. Arcs become Bézier curves.
func (d *document) follow(segments iter.Seq[geometry.Segment], v sheetView) {
	begun := false
	for s := range segments {
		if !begun {
			start := v.at(s.A)
			d.MoveTo(start.X, start.Y)
			begun = true
		}
		if s.IsArc() {
			d.arcTo(s, v)
			continue
		}
		end := v.at(s.B)
		d.LineTo(end.X, end.Y)
	}
}

// mostSweep is the largest arc that one Bézier curve stands for. At 45 degrees
// it strays from the circle by 4.3e-6 of the radius, 0.005 mm at 1.2 m.
const mostSweep = math.Pi / 4

// arcTo adds an arc as cubic Bézier curves.
func (d *document) arcTo(s geometry.Segment, v sheetView) {
	n := math.Max(1, math.Ceil(math.Abs(s.Sweep())/mostSweep))
	for i := range int(n) {
		b := bezier(s, float64(i)/n, float64(i+1)/n)
		p, q, end := v.at(b[1]), v.at(b[2]), v.at(b[3])
		d.CurveBezierCubicTo(p.X, p.Y, q.X, q.Y, end.X, end.Y)
	}
}

// bezier is the part of an arc between two shares of its length as a cubic
// Bézier curve. Each handle is along the tangent and a third of the chord over
// cos²(sweep/4) long, which puts the curve's middle on the circle.
func bezier(s geometry.Segment, from, to float64) [4]geometry.Point {
	a, b := s.At(from), s.At(to)
	cos := math.Cos(s.Sweep() * (to - from) / 4)
	handle := a.DistanceTo(b) / (3 * cos * cos)
	return [4]geometry.Point{a, a.Add(s.Tangent(from).Scale(handle)), b.Sub(s.Tangent(to).Scale(handle)), b}
}
