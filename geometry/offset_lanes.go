package geometry

import "math"

// lane is the parallel of one segment: from start to end with the same included
// angle, or, collapsed, the centre.
type lane struct {
	source        int32
	start, end    Point
	before, after Point   // unit right normals at the ends of the source
	length, trim  float64 // of the source; by how much the corner at its end shortens this and the next one, mm
	collapsed     bool
	point         bool // collapsed to where its neighbours end and begin: its radius is |d|
	straight      bool
	meets         bool // its end is the next one's start, nothing goes between
	moved         bool // an end went along the tangent to get there
}

// meet lets lanes meet where nothing needs to go between them: where the boundary
// is smooth, and where two lines cross at a corner that closes. There the way from
// the crossing by the corner back to the crossing is left out, a kite that lies in
// both strips. That cannot make a covered point look free: of all strips of a
// contour that cover it, fewer pairs of neighbours do, unless each and every corner
// is cut short and every strip covers it; and then it lies to the right of every line
// that is left, none of which may have turned around, and nothing winds around it.
func (o *offsetter) meet(lanes []lane) {
	for i := range lanes {
		l, m := &lanes[i], &lanes[(i+1)%len(lanes)]
		sine, cosine := l.after.Cross(m.before), l.after.Dot(m.before)
		switch {
		case l.collapsed && !l.point || m.collapsed && !m.point:
		case o.smooth(sine, cosine):
			l.meets, l.end, l.moved = true, m.start, o.smoothInTol > smoothInTol
		case o.nearlySmooth(sine, cosine) && o.mayMeet(l, m):
			o.meetNearly(l, m)
		case l.straight && m.straight && !o.opens(sine, cosine):
			l.trim = math.Abs(o.d * sine / (1 + cosine))
		}
	}
	for i := range lanes {
		k, l := &lanes[(i+len(lanes)-1)%len(lanes)], &lanes[i]
		if k.trim+l.trim >= l.length-o.tol {
			k.trim, l.trim = 0, 0 // it would vanish or turn around
		}
	}
	for i := range lanes {
		l, m := &lanes[i], &lanes[(i+1)%len(lanes)]
		if l.trim > 0 && l.trim < m.length {
			o.mitre(l, m)
		}
	}
}

// mayMeet reports whether neighbours that are nearly smooth are long enough, and no arc of them is so
// small that it would show, for one to be prolonged a little along its tangent until they meet.
func (o *offsetter) mayMeet(l, m *lane) bool {
	if min(l.length, m.length) <= 2*shortInTol*o.tol {
		return false
	}
	if l.straight && m.straight {
		return true
	}
	least := math.Inf(1)
	for _, k := range [2]*lane{l, m} {
		if c := &o.source.curves[k.source]; c.k != 0 && !k.point {
			least = min(least, math.Abs(1/c.k+o.d))
		}
	}
	gap := shortInTol * o.tol
	return o.smoothInTol > smoothInTol && !(l.point && m.point) && gap*gap <= 2*least*looseInTol*o.tol
}

// meetNearly lets such neighbours meet.
func (o *offsetter) meetNearly(l, m *lane) {
	switch {
	case l.straight && m.straight:
		o.mitre(l, m)
	case l.point:
		l.meets, m.start, m.moved = true, l.end, true
	default:
		l.meets, l.end, l.moved = true, m.start, true
	}
}

// mitre lets two lines meet where they cross.
func (o *offsetter) mitre(l, m *lane) {
	l.meets = true
	l.end = o.source.curves[m.source].A.Add(l.after.Add(m.before).Scale(o.d / (1 + l.after.Dot(m.before))))
	m.start = l.end
}

// smoothInTol is how large a part of a tolerance is the same place to an offset, and looseInTol
// where that is not enough to trace it: arcs hardly longer than a tolerance are known no better.
const (
	smoothInTol = 1e-3
	looseInTol  = 1.0 / 64
)

// smooth reports whether the boundary goes on straight, as far as the offset can tell.
func (o *offsetter) smooth(sine, cosine float64) bool {
	return math.Abs(sine*o.d) <= o.tol*o.smoothInTol && cosine > 0
}

// nearlySmooth reports whether the parallels of two lines end so near to each other that
// nothing between them could be in general position. Where they cross is then off |d|
// by the square of that, divided by 8|d|: nothing.
func (o *offsetter) nearlySmooth(sine, cosine float64) bool {
	return math.Abs(sine*o.d) <= shortInTol*o.tol && cosine > 0
}

func (o *offsetter) lane(i int32) lane {
	c := &o.source.curves[i]
	l := lane{source: i, before: right(c.tangent), after: right(c.endTangent()), length: c.length, straight: c.k == 0}
	// Moving right, an arc that turns right loses radius.
	if c.k*o.d < 0 {
		left := c.radius - math.Abs(o.d)
		l.point = math.Abs(left) <= o.tol*o.smoothInTol
		l.collapsed = left <= o.tol/2
		if math.Abs(left) <= shortInTol*o.tol && !l.point {
			o.generic = false
		}
	}
	l.start = c.A.Add(l.before.Scale(o.d))
	l.end = c.B.Add(l.after.Scale(o.d))
	if l.collapsed {
		l.start = c.center
		l.end = c.center
	}
	return l
}

// bulge is that of a lane, whose ends may have moved a little to meet the next ones.
func (o *offsetter) bulge(l *lane) float64 {
	c := &o.source.curves[l.source]
	if !l.moved {
		return c.Bulge
	}
	return bulgeOver(c.sweep, c.k/(1+c.k*o.d), l.start.DistanceTo(l.end))
}

func right(p Point) Point { return Point{p.Y, -p.X} }

// join goes from the end of l to the start of m, the lane after the corner.
func (o *offsetter) join(l, m *lane) {
	corner := o.source.curves[m.source].A
	sine, cosine := l.after.Cross(m.before), l.after.Dot(m.before)
	if !o.smooth(sine, cosine) && o.opens(sine, cosine) {
		o.openCorner(l, m, corner, math.Atan2(sine, cosine))
		return
	}
	o.generic = o.generic && !l.point && !m.point // whether the point is hidden is not known
	o.link(l.end, corner)
	o.link(corner, m.start)
}

// opens reports whether the boundary turns away from the side it moves to. A
// boundary that turns right back counts as opening: should it not, the half disc
// about the corner that is then covered lies within |d| of the corner anyhow.
func (o *offsetter) opens(sine, cosine float64) bool {
	return sine*o.d > 0 || cosine < 0 && math.Abs(sine*o.d) <= o.tol
}

// openCorner adds the sector's arc, or the sharp corner. Where a lane has
// collapsed, its end is the centre; the strip's side leads from there to the corner
// and the sector's side from the corner outwards.
func (o *offsetter) openCorner(l, m *lane, corner Point, turn float64) {
	if turn*o.d < 0 {
		turn = -turn // turning right back
	}
	from, to, bulge := corner.Add(l.after.Scale(o.d)), corner.Add(m.before.Scale(o.d)), math.Tan(turn/4)
	if l.collapsed && !l.point {
		o.link(l.end, from)
	}
	if l.point || m.point {
		from, to, bulge = o.fromPoint(l, m, from, to, turn)
	}
	// A sharp corner reaches |d| / cos(turn/2).
	if half := math.Cos(turn / 2); half*o.limit > 1 {
		tip := corner.Add(l.after.Add(m.before).unit().Scale(o.d / half))
		o.generic = false // its boundary is not at one distance
		o.add(Segment{from, tip, 0})
		o.add(Segment{tip, to, 0})
	} else {
		o.add(Segment{from, to, bulge})
	}
	if m.collapsed && !m.point {
		o.link(to, m.start)
	}
}

// fromPoint is the arc about a corner that begins or ends at a point.
func (o *offsetter) fromPoint(l, m *lane, from, to Point, turn float64) (Point, Point, float64) {
	if l.point {
		from = l.end
	}
	if m.point {
		to = m.start
	}
	return from, to, bulgeOver(turn, math.Copysign(1/o.d, turn), from.DistanceTo(to))
}
