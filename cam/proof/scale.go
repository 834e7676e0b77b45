package proof

import (
	"math"

	"traywright/geometry"
)

// A machine's scale is what it makes of a programmed mm along X and Y. The
// program's limits (travel) are in its own mm, and the foam is cut in true ones:
// so the motions are multiplied before they cut. With two scales an arc of the
// program is a part of an ellipse in the foam, which is followed by arcs through
// three of its points, as many as it takes.

// ovalMM is how far those arcs may be from the ellipse: far below what a wall
// may be off.
const ovalMM = 0.0002

// takeScale puts the motions into true mm.
func (d *run) takeScale() {
	x, y := d.setup.Machine.Scale()
	if x == 1 && y == 1 {
		return
	}
	motions, steps, took := d.result.Motions, d.stepOf, d.took
	d.result.Motions, d.stepOf, d.took = make([]Motion, 0, len(motions)), make([]int, 0, len(steps)), make([]span, 0, len(took))
	for i, m := range motions {
		pieces := scaled(m, x, y)
		for k, piece := range pieces {
			d.result.Motions = append(d.result.Motions, piece)
			d.stepOf = append(d.stepOf, steps[i])
			d.took = append(d.took, took[i].part(k, len(pieces)))
		}
	}
}

// scaled is a motion in true mm: itself, or pieces of an arc that has become
// oval.
func scaled(m Motion, x, y float64) []Motion {
	grow := func(p geometry.Point) geometry.Point { return geometry.Point{X: x * p.X, Y: y * p.Y} }
	if !m.Arc || x == y {
		m.From.Point, m.To.Point, m.Center = grow(m.From.Point), grow(m.To.Point), grow(m.Center)
		return []Motion{m}
	}
	from := m.From.Sub(m.Center)
	start, turn, radius, rest := math.Atan2(from.Y, from.X), m.sweep(), from.Norm(), m.To.DistanceTo(m.Center)
	at := func(share float64) Point {
		sin, cos := math.Sincos(start + share*turn)
		r := radius + share*(rest-radius)
		return Point{grow(m.Center.Add(geometry.Point{X: r * cos, Y: r * sin})), m.From.Z + share*(m.To.Z-m.From.Z)}
	}
	n := ovalPieces(radius, turn, x, y)
	pieces := make([]Motion, 0, n)
	last := m.From
	last.Point = grow(m.From.Point)
	for i := range n {
		piece := m
		piece.From, piece.To = last, at(float64(i+1)/float64(n))
		if i == n-1 {
			piece.To.Point, piece.To.Z = grow(m.To.Point), m.To.Z
		}
		middle := at((float64(i) + 0.5) / float64(n)).Point
		piece.Center, piece.Arc = throughThree(piece.From.Point, middle, piece.To.Point)
		last = piece.To
		pieces = append(pieces, piece)
	}
	return pieces
}

// ovalPieces is how many arcs follow a turn of a circle that becomes oval. The
// radius of the oval's curvature goes from r y²/x to r x²/y in a quarter turn, so
// by at most 3 r |x-y| (to first order) in a radian; an arc through three points
// of a piece of angle t strays by that times t³/(72 sqrt 3) (the cubic term
// between three nodes t/2 apart).
func ovalPieces(radius, turn, x, y float64) int {
	const least = 1e-12
	strays := math.Max(3*radius*math.Abs(x-y)*1.2, least) // 1.2 for what the first order leaves out up to scales of 0.9 and 1.1
	t := math.Min(math.Cbrt(ovalMM*72*math.Sqrt(3)/strays), 1)
	return int(math.Max(2, math.Ceil(math.Abs(turn)/t)))
}

// throughThree is the centre of the circle through three points; false where they
// are on a line.
func throughThree(a, b, c geometry.Point) (geometry.Point, bool) {
	u, v := b.Sub(a), c.Sub(a)
	area := 2 * u.Cross(v)
	if math.Abs(area) < 1e-12 {
		return geometry.Point{}, false
	}
	uu, vv := u.Dot(u), v.Dot(v)
	return a.Add(geometry.Point{X: (v.Y*uu - u.Y*vv) / area, Y: (u.X*vv - v.X*uu) / area}), true
}
