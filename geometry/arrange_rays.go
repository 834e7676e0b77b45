package geometry

// rays finds winding numbers by rays through all edges.
type rays struct {
	pieces []pieceOf
	first  []int32 // edge -> its first piece; one more at the end
	tree   boxTree // of the pieces
}

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
	r.tree = packCloser(len(r.pieces), func(i int) Box { return r.pieces[i].box() }, func(i int) rod {
		e := &a.edges[r.pieces[i].edge]
		s := Segment{turned[e.from], turned[e.to], e.bulge}
		return s.rod(0)
	})
	return r
}

func (p *piece) box() Box { return Box{Point{p.left, p.low}, Point{p.right, p.high}} }

// hitsFrom walks the pieces that a ray from q to the right meets, with the place
// where it does; they may lower the limit beyond which they are not interested.
func (r *rays) hitsFrom(q Point, except int32, limit *float64, hit func(i int, x float64)) {
	r.tree.walkRight(q, limit, func(i int) {
		p := &r.pieces[i]
		if int32(i) == except || q.Y < p.low || q.Y >= p.high {
			return
		}
		if x := p.xAt(q.Y); x > q.X {
			hit(i, x)
		}
	})
}
