package geometry

import "math"

// Where |d| is many times the length of the segments, nearly all of the raw curve is
// nearer than |d| to some other part of the source, and every place of it crosses
// hundreds of others. Such parts never bound the result, so they are left out before
// anything is compared with anything. Among the thousands of crossings that remain a few
// are always near to another, for which the trace needs a finer tolerance and, seldom,
// another distance.

const (
	// denseCurves is how many raw curves there are at least where hidden parts are looked
	// for, and crowdedPairs how many pairs of them a curve before a trace gives up.
	denseCurves  = 256
	crowdedPairs = 24

	// Of many curves each sampledCurve-th is asked first, a prime because drawings repeat
	// themselves: where these meet surelyCrowded times as many, all need not be counted.
	manyCurves    = 4096
	sampledCurve  = 31
	surelyCrowded = 2

	// stepsInReach is how many of the shortest parts that are told apart make |d|.
	stepsInReach = 128

	// searchedDepth is how many times a part is halved between two searches for what hides
	// it: most of those that are hidden are so by what hid the part before.
	searchedDepth = 4

	// shiftInTol is the part of a tolerance by which the distance is changed, at most
	// so often, where both looks found something undecided.
	shiftInTol  = 0.125
	denseShifts = 4
)

// thinBand is the share of its box that the band between a source and its offset takes at least
// where parts of the raw curve hide each other in numbers.
const thinBand = 1e-3

// wideBand reports whether looking for hidden parts may pay.
func (o *offsetter) wideBand() bool {
	long, box := 0.0, EmptyBox()
	for i := range o.source.curves {
		long += o.source.curves[i].length
		box = box.Union(o.source.curves[i].Bounds())
	}
	return long*math.Abs(o.d) > thinBand*box.Width()*box.Height()
}

// look is one by so much finer than the tolerance, at crossings of so small a sine at least.
type look struct {
	finer, grazing float64
	sure           bool // what is not boundary is hidden, however little
}

// finerTraced are the second and the third look, the last still at a hundred times what a double
// is off at the size of a sheet.
var finerTraced = [...]look{{1 << 10, 2e-5, false}, {1 << 16, 1e-6, true}}

// dense is the offset, found from its visible parts and checked; false where that cannot be.
// The raw curve is then as it was before.
func (o *offsetter) dense(ends []int32) (Region, bool) {
	d, few := o.d, offsetRoom{}
	for shift := range denseShifts {
		if shift > 0 {
			o.move(d+float64(shift)*shiftInTol*o.tol, ends)
		}
		if !o.generic {
			continue // it would not be traced
		}
		visible := o.visible()
		result, ok := visible.traced(&few)
		for i := 0; !ok && i < len(finerTraced); i++ {
			result, ok = visible.tracedFiner(&few, finerTraced[i])
		}
		if ok && o.source.check(d, result, 4*o.tol) == nil {
			return result, true
		}
	}
	o.move(d, ends)
	return Region{}, false
}

// crowded reports whether a sample of many curves meets so many others that a trace
// would surely give up.
func crowded(raw []curve, tree *boxTree, near float64) bool {
	if len(raw) < manyCurves {
		return false
	}
	pairs, most := 0, 2*surelyCrowded*crowdedPairs*len(raw)/sampledCurve // each is met from both sides
	for i := 0; i < len(raw) && pairs <= most; i += sampledCurve {
		p := raw[i].probe(near)
		tree.visit(&p, func(int) bool {
			pairs++
			return pairs <= most
		})
	}
	return pairs > most
}

// tracedFiner traces to a small part of the tolerance and tidies what comes out to the
// tolerance itself.
func (o *offsetter) tracedFiner(few *offsetRoom, by look) (Region, bool) {
	fine := *o
	fine.tol /= by.finer
	fine.look = by
	result, ok := fine.traced(few)
	if !ok {
		return Region{}, false
	}
	result, err := Union(o.tol, result)
	return result, err == nil
}

// visible is the offsetter with the raw curve cut down to the parts that may be
// |d| away from the source.
func (o *offsetter) visible() *offsetter {
	v := *o
	v.raw, v.next, v.shortest, v.kept = make([]curve, 0, o.curves), make([]int32, 0, o.curves), math.Inf(1), new(boxTree)
	h := hiding{offsetter: o, reach: math.Abs(o.d) - (hiddenInTol+nearInTol)*o.tol, asked: Point{math.NaN(), 0}}
	first := make([]int32, o.curves) // the part that begins where the curve does, -1 for none
	var open []int32                 // the parts that end where their curve does
	for i := range o.curves {
		first[i] = -1
		for _, share := range h.parts(&o.raw[i]) {
			n := int32(len(v.raw))
			if share[0] == 0 {
				first[i] = n
			}
			next := int32(-1)
			if share[1] == 1 && o.next[i] >= 0 {
				next = o.next[i]
				open = append(open, n)
			}
			c := newCurve(o.raw[i].Part(share[0], share[1]))
			v.raw, v.next = append(v.raw, c), append(v.next, next)
			v.shortest = min(v.shortest, c.length)
		}
	}
	for _, n := range open {
		v.next[n] = first[v.next[n]]
	}
	v.curves = len(v.raw)
	return &v
}

// hiding looks for the parts of raw curves that are clearly nearer than |d| to the source.
type hiding struct {
	*offsetter
	reach float64 // mm from the source, under which a place is hidden
	last  [4]int  // the source segments that hid the last parts, each once
	asked Point   // the place that was asked last whether it sees the source, and the answer
	saw   bool
}

// parts lists the shares of c that are not known to be hidden, neighbours joined.
func (h *hiding) parts(c *curve) (parts [][2]float64) {
	shortest := math.Abs(h.d) / stepsInReach
	var look func(t0, t1 float64, from, to Point, depth int)
	look = func(t0, t1 float64, from, to Point, depth int) {
		middle := (t0 + t1) / 2
		part := hiddenPart{from, c.At(middle), to, (t1 - t0) * c.length / 2, 0}
		part.sagitta = math.Abs(c.k) * part.half * part.half / 2
		short := (t1-t0)*c.length <= shortest
		hidden, seen := h.hidden(&part, short || depth%searchedDepth == 0)
		if hidden {
			return
		}
		if !short && !(seen && h.sees(from) && h.sees(to)) {
			look(t0, middle, from, part.middle, depth+1)
			look(middle, t1, part.middle, to, depth+1)
			return
		}
		if n := len(parts); n > 0 && parts[n-1][1] == t0 {
			parts[n-1][1] = t1
		} else {
			parts = append(parts, [2]float64{t0, t1})
		}
	}
	look(0, 1, c.A, c.B, 0)
	return parts
}

// hidden proves that a part of a raw curve is nearer than reach: because its middle is, by
// more than half its length, or because both of its ends are so near to one straight
// segment, from which the distance is a convex function. Else seen tells whether the
// middle is not.
func (h *hiding) hidden(part *hiddenPart, search bool) (hidden, seen bool) {
	// What hid one of the parts before, or what follows it there, mostly hides this one.
	for k, last := range h.last {
		for e := last; e < min(last+4, len(h.source.curves)); e++ {
			if part.behind(&h.source.curves[e], h.reach) {
				h.last[k] = e
				return true, false
			}
		}
	}
	if !search {
		return false, false
	}
	best, by, place := h.reach, -1, part.middle.probe()
	h.source.near(&place, &best, func(i int) bool {
		if d := h.source.curves[i].nearest(part.middle).DistanceTo(part.middle); d < best {
			best, by = d, i
		}
		hidden = by == i && part.behind(&h.source.curves[i], h.reach)
		return !hidden
	})
	if hidden {
		copy(h.last[1:], h.last[:])
		h.last[0] = by
	}
	return hidden, by < 0
}

// sees reports whether no part of the source is nearer to p than reach.
func (h *hiding) sees(p Point) bool {
	if p != h.asked { // the end of a part is where the next one begins
		h.asked, h.saw = p, h.source.distanceTo(p, h.reach, h.reach) >= h.reach
	}
	return h.saw
}

// roundedOff is more than what rounding can be off, as a share of a distance.
const roundedOff = 1e-6

// hiddenPart is a part of a raw curve: its ends and middle, half its length, and by how
// much it bulges at most.
type hiddenPart struct {
	from, middle, to Point
	half, sagitta    float64
}

// behind proves that all of the part is nearer than reach to e.
func (p *hiddenPart) behind(e *curve, reach float64) bool {
	off := e.nearest(p.middle).DistanceTo(p.middle)
	if off < reach-p.half {
		return true
	}
	// Its middle is no farther than its ends and the sagitta, so most need no more than that.
	return e.k == 0 && off < reach*(1+roundedOff) && max(e.nearest(p.from).DistanceTo(p.from), e.nearest(p.to).DistanceTo(p.to))+p.sagitta < reach
}
