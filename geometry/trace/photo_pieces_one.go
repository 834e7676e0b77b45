package trace

import (
	"math"

	"traywright/geometry"
)

// measure traces the things and measures each, or gives it up.
func (t *table) measure(things []laid, p *Pieces, cameraMM float64) error {
	var edges []ring
	type given struct {
		around ring
		why    *PictureError
	}
	var left []given
	var from []laid
	for _, one := range things {
		edge, why := ring(nil), one.why
		if why == nil {
			edge, why = t.edge(one.around)
		}
		if why != nil {
			left = append(left, given{one.around, why})
			continue
		}
		edges, from = append(edges, edge), append(from, one)
	}
	var err error
	shown := func() lens { return t.shown(edges) }
	if t.lens, err = t.straight(shown(), shown); err != nil {
		return err
	}
	if err := t.place(cameraMM); err != nil {
		return err
	}
	if share := t.camera.focal / float64(max(t.diff.w, t.diff.h)); share > zoomedFocal {
		p.ZoomedDegrees = sees(share)
	}
	p.toPixels, p.bent = t.lens.toPixels, t.lens.bent
	p.BendPercent, p.BendOffPercent = t.lens.moves(), 100*lensSure*t.lens.noise
	for i, edge := range edges {
		piece, why := t.piece(edge)
		if why != nil {
			left = append(left, given{from[i].around, why})
			continue
		}
		p.Measured = append(p.Measured, piece)
	}
	for _, g := range left {
		edge := g.around.placed(t.lens.onPaper)
		b := boundsOf([]ring{edge})
		p.Given = append(p.Given, GivenUp{At: b.Min.Add(b.Max).Scale(0.5), Edge: edge, Why: g.why})
	}
	return nil
}

// given is a reason to give one thing up.
func given(hint, format string, args ...any) *PictureError {
	return refuse(hint, format, args...).(*PictureError)
}

// levels at which a thing's edge is looked for, in shares of how far it differs from the
// paper: half way, and higher where a shadow is as dark as that.
var edgeLevels = [...]float64{0.5, 0.68, 0.82}

// edge is that of the one piece inside a ring, if there is one and it can be measured.
func (t *table) edge(around ring) (edge ring, why *PictureError) {
	var first ring
	for i, share := range edgeLevels {
		one, not := t.edgeOf(around, share)
		if not == nil {
			not = t.lit(one)
		}
		if not == nil && i > 0 && !t.inShadow(first, one) {
			break
		}
		if i == 0 {
			first, why = one, not
		}
		if not == nil {
			edge, why = one, nil
			break
		}
		if first == nil {
			break
		}
	}
	if why == nil {
		why = neck(edge.placed(t.card.toPaper.apply))
	}
	return edge, why
}

// piece measures what an edge goes around.
func (t *table) piece(edge ring) (Piece, *PictureError) {
	tolerance := max(0.05, 0.15/t.card.fit.PixelsPerMM)
	region, err := regionOf([]ring{edge}, tolerance, t.lens.onPaper)
	if err != nil || len(region.Contours()) != 1 {
		return Piece{}, given("lay it flat, photograph it sharp", "its edge cannot be followed")
	}
	piece := t.size(edge.placed(t.lens.onPaper), region)
	piece.edge = edge
	t.doubt(&piece)
	if worst := max(piece.LengthOff, piece.WidthOff); worst > t.within {
		return piece, t.unsure(piece, worst)
	}
	return piece, nil
}

// Stand measures a piece anew that is now known to stand so high, give or take off: its sides are
// taken to be upright. Only where it was said how high the camera was does that say anything.
func (p *Pieces) Stand(k int, heightMM, offMM float64) {
	t := *p.table
	t.height, t.heightOff = heightMM, offMM
	m := &p.Measured[k]
	edge := m.edge
	*m = t.size(edge.placed(t.lens.onPaper), m.Region)
	m.edge = edge
	t.doubt(m)
}

// edgeOf is the edge of the thing inside a ring, half way between it and what is around.
func (t *table) edgeOf(around ring, share float64) (ring, *PictureError) {
	part, offset := t.crop(boundsOf([]ring{around}))
	here := make(ring, len(around))
	for i, p := range around {
		here[i] = p.Sub(offset)
	}
	var inside []float64
	here.fill(func(x, y int) { inside = append(inside, float64(part.v[y*part.w+x])) }, part)
	if len(inside) == 0 {
		return nil, given("take a larger photograph", "it is too few pixels large")
	}
	level := max(share*middleOf(inside), t.floor)
	rings, _, err := contours(part, level, true, smallestSpeck)
	if err != nil {
		return nil, given("photograph it on smooth white paper, in more light", "it is too grainy to follow its edge")
	}
	var largest ring
	others := 0.0
	for _, r := range rings {
		if r.area() <= 0 || !here.contains(r[0]) {
			continue
		}
		if largest == nil || r.area() > largest.area() {
			r, largest = largest, r
		}
		if r != nil && !largest.contains(r[0]) {
			others += r.area()
		}
	}
	switch {
	case largest == nil:
		return nil, given("lay it on paper of another colour", "it is hardly darker than the paper")
	case others > 0.02*largest.area():
		return nil, given("move them apart, and light them from all sides; if it is one piece, `traywright outline` with --piece takes it",
			"it falls into parts: pieces joined by their shadows, or one with a part as pale as paper")
	case here.area() > 1.6*largest.area()+2*largest.length()*t.card.blur:
		return nil, given("light it from all sides", "more than half as much again as itself lies around it, paler: a shadow, or a pale part of it")
	}
	for i := range largest {
		largest[i] = largest[i].Add(offset)
	}
	return t.settleEdges([]ring{largest})[0], nil
}

// crop is the part of the picture around a box, and where its lower-left corner lies.
func (t *table) crop(b geometry.Box) (part grid, offset geometry.Point) {
	const margin = 4
	x0, x1 := max(int(b.Min.X)-margin, 0), min(int(b.Max.X)+margin+1, t.diff.w)
	low, high := max(int(b.Min.Y)-margin, 0), min(int(b.Max.Y)+margin+1, t.diff.h)
	part = newGrid(x1-x0, high-low)
	for y := range part.h {
		copy(part.v[y*part.w:(y+1)*part.w], t.diff.v[(t.diff.h-high+y)*t.diff.w+x0:])
	}
	return part, geometry.Point{X: float64(x0), Y: float64(low)}
}

// fill visits the pixels of a picture whose middles a ring goes around, Y down.
func (r ring) fill(visit func(x, y int), g grid) {
	crossings := make([][]float64, g.h)
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if a.Y > b.Y {
			a, b = b, a
		}
		for k := max(int(math.Ceil(a.Y-0.5)), 0); float64(k)+0.5 < b.Y && k < g.h; k++ {
			y := g.h - 1 - k
			crossings[y] = append(crossings[y], a.X+(b.X-a.X)*(float64(k)+0.5-a.Y)/(b.Y-a.Y))
		}
	}
	for y, at := range crossings {
		sortFloats(at)
		for i := 0; i+1 < len(at); i += 2 {
			for x := max(int(math.Ceil(at[i]-0.5)), 0); float64(x)+0.5 < at[i+1] && x < g.w; x++ {
				visit(x, y)
			}
		}
	}
}
