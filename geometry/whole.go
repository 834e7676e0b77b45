package geometry

import "math"

// ShrinksWhole reports whether it is sure, without an offset, that the region shrunk by d mm is of as
// many pieces as the region; false where only the offset can tell. The region must be valid.
//
// What is farther than t from the boundary changes its pieces only at a t at which some place lies
// in the midst of the nearest places of the boundary, all t away and so no more than 2t apart. The directions
// to two or three of those lie around it, so two of them are 120 degrees apart or more, and as much the boundary
// turns between the two on either way round. A way that turns less than 160 degrees is less than six times as
// long as what it spans, so that it hardly turns on flat parts at its ends; where it turns little between them, there is no
// such place.
func ShrinksWhole(r Region, d float64) bool {
	var w winding
	for _, c := range r.contours {
		first := len(w.parts)
		for s := range c.Segments() {
			w.parts = s.appendParts(w.parts)
		}
		if len(w.parts)-first < 4 {
			return false
		}
		w.turn(first)
	}
	tree := treeOf(w.parts)
	for i := range w.parts {
		if math.Abs(w.parts[i].k)*flatInShrunk*d > 1 || !w.alone(i, &tree, apartInShrunk*d) {
			return false
		}
	}
	return true
}

// winding is a boundary in parts, and how much it turns, in radians without sign, from the first part of
// each one's contour to its start, and all around.
type winding struct {
	parts          []curve
	before, around []float64
	contour        []int // its first part
}

// turn adds up the turns of the contour that begins at the part first.
func (w *winding) turn(first int) {
	sum := 0.0
	for i := first; i < len(w.parts); i++ {
		next := &w.parts[first]
		if i+1 < len(w.parts) {
			next = &w.parts[i+1]
		}
		w.before, w.contour = append(w.before, sum), append(w.contour, first)
		end := w.parts[i].endTangent()
		sum += math.Abs(w.parts[i].sweep) + math.Abs(math.Atan2(end.Cross(next.tangent), end.Dot(next.tangent)))
	}
	for range len(w.parts) - first {
		w.around = append(w.around, sum)
	}
}

// between is the least that the boundary turns on its way from part i to part j, which is later.
func (w *winding) between(i, j int) float64 {
	if w.contour[i] != w.contour[j] {
		return math.Inf(1)
	}
	way := w.before[j] - w.before[i]
	return min(way-math.Abs(w.parts[i].sweep), w.around[i]-way-math.Abs(w.parts[j].sweep))
}

const (
	// apartInShrunk is how many d two parts are apart that do not meet. Beyond 2 is room: what is left
	// is nowhere so narrow that it might be dropped.
	apartInShrunk = 2.5

	// flatInShrunk is the least radius of a part in d, and mostTurned how much the boundary turns at most
	// between two that are near: 100 degrees. What both themselves turn on a way as short as that, less
	// than 6 degrees each, keeps it below 120.
	flatInShrunk = 100
	mostTurned   = 100 * math.Pi / 180

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

// alone reports whether part i is farther than near from all after it that it does not lead to with little turning.
func (w *winding) alone(i int, tree *boxTree, near float64) bool {
	c := &w.parts[i]
	alone, p := true, c.probe(near)
	tree.visit(&p, func(j int) bool {
		if j > i && w.between(i, j) > mostTurned {
			d, _, _ := c.distance(&w.parts[j])
			alone = d > near
		}
		return alone
	})
	return alone
}
