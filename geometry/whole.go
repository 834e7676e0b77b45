package geometry

import "math"

// ShrinksWhole reports whether it is sure, without an offset, that the region shrunk by d mm is of as
// many pieces as the region; false where only the offset can tell. The region must be valid.
//
// What is farther than t from the boundary changes its pieces only at a t at which some place lies
// in the midst of the nearest places of the boundary, all t away. Two of those are no more than 2t apart;
// so they lie on one part of the boundary or on two that meet at a corner, if all others are
// farther apart than that. One part that hardly curves has one nearest place, two that
// meet at no sharp corner do not face each other, and of four parts or more around no three meet
// each other.
func ShrinksWhole(r Region, d float64) bool {
	var parts []curve
	var around [][2]int // the first and the last part of a part's contour
	for _, c := range r.contours {
		first := len(parts)
		for s := range c.Segments() {
			parts = s.appendParts(parts)
		}
		last := len(parts) - 1
		if last-first < 3 {
			return false
		}
		for range last - first + 1 {
			around = append(around, [2]int{first, last})
		}
	}
	tree := treeOf(parts)
	for i := range parts {
		next := i + 1
		if i == around[i][1] {
			next = around[i][0]
		}
		if !parts[i].leadsOn(&parts[next], d) || !parts[i].alone(i, next, parts, &tree, around, apartInShrunk*d) {
			return false
		}
	}
	return true
}

const (
	// apartInShrunk is how many d two parts are apart that do not meet. Beyond 2 is room: what is left
	// is nowhere so narrow that it might be dropped.
	apartInShrunk = 2.5

	// flatInShrunk is the least radius of a part in d, and leastTurned the cosine of how much a corner
	// turns at most: 100 degrees, so that it is far from turning back.
	flatInShrunk = 100
	leastTurned  = -0.17

	// straightSweep is how much a part turns at most, in radians.
	straightSweep = 0.5
)

// appendParts adds the segment's curves, of little sweep each.
func (s Segment) appendParts(parts []curve) []curve {
	n := math.Ceil(math.Abs(s.Sweep()) / straightSweep)
	if n <= 1 {
		return s.appendTo(parts)
	}
	for k := 0.0; k < n; k++ {
		parts = s.Part(k/n, (k+1)/n).appendTo(parts)
	}
	return parts
}

// leadsOn reports whether a part and the next one neither curve nor turn much.
func (c *curve) leadsOn(next *curve, d float64) bool {
	return math.Abs(c.k)*flatInShrunk*d <= 1 && c.endTangent().Dot(next.tangent) >= leastTurned
}

// alone reports whether part i is farther than near from all after it but the next one.
func (c *curve) alone(i, next int, parts []curve, tree *boxTree, around [][2]int, near float64) bool {
	before := i - 1
	if i == around[i][0] {
		before = around[i][1]
	}
	alone, p := true, c.probe(near)
	tree.visit(&p, func(j int) bool {
		if j > i && j != next && j != before {
			d, _, _ := c.distance(&parts[j])
			alone = d > near
		}
		return alone
	})
	return alone
}
