package proof

import (
	"cmp"
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
	pass  int            // its own number where it has the fewest before it, 1 for the first; 0 of what does not cut
	most  int            // and where it has the most, along two kerfs or more
	mm    float64        // how deep the foam is cut behind it, at the least
	inAll float64        // and when all is done
	own   float64        // mm of it that the beam has gone over since it was lit
	after int            // the last motion before that which went over two kerfs of it or more; -1 for none
	at    geometry.Point // where that is
}

// stretch is a part of a path, 0 to 1, with the passes of another path that goes over it.
type stretch struct {
	from, to float64
	passes   int     // that come earlier
	mm       float64 // how deep those go
	inAll    float64 // and all of them
	last     int     // of them the last that comes earlier
}

// layPasses adds up the passes over each motion's path; passMM is how deep each
// goes, 0 for those that do not cut.
func (d *run) layPasses(passMM func(motion int) float64) []laid {
	laid := make([]laid, len(d.result.Motions))
	each := make([]float64, len(laid))
	n := 0
	for i := range each {
		laid[i].after = -1
		if each[i] = passMM(i); each[i] > 0 {
			n++
		}
	}
	list := make([]sweep, 0, n)
	for i, m := range d.result.Motions {
		if each[i] > 0 {
			list = appendSweeps(list, i, m, 0, 0, 0)
		}
	}
	lit := d.litBy()
	w := newWays(list, each)
	x := newIndex(w.list)
	var over []overlap
	var covered []stretch
	for i := range w.list {
		s := &w.list[i]
		over = over[:0]
		goers, _ := w.goers(i)
		for _, j := range x.meeting(s.bounds().Grow(samePathMM)) {
			if int(j) == i && len(goers) == 1 { // its own one pass is none of another's
				continue
			}
			if from, to, ok := s.coveredBy(&w.list[j]); ok {
				over = append(over, overlap{int(j), from, to})
			}
		}
		slices.SortFunc(over, func(a, b overlap) int { return a.way - b.way })
		for _, motion := range goers {
			covered = w.covered(covered[:0], over, motion, each[motion])
			laid[motion].take(s, covered, each[motion])
			width, _ := d.width(d.result.Motions[motion].Tool)
			again := (2*width + d.runOnMM(motion)) / s.length()
			laid[motion].most = max(laid[motion].most, 1+mostCover(covered, again))
			laid[motion].since(lit[motion], s.length(), 2*width, covered)
		}
	}
	return laid
}

// since adds what has gone over a sweep so long before: since the motion that lit the beam,
// and before that, where it is no mere crossing.
func (l *laid) since(lit int, length, crossing float64, covered []stretch) {
	for _, c := range covered {
		switch over := (c.to - c.from) * length; {
		case c.passes == 0:
		case c.last >= lit:
			l.own += over
		case over >= math.Min(length, crossing):
			l.after = max(l.after, c.last)
		}
	}
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

// ways are paths, each once however often it is gone: a beam that goes to and fro a
// thousand times is two of them.
type ways struct {
	list    []sweep
	from    []int     // of each way, where its motions begin; and the end of all
	motions []int     // that go it, in order
	sums    []float64 // how deep each and those before it on its way go
}

// overlap is a part of a path over which another way goes.
type overlap struct {
	way      int
	from, to float64
}

// newWays sorts the sweeps, and keeps those that differ in the same memory.
func newWays(list []sweep, each []float64) ways {
	slices.SortFunc(list, func(s, t sweep) int { return cmp.Or(alongSame(s, t), cmp.Compare(s.motion, t.motion)) })
	w := ways{list: list[:0], from: make([]int, 0, len(list)+1), motions: make([]int, 0, len(list)), sums: make([]float64, 0, len(list))}
	sum := 0.0
	for _, s := range list {
		if n := len(w.list); n == 0 || alongSame(w.list[n-1], s) != 0 {
			w.list, w.from, sum = append(w.list, s), append(w.from, len(w.motions)), 0
		}
		sum += each[s.motion]
		w.motions, w.sums = append(w.motions, s.motion), append(w.sums, sum)
	}
	w.from = append(w.from, len(w.motions))
	return w
}

// alongSame orders sweeps by their paths, 0 for two that go one way.
func alongSame(s, t sweep) int {
	return cmp.Or(cmp.Compare(s.a.X, t.a.X), cmp.Compare(s.a.Y, t.a.Y), cmp.Compare(s.b.X, t.b.X), cmp.Compare(s.b.Y, t.b.Y),
		cmp.Compare(s.start, t.start), cmp.Compare(s.turn, t.turn), cmp.Compare(s.center.X, t.center.X), cmp.Compare(s.center.Y, t.center.Y))
}

// goers are the motions that go a way, in order, and how deep each and those before
// it go.
func (w *ways) goers(way int) ([]int, []float64) {
	from, to := w.from[way], w.from[way+1]
	return w.motions[from:to], w.sums[from:to]
}

// covered adds to the list the passes of other motions over a motion's path.
func (w *ways) covered(list []stretch, over []overlap, motion int, own float64) []stretch {
	for _, o := range over {
		goers, sums := w.goers(o.way)
		c := stretch{from: o.from, to: o.to, inAll: sums[len(sums)-1]}
		earlier, itself := slices.BinarySearch(goers, motion)
		if itself && len(goers) == 1 {
			continue
		}
		if itself {
			c.inAll -= own
		}
		if c.passes = earlier; earlier > 0 {
			c.mm, c.last = sums[earlier-1], goers[earlier-1]
		}
		list = append(list, c)
	}
	return list
}

// coveredBy is the part of the path along which another runs.
func (s *sweep) coveredBy(other *sweep) (from, to float64, ok bool) {
	from, to = math.Inf(1), math.Inf(-1)
	add := func(t float64) { from, to = math.Min(from, t), math.Max(to, t) }
	for t := range 2 {
		at := other.end(float64(t))
		if s.goesBy(at) {
			add(s.nearestAt(at))
		}
		if other.runsBeside(s.end(float64(t))) {
			add(float64(t))
		}
	}
	if !(from < to) {
		return 0, 0, false
	}
	return from, to, other.goesBy(s.at((from + to) / 2))
}

// goesBy reports whether a place is on the path, or all but.
func (s *sweep) goesBy(p geometry.Point) bool {
	if s.arc { // whatever part of its circle it is; of a million, most are told by a few products
		const aside = samePathMM + roundingMM
		square := func(q geometry.Point) float64 { d := p.Sub(q); return d.Dot(d) }
		inside, outside := math.Max(0, s.r-aside), s.r+aside
		if out := square(s.center); (out < inside*inside || out > outside*outside) && square(s.a) > aside*aside && square(s.b) > aside*aside {
			return false
		}
	}
	return s.distance(p, math.Inf(-1)) <= samePathMM
}

// runsBeside reports whether the path goes by a place, and does not only end near it: of a way in
// pieces of thousandths each ends near the next.
func (s *sweep) runsBeside(p geometry.Point) bool {
	if !s.goesBy(p) {
		return false
	}
	t := s.nearestAt(p)
	return t > 0 && t < 1
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
	if len(covered) == 0 {
		return 0, 0, 0, 0.5
	}
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
		var here stretch
		middle := (ends[i] + ends[i-1]) / 2
		for _, c := range covered {
			if c.from <= middle && middle <= c.to {
				here.add(c)
			}
		}
		passes, mm = min(passes, here.passes), math.Min(mm, here.mm)
		if here.inAll < inAll {
			inAll, at = here.inAll, middle
		}
	}
	if passes < math.MaxInt {
		return passes, mm, inAll, at
	}
	var whole stretch // nothing but pieces that are left out: whatever goes over them counts
	for _, c := range covered {
		whole.add(c)
	}
	return whole.passes, whole.mm, whole.inAll, at
}

// mostCover is how many earlier passes go over some run of the path that is as long as
// a share of it, at the most.
func mostCover(covered []stretch, share float64) int {
	if len(covered) == 0 {
		return 0
	}
	ends := []float64{0, 1}
	for _, c := range covered {
		ends = append(ends, c.from, c.to)
	}
	slices.Sort(ends)
	passes := make([]int, len(ends)) // between an end and the next
	for _, c := range covered {
		from, _ := slices.BinarySearch(ends, c.from)
		to, _ := slices.BinarySearch(ends, c.to)
		for i := from; i < to; i++ {
			passes[i] += c.passes
		}
	}
	levels := slices.Compact(slices.Sorted(slices.Values(passes)))
	for i := len(levels) - 1; i > 0; i-- {
		run := 0.0
		for k, n := range passes[:len(ends)-1] {
			if run += ends[k+1] - ends[k]; n < levels[i] {
				run = 0
			}
			if run >= share {
				return levels[i]
			}
		}
	}
	return levels[0]
}

// add adds the passes of another stretch.
func (s *stretch) add(c stretch) {
	s.passes, s.mm, s.inAll = s.passes+c.passes, s.mm+c.mm, s.inAll+c.inAll
}
