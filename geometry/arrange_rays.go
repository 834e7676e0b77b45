package geometry

import "math"

// rays finds winding numbers by rays through all edges. A long piece that lies aslant has
// a wide box, and of many beside each other a ray would meet them all; so where boxes lie
// thick, each is cut into slices, of which a ray meets one.
type rays struct {
	pieces []pieceOf
	first  []int32 // edge -> its first piece; one more at the end
	slices []slice
	tree   boxTree // of the slices
}

// slice is the part of a piece whose Y lies in [low, high).
type slice struct {
	piece     int32
	low, high float64
}

const (
	// thickBoxes is how many boxes lie over a place, on average, where they are cut, and
	// mostSlices into how many at most.
	thickBoxes = 8
	mostSlices = 16
)

func (a *arrangement) newRays() *rays {
	turned := make([]Point, len(a.points))
	for i, p := range a.points {
		turned[i] = p.turn(raySine, rayCosine)
	}
	r := &rays{pieces: make([]pieceOf, 0, len(a.edges)*3/2), first: make([]int32, 0, len(a.edges)+1)}
	for i := range a.edges {
		e := &a.edges[i]
		r.first = append(r.first, int32(len(r.pieces)))
		s := Segment{turned[e.from], turned[e.to], e.bulge}
		s.pieces(func(p piece) { r.pieces = append(r.pieces, pieceOf{p, int32(i)}) })
	}
	r.first = append(r.first, int32(len(r.pieces)))
	r.index()
	return r
}

// index makes the slices and their tree.
func (r *rays) index() {
	all, area := EmptyBox(), 0.0
	for i := range r.pieces {
		b := r.pieces[i].box()
		all, area = all.Union(b), area+b.Width()*b.Height()
	}
	each := 0.0 // slices for every unit of area
	if area > thickBoxes*all.Width()*all.Height() {
		each = area / (thickBoxes * all.Width() * all.Height()) * float64(len(r.pieces)) / area
	}
	r.slices = make([]slice, 0, len(r.pieces))
	boxes := make([]Box, 0, len(r.pieces))
	for i := range r.pieces {
		p := &r.pieces[i]
		b, n := p.box(), 1
		if p.curvature == 0 {
			n = int(min(max(each*b.Width()*b.Height(), 1), mostSlices))
		}
		for k := range n {
			s := slice{int32(i), p.level(k, n), p.level(k+1, n)}
			r.slices = append(r.slices, s)
			if n > 1 {
				b = p.boxBetween(s.low, s.high)
			}
			boxes = append(boxes, b)
		}
	}
	r.tree = newBoxTree(boxes)
}

func (p *piece) box() Box { return Box{Point{p.left, p.low}, Point{p.right, p.high}} }

// level is the height of the k-th cut of n; the ends are the piece's own, bit by bit.
func (p *piece) level(k, n int) float64 {
	if k == n {
		return p.high
	}
	return p.low + (p.high-p.low)*float64(k)/float64(n)
}

// boxBetween is the box of a straight piece between two heights, with room for rounding.
func (p *piece) boxBetween(low, high float64) Box {
	x, y := p.xAt(low), p.xAt(high)
	play := 1e-12 * (1 + math.Abs(x) + math.Abs(y))
	return Box{Point{min(x, y) - play, low}, Point{max(x, y) + play, high}}
}

// hitsFrom walks the pieces that a ray from q to the right meets, with the place
// where it does; they may lower the limit beyond which they are not interested.
func (r *rays) hitsFrom(q Point, except int32, limit *float64, hit func(i int, x float64)) {
	r.tree.walkRight(q, limit, func(i int) {
		s := &r.slices[i]
		if s.piece == except || q.Y < s.low || q.Y >= s.high {
			return
		}
		if x := r.pieces[s.piece].xAt(q.Y); x > q.X {
			hit(int(s.piece), x)
		}
	})
}
