package geometry

import (
	"cmp"
	"math"
	"slices"
)

// side holds the winding numbers on the two sides of an edge.
type side struct{ left, right winds }

// incidence lists the edges at every vertex.
type incidence struct {
	first []int32 // vertex -> its place in edges; one more at the end
	edges []int32
}

func (a *arrangement) incidence() incidence {
	in := incidence{first: make([]int32, len(a.points)+1), edges: make([]int32, 2*len(a.edges))}
	for i := range a.edges {
		in.first[a.edges[i].from+1]++
		in.first[a.edges[i].to+1]++
	}
	for v := range a.points {
		in.first[v+1] += in.first[v]
	}
	fill := make([]int32, len(a.points))
	put := func(v int32, e int) {
		in.edges[in.first[v]+fill[v]] = int32(e)
		fill[v]++
	}
	for i := range a.edges {
		put(a.edges[i].from, i)
		put(a.edges[i].to, i)
	}
	return in
}

func (in *incidence) at(v int32) []int32 { return in.edges[in.first[v]:in.first[v+1]] }

// The rays run in a frame turned by an angle that no drawing has, so that they
// are not parallel to an edge; sine and cosine make an exact 3-4-5 triangle's
// neighbour, 20-99-101.
const (
	raySine   = 20.0 / 101
	rayCosine = 99.0 / 101
)

// pieceOf is a monotone piece of an edge in the frame of the rays.
type pieceOf struct {
	piece
	edge int32
}

// sumRight is the winding at q: the sum of all weights that the ray meets.
func (r *rays) sumRight(q Point, except int32, edges []edge) winds {
	var sum winds
	limit := math.Inf(1)
	r.hitsFrom(q, except, &limit, func(i int, _ float64) {
		p := &r.pieces[i]
		if w := edges[p.edge].weight; p.rises {
			sum = sum.plus(w)
		} else {
			sum = sum.plus(w.negative())
		}
	})
	return sum
}

// rayHit is a piece that a ray meets, -1 for none, and where.
type rayHit struct {
	piece int32
	at    float64
}

// nextRight lists the first n pieces that the ray meets, in order, and one more: the
// one behind them if it is less than tol behind the last. Where there are fewer,
// hits of no piece at infinity take their place.
func (r *rays) nextRight(q Point, except int32, n int, tol float64) []rayHit {
	hits := make(farthestFirst, 0, min(n+1, 64))
	limit := math.Inf(1)
	r.hitsFrom(q, except, &limit, func(i int, x float64) {
		hits.push(rayHit{int32(i), x})
		if len(hits) > n+1 || len(hits) == n+1 && hits[0].at > hits.second()+tol {
			hits.pop()
		}
		if len(hits) >= n {
			limit = hits[0].at + tol
		}
	})
	slices.SortFunc(hits, func(a, b rayHit) int { return cmp.Compare(a.at, b.at) })
	for len(hits) < n+1 {
		hits = append(hits, rayHit{-1, math.Inf(1)})
	}
	return hits
}

// farthestFirst is a heap with the farthest hit at its top.
type farthestFirst []rayHit

func (h *farthestFirst) push(hit rayHit) {
	*h = append(*h, hit)
	for i := len(*h) - 1; i > 0 && (*h)[(i-1)/2].at < (*h)[i].at; i = (i - 1) / 2 {
		(*h)[i], (*h)[(i-1)/2] = (*h)[(i-1)/2], (*h)[i]
	}
}

func (h *farthestFirst) pop() {
	last := len(*h) - 1
	(*h)[0] = (*h)[last]
	*h = (*h)[:last]
	for i := 0; ; {
		down := 2*i + 1
		if down+1 < last && (*h)[down+1].at > (*h)[down].at {
			down++
		}
		if down >= last || (*h)[down].at <= (*h)[i].at {
			return
		}
		(*h)[i], (*h)[down] = (*h)[down], (*h)[i]
		i = down
	}
}

// second is the farthest but one.
func (h farthestFirst) second() float64 {
	if len(h) == 2 {
		return h[1].at
	}
	return max(h[1].at, h[2].at)
}

// winder finds the windings beside every edge, chain by chain. A ray from one
// chain ends at the first chain that it meets whose windings are known. If it meets a
// new one, that one's are found first; what it meets of chains whose own rays are
// on their way, its own among them, it passes and counts; so it does with edges that are met
// at once. Only if no edge is met alone for a while, it goes on to the end and adds up all
// that it meets.
type winder struct {
	a      *arrangement
	in     incidence
	rays   *rays
	sides  []side
	state  []int8  // of an edge: 0 new, 1 its chain waits for another, 2 known
	chains []chain // those that wait for the last one
}

// chain is a row of edges between branchings, and the tallest piece among them.
type chain struct {
	links   []link
	tallest int32
	same    bool  // the tallest piece has the chain's direction
	start   Point // of its ray

	// The ray as far as it has come: the last piece passed and where, the sum of those
	// passed, and the next one, if looked for.
	at     Point
	passed int32
	sum    winds
	ahead  []rayHit // the next ones, if looked for, and one more to see whether the last is alone
	looks  int      // how often it was looked for the next ones
}

func (a *arrangement) sides() []side {
	w := winder{a: a, in: a.incidence(), rays: a.newRays(), sides: make([]side, len(a.edges)), state: make([]int8, len(a.edges))}
	for i := range a.edges {
		if w.state[i] == 0 {
			w.resolve(int32(i))
		}
	}
	return w.sides
}

// resolve finds the windings of the chain of edge i and of those it depends on.
// The stack is a slice because there may be as many as there are contours.
func (w *winder) resolve(i int32) {
	w.push(i)
	for len(w.chains) > 0 {
		c := &w.chains[len(w.chains)-1]
		beyond, waits := w.beyond(c)
		if waits >= 0 {
			w.push(waits)
			continue
		}
		w.settle(c, beyond)
		w.chains = w.chains[:len(w.chains)-1]
	}
}

// push finds the chain of edge i and where its ray begins.
func (w *winder) push(i int32) {
	c := chain{links: w.chainOf(i), tallest: -1}
	height := -1.0
	for _, l := range c.links {
		for j := w.rays.first[l.edge]; j < w.rays.first[l.edge+1]; j++ {
			if p := &w.rays.pieces[j]; p.high-p.low > height {
				c.tallest, height, c.same = j, p.high-p.low, l.same
			}
		}
	}
	p := &w.rays.pieces[c.tallest]
	y := p.low + (p.high-p.low)/2
	c.start = Point{p.xAt(y), y}
	c.at, c.passed = c.start, c.tallest
	w.chains = append(w.chains, c)
}

// beyond is the winding to the right of the chain's tallest piece, or the new edge
// whose windings are to be found first, else -1.
func (w *winder) beyond(c *chain) (sum winds, waits int32) {
	for {
		if len(c.ahead) < 2 {
			w.look(c)
		}
		next, behind := c.ahead[0], c.ahead[1]
		if next.piece < 0 {
			return c.sum, -1
		}
		if !(behind.at-next.at > w.a.tol) {
			if !w.passCrowd(c) {
				return w.rays.sumRight(c.start, c.tallest, w.a.edges), -1
			}
			continue
		}
		p := &w.rays.pieces[next.piece]
		switch w.state[p.edge] {
		case 0:
			return winds{}, p.edge
		case 2:
			if p.rises {
				return c.sum.plus(w.sides[p.edge].left), -1
			}
			return c.sum.plus(w.sides[p.edge].right), -1
		}
		w.pass(c, next)
		c.ahead = c.ahead[1:]
	}
}

// pass goes on to behind a hit, and counts it.
func (w *winder) pass(c *chain, hit rayHit) {
	p := &w.rays.pieces[hit.piece]
	if weight := w.a.edges[p.edge].weight; p.rises {
		c.sum = c.sum.plus(weight)
	} else {
		c.sum = c.sum.plus(weight.negative())
	}
	c.at.X, c.passed = hit.at, hit.piece
}

// mostInCrowd is how many hits are looked through for one that is alone: first a few, and
// then as many as two rows of fine teeth need until they part.
var mostInCrowd = [...]int{32, 512}

// passCrowd passes hits that are less than tol from each other, whose order is not
// known but does not matter to their sum, and goes on to one that is alone, or to the
// end; false where there is none among the next.
func (w *winder) passCrowd(c *chain) bool {
	for _, most := range mostInCrowd {
		hits := w.rays.nextRight(c.at, c.passed, most, w.a.tol)
		for i := 1; i < most; i++ {
			if hits[i].piece >= 0 && !(hits[i].at-hits[i-1].at > w.a.tol && hits[i+1].at-hits[i].at > w.a.tol) {
				continue
			}
			for _, hit := range hits[:i] {
				w.pass(c, hit)
			}
			c.ahead = hits[i:]
			return true
		}
	}
	return false
}

// look finds what the chain's ray meets next. Most rays end at the first; one that
// has passed several, as through the teeth of a comb, will pass many more, so it
// looks for twice as many each time.
func (w *winder) look(c *chain) {
	n := 1
	if c.looks++; c.looks > 4 {
		n = 1 << min(c.looks-4, 20)
	}
	c.ahead = w.rays.nextRight(c.at, c.passed, n, w.a.tol)
}

// settle writes down the windings of a chain, given that beyond its tallest piece.
func (w *winder) settle(c *chain, beyond winds) {
	p := &w.rays.pieces[c.tallest]
	s := p.sides(beyond, w.a.edges[p.edge].weight)
	if !c.same {
		s.left, s.right = s.right, s.left
	}
	for _, l := range c.links {
		w.state[l.edge] = 2
		if w.sides[l.edge] = s; !l.same {
			w.sides[l.edge] = side{s.right, s.left}
		}
	}
}

// sides is the winding on both sides of a piece of that weight. The half-open
// ranges make a ray along a flat piece count as one just above it would.
func (p *pieceOf) sides(beyond, weight winds) side {
	if p.rises || p.high == p.low && p.normal.Y < 0 {
		return side{left: beyond.plus(weight), right: beyond}
	}
	return side{left: beyond, right: beyond.plus(weight.negative())}
}

// link is an edge of a chain; same tells whether the two have one direction.
type link struct {
	edge int32
	same bool
}

// chainOf follows the edges both ways from edge i to where three or more meet.
func (w *winder) chainOf(i int32) []link {
	w.state[i] = 1
	links := append(make([]link, 0, 8), link{i, true})
	links = w.follow(i, w.a.edges[i].to, true, links)
	return w.follow(i, w.a.edges[i].from, false, links)
}

// follow goes on from vertex v, reached by edge i; forward tells whether the way
// it goes is the chain's direction.
func (w *winder) follow(i, v int32, forward bool, links []link) []link {
	for {
		around := w.in.at(v)
		if len(around) != 2 {
			return links
		}
		next := around[0]
		if next == i {
			next = around[1]
		}
		if w.state[next] != 0 {
			return links
		}
		w.state[next] = 1
		e := &w.a.edges[next]
		away := e.from == v
		links = append(links, link{next, away == forward})
		i, v = next, e.from+e.to-v
	}
}
