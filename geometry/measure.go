package geometry

import "math"

// Area enclosed, in mm²: positive when the contour runs counter-clockwise,
// negative when clockwise, 0 for fewer than two vertices. A contour that
// crosses itself counts each part as often as it winds around it.
func (c Contour) Area() float64 {
	if len(c.vertices) < 2 {
		return 0
	}
	origin := c.vertices[0].Point // near the shape, so that large coordinates do not cancel
	sum := 0.0
	for s := range c.Segments() {
		sum += s.A.Sub(origin).Cross(s.B.Sub(origin))/2 + s.lensArea()
	}
	return sum
}

// Length around the contour, in mm.
func (c Contour) Length() float64 {
	sum := 0.0
	for s := range c.Segments() {
		sum += s.Length()
	}
	return sum
}

// Bounds is the smallest box that holds the contour; EmptyBox for none.
func (c Contour) Bounds() Box {
	b := EmptyBox()
	for s := range c.Segments() {
		b = b.Union(s.Bounds())
	}
	return b
}

// Reverse is the same curve travelled the other way, with the same first vertex.
func (c Contour) Reverse() Contour {
	n := len(c.vertices)
	vertices := make([]Vertex, n)
	for i := range vertices {
		vertices[i] = Vertex{c.vertices[(n-i)%n].Point, 0 - c.vertices[n-1-i].Bulge}
	}
	return Contour{vertices}
}

// StartAt is the same contour with vertex i first; i counts modulo Len, so -1
// is the last one.
func (c Contour) StartAt(i int) Contour {
	n := len(c.vertices)
	if n == 0 {
		return Contour{}
	}
	i = (i%n + n) % n
	vertices := make([]Vertex, 0, n)
	vertices = append(vertices, c.vertices[i:]...)
	return Contour{append(vertices, c.vertices[:i]...)}
}

// Winding is how often the contour goes counter-clockwise around p: for a
// simple contour 1 (counter-clockwise) or -1 (clockwise) inside, 0 outside.
// For a p on the contour it is that of one of the two sides.
func (c Contour) Winding(p Point) int {
	sum := 0
	for s := range c.Segments() {
		sum += s.crossings(p)
	}
	return sum
}

// Length along the path, in mm.
func (p Path) Length() float64 {
	sum := 0.0
	for s := range p.Segments() {
		sum += s.Length()
	}
	return sum
}

// Bounds is the smallest box that holds the path; EmptyBox for none.
func (p Path) Bounds() Box {
	b := EmptyBox()
	for _, v := range p.vertices {
		b = b.Union(Box{v.Point, v.Point})
	}
	for s := range p.Segments() {
		b = b.Union(s.Bounds())
	}
	return b
}

// Area of the region in mm²: outer contours less holes.
func (r Region) Area() float64 {
	sum := 0.0
	for _, c := range r.contours {
		sum += c.Area()
	}
	return sum
}

// Length of the whole boundary, outer contours and holes, in mm.
func (r Region) Length() float64 {
	sum := 0.0
	for _, c := range r.contours {
		sum += c.Length()
	}
	return sum
}

// Bounds is the smallest box that holds the region; EmptyBox for none.
func (r Region) Bounds() Box {
	b := EmptyBox()
	for _, c := range r.contours {
		b = b.Union(c.Bounds())
	}
	return b
}

// Contains reports whether p is inside, by the sum of the contours' windings. A p on
// the boundary may be either.
func (r Region) Contains(p Point) bool {
	sum := 0
	for _, c := range r.contours {
		sum += c.Winding(p)
	}
	return sum >= 1
}

// Pieces splits the region into connected parts: one Region per outer contour,
// in the order of their outer contours, each with the holes directly inside it.
// It takes a region that Validate accepts.
func (r Region) Pieces() []Region {
	var outers, holes []Contour
	for _, c := range r.contours {
		switch area := c.Area(); {
		case area > 0:
			outers = append(outers, c)
		case area < 0:
			holes = append(holes, c)
		}
	}
	pieces := make([]Region, len(outers))
	for i, c := range outers {
		pieces[i].contours = []Contour{c}
	}
	finder := newOuterFinder(outers)
	for _, hole := range holes {
		if i := finder.smallestAround(hole); i >= 0 {
			pieces[i].contours = append(pieces[i].contours, hole)
		}
	}
	return pieces
}

// outerFinder finds the outer contour that a hole belongs to: the smallest one
// around it.
type outerFinder struct {
	outers  []Contour
	areas   []float64
	index   boxTree
	indexes []*segmentIndex // of outers, once asked for
}

func newOuterFinder(outers []Contour) outerFinder {
	f := outerFinder{outers: outers, areas: make([]float64, len(outers)), indexes: make([]*segmentIndex, len(outers))}
	boxes := make([]Box, len(outers))
	for i, c := range outers {
		f.areas[i], boxes[i] = c.Area(), c.Bounds()
	}
	f.index = newBoxTree(boxes)
	return f
}

func (f outerFinder) smallestAround(hole Contour) int {
	best, least, area := -1, math.Inf(1), -hole.Area()
	for i := range f.index.overlapping(hole.Bounds()) {
		if f.areas[i] < least && f.areas[i] >= area && f.surrounds(i, hole) {
			best, least = i, f.areas[i]
		}
	}
	return best
}

// surrounds asks the middle of every segment of the inner contour, because any
// one of them may lie on the outer contour, where they touch; the majority decides.
func (f outerFinder) surrounds(outer int, inner Contour) bool {
	if f.indexes[outer] == nil {
		x := newSegmentIndex(Region{f.outers[outer : outer+1]})
		f.indexes[outer] = &x
	}
	balance := 0
	for s := range inner.Segments() {
		if f.indexes[outer].contains(s.At(0.5), 0) {
			balance++
		} else {
			balance--
		}
		if balance > 2 || balance < -2 {
			break
		}
	}
	return balance > 0
}
