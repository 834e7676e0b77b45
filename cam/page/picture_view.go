package page

import (
	"iter"
	"math"

	"traywright/cam/proof"
	"traywright/geometry"
)

// view turns millimetres of the foam into pixels of the page.
type view struct {
	box   geometry.Box // mm that are shown
	scale float64      // pixels to the mm
	x, y  float64      // page place of the box's upper-left corner

	from geometry.Point // where the rulers begin
}

// on is the part of the page that the view covers.
func (v view) on() rect {
	return rect{v.x, v.y, v.box.Width() * v.scale, v.box.Height() * v.scale}
}

func (v view) px(x float64) float64 { return v.x + (x-v.box.Min.X)*v.scale }
func (v view) py(y float64) float64 { return v.y + (v.box.Max.Y-y)*v.scale }

func (v view) at(p geometry.Point) geometry.Point { return geometry.Point{X: v.px(p.X), Y: v.py(p.Y)} }

// farthestMM bounds what is believed: no foam is a kilometre wide, and a
// picture of one would show nothing.
const farthestMM = 1e6

func believable(p geometry.Point) bool {
	return math.Abs(p.X) <= farthestMM && math.Abs(p.Y) <= farthestMM
}

// reach gathers the box around believable points.
type reach struct{ geometry.Box }

func newReach() reach { return reach{geometry.EmptyBox()} }

func (r *reach) add(points ...geometry.Point) {
	for _, p := range points {
		if believable(p) {
			r.Box = r.Union(geometry.Box{Min: p, Max: p})
		}
	}
}

// box is what was gathered, at least least mm a side.
func (r *reach) box(least float64) geometry.Box {
	if r.Empty() {
		return widen(geometry.Box{}, least)
	}
	return widen(r.Box, least)
}

// widen grows a box evenly until it is at least least mm each way.
func widen(b geometry.Box, least float64) geometry.Box {
	dx, dy := max(0, least-b.Width())/2, max(0, least-b.Height())/2
	return geometry.Box{
		Min: geometry.Point{X: b.Min.X - dx, Y: b.Min.Y - dy},
		Max: geometry.Point{X: b.Max.X + dx, Y: b.Max.Y + dy},
	}
}

// chordPX is how far a drawn chord may leave its arc, in pixels.
const chordPX = 0.2

// arcPoints adds points along an arc from a, around centre, by sweep radians,
// without a itself.
func arcPoints(list []geometry.Point, a, centre geometry.Point, sweep, scale float64) []geometry.Point {
	radius := a.DistanceTo(centre)
	n := 1
	if step := 2 * math.Acos(1-min(1, chordPX/max(radius*scale, chordPX))); step > 0 {
		n = int(min(720, math.Ceil(math.Abs(sweep)/step)))
	}
	start := math.Atan2(a.Y-centre.Y, a.X-centre.X)
	for i := 1; i <= n; i++ {
		angle := start + sweep*float64(i)/float64(n)
		list = append(list, geometry.Point{X: centre.X + radius*math.Cos(angle), Y: centre.Y + radius*math.Sin(angle)})
	}
	return list
}

// trace is a motion as points in mm, both ends included; nil when a number of
// it is not finite or not believable.
func trace(m proof.Motion, scale float64) []geometry.Point {
	a, b := m.From.Point, m.To.Point
	if !believable(a) || !believable(b) {
		return nil
	}
	points := []geometry.Point{a}
	if !m.Arc || !believable(m.Center) {
		return append(points, b)
	}
	sweep := math.Atan2(b.Y-m.Center.Y, b.X-m.Center.X) - math.Atan2(a.Y-m.Center.Y, a.X-m.Center.X)
	if m.CCW && sweep <= 1e-9 {
		sweep += 2 * math.Pi
	}
	if !m.CCW && sweep >= -1e-9 {
		sweep -= 2 * math.Pi
	}
	return arcPoints(points, a, m.Center, sweep, scale)
}

// outline is a contour as a closed chain of points in mm.
func outline(c geometry.Contour, scale float64) []geometry.Point { return chain(c.Segments(), scale) }

// chain is the points along segments that follow each other, in mm.
func chain(segments iter.Seq[geometry.Segment], scale float64) []geometry.Point {
	var points []geometry.Point
	for s := range segments {
		if len(points) == 0 {
			points = append(points, s.A)
		}
		if s.Bulge == 0 {
			points = append(points, s.B)
			continue
		}
		points = arcPoints(points, s.A, s.Center(), s.Sweep(), scale)
	}
	return points
}

// all are points in mm on the page.
func (v view) all(points []geometry.Point) []geometry.Point {
	list := make([]geometry.Point, len(points))
	for i, p := range points {
		list[i] = v.at(p)
	}
	return list
}
