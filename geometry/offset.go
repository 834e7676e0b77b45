package geometry

import (
	"errors"
	"fmt"
	"math"
)

// Offset grows (d > 0) or shrinks (d < 0) the region by |d| mm: the result is
// all that lies within d of the region, or all of the region that is at least |d|
// from its boundary. Corners that open become true arcs about the corner. The
// result may be empty, split or merged; holes and islands follow by themselves.
// tol, in mm, is the distance under which two points are one (1e-6 or so).
//
// The region must be valid (Validate; Union makes it so). The error is a *Fault:
// numbers that are not finite, a place that did not close, or, as a last check
// on the finished result, a place that came out nearer to the source than |d|.
//
// Method. Along each segment lies the strip of points within |d| of it on the
// side where the boundary moves; at each corner that opens lies a sector. Together
// they are exactly the points within |d| of the boundary on that side. The raw
// curve joins the parallels of all segments, by an arc about the corner where
// it opens and by way of the corner itself where it closes (parallel, corner,
// next parallel); around it, the winding number of every point is that of the
// source plus (growing) or less (shrinking) the number of strips and sectors
// that cover the point. So the result is where that number is 1 or more, and an
// arrangement reads it off, whatever splits, merges, turns inside out or vanishes.
//
// An arc whose radius is at most |d|, on its inner side, has no parallel: its strip
// ends at the centre, because beyond the centre another part of the boundary is
// always nearer.
//
// This follows Liu, Yong, Zheng, Sun, "An offset algorithm for polyline curves",
// Computers in Industry 58 (2007), in making a raw curve of parallels first and
// cleaning it up afterwards. It departs from there in closing corners through the
// corner, which makes the winding number, not a distance test of every piece
// against the source, tell what stays; and the distance test remains as a check.
func Offset(r Region, d, tol float64) (Region, error) {
	return offset(r, d, tol, 1)
}

// OffsetSharp is Offset with sharp corners where the boundary opens: neighbouring
// lines are prolonged until they meet, arcs by their tangents. A corner that would
// reach farther than limit times |d| from the source corner is rounded instead;
// limit 2 keeps corners of 60° and more sharp. Shrinking, it is the corners of
// holes and the inward corners that open. The result lies within limit·|d| of the
// source, and nowhere nearer than |d|. A limit below 1 counts as 1, one above 100 as 100.
func OffsetSharp(r Region, d, limit, tol float64) (Region, error) {
	if math.IsNaN(limit) {
		return Region{}, &Fault{RuleFinite, Point{}, "the limit of a sharp corner is not a number"}
	}
	return offset(r, d, tol, min(max(limit, 1), 100))
}

func offset(r Region, d, tol, limit float64) (Region, error) {
	if err := checkNumbers(tol, d, r); err != nil {
		return Region{}, err
	}
	if math.Abs(d) <= tol {
		return Union(tol, r) // no more than tidied
	}
	raw := weighted{curves: make([]curve, 0, 2*r.size()), weights: make([]winds, 0, 2*r.size())}
	o := offsetter{d: d, tol: tol, limit: limit, raw: &raw}
	for _, c := range r.contours {
		o.contour(c)
	}
	result, simple := o.simple()
	if !simple {
		var err error
		if result, err = solve(raw, tol, func(w winds) bool { return w[0] >= 1 }); err != nil {
			return Region{}, err
		}
	}
	return result, CheckOffset(r, d, result, 4*tol)
}

// size is the number of vertices.
func (r Region) size() int {
	n := 0
	for _, c := range r.contours {
		n += len(c.vertices)
	}
	return n
}

// offsetter collects the raw curve. The boundary moves to its right by d, so
// that d is positive when the region grows.
type offsetter struct {
	d, tol, limit float64
	raw           *weighted
	loops         []int // where the raw curve of each contour begins
}

// lane is the parallel of one segment: from start to end with the same included
// angle, or, collapsed, the centre.
type lane struct {
	source        Segment
	start, end    Point
	before, after Point // unit right normals at the ends of the source
	collapsed     bool
	meets         bool    // its end is the next one's start, nothing goes between
	trim          float64 // how much shorter the corner at its end makes it and the next one, mm
}

func (o *offsetter) contour(c Contour) {
	lanes := o.lanes(c)
	if len(lanes) == 0 {
		return
	}
	o.meet(lanes)
	o.loops = append(o.loops, len(o.raw.curves))
	for i := range lanes {
		l := &lanes[i]
		if !l.collapsed {
			o.add(Segment{l.start, l.end, l.source.Bulge})
		}
		if !l.meets {
			o.join(l, &lanes[(i+1)%len(lanes)])
		}
	}
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
		case l.collapsed || m.collapsed:
		case o.smooth(sine, cosine):
			l.meets = true
			l.end = m.start
		case l.source.Bulge == 0 && m.source.Bulge == 0 && !o.opens(sine, cosine):
			l.trim = math.Abs(o.d * sine / (1 + cosine))
		}
	}
	for i := range lanes {
		k, l := &lanes[(i+len(lanes)-1)%len(lanes)], &lanes[i]
		if k.trim+l.trim >= l.source.Chord()-o.tol {
			k.trim, l.trim = 0, 0 // it would vanish or turn around
		}
	}
	for i := range lanes {
		l, m := &lanes[i], &lanes[(i+1)%len(lanes)]
		if l.trim > 0 && l.trim < m.source.Chord() {
			l.meets = true
			l.end = m.source.A.Add(l.after.Add(m.before).Scale(o.d / (1 + l.after.Dot(m.before))))
			m.start = l.end
		}
	}
}

// smooth reports whether the boundary goes on straight, as far as the offset can tell.
func (o *offsetter) smooth(sine, cosine float64) bool {
	return math.Abs(sine*o.d) <= o.tol*1e-3 && cosine > 0
}

// lanes are the parallels of all segments that have a length.
func (o *offsetter) lanes(c Contour) []lane {
	lanes := make([]lane, 0, len(c.vertices)+2)
	for s := range c.Segments() {
		switch {
		case s.isPoint():
		case math.Abs(s.Bulge) > 1:
			first, second := s.halves()
			lanes = append(lanes, o.lane(first), o.lane(second))
		default:
			lanes = append(lanes, o.lane(s))
		}
	}
	return lanes
}

func (o *offsetter) lane(s Segment) lane {
	l := lane{source: s, before: right(s.startTangent()), after: right(s.endTangent())}
	// Moving right, an arc that turns right loses radius.
	if k := s.Curvature(); k*o.d < 0 && math.Abs(o.d)*math.Abs(k) >= 1-o.tol*math.Abs(k)/2 {
		l.collapsed = true
		l.start = s.Center()
		l.end = l.start
		return l
	}
	l.start = s.A.Add(l.before.Scale(o.d))
	l.end = s.B.Add(l.after.Scale(o.d))
	return l
}

func right(p Point) Point { return Point{p.Y, -p.X} }

func (o *offsetter) add(s Segment) { o.raw.add(s, winds{1, 0}) }

// join goes from the end of l to the start of m, the lane after the corner.
func (o *offsetter) join(l, m *lane) {
	corner := m.source.A
	sine, cosine := l.after.Cross(m.before), l.after.Dot(m.before)
	if !o.smooth(sine, cosine) && o.opens(sine, cosine) {
		o.openCorner(l, m, corner, math.Atan2(sine, cosine))
		return
	}
	o.add(Segment{l.end, corner, 0})
	o.add(Segment{corner, m.start, 0})
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
	from, to := corner.Add(l.after.Scale(o.d)), corner.Add(m.before.Scale(o.d))
	if l.collapsed {
		o.add(Segment{l.end, from, 0})
	}
	// A sharp corner reaches |d| / cos(turn/2).
	if half := math.Cos(turn / 2); half*o.limit > 1 {
		tip := corner.Add(l.after.Add(m.before).unit().Scale(o.d / half))
		o.add(Segment{from, tip, 0})
		o.add(Segment{tip, to, 0})
	} else {
		o.add(Segment{from, to, math.Tan(turn / 4)})
	}
	if m.collapsed {
		o.add(Segment{to, m.start, 0})
	}
}

// CheckOffset returns nil if no point of the boundary of result is nearer than
// |d| - slack mm to the boundary of source, and each of its contours lies on the
// right side of it; else a *Fault that names the place. It measures the true
// distance between lines and arcs, pair by pair where they are near, and shares
// nothing with the way Offset finds its result. What it does not see is a part of
// the result that is missing.
func CheckOffset(source Region, d float64, result Region, slack float64) error {
	reach := math.Abs(d) - slack
	if !(reach > 0) || result.Empty() {
		return nil
	}
	index := newSegmentIndex(source)
	for _, c := range result.contours {
		for s := range c.Segments() {
			if err := index.keepsAway(s, d, reach); err != nil {
				return err
			}
		}
		if p := c.vertices[0].Point; index.contains(p, slack) != (d < 0) {
			return &Fault{RuleTooNear, p, fmt.Sprintf("the offset by %g mm lies on the wrong side of its source", d)}
		}
	}
	return nil
}

func (x *segmentIndex) keepsAway(s Segment, d, reach float64) error {
	if math.Abs(s.Bulge) > 1 {
		first, second := s.halves()
		return errors.Join(x.keepsAway(first, d, reach), x.keepsAway(second, d, reach))
	}
	c := newCurve(s)
	if near, p, _ := x.nearest(&c, reach); near < reach {
		return &Fault{RuleTooNear, p, fmt.Sprintf("the offset by %g mm is only %.9g mm from its source", d, near)}
	}
	return nil
}
