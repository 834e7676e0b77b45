package geometry

import "math"

// Most pockets are simple: no two parts of the raw curve meet. Then there is
// nothing to cut up, and each loop of it stays or goes as a whole, by the windings
// on its two sides. This finds the same result as the arrangement, sooner.

// simpleLimit is the number of raw segments up to which every pair is looked at.
const simpleLimit = 64

// simple is the result if the raw curve is simple, and false if it may not be.
func (o *offsetter) simple() (Region, bool) {
	curves := o.raw.curves
	if len(curves) > simpleLimit {
		return Region{}, false
	}
	loops := o.loopBounds()
	for i, at := range loops {
		for j := at.from; j < at.to; j++ {
			if !o.clear(j, at, loops[i+1:]) {
				return Region{}, false
			}
		}
	}
	var contours []Contour
	for _, at := range loops {
		if keeps(curves, at) {
			contours = append(contours, loopContour(curves[at.from:at.to]))
		}
	}
	return inOrder(contours, o.tol), true
}

// loopAt is a loop of the raw curve, by its first curve and the one after its last.
type loopAt struct{ from, to int }

func (o *offsetter) loopBounds() []loopAt {
	loops := make([]loopAt, len(o.loops))
	for i, from := range o.loops {
		to := len(o.raw.curves)
		if i+1 < len(o.loops) {
			to = o.loops[i+1]
		}
		loops[i] = loopAt{from, to}
	}
	return loops
}

// clear reports whether curve j meets only its neighbours in its loop, at the ends
// that they share.
func (o *offsetter) clear(j int, at loopAt, others []loopAt) bool {
	curves := o.raw.curves
	c, next := &curves[j], &curves[at.from]
	if j+1 < at.to {
		next = &curves[j+1]
	}
	turnsBack := c.endTangent().Dot(next.tangent) < -0.999
	if c.length <= 2*o.tol || c.B != next.A || turnsBack {
		return false
	}
	for i := j + 1; i < at.to; i++ {
		e := &curves[i]
		if !o.apart(c, e, i == j+1, j == at.from && i == at.to-1) {
			return false
		}
	}
	for _, other := range others {
		for i := other.from; i < other.to; i++ {
			if !o.apart(c, &curves[i], false, false) {
				return false
			}
		}
	}
	return true
}

// apart reports whether two curves keep more than tol away from each other, but
// for the ends that neighbours share: e may follow c, or go before it, or both.
func (o *offsetter) apart(c, e *curve, follows, leads bool) bool {
	if !c.box.Grow(o.tol).overlaps(e.box) {
		return true
	}
	if !follows && (c.B == e.A || c.B == e.B) || !leads && (c.A == e.B || c.A == e.A) {
		return false
	}
	free := true
	meetings(c, e, o.tol, func(_ bool, _ float64, p Point) {
		shared := follows && p.DistanceTo(c.B) <= 2*o.tol || leads && p.DistanceTo(c.A) <= 2*o.tol
		free = free && shared
	})
	return free
}

// keeps reports whether the left of a loop is inside and the right is not, by a ray
// from its tallest piece.
func keeps(curves []curve, at loopAt) bool {
	var tallest piece
	owner := -1
	for i := at.from; i < at.to; i++ {
		curves[i].pieces(func(p piece) {
			if owner < 0 || p.high-p.low > tallest.high-tallest.low {
				tallest, owner = p, i
			}
		})
	}
	y := tallest.low + (tallest.high-tallest.low)/2
	q := Point{tallest.xAt(y), y}
	beyond := 0
	for i := range curves {
		if curves[i].box.Max.X <= q.X {
			continue
		}
		curves[i].pieces(func(p piece) {
			if i != owner || p != tallest {
				beyond += p.crossing(q)
			}
		})
	}
	if tallest.rises {
		return beyond+1 >= 1 && beyond < 1
	}
	return beyond >= 1 && beyond-1 < 1
}

// loopContour joins neighbours on one line or circle, up to a half circle.
func loopContour(curves []curve) Contour {
	vertices := make([]Vertex, 0, len(curves))
	for i := 0; i < len(curves); {
		first := &curves[i]
		sweep, n := first.sweep, 1
		for i+n < len(curves) && first.continues(&curves[i+n-1], &curves[i+n]) && math.Abs(sweep+curves[i+n].sweep) < math.Pi+1e-9 {
			sweep += curves[i+n].sweep
			n++
		}
		v := Vertex{first.A, first.Bulge}
		if n > 1 && first.k != 0 {
			v.Bulge = math.Tan(sweep / 4)
		}
		vertices = append(vertices, v)
		i += n
	}
	return Contour{vertices}
}

// continues reports whether next, after last, goes on along the line or circle of c
// but for rounding.
func (c *curve) continues(last, next *curve) bool {
	return (c.k == 0) == (next.k == 0) && math.Abs(c.k-next.k) <= 1e-11*math.Abs(c.k) &&
		last.endTangent().DistanceTo(next.tangent) < 1e-11
}
