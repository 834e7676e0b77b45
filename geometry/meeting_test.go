package geometry

import (
	"cmp"
	"math"
	"slices"
)

// meeting is how two segments meet.
type meeting int

const (
	apart    meeting = iota // they have no point in common
	touch                   // they have a point in common but do not cross: tangent, or at an end
	cross                   // they go from one side of each other to the other, once or twice
	runAlong                // they have a whole stretch in common
)

// String is the kind in words, as in "run along".
func (m meeting) String() string {
	return [...]string{"apart", "touch", "cross", "run along"}[m]
}

// intersect tells how two segments meet, and where, in order along s: no point for
// apart, every point for touch and cross, the ends of the common stretches for
// runAlong. What is nearer than tol mm has met. A segment of no length or with
// numbers that are not finite meets nothing.
func intersect(s, u Segment, tol float64) (meeting, []Point) {
	if !s.finite() || !u.finite() || !(tol > 0) {
		return apart, nil
	}
	var first, second weighted
	first.add(s, winds{})
	second.add(u, winds{})
	m := meeter{tol: tol}
	for i := range first.curves {
		for j := range second.curves {
			m.meet(&first.curves[i], &second.curves[j], [4]Point{s.A, s.B, u.A, u.B})
		}
	}
	return m.result(s, u)
}

// contact is a place where two segments meet; crossing if they change sides there.
type contact struct {
	at       Point
	crossing bool
}

// meeter gathers contacts, each place once.
type meeter struct {
	tol      float64
	contacts []contact
}

func (m *meeter) meet(c, e *curve, ends [4]Point) {
	for _, p := range ends {
		if m.onBoth(c, e, p) {
			m.add(contact{p, false})
		}
	}
	found := wholeHits(c, e)
	// Two hits that are one to within tol are a tangent.
	tangent := found.apart || found.n == 2 && found.at[0].DistanceTo(found.at[1]) <= m.tol
	for _, p := range found.at[:found.n] {
		if m.onBoth(c, e, p) {
			m.add(contact{p, !tangent})
		}
	}
}

func (m *meeter) onBoth(c, e *curve, p Point) bool {
	return c.nearest(p).DistanceTo(p) <= m.tol && e.nearest(p).DistanceTo(p) <= m.tol
}

func (m *meeter) add(c contact) {
	for _, known := range m.contacts {
		if c.at.DistanceTo(known.at) <= m.tol {
			return
		}
	}
	m.contacts = append(m.contacts, c)
}

func (m *meeter) result(s, u Segment) (meeting, []Point) {
	share := func(c contact) float64 {
		_, t := s.Nearest(c.at)
		return t
	}
	slices.SortFunc(m.contacts, func(a, b contact) int { return cmp.Compare(share(a), share(b)) })
	kind := apart
	var points, ends []Point
	along := false
	for i, c := range m.contacts {
		before := along
		along = i+1 < len(m.contacts) && m.alongBetween(s, u, share(c), share(m.contacts[i+1]))
		if along != before {
			ends = append(ends, c.at)
		}
		points = append(points, c.at)
		kind = max(kind, touch)
		if c.crossing {
			kind = cross
		}
	}
	if len(ends) > 0 {
		return runAlong, ends
	}
	return kind, points
}

// alongBetween reports whether s runs along u between two of its places.
func (m *meeter) alongBetween(s, u Segment, from, to float64) bool {
	middle := s.At((from + to) / 2)
	near, _ := u.Nearest(middle)
	return near.DistanceTo(middle) <= m.tol
}

// finite reports whether every number of s is finite.
func (s Segment) finite() bool {
	sum := s.A.X + s.A.Y + s.B.X + s.B.Y + s.Bulge
	return !math.IsNaN(sum - sum)
}
