package proof

import (
	"math"

	"traywright/geometry"
)

// Walls are measured exactly, not on the field. Every wanted wall is probed at
// its vertices, at the middle of every arc and every half mm between. A probe p
// at some depth has
//
//	f(p) = least, over all moves that reach that depth, of
//	       distance from p to the move's path less the disc's radius.
//
// What is removed is where f <= 0. So f(p) > 0 is how much foam is left
// between p and the cut: an undercut. And f(p) < 0 means that some disc reaches
// -f(p) beyond p: an overcut, for a disc whose centre is where it may be. Both
// follow from exact distances to lines and arcs; only the choice of probes is a
// sample. A disc whose centre is somewhere else altogether is found on the
// field: see floor.go.

// probeStepMM is the greatest distance between two probes on a wall.
const probeStepMM = 0.5

// probe is a place on a wanted wall.
type probe struct {
	at  geometry.Point
	out geometry.Point // unit, away from what is to be cut
}

// fineStepMM is the step where a cut begins or ends near the wall: a gap that
// is left there may be narrow, and foam stands only at its middle.
const fineStepMM = 0.01

// probesOf is the probes of a contour that has the material to be cut on its
// left: an outer contour counter-clockwise, a hole clockwise. Near a place for
// which fine holds they are closer.
func probesOf(c geometry.Contour, fine func(geometry.Point) bool) []probe {
	var list []probe
	for s := range c.Segments() {
		length := s.Length()
		if !(length > 0) {
			continue
		}
		n := int(math.Ceil(length / probeStepMM))
		if s.IsArc() {
			n = max(n+n%2, 2)
		}
		for i := range n {
			t, parts := float64(i)/float64(n), 1
			if fine(s.At(t + 0.5/float64(n))) {
				parts = int(math.Ceil(length / float64(n) / fineStepMM))
			}
			for part := range parts {
				t := t + float64(part)/float64(parts*n)
				list = append(list, probe{s.At(t), s.Tangent(t).Left().Scale(-1)})
			}
		}
	}
	return list
}

// farMM is how far from a wall a cut is looked for. An undercut beyond it is
// reported as this much.
const farMM = 20

// miss is how a wall probe missed: by how much, where, and which motion did it
// or came nearest.
type miss struct {
	by     float64
	at     geometry.Point
	motion int
}

func (m *miss) worse(by float64, at geometry.Point, motion int) {
	if by > m.by {
		*m = miss{by, at, motion}
	}
}

// clearance is f(p) at a depth and the motion that makes it, looked for as far
// as far mm; far and -1 where nothing is.
func (x *index) clearance(p geometry.Point, depth, far float64) (float64, int) {
	best, motion := far, -1
	for _, i := range x.near(p, x.widest+far) {
		s := &x.sweeps[i]
		if s.deepest() < depth {
			continue
		}
		if f := s.distance(p, depth) - s.radiusAt(depth); f < best {
			best, motion = f, s.motion
		}
	}
	return best, motion
}

// search is clearance that begins near and looks farther while nothing is found.
func (x *index) search(p geometry.Point, depth float64) (float64, int) {
	for far := 0.5; far < farMM; far *= 6 {
		if f, motion := x.clearance(p, depth, far); motion >= 0 {
			return f, motion
		}
	}
	return x.clearance(p, depth, farMM)
}

// index finds the sweeps near a place: a grid of cells, each with the sweeps
// whose bounds meet it. Not for use by two goroutines at once.
type index struct {
	sweeps        []sweep
	widest        float64 // greatest radius
	origin        geometry.Point
	cell          float64
	columns, rows int
	from          []int32 // of each cell, where its list begins in items
	items         []int32
	seen          []int32 // of each sweep, the last query that met it
	query         int32
	found         []int32
}

// maxItems bounds the index's memory, 4 bytes each; its cells grow where the
// paths are too long for it.
const maxItems = 40_000_000

// newIndex takes sweeps as they are; it does not copy them.
func newIndex(sweeps []sweep) *index {
	x := &index{sweeps: sweeps, seen: make([]int32, len(sweeps))}
	box, length := geometry.EmptyBox(), 0.0
	for i := range sweeps {
		own := sweeps[i].bounds()
		box = box.Union(own)
		length += own.Width() + own.Height()
		x.widest = math.Max(x.widest, sweeps[i].radius)
	}
	if len(sweeps) == 0 {
		return x
	}
	x.origin = box.Min
	x.cell = math.Max(2, math.Sqrt(box.Width()*box.Height()/float64(4*len(sweeps)+1000)))
	x.cell = math.Max(x.cell, math.Max(box.Width(), box.Height())/1000)
	x.cell = math.Max(x.cell, 4*length/maxItems)
	x.columns = int(box.Width()/x.cell) + 1
	x.rows = int(box.Height()/x.cell) + 1
	x.fill()
	return x
}

// fill counts, then places: two passes without a slice for each cell.
func (x *index) fill() {
	counts := make([]int32, x.columns*x.rows+1)
	for i := range x.sweeps {
		x.along(&x.sweeps[i], func(cell int) { counts[cell+1]++ })
	}
	for c := 1; c < len(counts); c++ {
		counts[c] += counts[c-1]
	}
	x.from = counts
	x.items = make([]int32, counts[len(counts)-1])
	next := append([]int32(nil), counts...)
	for i := range x.sweeps {
		x.along(&x.sweeps[i], func(cell int) {
			x.items[next[cell]] = int32(i)
			next[cell]++
		})
	}
}

// along calls visit with the cells that a path runs through, and perhaps some
// beside: a point of it is never farther from the middle of its cell than half
// the cell's diagonal. A cell may come more than once.
func (x *index) along(s *sweep, visit func(cell int)) {
	reach := x.cell * 0.7072
	box := s.bounds()
	for row := x.step(box.Min.Y-x.origin.Y, x.rows); row <= x.step(box.Max.Y-x.origin.Y, x.rows); row++ {
		list, n := s.spans(x.origin.Y+(float64(row)+0.5)*x.cell, reach)
		for _, span := range list[:n] {
			c0 := max(x.step(span.low-x.origin.X, x.columns), x.step(box.Min.X-x.origin.X, x.columns))
			c1 := min(x.step(span.high-x.origin.X, x.columns), x.step(box.Max.X-x.origin.X, x.columns))
			for c := c0; c <= c1; c++ {
				visit(row*x.columns + c)
			}
		}
	}
}

// cells calls visit with every cell that a box meets.
func (x *index) cells(b geometry.Box, visit func(cell int)) {
	c0, c1 := x.step(b.Min.X-x.origin.X, x.columns), x.step(b.Max.X-x.origin.X, x.columns)
	r0, r1 := x.step(b.Min.Y-x.origin.Y, x.rows), x.step(b.Max.Y-x.origin.Y, x.rows)
	for r := r0; r <= r1; r++ {
		for c := c0; c <= c1; c++ {
			visit(r*x.columns + c)
		}
	}
}

// step is the cell at a distance from the origin, within the grid.
func (x *index) step(distance float64, count int) int {
	return int(math.Min(math.Max(math.Floor(distance/x.cell), 0), float64(count-1)))
}

// near is the sweeps that may come within d of p: see meeting.
func (x *index) near(p geometry.Point, d float64) []int32 {
	return x.meeting(geometry.Box{Min: p, Max: p}.Grow(d))
}

// meeting is the sweeps whose paths may meet a box, each once, in no order. The
// list is valid until the next call.
func (x *index) meeting(b geometry.Box) []int32 {
	x.found = x.found[:0]
	if len(x.sweeps) == 0 {
		return nil
	}
	x.query++
	x.cells(b, func(cell int) {
		for _, i := range x.items[x.from[cell]:x.from[cell+1]] {
			if x.seen[i] != x.query {
				x.seen[i] = x.query
				x.found = append(x.found, i)
			}
		}
	})
	return x.found
}

// looseEnds is an index of the places where cutting begins or ends.
func looseEnds(sweeps []sweep) *index {
	var ends []sweep
	add := func(p geometry.Point, s *sweep) {
		ends = append(ends, sweep{a: p, b: p, edge: edge{s.radius, upright}})
	}
	for i := range sweeps {
		s := &sweeps[i]
		if i == 0 || sweeps[i-1].b != s.a || sweeps[i-1].motion < s.motion-1 {
			add(s.a, s)
		}
		if i+1 == len(sweeps) || sweeps[i+1].a != s.b || sweeps[i+1].motion > s.motion+1 {
			add(s.b, s)
		}
	}
	return newIndex(ends)
}

// nearAny reports whether any of the index's places is within its radius and a
// probe's step of p.
func (x *index) nearAny(p geometry.Point) bool {
	for _, i := range x.near(p, x.widest+probeStepMM) {
		if s := &x.sweeps[i]; p.DistanceTo(s.a) <= s.radius+probeStepMM {
			return true
		}
	}
	return false
}
