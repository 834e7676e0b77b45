package geometry

import "math"

// grazing is the sine of the angle under which a crossing is not well placed.
const grazing = 1e-3

// findCrossings looks at every pair of curves whose boxes overlap, unless they are a crowd.
func (o *offsetter) findCrossings() (found []crossing, ok bool) {
	raw, near := o.raw[:o.curves], nearInTol*o.tol
	if len(raw) <= fewCurves {
		for i := range raw {
			b := raw[i].box.Grow(near)
			for j := i + 1; j < len(raw); j++ {
				if !b.overlaps(raw[j].box) {
					continue
				}
				if found, ok = o.cross(found, i, j); !ok {
					return nil, false
				}
			}
		}
		return found, true
	}
	found = make([]crossing, 0, len(raw)/2)
	tree, pairs := o.rawTree(), 0
	ok = !crowded(raw, tree, near)
	for i := 0; i < len(raw) && ok; i++ {
		p := raw[i].probe(near)
		tree.visit(&p, func(j int) bool {
			if j > i {
				pairs++
				found, ok = o.cross(found, i, j)
			}
			ok = ok && (pairs <= crowdedPairs*len(raw) || len(raw) < denseCurves)
			return ok
		})
	}
	return found, ok
}

// rawTree is a tree of the raw curve, kept where there is a place for it.
func (o *offsetter) rawTree() *boxTree {
	tree := o.kept
	if tree == nil {
		tree = new(boxTree)
	}
	if tree.levels == nil {
		*tree = treeOf(o.raw[:o.curves])
	}
	return tree
}

// cross adds where two curves cross.
func (o *offsetter) cross(found []crossing, i, j int) ([]crossing, bool) {
	c, e, near := &o.raw[i], &o.raw[j], nearInTol*o.tol
	if before, after := o.next[i] == int32(j), o.next[j] == int32(i); before || after {
		return found, !(before && c.meetsAgain(e, near) || after && e.meetsAgain(c, near))
	}
	hits := wholeHits(c, e)
	if hits.n == 0 || hits.apart {
		return found, c.keepsFrom(e, near)
	}
	for _, p := range hits.at[:hits.n] {
		if math.Abs(c.outward(p).Cross(e.outward(p))) < o.grazing {
			return found, c.keepsFrom(e, near)
		}
		place := Box{p, p}.Grow(near)
		if !c.box.overlaps(place) || !e.box.overlaps(place) {
			continue
		}
		x, y := c.along(p), e.along(p)
		onC, onE := c.between(x, near), e.between(y, near)
		if onC < 0 || onE < 0 {
			continue
		}
		if onC == 0 || onE == 0 {
			if o.hides(p) {
				continue // both go on in hiding
			}
			return found, false
		}
		found = append(found, crossing{p, [2]int32{int32(i), int32(j)}, [2]float64{x, y}, -1, -1})
	}
	return found, true
}

// hides reports whether a place is clearly nearer than |d| to the source, so that whatever meets
// there is not seen: a run that comes by goes on as it was.
func (o *offsetter) hides(p Point) bool {
	reach := math.Abs(o.d) - hiddenInTol*o.tol
	return o.source.distanceTo(p, reach, reach) < reach
}

// hiddenInTol is how many tolerances nearer than |d| is clearly nearer: what is so near to it that
// it may be taken to meet there is so too.
const hiddenInTol = 2 * nearInTol

// meetsAgain reports whether a curve and the one that follows it may meet elsewhere than there.
// In line and at a corner of two lines they do not; at one of arcs, about a point, they might.
func (c *curve) meetsAgain(e *curve, near float64) bool {
	if c.k == 0 && e.k == 0 {
		return false
	}
	sine, cosine := c.endTangent().Cross(e.tangent), c.endTangent().Dot(e.tangent)
	if math.Abs(sine) < grazing {
		return cosine < 0 // it turns right back
	}
	hits := wholeHits(c, e)
	for _, p := range hits.at[:hits.n] {
		if p.DistanceTo(c.B) > near && p.DistanceTo(c.A)+p.DistanceTo(e.B) > near && c.between(c.along(p), near) >= 0 && e.between(e.along(p), near) >= 0 {
			return true
		}
	}
	return false
}

// keepsFrom reports whether the curves are more than near mm apart.
func (c *curve) keepsFrom(e *curve, near float64) bool {
	d, _, _ := c.distance(e)
	return d > near
}

// outward is the direction across the line or circle at its point p, of length 1.
func (c *curve) outward(p Point) Point { return p.Sub(c.A).Scale(c.k).Sub(c.normal()) }

// between is 1 for a share well between the ends, -1 well beyond, 0 near one of them.
func (c *curve) between(share, near float64) int {
	inside := min(share, 1-share) * c.length
	switch {
	case inside > near:
		return 1
	case inside < -near:
		return -1
	}
	return 0
}
