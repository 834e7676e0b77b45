package proof

import (
	"math"

	"traywright/geometry"
)

// index finds the sweeps near a place: a tree of groups of those that lie together. What
// is asked for is looked for where it may be best first, and where it cannot be better than
// what is found not at all: a cutter's radius holds thousands of the moves around a fine wall,
// and one or two of them decide. Not for use by two goroutines at once.
type index struct {
	sweeps []sweep
	widest float64   // greatest radius
	pieces []int32   // of which sweep each is: a long one is in more than one group
	levels [][]group // of groupOf pieces each, and up to the few that hold all
	seen   []int32   // of each sweep, the last query that met it
	query  int32
	found  []int32
}

// group is sweeps that lie together.
type group struct {
	box     geometry.Box // of their paths
	deepest float64
	widest  float64 // of their radii
	first   int32   // of their motions
}

const (
	groupOf = 8
	// pieceMM is how long a piece may be: the box of a long way aslant holds much that it
	// is not near. For very much in all it is more, as there are at most mostPieces of what is cut up.
	pieceMM    = 2
	mostPieces = 1_000_000
)

// piece is the k-th part of a sweep of as many as parts.
type piece struct{ sweep, k, parts int32 }

// newIndex takes sweeps as they are; it does not copy them.
func newIndex(sweeps []sweep) *index {
	x := &index{sweeps: sweeps}
	length := 0.0
	for i := range sweeps {
		x.widest = math.Max(x.widest, sweeps[i].radius)
		length += sweeps[i].length()
	}
	each := math.Max(pieceMM, length/mostPieces)
	pieces := make([]piece, 0, len(sweeps))
	for i := range sweeps {
		n := int32(math.Max(1, math.Ceil(sweeps[i].length()/each)))
		for k := range n {
			pieces = append(pieces, piece{int32(i), k, n})
		}
	}
	if len(pieces) > 0 {
		x.build(pieces)
	}
	return x
}

func (x *index) build(pieces []piece) {
	order := geometry.Neighbours(len(pieces), func(i int) geometry.Box { return x.boxOf(pieces[i]) })
	x.pieces = make([]int32, len(order))
	level := make([]group, 0, len(order)/groupOf+1)
	for k, i := range order {
		s := &x.sweeps[pieces[i].sweep]
		if x.pieces[k] = pieces[i].sweep; k%groupOf == 0 {
			level = append(level, noGroup)
		}
		level[len(level)-1].add(group{x.boxOf(pieces[i]), s.deepest(), s.radius, int32(s.motion)})
	}
	x.levels = append(x.levels, level)
	for len(level) > groupOf {
		above := make([]group, 0, len(level)/groupOf+1)
		for i, g := range level {
			if i%groupOf == 0 {
				above = append(above, noGroup)
			}
			above[len(above)-1].add(g)
		}
		level = above
		x.levels = append(x.levels, level)
	}
}

// boxOf is the box of a piece's path.
func (x *index) boxOf(p piece) geometry.Box {
	s := &x.sweeps[p.sweep]
	if p.parts == 1 {
		return s.bounds().Grow(roundingMM)
	}
	part := s.part(float64(p.k)/float64(p.parts), float64(p.k+1)/float64(p.parts))
	return part.bounds().Grow(roundingMM)
}

// roundingMM is more than rounding does to a place.
const roundingMM = 1e-9

var noGroup = group{geometry.EmptyBox(), math.Inf(-1), 0, math.MaxInt32}

func (g *group) add(h group) {
	*g = group{g.box.Union(h.box), max(g.deepest, h.deepest), max(g.widest, h.widest), min(g.first, h.first)}
}

// meets reports whether the group's box meets another.
func (g *group) meets(b geometry.Box) bool {
	return g.box.Min.X <= b.Max.X && b.Min.X <= g.box.Max.X && g.box.Min.Y <= b.Max.Y && b.Min.Y <= g.box.Max.Y
}

// from is how far all of the group's paths are from a place at least.
func (g *group) from(p geometry.Point) float64 {
	dx := max(g.box.Min.X-p.X, p.X-g.box.Max.X, 0)
	dy := max(g.box.Min.Y-p.Y, p.Y-g.box.Max.Y, 0)
	return math.Sqrt(dx*dx+dy*dy) - roundingMM
}

// quest is what is looked for: the least says of each group what none of its sweeps is
// less than, +Inf of one that has none to offer.
type quest struct {
	least func(g *group) float64
	found func(i int32) (most float64) // with what is not less than that most there is nothing to gain
	most  float64
}

// ask shows a quest the sweeps, some of them more than once.
func (x *index) ask(q *quest) {
	if top := len(x.levels) - 1; top >= 0 {
		x.descend(q, top, 0, len(x.levels[top]))
	}
}

func (x *index) descend(q *quest, level, from, to int) {
	var order [groupOf]int
	var least [groupOf]float64
	n := 0
	for i := from; i < to; i++ {
		l := q.least(&x.levels[level][i])
		if !(l < q.most) {
			continue
		}
		at := n
		for ; at > 0 && least[at-1] > l; at-- {
			order[at], least[at] = order[at-1], least[at-1]
		}
		order[at], least[at] = i, l
		n++
	}
	for k, i := range order[:n] {
		if !(least[k] < q.most) {
			return
		}
		if level > 0 {
			x.descend(q, level-1, i*groupOf, min((i+1)*groupOf, len(x.levels[level-1])))
			continue
		}
		for _, sweep := range x.pieces[i*groupOf : min((i+1)*groupOf, len(x.pieces))] {
			q.most = q.found(sweep)
		}
	}
}

// clearance is f(p) at a depth and the motion that makes it, the first of those that are
// as near, looked for as far as far mm; far and -1 where nothing is.
func (x *index) clearance(p geometry.Point, depth, far float64) (float64, int) {
	return x.nearest(p, depth, far, func(s *sweep) float64 { return s.radiusAt(depth) }, func(g *group) float64 { return g.widest })
}

// nearestMiddle is the distance to the nearest path that is cut to a depth, and
// its motion; farMarkMM and the last motion where none is near.
func (x *index) nearestMiddle(p geometry.Point, depth float64) (float64, int) {
	return x.nearest(p, depth, farMarkMM, func(*sweep) float64 { return 0 }, func(*group) float64 { return 0 })
}

// nearest is the least distance from a path that is cut to a depth, less what it is wide.
func (x *index) nearest(p geometry.Point, depth, far float64, wide func(*sweep) float64, most func(*group) float64) (float64, int) {
	best, at := far, int32(-1)
	x.ask(&quest{
		least: func(g *group) float64 {
			if g.deepest < depth {
				return math.Inf(1)
			}
			return g.from(p) - most(g)
		},
		found: func(i int32) float64 {
			s := &x.sweeps[i]
			if s.deepest() < depth {
				return best
			}
			if f := s.distance(p, depth) - wide(s); f < best || f == best && i < at {
				best, at = f, i
			}
			return best
		},
		most: far,
	})
	if at < 0 {
		return far, -1
	}
	return best, x.sweeps[at].motion
}

// firstReach is the first motion that cuts to within tol mm of a place.
func (x *index) firstReach(p geometry.Point, depth, tol float64) (motion int, ok bool) {
	first := math.Inf(1)
	x.ask(&quest{
		least: func(g *group) float64 {
			if g.deepest < depth || g.from(p) > g.widest+tol {
				return math.Inf(1)
			}
			return float64(g.first)
		},
		found: func(i int32) float64 {
			if s := &x.sweeps[i]; s.deepest() >= depth && float64(s.motion) < first && s.distance(p, depth)-s.radiusAt(depth) <= tol {
				first = float64(s.motion)
			}
			return first
		},
		most: first,
	})
	if math.IsInf(first, 1) {
		return 0, false
	}
	return int(first), true
}

// depthAt is the greatest depth to which some sweep reaches within tol mm of a place.
func (x *index) depthAt(p geometry.Point, tol float64) (depth float64, motion int) {
	motion = -1
	x.ask(&quest{
		least: func(g *group) float64 {
			if g.from(p) > g.widest+tol {
				return math.Inf(1)
			}
			return -g.deepest
		},
		found: func(i int32) float64 {
			s := &x.sweeps[i]
			if s.deepest() <= depth {
				return -depth
			}
			reach := *s
			reach.radius = s.radiusAt(s.deepest()) + tol
			if d, ok := reach.depthOver(p); ok && d > depth {
				depth, motion = d, s.motion
			}
			return -depth
		},
	})
	return depth, motion
}

// near shows the sweeps whose paths may come within d and their radius of p, some of them
// more than once, until found wants no more.
func (x *index) near(p geometry.Point, d float64, found func(s *sweep) (more bool)) {
	x.ask(&quest{
		least: func(g *group) float64 { return g.from(p) - g.widest },
		found: func(i int32) float64 {
			if d == math.Inf(-1) || !found(&x.sweeps[i]) {
				d = math.Inf(-1)
			}
			return d
		},
		most: d,
	})
}

// cutBefore reports whether a place lies within a kerf of what was cut by a
// motion up to that one: a beam that closes or runs on in its own kerf touches
// nothing.
func (x *index) cutBefore(p geometry.Point, motion int) (before bool) {
	x.near(p, 2*x.widest+roundingMM, func(s *sweep) bool {
		before = s.motion <= motion && s.distance(p, 0) <= 3*s.radius
		return !before
	})
	return before
}

// laterCut is the first sweep after a motion whose middle lies in a box and
// where within holds; nil for none.
func (x *index) laterCut(motion int, box geometry.Box, within func(geometry.Point) bool) *sweep {
	var first *sweep
	most := math.Inf(1)
	x.ask(&quest{
		least: func(g *group) float64 {
			if !g.meets(box) {
				return math.Inf(1)
			}
			return float64(g.first)
		},
		found: func(i int32) float64 {
			s := &x.sweeps[i]
			if s.motion <= motion || float64(s.motion) >= most {
				return most
			}
			if p := s.at(0.5); p.X > box.Min.X && p.X < box.Max.X && p.Y > box.Min.Y && p.Y < box.Max.Y && within(p) {
				first, most = s, float64(s.motion)
			}
			return most
		},
		most: most,
	})
	return first
}

// meeting is the sweeps whose paths may meet a box, each once. The list is valid until the
// next call.
func (x *index) meeting(b geometry.Box) []int32 {
	if x.seen == nil {
		x.seen = make([]int32, len(x.sweeps))
	}
	x.found = x.found[:0]
	x.query++
	if top := len(x.levels) - 1; top >= 0 {
		x.meet(b, top, 0, len(x.levels[top]))
	}
	return x.found
}

// meet adds those of some groups. It asks each of a million paths, and so it makes nothing that
// has to be cleared away.
func (x *index) meet(b geometry.Box, level, from, to int) {
	for i := from; i < to; i++ {
		first, behind := i*groupOf, (i+1)*groupOf
		switch {
		case !x.levels[level][i].meets(b):
		case level > 0:
			x.meet(b, level-1, first, min(behind, len(x.levels[level-1])))
		default:
			for _, sweep := range x.pieces[first:min(behind, len(x.pieces))] {
				if x.seen[sweep] != x.query {
					x.seen[sweep] = x.query
					x.found = append(x.found, sweep)
				}
			}
		}
	}
}
