package geometry

import (
	"cmp"
	"math"
	"slices"
)

// The least distance between two segments is 0 where they cross; else it is taken
// at an end of one of them, or where both have a common normal: for an arc that
// passes through its centre, so there are at most two such places to try.

// distance is the least distance between two curves, and where.
func (c *curve) distance(e *curve) (d float64, onC, onE Point) {
	best := closest{d: math.Inf(1)}
	if c.box.overlaps(e.box) {
		if p, ok := c.crosses(e); ok {
			return 0, p, p
		}
	}
	best.try(e, c.A)
	best.try(e, c.B)
	// Of two arcs the more curved one tells the normal better.
	if math.Abs(c.k) > math.Abs(e.k) {
		best.tryNormals(c, e)
	}
	best.swap()
	best.try(c, e.A)
	best.try(c, e.B)
	if math.Abs(e.k) >= math.Abs(c.k) && e.k != 0 {
		best.tryNormals(e, c)
	}
	best.swap()
	return best.d, best.p, best.q
}

// crosses finds a place that both curves pass through.
func (c *curve) crosses(e *curve) (Point, bool) {
	found := wholeHits(c, e)
	for _, p := range found.at[:found.n] {
		if !found.apart && c.passes(p) && e.passes(p) {
			return p, true
		}
	}
	return Point{}, false
}

// passes reports whether p, on the whole line or circle of c, is between its ends.
func (c *curve) passes(p Point) bool {
	switch {
	case c.k == 0:
		x := p.Sub(c.A).Dot(c.tangent)
		return x >= 0 && x <= c.length
	case c.radius < flatRadius:
		out := p.Sub(c.center)
		return out.Dot(c.middle) >= c.cosHalf*out.Norm()
	}
	_, ok := c.share(p)
	return ok
}

// closest is the best pair of points so far.
type closest struct {
	d    float64
	p, q Point
}

func (b *closest) swap() { b.p, b.q = b.q, b.p }

// try the point p and what is nearest to it on e.
func (b *closest) try(e *curve, p Point) {
	q := e.nearest(p)
	if d := p.DistanceTo(q); d < b.d {
		*b = closest{d, p, q}
	}
}

// tryNormals tries the places of the arc c whose normal may be one of e too.
func (b *closest) tryNormals(c, e *curve) {
	direction := e.normal()
	if e.k != 0 {
		direction = e.center.Sub(c.center).unit()
	}
	facing := direction.Dot(c.middle)
	if facing > c.cosHalf {
		b.try(e, c.at(direction))
	}
	if -facing > c.cosHalf {
		b.try(e, c.at(direction.Scale(-1)))
	}
}

// at is the place where the arc faces the unit direction, away from its centre.
func (c *curve) at(direction Point) Point {
	outward := c.normal().Scale(-math.Copysign(1, c.k))
	return c.A.Add(direction.Sub(outward).Scale(c.radius))
}

// flatRadius is the radius in mm from where on the centre is too far away to
// measure from: a double holds it to 1e-11 mm only below.
const flatRadius = 1e5

// nearest is the point of c nearest to p.
func (c *curve) nearest(p Point) Point {
	switch {
	case c.k == 0:
		if x := p.Sub(c.A).Dot(c.tangent); x > 0 && x < c.length {
			return c.A.Add(c.tangent.Scale(x))
		}
	case c.radius < flatRadius:
		out := p.Sub(c.center)
		if n := out.Norm(); n > 0 && out.Dot(c.middle) > c.cosHalf*n {
			return c.center.Add(out.Scale(c.radius / n))
		}
	default:
		if t := c.along(p); t > 0 && t < 1 {
			return c.At(t)
		}
	}
	if p.DistanceTo(c.A) <= p.DistanceTo(c.B) {
		return c.A
	}
	return c.B
}

// Walls are the boundary of a region, made ready for many questions about distances.
type Walls struct{ index segmentIndex }

// NewWalls takes n log n time for n segments. Walls keep nothing of the region.
func NewWalls(r Region) Walls { return Walls{newSegmentIndex(r)} }

// DistanceTo is the distance in mm of p from the nearest place of the walls, whichever side
// it is on; infinite where there are none. Below enough mm it need not be the least, and is
// found sooner.
func (w Walls) DistanceTo(p Point, enough float64) float64 {
	return w.index.distanceTo(p, enough, math.Inf(1))
}

// Contains is what Contains of their region says of p, found sooner where it has many segments; a
// place on the boundary itself may be told otherwise.
func (w Walls) Contains(p Point) bool {
	sum, limit := 0, math.Inf(1)
	w.index.toRight(p, &limit, func(i int) { sum += w.index.curves[i].crossings(p) })
	return sum >= 1
}

// Gap is the least distance in mm of a contour from the walls, whichever side it is on, and where
// on the contour; the limit and no place where it is not less than that.
func (w Walls) Gap(c Contour, limit float64) (d float64, onC Point) {
	x := newSegmentIndex(Region{[]Contour{c}})
	if len(x.curves) > 0 || c.Len() == 0 {
		d, onC, _ = x.within(&w.index, limit)
		return d, onC
	}
	at := c.vertices[0].Point // it has no extent
	if d = w.index.distanceTo(at, 0, limit); d < limit {
		onC = at
	}
	return d, onC
}

// segmentIndex finds the segments near a place.
type segmentIndex struct {
	curves []curve
	tree   boxTree // of their boxes, if they are more than fewCurves
}

// fewCurves are looked through faster than a tree of them.
const fewCurves = 64

func newSegmentIndex(r Region) segmentIndex {
	curves := make([]curve, 0, r.size())
	for _, c := range r.contours {
		curves = c.appendTo(curves)
	}
	return indexOf(curves)
}

func indexOf(curves []curve) segmentIndex {
	x := segmentIndex{curves: curves}
	if len(curves) > fewCurves {
		x.tree = treeOf(curves)
	}
	return x
}

// near walks the numbers of the curves that may be nearer to p than the limit, and
// perhaps a few more, until visit returns false; visit may lower the limit.
func (x *segmentIndex) near(p *probe, limit *float64, visit func(i int) bool) {
	if len(x.curves) > fewCurves {
		x.tree.visitNear(p, limit, visit)
		return
	}
	for i := range x.curves {
		if squaredDistance(&p.box, &x.curves[i].box) <= *limit**limit && !visit(i) {
			return
		}
	}
}

// toRight walks the numbers of the curves whose boxes a ray from p to the right meets
// before the limit.
func (x *segmentIndex) toRight(p Point, limit *float64, visit func(i int)) {
	if len(x.curves) > fewCurves {
		x.tree.walkRight(p, limit, visit)
		return
	}
	for i := range x.curves {
		if b := &x.curves[i].box; b.Min.Y <= p.Y && b.Max.Y >= p.Y && b.Max.X >= p.X && b.Min.X <= *limit {
			visit(i)
		}
	}
}

// distanceTo is the distance of p from the nearest segment, or limit if that is less;
// below enough it need not be the least.
func (x *segmentIndex) distanceTo(p Point, enough, limit float64) float64 {
	best, place := limit, p.probe()
	x.near(&place, &best, func(i int) bool {
		best = min(best, x.curves[i].nearest(p).DistanceTo(p))
		return best >= enough
	})
	return best
}

// nearest is the least distance of c from the indexed segments if it is below
// limit, else limit.
func (x *segmentIndex) nearest(c *curve, limit float64) (d float64, onC, onX Point) {
	d = limit
	p := c.probe(0)
	x.near(&p, &d, func(i int) bool {
		if near, p, q := c.distance(&x.curves[i]); near < d {
			d, onC, onX = near, p, q
		}
		return true
	})
	return d, onC, onX
}

// contains reports whether p lies inside the indexed region, which is valid: the
// first segment to the right of p then has the inside on its left. Where two are
// met at once, all are added up instead.
func (x *segmentIndex) contains(p Point, tol float64) bool {
	inside, first, second := false, math.Inf(1), math.Inf(1)
	limit, sum := math.Inf(1), 0
	meet := func(q piece) {
		sum += q.crossing(p)
		if q.crossing(p) == 0 {
			return
		}
		if at := q.xAt(p.Y); at < first {
			inside, first, second = q.rises, at, first
		} else if at < second {
			second = at
		}
	}
	x.toRight(p, &limit, func(i int) {
		x.curves[i].pieces(meet)
		limit = first + tol
	})
	if second > first+tol {
		return inside
	}
	sum, limit = 0, math.Inf(1)
	x.toRight(p, &limit, func(i int) { x.curves[i].pieces(meet) })
	return sum >= 1
}

// boxDistance is the least distance between two boxes.
func boxDistance(a, b *Box) float64 { return math.Sqrt(squaredDistance(a, b)) }

// outside is the larger of two numbers, or 0: max without its care for numbers that are none,
// which takes most of the time of a search.
func outside(a, b float64) float64 {
	if a < b {
		a = b
	}
	if a > 0 {
		return a
	}
	return 0
}

func squaredDistance(a, b *Box) float64 {
	dx, dy := outside(a.Min.X-b.Max.X, b.Min.X-a.Max.X), outside(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y)
	return dx*dx + dy*dy
}

// within is the least distance between two indexed contours if it is below
// limit, else limit.
func (x *segmentIndex) within(y *segmentIndex, limit float64) (d float64, onX, onY Point) {
	if len(x.curves) > len(y.curves) {
		d, onY, onX = y.within(x, limit)
		return d, onX, onY
	}
	d = limit
	for i := range x.curves {
		if near, p, q := y.nearest(&x.curves[i], d); near < d {
			d, onX, onY = near, p, q
		}
	}
	return d, onX, onY
}

// Distance is the least distance in mm between the two curves, and where on each;
// 0 where they cross or touch. A contour inside another is as far from it as
// their curves are. With an empty contour it is +Inf.
func Distance(a, b Contour) (d float64, onA, onB Point) {
	if a.Len() == 0 || b.Len() == 0 {
		return math.Inf(1), Point{}, Point{}
	}
	x, y := newSegmentIndex(Region{[]Contour{a}}), newSegmentIndex(Region{[]Contour{b}})
	if len(x.curves) == 0 || len(y.curves) == 0 {
		return pointDistance(a, b)
	}
	// Any pair of points is an upper bound to begin with.
	p, q := x.curves[0].A, y.curves[0].A
	start := p.DistanceTo(q)
	d, onA, onB = x.within(&y, math.Nextafter(start, math.Inf(1)))
	if d > start {
		return start, p, q
	}
	return d, onA, onB
}

// pointDistance is for contours that have no extent.
func pointDistance(a, b Contour) (d float64, onA, onB Point) {
	d = math.Inf(1)
	for s := range a.Segments() {
		for u := range b.Segments() {
			p, _ := s.Nearest(u.A)
			q, _ := u.Nearest(p)
			if p.DistanceTo(q) < d {
				d, onA, onB = p.DistanceTo(q), p, q
			}
		}
	}
	return d, onA, onB
}

// Gap is the least distance between contours I < J of a list, in mm, and where on
// each of them.
type Gap struct {
	I, J     int
	Distance float64
	OnI, OnJ Point
}

// Gaps lists every pair of contours nearer to each other than limit mm, ordered by
// I, then J. For contours spread out over an area it takes n log n time.
func Gaps(contours []Contour, limit float64) []Gap {
	if !(limit > 0) {
		return nil
	}
	boxes := make([]Box, len(contours))
	for i, c := range contours {
		boxes[i] = c.Bounds()
	}
	tree := newBoxTree(boxes)
	indexes := make([]*segmentIndex, len(contours))
	index := func(i int) *segmentIndex {
		if indexes[i] == nil {
			x := newSegmentIndex(Region{contours[i : i+1]})
			indexes[i] = &x
		}
		return indexes[i]
	}
	var gaps []Gap
	for i := range contours {
		for j := range tree.overlapping(boxes[i].Grow(limit)) {
			if j <= i || boxDistance(&boxes[i], &boxes[j]) >= limit {
				continue
			}
			if d, p, q := index(i).within(index(j), limit); d < limit {
				gaps = append(gaps, Gap{i, j, d, p, q})
			}
		}
	}
	slices.SortFunc(gaps, func(a, b Gap) int { return cmp.Or(cmp.Compare(a.I, b.I), cmp.Compare(a.J, b.J)) })
	return gaps
}
