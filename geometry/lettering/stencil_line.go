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
// another, the contours through which it comes in and goes out, and how much of the line
// before and behind is outside.
type stretch struct {
	from, to       float64
	in, out        int
	before, behind float64
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
	for _, m := range s.beside(at, along) {
		crossings = m.cross(crossings, at, along)
	}
	slices.SortStableFunc(crossings, func(a, b crossing) int { return cmp.Compare(a.at, b.at) })
	var list []stretch
	for i := 1; i < len(crossings); i++ {
		a, b := crossings[i-1], crossings[i]
		if !a.enters || b.enters || b.at <= a.at {
			continue
		}
		n := stretch{a.at, b.at, a.contour, b.contour, math.Inf(1), math.Inf(1)}
		if i > 1 {
			n.before = a.at - crossings[i-2].at
		}
		if i+1 < len(crossings) {
			n.behind = crossings[i+1].at - b.at
		}
		list = append(list, n)
	}
	return list
}

// cross adds where the segment crosses the line. An arc is split where it runs
// alongside, so that each part crosses at most once; a part belongs to the line's
// left side at its ends by one rule for all, so that a line through a corner crosses there
// once or not at all.
func (m monotone) cross(list []crossing, at, along geometry.Point) []crossing {
	side := func(p geometry.Point) float64 { return along.Cross(p.Sub(at)) }
	points := m.turns(along)
	for i := 1; i < len(points); i++ {
		a, b := side(points[i-1]), side(points[i])
		if (a < 0) == (b < 0) {
			continue
		}
		// The inside is on the left of the contour: a line enters where the contour comes
		// from its left to its right.
		enters := a >= 0
		list = append(list, crossing{m.where(at, along, points[i-1], points[i], enters), enters, m.contour})
	}
	return list
}

// fan is the pieces sorted for lines of one direction: by how far to the left of the
// direction each begins.
type fan struct {
	along  geometry.Point
	pieces []monotone
	from   []float64 // where each begins
	widest float64   // of the pieces
}

func newFan(pieces []monotone, along geometry.Point) fan {
	type placed struct {
		monotone
		low, high float64
	}
	var list []placed
	for _, m := range pieces {
		p := placed{m, math.Inf(1), math.Inf(-1)}
		for _, q := range m.turns(along) {
			p.low, p.high = min(p.low, along.Cross(q)), max(p.high, along.Cross(q))
		}
		list = append(list, p)
	}
	slices.SortStableFunc(list, func(a, b placed) int { return cmp.Compare(a.low, b.low) })
	f := fan{along: along}
	for _, p := range list {
		f.pieces = append(f.pieces, p.monotone)
		f.from = append(f.from, p.low)
		f.widest = max(f.widest, p.high-p.low)
	}
	return f
}

// beside is the pieces that a line may cross, and more.
func (s *stencil) beside(at, along geometry.Point) []monotone {
	for _, f := range s.fans {
		if f.along == along {
			const slack = 1e-9 // for the rounding of a place on the line
			off := along.Cross(at)
			first, _ := slices.BinarySearch(f.from, off-f.widest-slack)
			last, _ := slices.BinarySearch(f.from, off+slack)
			return f.pieces[first:last]
		}
	}
	return s.pieces
}

// turns is the ends of the segment, and between them where it runs alongside.
func (m monotone) turns(along geometry.Point) []geometry.Point {
	points := []geometry.Point{m.A}
	if m.radius > 0 {
		points = append(points, m.alongside(along)...)
	}
	return append(points, m.B)
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

// where is how far along the line it meets the part of the segment from a to b, which
// goes from its left to its right or not.
func (m monotone) where(at, along, a, b geometry.Point, rightwards bool) float64 {
	if m.radius == 0 {
		u, v := along.Cross(a.Sub(at)), along.Cross(b.Sub(at))
		share := u / (u - v)
		return a.Add(b.Sub(a).Scale(share)).Sub(at).Dot(along)
	}
	c := m.center.Sub(at)
	foot, off := c.Dot(along), along.Cross(c)
	half := math.Sqrt(max(0, m.radius*m.radius-off*off))
	// Counter-clockwise around its centre, an arc goes rightwards on the near side.
	if rightwards == (m.Bulge > 0) {
		return foot - half
	}
	return foot + half
}
