package geometry

import (
	"math"
	"slices"
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
// Where the raw curve is in general position, as it nearly always is, the same is found
// sooner by tracing it from crossing to crossing (offset_trace.go).
//
// It takes n log n time. Where |d| is many times the length of the segments, what is
// hidden behind others is left out first (offset_dense.go), and the distance of the result
// from the source may differ from |d| by half a tol.
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
		return Region{}, &Fault{ruleFinite, Point{}, "the limit of a sharp corner is not a number"}
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
	if r.size() > fewInOffset {
		return offsetMany(r, d, tol, limit)
	}
	var few offsetRoom
	o, ends := newOffsetter(r, d, tol, limit, &few)
	o.gather(ends, few.lanes[:0])
	if result, ok := o.traced(&few); ok && o.source.check(d, result, 4*tol) == nil {
		return result, nil
	}
	return o.arrangedFiner()
}

// offsetMany is offset for more segments than there is room for on the stack.
func offsetMany(r Region, d, tol, limit float64) (Region, error) {
	o, ends := newOffsetter(r, d, tol, limit, &offsetRoom{})
	o.gather(ends, nil)
	if !o.traceable() {
		o.smoothInTol = looseInTol
		o.move(d, ends)
	}
	if result, ok := o.traced(&offsetRoom{}); ok && o.source.check(d, result, 4*tol) == nil {
		return result, nil
	}
	if o.curves >= denseCurves && limit <= 1 && o.wideBand() {
		if result, ok := o.dense(ends); ok {
			return result, nil
		}
	}
	return o.arrangedFiner()
}

// arrangedFiner is the result of the first arrangement that closes and passes the check.
func (o *offsetter) arrangedFiner() (Region, error) {
	var first error
	for _, finer := range finerArranged {
		result, err := o.arranged(o.tol / finer)
		if err == nil && finer > 1 {
			result, err = Union(o.tol, result)
		}
		if err == nil {
			err = o.source.check(o.d, result, 4*o.tol)
		}
		if err == nil {
			return result, nil
		}
		if first == nil {
			first = err
		}
	}
	return Region{}, first
}

// finerArranged is by how much finer than the tolerance the arrangement is looked at, in
// turn: a boundary of many parts hardly longer than the tolerance closes only at a coarser
// one, whose result is then too near, and a finer one tells them apart.
var finerArranged = [...]float64{1, 8, 64}

// fewInOffset is how many segments the room of an offset is for.
const fewInOffset = 16

// offsetRoom is what the offset of a common pocket needs besides its result. It is
// for the stack: as long as no method below keeps a slice of it, none is made on the heap.
type offsetRoom struct {
	source [fewInOffset]curve
	ends   [fewInOffset]int32
	raw    [3 * fewInOffset]curve
	next   [3 * fewInOffset]int32
	links  [2 * fewInOffset]Segment
	lanes  [fewInOffset]lane
	pieces [2 * fewInOffset]part
	runs   [fewInOffset]boundaryRun
	first  [2*fewInOffset + 2]int32
}

// appendTo adds the curves of all contours, and where those of each end.
func (r Region) appendTo(curves []curve, ends []int32) ([]curve, []int32) {
	if n := r.size(); n > cap(curves) {
		curves, ends = make([]curve, 0, n), make([]int32, 0, len(r.contours))
	}
	for _, c := range r.contours {
		curves = c.appendTo(curves)
		ends = append(ends, int32(len(curves)))
	}
	return curves, ends
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
	smoothInTol   float64
	source        segmentIndex
	raw           []curve   // the first curves of them: parallels and the arcs of corners that open
	next          []int32   // the raw curve that begins where this one ends, -1 for none
	links         []Segment // the first linked: ways by the corners that close, and to the centres of arcs that have no parallel
	curves        int
	linked        int
	loose         int32    // the raw curve whose end waits for a next one, -1 for none
	generic       bool     // nothing is so sharp, and no arc so small, that traced must not be tried
	shortest      float64  // length of a raw curve, mm
	kept          *boxTree // place for a tree of a raw curve that is traced more than once, nil for none
	look
}

func newOffsetter(r Region, d, tol, limit float64, few *offsetRoom) (o offsetter, ends []int32) {
	source, ends := r.appendTo(few.source[:0], few.ends[:0])
	o = offsetter{
		d: d, tol: tol, limit: limit, source: indexOf(source), generic: true, shortest: math.Inf(1), smoothInTol: smoothInTol, look: look{1, grazing, false},
		raw: few.raw[:], next: few.next[:], links: few.links[:],
	}
	if n := len(source); n > fewInOffset {
		o.links = nil
		if limit > 1 {
			n += n / 2 // a sharp corner is two lines
		}
		o.raw, o.next = make([]curve, 2*n), make([]int32, 2*n)
	}
	return o, ends
}

// gather makes the raw curve of the contours that end at those places of the source.
func (o *offsetter) gather(ends []int32, lanes []lane) {
	from := int32(0)
	for _, end := range ends {
		if n := int(end - from); n > cap(lanes) {
			lanes = make([]lane, 0, n)
		}
		lanes = lanes[:0]
		for ; from < end; from++ {
			lanes = append(lanes, o.lane(from))
		}
		o.meet(lanes)
		o.contour(lanes)
	}
}

// move makes the raw curve of another distance in the place of the one there is.
func (o *offsetter) move(d float64, ends []int32) {
	o.d, o.curves, o.linked, o.generic, o.shortest = d, 0, 0, true, math.Inf(1)
	o.gather(ends, nil)
}

// contour adds the raw curve of one contour.
func (o *offsetter) contour(lanes []lane) {
	first := int32(o.curves)
	o.loose = -1
	for i := range lanes {
		l, m := &lanes[i], &lanes[(i+1)%len(lanes)]
		if !l.collapsed {
			o.add(Segment{l.start, l.end, o.bulge(l)})
		}
		if !l.meets {
			o.join(l, m)
		}
	}
	if o.loose >= 0 && (!lanes[0].collapsed || lanes[0].point) {
		o.next[o.loose] = first
	}
}

// arranged reads the result off an arrangement, to within tol, of the whole raw curve.
func (o *offsetter) arranged(tol float64) (Region, error) {
	in := weighted{curves: slices.Concat(o.raw[:o.curves])}
	in.weigh(winds{1, 0})
	for _, s := range o.links[:o.linked] {
		in.add(s, winds{1, 0})
	}
	return solve(in, tol, func(w winds) bool { return w[0] >= 1 })
}

// shortInTol is how many tolerances long a raw curve must be for traced.
const shortInTol = 8

// add adds a raw curve, which follows the one before it if that one's end is loose.
func (o *offsetter) add(s Segment) {
	if s.isPoint() {
		o.generic = false
		return
	}
	n := int32(o.curves)
	c := newCurve(s)
	if o.loose >= 0 {
		o.next[o.loose] = n
	}
	o.raw[n], o.next[n], o.loose = c, -1, n
	o.curves++
	o.shortest = min(o.shortest, c.length)
}

// link adds a way that only closes the raw curve; the result never runs along it.
func (o *offsetter) link(from, to Point) {
	if o.links == nil {
		o.links = make([]Segment, 2*len(o.source.curves))
	}
	o.links[o.linked] = Segment{from, to, 0}
	o.linked++
	o.loose = -1
}
