package process

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"traywright/geometry"
)

// A short way through many places.
//
//  1. Nearest neighbour from home, over a grid of cells that hold about two
//     places each.
//  2. Three edges of the tour for three others (order_three.go), among each
//     place's near ones, until none shortens the tour. A queue holds the places
//     whose surroundings have changed.
//  3. Kicks: three neighbouring stretches of the tour change their order, which no
//     move of step 2 takes back, step 2 repairs what it can around them, and a tour
//     that came out longer is undone.
//
// Near are the nearest in each direction too: in a row of holes all the nearest lie
// in the row, and nothing would ever join one row to the next.
//
// After Johnson and McGeoch, "The traveling salesman problem: a case study in
// local optimization" (1997), Bentley, "Fast algorithms for geometric traveling
// salesman problems", ORSA J. Computing 4 (1992), and Martin, Otto and Felten,
// "Large-step Markov chains for the traveling salesman problem" (1991), from
// memory. Each step takes about n log n time: a turn reverses at most a little
// more than longestTurn places and the number of kicks is bounded.
//
// Places are whole micrometres, so that every length is the root of a whole
// number, the same on every processor, and the tour is too.

const (
	neighbours  = 5      // nearest places that are tried from each
	quarterNear = 2      // and nearest in each quarter around it
	longestTurn = 25_000 // places reversed in one move; above, the move is not made
	kicksEach   = 5      // for each place
	mostKicks   = 1_500
	longestKick = 150  // places in each stretch
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
	near  [][]near   // places near each, nearest first
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
	r.near = r.around(g)
	r.order = g.nearestNeighbourTour()
	for k, i := range r.order {
		r.pos[i] = int32(k)
	}
	return r
}

// near is a place near another, and how far away it is.
type near struct {
	place    int32
	distance float64
}

// around lists the places near each one, nearest first.
func (r *route) around(g *cells) [][]near {
	all := make([][]near, len(r.x))
	for a, list := range g.nearest(neighbours) {
		for _, b := range g.quarters(int32(a), quarterNear) {
			if !slices.Contains(list, b) {
				list = append(list, b)
			}
		}
		for _, b := range list {
			all[a] = append(all[a], near{b, r.d(int32(a), b)})
		}
		slices.SortFunc(all[a], func(b, c near) int {
			return cmp.Or(cmp.Compare(b.distance, c.distance), cmp.Compare(b.place, c.place))
		})
	}
	return all
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

// better makes the best move around a that gains, if there is one.
func (r *route) better(a int32) float64 {
	for _, forward := range [2]bool{true, false} {
		if m := r.three(a, forward); m.gain != 0 {
			r.make(m)
			return m.gain
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

// exchange takes out the edges a-b and c-d, b beside a and d beside c on the same
// side, and puts in a-c and b-d.
func (r *route) exchange(a, b, c, d int32) {
	if r.next(a) == b {
		r.turn(r.pos[b], r.pos[c])
		return
	}
	r.turn(r.pos[a], r.pos[d])
}

// move takes the row a..last from between p and q and puts it between n and m, which
// follow each other as p and a do; it keeps its direction:
//
//	p a..last q ... n m  ->  p n ... q last..a m  ->  p q ... n last..a m
//
// and a third exchange turns the row round.
func (r *route) move(p, a, last, q, n, m int32) {
	r.exchange(p, a, n, m)
	r.exchange(p, n, q, last)
	r.exchange(n, last, a, m)
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
	longest := min(longestKick, (n-2)/3)
	if longest < 1 {
		return
	}
	random := rand.New(rand.NewPCG(1992, 1997))
	length := func() int32 { return int32(1 + random.IntN(longest)) }
	for range min(kicksEach*n, mostKicks) {
		r.log = r.log[:0]
		if added := r.turnAbout(int32(random.IntN(n)), length(), length(), length()); r.settle() < added {
			r.undo()
		}
	}
}

// turnAbout puts three neighbouring stretches of the tour, of the given numbers of
// places, behind a position, in the reverse order, each in its own direction, and
// returns how much longer it got:
//
//	p a..b c..d e..f q  ->  p e..f c..d a..b q
func (r *route) turnAbout(at, first, second, third int32) float64 {
	n := int32(len(r.order))
	place := func(k int32) int32 { return r.order[(at+k)%n] }
	second, third = first+second, first+second+third
	p, a, b, c := place(0), place(1), place(first), place(first+1)
	d, e, f, q := place(second), place(second+1), place(third), place(third+1)
	added := r.d(p, e) + r.d(f, c) + r.d(d, a) + r.d(b, q) - r.d(p, a) - r.d(b, c) - r.d(d, e) - r.d(f, q)
	r.exchange(p, a, f, q) // p f..e d..c b..a q
	r.exchange(p, f, e, d) // p e..f d..c b..a q
	r.exchange(f, d, c, b) // p e..f c..d b..a q
	r.exchange(d, b, a, q)
	r.push(p, a, b, c, d, e, f, q)
	return added
}
