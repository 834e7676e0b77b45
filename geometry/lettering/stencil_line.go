package lettering

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// edge is a segment of a contour.
type edge struct {
	geometry.Segment
	contour int
	center  geometry.Point
	radius  float64 // 0 for a line
}

func appendEdge(list []edge, s geometry.Segment, contour int) []edge {
	m := edge{Segment: s, contour: contour}
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

// stretches lists where the line through at, in the direction of the fan, lies inside the
// region.
func (f fan) stretches(at geometry.Point) []stretch {
	var crossings []crossing
	for _, m := range f.beside(at) {
		crossings = m.cross(crossings, at, f.along)
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
func (m sighted) cross(list []crossing, at, along geometry.Point) []crossing {
	side := func(p geometry.Point) float64 { return along.Cross(p.Sub(at)) }
	for i := 1; i < len(m.turns); i++ {
		a, b := side(m.turns[i-1]), side(m.turns[i])
		if (a < 0) == (b < 0) {
			continue
		}
		// The inside is on the left of the contour: a line enters where the contour comes
		// from its left to its right.
		enters := a >= 0
		list = append(list, crossing{m.where(at, along, m.turns[i-1], m.turns[i], enters), enters, m.contour})
	}
	return list
}

// sighted is a piece seen along a direction: it lies from low to high to the left of it.
type sighted struct {
	edge
	turns     []geometry.Point // its ends, and between them where it runs alongside
	low, high float64
}

// fan is the pieces seen along a direction, sorted by where they begin.
type fan struct {
	along  geometry.Point
	pieces []sighted
	widest float64 // of the pieces
}

func newFan(pieces []edge, along geometry.Point) fan {
	f := fan{along: along}
	for _, m := range pieces {
		p := sighted{m, m.alongside(along), math.Inf(1), math.Inf(-1)}
		for _, q := range p.turns {
			p.low, p.high = min(p.low, along.Cross(q)), max(p.high, along.Cross(q))
		}
		f.pieces = append(f.pieces, p)
		f.widest = max(f.widest, p.high-p.low)
	}
	slices.SortStableFunc(f.pieces, func(a, b sighted) int { return cmp.Compare(a.low, b.low) })
	return f
}

// beside is the pieces that a line through at may cross, and more.
func (f fan) beside(at geometry.Point) []sighted {
	const slack = 1e-9 // mm, for the rounding of a place on the line
	off := f.along.Cross(at)
	below := func(p sighted, x float64) int { return cmp.Compare(p.low, x) }
	first, _ := slices.BinarySearchFunc(f.pieces, off-f.widest-slack, below)
	last, _ := slices.BinarySearchFunc(f.pieces, off+slack, below)
	return f.pieces[first:last]
}

// alongside is the ends of the segment, and in order between them where it has the
// direction of the line.
func (m edge) alongside(along geometry.Point) []geometry.Point {
	list := []geometry.Point{m.A}
	if m.radius == 0 {
		return append(list, m.B)
	}
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
	return append(list, m.B)
}

// where is how far along the line it meets the part of the segment from a to b, which
// goes from its left to its right or not.
func (m edge) where(at, along, a, b geometry.Point, rightwards bool) float64 {
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
