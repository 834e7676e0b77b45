package process

import (
	"math"
	"slices"

	"traywright/geometry"
)

// The order, the directions and the beginnings of strokes that are drawn, for a short way between them.
//
//  1. The order of a tour through their middles.
//  2. Directions: exactly the best for that order, by two costs for each stroke, one for each direction that it
//     may have, each the least over those of the stroke before.
//  3. Strokes that do better a few places before or behind go there, and a few turn about, with the best directions.
//  4. Closed ones begin at the vertex that is best for the ways to and from it.

// wayCost is what it costs to get from the end of one stroke to the beginning of the next.
type wayCost func(from, to geometry.Path) float64

// apart is how far that is.
func apart(from, to geometry.Path) float64 { return endOf(from).DistanceTo(beginOf(to)) }

func beginOf(p geometry.Path) geometry.Point { return p.Vertices()[0].Point }

func endOf(p geometry.Path) geometry.Point {
	v := p.Vertices()
	return v[len(v)-1].Point
}

const (
	strokesAside = 4     // how many places a stroke may move in its order at a time
	mostMoved    = 2_000 // strokes; of more only the directions are chosen
	leastSaving  = 1e-6  // less is rounding
)

// orderPaths is the paths in the order and direction in which to draw them. Those of no length are left out.
func orderPaths(home geometry.Point, paths []geometry.Path, cost wayCost) []geometry.Path {
	var list []geometry.Path
	var middles []geometry.Point
	for _, p := range paths {
		if p.Length() > 0 {
			box := p.Bounds()
			list, middles = append(list, p), append(middles, box.Min.Add(box.Max).Scale(0.5))
		}
	}
	o := strokes{home: geometry.NewPath(geometry.Vertex{Point: home}), cost: cost, known: map[[2]int]float64{}}
	for _, i := range tour(home, middles) {
		o.ways = append(o.ways, [2]geometry.Path{list[i], list[i].Reverse()})
		o.order = append(o.order, 2*len(o.order))
	}
	o.turn(0, len(o.order))
	if len(o.order) <= mostMoved {
		for o.shift() {
		}
	}
	return o.begin()
}

// strokes are being ordered. Each is known by twice its number, and one more where it is drawn from its end.
type strokes struct {
	home  geometry.Path
	ways  [][2]geometry.Path
	order []int
	cost  wayCost
	known map[[2]int]float64
}

func (o *strokes) path(k int) geometry.Path { return o.ways[k/2][k%2] }

// between is what the way from the stroke before a place of the order to another stroke costs.
func (o *strokes) between(from, to int) float64 {
	if from < 0 {
		return o.cost(o.home, o.path(to))
	}
	key := [2]int{from, to}
	v, ok := o.known[key]
	if !ok {
		v = o.cost(o.path(from), o.path(to))
		o.known[key] = v
	}
	return v
}

// at is the stroke at a place of the order; -1 is home, before the first.
func (o *strokes) at(i int) int {
	if i < 0 {
		return -1
	}
	return o.order[i]
}

// way is what the ways to the strokes from one place of the order on to another cost, with that to the one behind.
func (o *strokes) way(first, end int) float64 {
	sum := 0.0
	for i := first; i <= end && i < len(o.order); i++ {
		sum += o.between(o.at(i-1), o.order[i])
	}
	return sum
}

// turn gives the strokes from one place of the order up to another their best directions.
func (o *strokes) turn(first, end int) {
	n := end - first
	from := make([][2]int, n+1) // the direction before, of each
	var least [2]float64
	for i := range n + 1 {
		at := first + i
		if at == len(o.order) {
			from[i] = [2]int{pick(least), 0}
			break
		}
		var next [2]float64
		for d := range 2 {
			to := o.order[at]&^1 + d
			if i == n { // this one stays as it is
				to = o.order[at]
			}
			if i == 0 {
				next[d] = o.between(o.at(at-1), to)
				continue
			}
			before := o.order[at-1] &^ 1
			ways := [2]float64{least[0] + o.between(before, to), least[1] + o.between(before+1, to)}
			from[i][d] = pick(ways)
			next[d] = ways[from[i][d]]
		}
		least = next
	}
	for i, d := n, 0; i > 0; i-- {
		d = from[i][d]
		o.order[first+i-1] = o.order[first+i-1]&^1 + d
	}
}

// pick is the lesser of two; the first where they are alike.
func pick(v [2]float64) int {
	if v[1] < v[0]-leastSaving {
		return 1
	}
	return 0
}

// shift moves strokes to where they do better, or turns a few about, and reports whether any were.
func (o *strokes) shift() bool {
	any := false
	for i := range o.order {
		for to := max(0, i-strokesAside); to <= min(len(o.order)-1, i+strokesAside); to++ {
			first, end := min(i, to), max(i, to)+1
			any = o.try(first, end, func(list []int) {
				if k := list[i-first]; to > i {
					copy(list, list[1:])
					list[len(list)-1] = k
				} else {
					copy(list[1:], list)
					list[0] = k
				}
			}) || to > i && o.try(first, end, slices.Reverse[[]int]) || any
		}
	}
	return any
}

// try changes the order from one place up to another, turns what is there as is best, and keeps it where it costs less.
func (o *strokes) try(first, end int, change func(list []int)) bool {
	was, before := o.way(first, end), slices.Clone(o.order[first:end])
	change(o.order[first:end])
	o.turn(first, end)
	if o.way(first, end) < was-leastSaving {
		return true
	}
	copy(o.order[first:end], before)
	return false
}

// begin is the strokes in their order, closed ones from where they are best begun.
func (o *strokes) begin() []geometry.Path {
	list := make([]geometry.Path, len(o.order))
	for i, k := range o.order {
		list[i] = o.path(k)
	}
	last := o.home
	for i, p := range list {
		if beginOf(p) == endOf(p) {
			rest := func(q geometry.Path) float64 {
				if i+1 == len(list) {
					return 0
				}
				return o.cost(q, list[i+1])
			}
			least := o.cost(last, p) + rest(p)
			for at := range len(p.Vertices()) - 1 {
				q := begunAt(p, at)
				if c := o.cost(last, q) + rest(q); c < least-leastSaving {
					list[i], least = q, c
				}
			}
		}
		last = list[i]
	}
	return list
}

// begunAt is a closed path from another of its vertices.
func begunAt(p geometry.Path, at int) geometry.Path {
	v := p.Vertices()
	n := len(v) - 1
	list := make([]geometry.Vertex, 0, n+1)
	for i := range n {
		list = append(list, v[(at+i)%n])
	}
	return geometry.NewPath(append(list, geometry.Vertex{Point: v[at].Point})...)
}

// alongPath is where a path comes nearest to a place: how far along it, and how far away.
func alongPath(p geometry.Path, to geometry.Point) (mm, off float64) {
	done := 0.0
	off = math.Inf(1)
	for s := range p.Segments() {
		q, share := s.Nearest(to)
		if d := q.DistanceTo(to); d < off-tieMM {
			mm, off = done+share*s.Length(), d
		}
		done += s.Length()
	}
	return mm, off
}
