package geometry

import "math"

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

// rays finds winding numbers by rays through all edges.
type rays struct {
	pieces []pieceOf
	first  []int32 // edge -> its first piece; one more at the end
	tree   boxTree
}

func (a *arrangement) newRays() *rays {
	turned := make([]Point, len(a.points))
	for i, p := range a.points {
		turned[i] = p.turn(raySine, rayCosine)
	}
	r := &rays{pieces: make([]pieceOf, 0, len(a.edges)*5/4), first: make([]int32, 0, len(a.edges)+1)}
	for i := range a.edges {
		e := &a.edges[i]
		r.first = append(r.first, int32(len(r.pieces)))
		s := Segment{turned[e.from], turned[e.to], e.bulge}
		s.pieces(func(p piece) { r.pieces = append(r.pieces, pieceOf{p, int32(i)}) })
	}
	r.first = append(r.first, int32(len(r.pieces)))
	boxes := make([]Box, len(r.pieces))
	for i := range r.pieces {
		p := &r.pieces[i]
		boxes[i] = Box{Point{p.left, p.low}, Point{p.right, p.high}}
	}
	r.tree = newBoxTree(boxes)
	return r
}

// rightOf sums the weights that a ray from q to the right meets, leaving out one piece.
func (r *rays) rightOf(q Point, except int32, edges []edge) winds {
	var sum winds
	for i := range r.tree.overlapping(Box{q, Point{math.Inf(1), q.Y}}) {
		if int32(i) == except {
			continue
		}
		switch p := &r.pieces[i]; p.crossing(q) {
		case 1:
			sum = sum.plus(edges[p.edge].weight)
		case -1:
			sum = sum.plus(edges[p.edge].weight.negative())
		}
	}
	return sum
}

// sidesOf is the winding on both sides of the edge of a piece.
func (r *rays) sidesOf(i int32, edges []edge) side {
	p := &r.pieces[i]
	y := p.low + (p.high-p.low)/2
	w := edges[p.edge].weight
	beyond := r.rightOf(Point{p.xAt(y), y}, i, edges)
	if p.rises {
		return side{left: beyond.plus(w), right: beyond}
	}
	if p.high > p.low {
		return side{left: beyond, right: beyond.plus(w.negative())}
	}
	return r.flatSides(p, beyond, w)
}

// flatSides is for an edge along the ray. The half-open ranges count as a ray
// just above it would.
func (r *rays) flatSides(p *pieceOf, above, w winds) side {
	if p.normal.Y > 0 {
		return side{left: above, right: above.plus(w.negative())}
	}
	return side{left: above.plus(w), right: above}
}

// sides finds the windings beside every edge, with one ray per chain of edges
// between branchings, from the tallest piece of the chain.
func (a *arrangement) sides() []side {
	in, r := a.incidence(), a.newRays()
	sides := make([]side, len(a.edges))
	done := make([]bool, len(a.edges))
	var chain []link
	for i := range a.edges {
		if done[i] {
			continue
		}
		chain = a.chain(int32(i), &in, done, chain[:0])
		tallest, height := int32(-1), -1.0
		same := true
		for _, l := range chain {
			for j := r.first[l.edge]; j < r.first[l.edge+1]; j++ {
				if h := r.pieces[j].high - r.pieces[j].low; h > height {
					tallest, height, same = j, h, l.same
				}
			}
		}
		s := r.sidesOf(tallest, a.edges)
		if !same {
			s.left, s.right = s.right, s.left
		}
		for _, l := range chain {
			sides[l.edge] = s
			if !l.same {
				sides[l.edge] = side{s.right, s.left}
			}
		}
	}
	return sides
}

// link is an edge of a chain; same tells whether the two have one direction.
type link struct {
	edge int32
	same bool
}

// chain follows the edges both ways from edge i to where three or more meet.
func (a *arrangement) chain(i int32, in *incidence, done []bool, chain []link) []link {
	done[i] = true
	chain = append(chain, link{i, true})
	chain = a.follow(i, a.edges[i].to, true, in, done, chain)
	return a.follow(i, a.edges[i].from, false, in, done, chain)
}

// follow goes on from vertex v, reached by edge i; forward tells whether the way
// it goes is the chain's direction.
func (a *arrangement) follow(i, v int32, forward bool, in *incidence, done []bool, chain []link) []link {
	for {
		around := in.at(v)
		if len(around) != 2 {
			return chain
		}
		next := around[0]
		if next == i {
			next = around[1]
		}
		if done[next] {
			return chain
		}
		done[next] = true
		e := &a.edges[next]
		away := e.from == v
		chain = append(chain, link{next, away == forward})
		i, v = next, e.from+e.to-v
	}
}
