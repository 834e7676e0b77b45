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

// runs are the stretches of a closed way of n places in which something is, each in the order of the way.
func runs(n int, is func(place int) bool) (list [][]int) {
	first := 0
	for first < n && is(first) {
		first++
	}
	inside := false
	for k := range n {
		i := (first + k) % n
		was := inside
		switch inside = is(i); {
		case inside && was:
			list[len(list)-1] = append(list[len(list)-1], i)
		case inside:
			list = append(list, []int{i})
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
func (x *index) nearAny(p geometry.Point) (is bool) {
	x.near(p, probeStepMM, func(s *sweep) bool {
		is = p.DistanceTo(s.a) <= s.radius+probeStepMM
		return !is
	})
	return is
}
