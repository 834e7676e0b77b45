package geometry

import "math"

// Nearly every offset is in general position: where two parts of the raw curve meet
// they cross, in the midst of both, and no third one is near. Then the result can be
// traced without an arrangement. The plan:
//
//  1. Find all crossings of the raw curve, its ways by the corners left out, and cut
//     it there to pieces (findCrossings, cut).
//  2. No place of the raw curve is farther than |d| from the source, and the boundary of
//     the result is where it is not nearer either. From crossing to crossing a run of
//     pieces is all boundary or not at all, so one place of each, its longest piece's
//     middle, is measured (runs). A run that ends loose, at a corner that closes or an arc
//     without a parallel, is nearer there.
//  3. At every crossing one run of the boundary must end and one begin, on the other
//     curve, or none; so they close to contours (contours).
//
// Whatever is near to a tolerance of being otherwise - grazing, touching, coincident,
// three at a place, a distance that is neither |d| nor clearly less - goes to the
// arrangement instead, which takes everything. So does a sharp corner, whose tip is
// farther than |d| away.

// nearInTol is how many tolerances apart things must be in general position.
const nearInTol = 4

// tracer holds the pieces of the raw curve.
type tracer struct {
	*offsetter
	crossings []crossing
	firstCut  []int32 // curve -> its first cut; one more at the end
	pieces    []part  // those of a curve follow each other
	hid       [4]int  // the source segments that the last places were too near to
}

// crossing is where two raw curves cross, with the runs of the boundary that end and
// begin there, -1 for none.
type crossing struct {
	at           Point
	curves       [2]int32
	shares       [2]float64
	ends, begins int32
}

// part is a piece of a raw curve, between crossings or its ends (-1).
type part struct {
	curve    int32
	from, to int32
	t0, t1   float64
	seen     bool
	led      bool // the end of another curve leads to it
}

// boundaryRun is a row of pieces between two crossings, or closed (-1).
type boundaryRun struct {
	first, last int32 // pieces
	from, to    int32 // crossings
	used        bool
}

// traceable reports whether nothing of the raw curve is too small or too sharp by itself.
func (o *offsetter) traceable() bool { return o.generic && o.shortest > shortInTol*o.tol }

// traced is the result, and false if the raw curve may not be in general position.
func (o *offsetter) traced(room *offsetRoom) (Region, bool) {
	if !o.traceable() {
		return Region{}, false
	}
	crossings, ok := o.findCrossings()
	if !ok {
		return Region{}, false
	}
	t := tracer{offsetter: o, crossings: crossings}
	first := room.first[:]
	if n := o.curves + 2; n > len(first) {
		first = make([]int32, n)
	}
	var cuts []cut
	t.firstCut, cuts = sortedCuts(crossings, first[:o.curves+2])
	pieces := room.pieces[:0]
	if n := o.curves + len(cuts); n > cap(pieces) {
		pieces = make([]part, 0, n)
	}
	if t.pieces, ok = t.cut(cuts, pieces); !ok {
		return Region{}, false
	}
	runs, ok := t.runs(room.runs[:0])
	if !ok || !t.balanced(runs) {
		return Region{}, false
	}
	return inOrder(t.contours(runs), o.tol), true
}

// cut makes the pieces: those of curve i begin at number i + firstCut[i].
func (t *tracer) cut(cuts []cut, pieces []part) ([]part, bool) {
	for i := range t.curves {
		at, share := int32(-1), 0.0
		for _, c := range cuts[t.firstCut[i]:t.firstCut[i+1]] {
			if (c.t-share)*t.raw[i].length <= nearInTol*t.tol && !t.hides(t.crossings[c.vertex].at) {
				return nil, false
			}
			pieces = append(pieces, part{curve: int32(i), from: at, to: c.vertex, t0: share, t1: c.t})
			at, share = c.vertex, c.t
		}
		pieces = append(pieces, part{curve: int32(i), from: at, to: -1, t0: share, t1: 1})
	}
	for _, next := range t.next[:t.curves] {
		if next >= 0 {
			pieces[next+t.firstCut[next]].led = true
		}
	}
	return pieces, true
}

// sortedCuts deals the crossings out to their curves and there, where they are few,
// puts them in the order of travel. first, of two more than there are curves, becomes
// the first cut of every curve and one more at the end.
func sortedCuts(crossings []crossing, first []int32) ([]int32, []cut) {
	clear(first)
	for i := range crossings {
		first[crossings[i].curves[0]+2]++
		first[crossings[i].curves[1]+2]++
	}
	for i := 2; i < len(first); i++ {
		first[i] += first[i-1]
	}
	if len(crossings) == 0 {
		return first[:len(first)-1], nil
	}
	sorted := make([]cut, 2*len(crossings))
	for i := range crossings {
		for k, curve := range crossings[i].curves {
			c := cut{curve, int32(i), crossings[i].shares[k]}
			at := first[curve+1]
			first[curve+1]++
			for ; at > 0 && sorted[at-1].curve == curve && sorted[at-1].t > c.t; at-- {
				sorted[at] = sorted[at-1]
			}
			sorted[at] = c
		}
	}
	return first[:len(first)-1], sorted
}

// follow is the piece after i on its way, -1 at a loose end or a crossing.
func (t *tracer) follow(i int32) int32 {
	p := &t.pieces[i]
	if p.to >= 0 {
		return -1
	}
	next := t.next[p.curve]
	if next < 0 {
		return -1
	}
	return next + t.firstCut[next]
}

// runs lists the runs that are boundary. It passes by those that begin loose, takes
// those that begin at a crossing, and then what is left, which is closed.
func (t *tracer) runs(runs []boundaryRun) ([]boundaryRun, bool) {
	for i := range t.pieces {
		if p := &t.pieces[i]; p.from < 0 && !p.led {
			t.walk(int32(i))
		}
	}
	for _, closed := range [2]bool{false, true} {
		for i := range t.pieces {
			if p := &t.pieces[i]; p.seen || !closed && p.from < 0 {
				continue
			}
			run, middle, loose := t.walk(int32(i))
			if loose {
				continue
			}
			boundary, clear := t.isBoundary(middle)
			if !clear {
				return nil, false
			}
			if boundary {
				runs = append(runs, run)
			}
		}
	}
	return runs, true
}

// walk follows a run from its first piece, and finds the middle of its longest one.
func (t *tracer) walk(i int32) (run boundaryRun, middle Point, loose bool) {
	run = boundaryRun{first: i, from: t.pieces[i].from}
	longest, best := -1.0, i
	for j := i; j >= 0 && !t.pieces[j].seen; j = t.follow(j) {
		p := &t.pieces[j]
		p.seen = true
		if length := (p.t1 - p.t0) * t.raw[p.curve].length; length > longest {
			longest, best = length, j
		}
		run.last = j
	}
	run.to = t.pieces[run.last].to
	p := &t.pieces[best]
	loose = run.to < 0 && t.follow(run.last) < 0
	return run, t.raw[p.curve].At((p.t0 + p.t1) / 2), loose
}

// isBoundary measures whether the place p of the raw curve is nearer than |d| to the
// source; clear if that can be told.
func (t *tracer) isBoundary(p Point) (boundary, clear bool) {
	near := t.distanceTo(p)
	off, sure := t.tol/8, false
	if size := math.Abs(p.X) + math.Abs(p.Y); t.sure && size < t.tol*(1<<46) {
		off, sure = min(off, size/(1<<49)), true // eight times what a double is off there
	}
	boundary = near >= math.Abs(t.d)-off
	return boundary, boundary || sure || near < math.Abs(t.d)-t.tol
}

// distanceTo is the distance of p from the source, or |d| if that is less; clearly below |d| it need
// not be the least. What hid one of the places before, or what follows it there, mostly hides this one.
func (t *tracer) distanceTo(p Point) float64 {
	enough, best, place := math.Abs(t.d)-t.tol, math.Abs(t.d), p.probe()
	for k, hid := range t.hid {
		for i := hid; i < min(hid+2, len(t.source.curves)); i++ {
			if near := t.source.curves[i].nearest(p).DistanceTo(p); near < enough {
				t.hid[k] = i
				return near
			}
		}
	}
	t.source.near(&place, &best, func(i int) bool {
		if best = min(best, t.source.curves[i].nearest(p).DistanceTo(p)); best < enough {
			copy(t.hid[1:], t.hid[:])
			t.hid[0] = i
		}
		return best >= enough
	})
	return best
}

// balanced joins the runs at the crossings.
func (t *tracer) balanced(runs []boundaryRun) bool {
	for i, r := range runs {
		if r.from < 0 {
			continue
		}
		from, to := &t.crossings[r.from], &t.crossings[r.to]
		if from.begins >= 0 || to.ends >= 0 {
			return false
		}
		from.begins, to.ends = int32(i), int32(i)
	}
	for _, c := range t.crossings {
		if (c.begins < 0) != (c.ends < 0) {
			return false
		}
		if c.begins >= 0 && t.pieces[runs[c.begins].first].curve == t.pieces[runs[c.ends].last].curve {
			return false
		}
	}
	return true
}

// contours follows the runs around.
func (t *tracer) contours(runs []boundaryRun) []Contour {
	var contours []Contour
	for i := range runs {
		var vertices []Vertex
		for r := &runs[i]; !r.used; {
			r.used = true
			vertices = t.appendRun(vertices, r)
			if r.to >= 0 {
				r = &runs[t.crossings[r.to].begins]
			}
		}
		if len(vertices) > 0 {
			contours = append(contours, Contour{vertices})
		}
	}
	return contours
}

// appendRun adds a run's segments, neighbours on one line or circle joined up to a
// half circle.
func (t *tracer) appendRun(vertices []Vertex, r *boundaryRun) []Vertex {
	if vertices == nil {
		vertices = make([]Vertex, 0, 8)
	}
	for i := r.first; i >= 0; {
		p := &t.pieces[i]
		c := &t.raw[p.curve]
		sweep, n := c.sweep*(p.t1-p.t0), 1
		at, bulge := t.start(p), c.Bulge
		if p.from >= 0 || p.to >= 0 {
			bulge = c.bulgeBetween(p.t0, p.t1, at.DistanceTo(t.end(p)))
		}
		for ; ; n++ {
			i = t.follow(i)
			if i < 0 || i == r.first {
				i = -1
				break
			}
			p := &t.pieces[i]
			next := &t.raw[p.curve]
			more := next.sweep * (p.t1 - p.t0)
			if !c.continues(next, t.tol/64) || math.Abs(sweep+more) >= math.Pi+1e-9 {
				break
			}
			sweep += more
		}
		if n > 1 && c.k != 0 {
			bulge = math.Tan(sweep / 4)
		}
		vertices = append(vertices, Vertex{at, bulge})
	}
	return vertices
}

func (t *tracer) start(p *part) Point {
	if p.from >= 0 {
		return t.crossings[p.from].at
	}
	return t.raw[p.curve].A
}

func (t *tracer) end(p *part) Point {
	if p.to >= 0 {
		return t.crossings[p.to].at
	}
	return t.raw[p.curve].B
}

// continues reports whether next goes on along the line or circle of c, to within
// rounding mm.
func (c *curve) continues(next *curve, rounding float64) bool {
	if (c.k == 0) != (next.k == 0) || c.k*next.k < 0 || !(c.off(next.B) <= rounding) || !(c.off(next.A) <= rounding) {
		return false
	}
	if c.k == 0 {
		return c.tangent.Dot(next.tangent) > 0
	}
	return c.off(next.center.Add(next.middle.Scale(next.radius))) <= rounding
}
