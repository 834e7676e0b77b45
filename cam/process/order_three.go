package process

import "iter"

// Three edges of a tour for three others, after Lin, "Computer solutions of the
// traveling salesman problem" (1965), and Lin and Kernighan (1973), from memory.
//
// Without the edge t1-t2 the tour is a way that begins at t2 and ends at t1; places
// are numbered along it from 0. t2 is joined to a near place t3, an edge beside t3 is
// taken out, t3-t4, and its end t4 joined to t1, or to a near place t5, of which an
// edge t5-t6 goes as well, and t6 is joined to t1. As long as the sum of what is out
// less what is in gains, and only then, it is worth going on. With i and j the
// numbers of t3 and t5, the ways that come out are
//
//	twoEdges    t4 = i-1                        i-1..0, i..
//	turnedEnd   t4 = i-1, t6 = j-1 behind i     j-1..i, 0..i-1, j..
//	turnedIn    t4 = i-1, t6 = j+1 before i     j+1..i-1, j..0, i..
//	swapped     t4 = i+1, t6 = j+1              j+1..i, 0..j, i+1..
//	turnedBoth  t4 = i+1, t6 = j-1              j-1..0, i..j, i+1..
type moveKind uint8

const (
	twoEdges moveKind = iota
	turnedEnd
	turnedIn
	swapped
	turnedBoth
)

// edges is a move, and how much it shortens the tour; 0 for none.
type edges struct {
	kind                   moveKind
	t1, t2, t3, t4, t5, t6 int32
	gain                   float64
}

// secondNear is how many near places are tried for the second join; tried with 5 and 8.
const secondNear = 5

// search looks for the best move without the edge t1-t2.
type search struct {
	*route
	t1, t2  int32
	forward bool // t2 comes after t1
	best    edges
}

// three is the best move that takes out the edge from t1 to the place beside it.
func (r *route) three(t1 int32, forward bool) edges {
	s := search{route: r, t1: t1, t2: r.beside(t1, forward), forward: forward}
	open := r.d(t1, s.t2)
	for _, to := range r.near[s.t2] {
		gain := open - to.distance
		if gain <= gainUM {
			break
		}
		i := s.number(to.place)
		if s.far(i) {
			continue
		}
		if i > 1 {
			s.back(to.place, i, gain)
		}
		if i > 0 && to.place != t1 {
			s.on(to.place, i, gain)
		}
	}
	return s.best
}

// number of a place on the way from t2 to t1.
func (s *search) number(c int32) int32 {
	k := s.pos[c] - s.pos[s.t2]
	if !s.forward {
		k = -k
	}
	if k < 0 {
		k += int32(len(s.order))
	}
	return k
}

// far reports whether a turn from t2 up to that number, and of the rest, is too long.
func (s *search) far(i int32) bool { return min(i, int32(len(s.order))-i) > longestTurn }

// back takes out the edge before t3.
func (s *search) back(t3, i int32, gain float64) {
	t4 := s.beside(t3, !s.forward)
	gain += s.d(t3, t4)
	s.try(edges{twoEdges, s.t1, s.t2, t3, t4, t4, t4, gain})
	for t5, gain := range s.second(t4, gain) {
		switch j := s.number(t5); {
		case s.far(j):
		case j > i:
			s.last(turnedEnd, t3, t4, t5, s.beside(t5, !s.forward), gain)
		case j < i-2:
			s.last(turnedIn, t3, t4, t5, s.beside(t5, s.forward), gain)
		}
	}
}

// on takes out the edge behind t3, which leaves a ring from t2 to t3 to be opened.
func (s *search) on(t3, i int32, gain float64) {
	t4 := s.beside(t3, s.forward)
	gain += s.d(t3, t4)
	for t5, gain := range s.second(t4, gain) {
		j := s.number(t5)
		if j >= i || s.far(j) {
			continue
		}
		s.last(swapped, t3, t4, t5, s.beside(t5, s.forward), gain)
		if j > 0 {
			s.last(turnedBoth, t3, t4, t5, s.beside(t5, !s.forward), gain)
		}
	}
}

// second are the places to join t4 to, and what is gained with that.
func (s *search) second(t4 int32, gain float64) iter.Seq2[int32, float64] {
	return func(yield func(int32, float64) bool) {
		list := s.near[t4]
		for _, to := range list[:min(secondNear, len(list))] {
			left := gain - to.distance
			if left <= s.best.gain || !yield(to.place, left) {
				return
			}
		}
	}
}

func (s *search) last(kind moveKind, t3, t4, t5, t6 int32, gain float64) {
	s.try(edges{kind, s.t1, s.t2, t3, t4, t5, t6, gain + s.d(t5, t6)})
}

// try joins the end to t1 and keeps the move when it is the best so far.
func (s *search) try(m edges) {
	if m.gain -= s.d(m.t6, s.t1); m.gain > max(s.best.gain, gainUM) {
		s.best = m
	}
}

// make changes the tour.
func (r *route) make(m edges) {
	switch m.kind {
	case twoEdges:
		r.exchange(m.t1, m.t2, m.t4, m.t3)
	case turnedEnd, turnedIn:
		r.exchange(m.t1, m.t2, m.t4, m.t3)
		r.exchange(m.t1, m.t4, m.t6, m.t5)
	case swapped:
		r.move(m.t1, m.t2, m.t5, m.t6, m.t3, m.t4)
	case turnedBoth:
		r.exchange(m.t1, m.t2, m.t6, m.t5)
		r.exchange(m.t2, m.t5, m.t3, m.t4)
	}
	r.push(m.t1, m.t2, m.t3, m.t4, m.t5, m.t6)
}
