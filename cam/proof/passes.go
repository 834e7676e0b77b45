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

// laid is what the passes over a motion's path add up to.
type laid struct {
	pass  int            // its own number, 1 for the first; 0 of what does not cut
	mm    float64        // how deep the foam is cut behind it, at the least
	inAll float64        // and when all is done
	at    geometry.Point // where that is
}

// stretch is a part of a path, 0 to 1, over which another pass goes.
type stretch struct {
	from, to float64
	mm       float64 // how deep that one goes
	earlier  bool
}

// layPasses adds up the passes over each motion's path; passMM is how deep each
// goes, 0 for those that do not cut.
func (d *run) layPasses(passMM func(motion int) float64) []laid {
	var list []sweep
	laid := make([]laid, len(d.result.Motions))
	each := make([]float64, len(laid))
	for i, m := range d.result.Motions {
		if each[i] = passMM(i); each[i] > 0 {
			list = append(list, sweepsOf(i, m, 0, 0, 0)...)
		}
	}
	x := newIndex(list)
	for i := range list {
		s := &list[i]
		var covered []stretch
		for _, j := range x.meeting(s.bounds().Grow(samePathMM)) {
			other := &list[j]
			if other.motion == s.motion {
				continue
			}
			if c, ok := s.coveredBy(other); ok {
				c.mm, c.earlier = each[other.motion], other.motion < s.motion
				covered = append(covered, c)
			}
		}
		laid[s.motion].take(s, covered, each[s.motion])
	}
	return laid
}

// take adds a sweep of the motion: the least of its sweeps counts.
func (l *laid) take(s *sweep, covered []stretch, own float64) {
	first := l.pass == 0
	unseen := unseenMM / math.Max(s.length(), unseenMM)
	pass, mm, inAll, at := leastCover(covered, unseen)
	if pass++; first || pass < l.pass {
		l.pass = pass
	}
	if mm += own; first || mm < l.mm {
		l.mm = mm
	}
	if inAll += own; first || inAll < l.inAll {
		l.inAll, l.at = inAll, s.at(at)
	}
}

// coveredBy is the part of the path along which another runs.
func (s *sweep) coveredBy(other *sweep) (stretch, bool) {
	part := stretch{from: math.Inf(1), to: math.Inf(-1)}
	add := func(t float64) { part.from, part.to = math.Min(part.from, t), math.Max(part.to, t) }
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

// leastCover is the least that a place of the path is gone over: how many earlier
// passes, how deep they go, and how deep all passes but its own, with that place.
// Pieces shorter than unseen are left out.
func leastCover(covered []stretch, unseen float64) (passes int, mm, inAll, at float64) {
	ends := []float64{0, 1}
	for _, c := range covered {
		ends = append(ends, c.from, c.to)
	}
	slices.Sort(ends)
	passes, mm, inAll, at = math.MaxInt, math.Inf(1), math.Inf(1), 0.5
	for i := 1; i < len(ends); i++ {
		if ends[i]-ends[i-1] <= unseen {
			continue
		}
		n, before, all := 0, 0.0, 0.0
		middle := (ends[i] + ends[i-1]) / 2
		for _, c := range covered {
			if c.from > middle || middle > c.to {
				continue
			}
			all += c.mm
			if c.earlier {
				n, before = n+1, before+c.mm
			}
		}
		passes, mm = min(passes, n), math.Min(mm, before)
		if all < inAll {
			inAll, at = all, middle
		}
	}
	if passes < math.MaxInt {
		return passes, mm, inAll, at
	}
	passes, mm, inAll = 0, 0, 0 // nothing but pieces that are left out: whatever goes over them counts
	for _, c := range covered {
		inAll += c.mm
		if c.earlier {
			passes, mm = passes+1, mm+c.mm
		}
	}
	return passes, mm, inAll, at
}
