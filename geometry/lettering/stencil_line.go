package lettering

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// monotone is a segment of a contour that may be split once more when a line is laid
// across it.
type monotone struct {
	geometry.Segment
	contour int
	center  geometry.Point
	radius  float64 // 0 for a line
}

func appendMonotone(list []monotone, s geometry.Segment, contour int) []monotone {
	m := monotone{Segment: s, contour: contour}
	if s.IsArc() {
		m.center, m.radius = s.Center(), s.Radius()
	}
	return append(list, m)
}

// stretch is a part of a line inside the region, from one distance along it to
// another, and the contours through which it comes in and goes out.
type stretch struct {
	from, to float64
	in, out  int
}

// crossing is where a line crosses a contour.
type crossing struct {
	at      float64
	enters  bool
	contour int
}

// stretches lists where the line through at, along a unit vector, lies inside the region.
func (s *stencil) stretches(at, along geometry.Point) []stretch {
	var crossings []crossing
	for _, m := range s.pieces {
		crossings = m.cross(crossings, at, along)
	}
	slices.SortStableFunc(crossings, func(a, b crossing) int { return cmp.Compare(a.at, b.at) })
	var list []stretch
	for i := 1; i < len(crossings); i++ {
		if a, b := crossings[i-1], crossings[i]; a.enters && !b.enters && b.at > a.at {
			list = append(list, stretch{a.at, b.at, a.contour, b.contour})
		}
	}
	return list
}

// cross adds where the segment crosses the line. An arc is split where it runs
// alongside, so that each part crosses at most once; a part belongs to the line's
// left side at its ends by one rule for all, so that a line through a corner crosses there
// once or not at all.
func (m monotone) cross(list []crossing, at, along geometry.Point) []crossing {
	side := func(p geometry.Point) float64 { return along.Cross(p.Sub(at)) }
	points := []geometry.Point{m.A}
	if m.radius > 0 {
		points = append(points, m.alongside(along)...)
	}
	points = append(points, m.B)
	for i := 1; i < len(points); i++ {
		a, b := side(points[i-1]), side(points[i])
		if (a < 0) == (b < 0) {
			continue
		}
		// The inside is on the left of the contour: a line enters where the contour comes
		// from its left to its right.
		list = append(list, crossing{m.where(at, along, points[i-1], points[i]), a >= 0, m.contour})
	}
	return list
}

// alongside is where the arc has the direction of the line, in order of travel.
func (m monotone) alongside(along geometry.Point) []geometry.Point {
	var list []geometry.Point
	start := m.A.Sub(m.center)
	sweep := m.Sweep()
	var angles []float64
	for _, sign := range []float64{1, -1} {
		p := along.Left().Scale(sign)
		turn := math.Atan2(start.Cross(p), start.Dot(p))
		if turn*sweep < 0 {
			turn += math.Copysign(2*math.Pi, sweep)
		}
		if math.Abs(turn) < math.Abs(sweep) {
			angles = append(angles, turn)
		}
	}
	slices.SortFunc(angles, func(a, b float64) int { return cmp.Compare(math.Abs(a), math.Abs(b)) })
	for _, turn := range angles {
		sin, cos := math.Sincos(turn)
		list = append(list, m.center.Add(start.Scale(cos)).Add(start.Left().Scale(sin)))
	}
	return list
}

// where is how far along the line it meets the part of the segment from a to b.
func (m monotone) where(at, along, a, b geometry.Point) float64 {
	if m.radius == 0 {
		u, v := along.Cross(a.Sub(at)), along.Cross(b.Sub(at))
		share := u / (u - v)
		return a.Add(b.Sub(a).Scale(share)).Sub(at).Dot(along)
	}
	c := m.center.Sub(at)
	foot, off := c.Dot(along), along.Cross(c)
	half := math.Sqrt(max(0, m.radius*m.radius-off*off))
	// A part of an arc between two places alongside the line is on one side of the centre.
	if middle := a.Add(b).Sub(at).Dot(along) / 2; middle < foot {
		return foot - half
	}
	return foot + half
}
