package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// The passes of a beam are counted by where it has been, so that it does not
// matter how a program divides its path: a motion is on its k-th pass where k-1
// earlier ones, together, cover all of it.

const (
	// samePathMM is how far apart two paths may be that are passes of one: arcs may
	// have become chords within half of it.
	samePathMM = 0.012
	// unseenMM is the longest piece that may be left out: far less than a beam is wide.
	unseenMM = 0.03
)

// stretch is a part of a path, 0 to 1.
type stretch struct{ from, to float64 }

// countPasses is for each motion that cuts its pass, 1 for the first; 0 for the
// others.
func (d *run) countPasses(cuts func(motion int) bool) []int {
	var list []sweep
	passes := make([]int, len(d.result.Motions))
	for i, m := range d.result.Motions {
		if cuts(i) {
			list = append(list, sweepsOf(i, m, 0, 0, 0)...)
		}
	}
	x := newIndex(list)
	for i := range list {
		s := &list[i]
		var covered []stretch
		for _, j := range x.meeting(s.bounds().Grow(samePathMM)) {
			if list[j].motion >= s.motion {
				continue
			}
			if c, ok := s.coveredBy(&list[j]); ok {
				covered = append(covered, c)
			}
		}
		k := 1 + leastCover(covered, unseenMM/math.Max(s.length(), unseenMM))
		if passes[s.motion] == 0 || k < passes[s.motion] {
			passes[s.motion] = k
		}
	}
	return passes
}

// coveredBy is the part of the path along which another runs.
func (s *sweep) coveredBy(other *sweep) (stretch, bool) {
	part := stretch{math.Inf(1), math.Inf(-1)}
	add := func(t float64) { part = stretch{math.Min(part.from, t), math.Max(part.to, t)} }
	for t := range 2 {
		at := other.end(float64(t))
		if s.distance(at, math.Inf(-1)) <= samePathMM {
			add(s.nearestAt(at))
		}
		if other.distance(s.end(float64(t)), math.Inf(-1)) <= samePathMM {
			add(float64(t))
		}
	}
	if !(part.from < part.to) {
		return part, false
	}
	middle := s.at((part.from + part.to) / 2)
	return part, other.distance(middle, math.Inf(-1)) <= samePathMM
}

// nearestAt is how far along the path the place is that is nearest to p, 0 to 1.
func (s *sweep) nearestAt(p geometry.Point) float64 {
	if s.arc {
		q := p.Sub(s.center)
		if t, on := s.parameter(math.Atan2(q.Y, q.X)); on {
			return t
		}
		if p.DistanceTo(s.a) < p.DistanceTo(s.b) {
			return 0
		}
		return 1
	}
	way := s.b.Sub(s.a)
	if square := way.Dot(way); square > 0 {
		return math.Min(math.Max(p.Sub(s.a).Dot(way)/square, 0), 1)
	}
	return 0
}

// leastCover is how many of the stretches cover the least covered part of the
// path, pieces shorter than unseen left out.
func leastCover(covered []stretch, unseen float64) int {
	ends := []float64{0, 1}
	for _, c := range covered {
		ends = append(ends, c.from, c.to)
	}
	slices.Sort(ends)
	least := len(covered)
	for i := 1; i < len(ends); i++ {
		if ends[i]-ends[i-1] <= unseen {
			continue
		}
		at, n := (ends[i]+ends[i-1])/2, 0
		for _, c := range covered {
			if c.from <= at && at <= c.to {
				n++
			}
		}
		least = min(least, n)
	}
	return least
}
