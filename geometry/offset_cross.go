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
	tree, pairs := treeOf(raw), 0
	ok = !crowded(raw, &tree, near)
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

// cross adds where two curves cross. Curves that follow each other, in line or at a
// corner of two lines, meet nowhere else.
func (o *offsetter) cross(found []crossing, i, j int) ([]crossing, bool) {
	if o.next[i] == int32(j) || o.next[j] == int32(i) {
		return found, true
	}
	c, e := &o.raw[i], &o.raw[j]
	hits, near := wholeHits(c, e), nearInTol*o.tol
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
			return found, false
		}
		found = append(found, crossing{p, [2]int32{int32(i), int32(j)}, [2]float64{x, y}, -1, -1})
	}
	return found, true
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
