package process

import (
	"math"
	"math/rand/v2"
	"slices"

	"traywright/geometry"
)

// A short way through many places.
//
//  1. Nearest neighbour from home, over a grid of cells that hold about two
//     places each.
//  2. 2-opt and Or-opt (moving one to three places in a row elsewhere, turned
//     round or not) among each place's ten nearest, until neither shortens the
//     tour. A queue holds the places whose surroundings have changed.
//  3. Kicks: two neighbouring stretches of the tour change places, step 2
//     repairs what it can around them, and a tour that came out longer is undone.
//
// After Johnson and McGeoch, "The traveling salesman problem: a case study in
// local optimization" (1997), and Bentley, "Fast algorithms for geometric
// traveling salesman problems", ORSA J. Computing 4 (1992). Each step takes
// about n log n time: a turn reverses at most longestTurn places and the number
// of kicks is bounded.
//
// Places are whole micrometres, so that every length is the root of a whole
// number, the same on every processor, and the tour is too.

const (
	neighbours  = 10
	longestTurn = 25_000 // places reversed in one 2-opt move; above, the move is not made
	kicksEach   = 20     // for each place
	mostKicks   = 10_000
	longestKick = 30   // places in each stretch
	gainUM      = 0.01 // µm: less is rounding and no gain
)

// tour is the order in which to visit the points, on a short closed way from
// home through all of them and back, in the direction that leaves the longer of
// the two ways at home for the end, where it is not travelled: the outline, which
// comes next, begins anywhere. The same points give the same order.
func tour(home geometry.Point, points []geometry.Point) []int {
	order := newRoute(append([]geometry.Point{home}, points...)).improve()
	list := make([]int, 0, len(points))
	for _, i := range order[1:] {
		list = append(list, int(i)-1)
	}
	if n := len(list); n > 0 && home.DistanceTo(points[list[n-1]]) < home.DistanceTo(points[list[0]])-tieMM {
		slices.Reverse(list)
	}
	return list
}

// route is a closed tour under improvement.
type route struct {
	x, y  []float64  // µm, whole numbers
	order []int32    // places in the order of the tour
	pos   []int32    // of each place in order
	near  [][]int32  // nearest places of each, nearest first
	queue []int32    // places whose surroundings have changed
	wait  []bool     // in the queue
	log   [][2]int32 // turns made, to undo them
}

func newRoute(points []geometry.Point) *route {
	n := len(points)
	r := &route{x: make([]float64, n), y: make([]float64, n), pos: make([]int32, n), wait: make([]bool, n)}
	for i, p := range points {
		r.x[i], r.y[i] = math.Round(p.X*1000), math.Round(p.Y*1000)
	}
	g := newCells(r.x, r.y)
	r.near = g.nearest(neighbours)
	r.order = g.nearestNeighbourTour()
	for k, i := range r.order {
		r.pos[i] = int32(k)
	}
	return r
}

// improve is the improved order, beginning with place 0.
func (r *route) improve() []int32 {
	if len(r.order) > 3 {
		for _, i := range r.order {
			r.push(i)
		}
		r.settle()
		r.kick()
	}
	k := int(r.pos[0])
	return append(append(make([]int32, 0, len(r.order)), r.order[k:]...), r.order[:k]...)
}

// d is the distance of two places, exact but for one rounding: coordinates are
// whole, and their squares and sum stay below 2^53 up to 60 m.
func (r *route) d(a, b int32) float64 {
	dx, dy := r.x[a]-r.x[b], r.y[a]-r.y[b]
	return math.Sqrt(dx*dx + dy*dy)
}

func (r *route) step(k int32) int32 {
	switch n := int32(len(r.order)); {
	case k < 0:
		return r.order[k+n]
	case k >= n:
		return r.order[k-n]
	}
	return r.order[k]
}

func (r *route) next(a int32) int32 { return r.step(r.pos[a] + 1) }
func (r *route) prev(a int32) int32 { return r.step(r.pos[a] - 1) }

func (r *route) push(places ...int32) {
	for _, a := range places {
		if !r.wait[a] {
			r.wait[a] = true
			r.queue = append(r.queue, a)
		}
	}
}

// settle improves around the queued places until nothing gains. It returns the
// length gained.
func (r *route) settle() float64 {
	gained := 0.0
	for head := 0; head < len(r.queue); head++ {
		a := r.queue[head]
		r.wait[a] = false
		for gain := r.better(a); gain != 0; gain = r.better(a) {
			gained += gain
		}
	}
	r.queue = r.queue[:0]
	return gained
}

// better makes the first move around a that gains, if there is one.
func (r *route) better(a int32) float64 {
	for _, forward := range [2]bool{true, false} {
		if gain := r.twoOpt(a, forward); gain != 0 {
			return gain
		}
	}
	for _, forward := range [2]bool{true, false} {
		if gain := r.orOpt(a, forward); gain != 0 {
			return gain
		}
	}
	return 0
}

// beside is the place after a, or before it.
func (r *route) beside(a int32, forward bool) int32 {
	if forward {
		return r.next(a)
	}
	return r.prev(a)
}

// twoOpt joins a to a near place c and the places beside them to each other.
func (r *route) twoOpt(a int32, forward bool) float64 {
	b := r.beside(a, forward)
	ab := r.d(a, b)
	for _, c := range r.near[a] {
		ac := r.d(a, c)
		if ac >= ab {
			return 0
		}
		d := r.beside(c, forward)
		if gain := ab + r.d(c, d) - ac - r.d(b, d); gain > gainUM && r.turnLength(a, c) <= longestTurn {
			r.exchange(a, b, c, d)
			r.push(a, b, c, d)
			return gain
		}
	}
	return 0
}

// turnLength is about how many places have to be turned round between two.
func (r *route) turnLength(a, b int32) int {
	n := len(r.order)
	inner := int(r.pos[a] - r.pos[b])
	if inner < 0 {
		inner = -inner
	}
	return min(inner, n-inner)
}

// orOpt moves a row of one to three places that begins at a, and goes on in the
// direction away from where it will be joined, to the side of a near place.
func (r *route) orOpt(a int32, forward bool) float64 {
	p := r.beside(a, !forward)
	last := a
	for range 3 {
		q := r.beside(last, forward)
		if q == p {
			return 0
		}
		if gain := r.insert(p, a, last, q, forward); gain != 0 {
			return gain
		}
		last = q
	}
	return 0
}

// insert tries to take the row a..last from between p and q and to put it beside
// a place near a, with a next to that place.
func (r *route) insert(p, a, last, q int32, forward bool) float64 {
	removed := r.d(p, a) + r.d(last, q) - r.d(p, q)
	for _, c := range r.near[a] {
		ca := r.d(c, a)
		if ca >= removed {
			return 0
		}
		if r.within(c, a, last, forward) {
			continue
		}
		for _, side := range [2]bool{true, false} {
			e := r.beside(c, side)
			if r.within(e, a, last, forward) {
				continue
			}
			if gain := removed - ca - r.d(last, e) + r.d(c, e); gain > gainUM && r.turnLength(a, c) <= longestTurn {
				r.move(p, a, last, q, c, e, forward == side)
				r.push(p, a, last, q, c, e)
				return gain
			}
		}
	}
	return 0
}

// within reports whether c is in the row a..last of at most three places.
func (r *route) within(c, a, last int32, forward bool) bool {
	for i := a; ; i = r.beside(i, forward) {
		if i == c {
			return true
		}
		if i == last {
			return false
		}
	}
}

// exchange takes out the edges a-b and c-d, b beside a and d beside c on the same
// side, and puts in a-c and b-d.
func (r *route) exchange(a, b, c, d int32) {
	if r.next(a) == b {
		r.turn(r.pos[b], r.pos[c])
		return
	}
	r.turn(r.pos[a], r.pos[d])
}

// move takes the row a..last from between p and q and puts it between c and e,
// a next to c. The row keeps its direction when it went p, a, last, q as c, e
// do. With (n, m) the edge c-e in the direction of p, a:
//
//	p a..last q ... n m  ->  p n ... q last..a m  ->  p q ... n last..a m
//
// and a third exchange turns the row round.
func (r *route) move(p, a, last, q, c, e int32, keep bool) {
	n, m := e, c
	if keep {
		n, m = c, e
	}
	r.exchange(p, a, n, m)
	r.exchange(p, n, q, last)
	if keep {
		r.exchange(n, last, a, m)
	}
}

// turn reverses the tour from one position on to another, or the rest of it,
// which gives the same closed tour, whichever is shorter.
func (r *route) turn(from, to int32) {
	n := int32(len(r.order))
	count := to - from + 1
	if count <= 0 {
		count += n
	}
	if 2*count > n {
		from, to, count = (to+1)%n, (from+n-1)%n, n-count
	}
	r.log = append(r.log, [2]int32{from, to})
	r.swap(from, to, count)
}

func (r *route) swap(from, to, count int32) {
	n := int32(len(r.order))
	for range count / 2 {
		a, b := r.order[from], r.order[to]
		r.order[from], r.order[to] = b, a
		r.pos[b], r.pos[a] = from, to
		if from++; from == n {
			from = 0
		}
		if to--; to < 0 {
			to = n - 1
		}
	}
}

// undo takes back the turns in the log.
func (r *route) undo() {
	n := int32(len(r.order))
	for i := len(r.log) - 1; i >= 0; i-- {
		from, to := r.log[i][0], r.log[i][1]
		r.swap(from, to, (to-from+n)%n+1)
	}
}

// kick disturbs the tour in one place after another and keeps what gets shorter.
func (r *route) kick() {
	n := len(r.order)
	longest := min(longestKick, (n-2)/2)
	if longest < 1 {
		return
	}
	random := rand.New(rand.NewPCG(1992, 1997))
	for range min(kicksEach*n, mostKicks) {
		r.log = r.log[:0]
		at, first, second := random.IntN(n), 1+random.IntN(longest), 1+random.IntN(longest)
		if added := r.swapStretches(int32(at), int32(first), int32(second)); r.settle() < added {
			r.undo()
		}
	}
}

// swapStretches exchanges two neighbouring stretches of the tour, of the given
// numbers of places, behind a position, and returns how much longer it got.
func (r *route) swapStretches(at, first, second int32) float64 {
	n := int32(len(r.order))
	place := func(k int32) int32 { return r.order[(at+k)%n] }
	p, a, last, q := place(0), place(1), place(first), place(first+1)
	c, e := place(first+second), place(first+second+1)
	added := r.d(p, q) + r.d(c, a) + r.d(last, e) - r.d(p, a) - r.d(last, q) - r.d(c, e)
	r.move(p, a, last, q, c, e, true)
	r.push(p, a, last, q, c, e)
	return added
}
