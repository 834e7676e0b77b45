package process

import (
	"math"

	"traywright/geometry"
)

// slit is the straight way of a wire into a contour, from the rim or from another one.
type slit struct {
	from, to geometry.Point
	contour  int // that it leads to
}

// leastSlits join all contours to one of them, the root, by the least sum of straight ways
// between nearest points (Prim): a tree, so that what they lie in stays in one piece, and none
// of them crosses a third contour or another slit (by the cycle property: over that contour
// there would be a shorter way). In the order in which a wire comes to them from the root.
func leastSlits(contours []geometry.Contour, root int) []slit {
	near := make([]slit, len(contours))
	far := make([]float64, len(contours))
	for i := range far {
		far[i] = math.Inf(1)
	}
	var list []slit
	for at := root; at >= 0; {
		far[at] = -1 // in the tree
		next := -1
		for i := range contours {
			if far[i] < 0 {
				continue
			}
			if d, from, to := geometry.Distance(contours[at], contours[i]); d < far[i]-tieMM {
				far[i], near[i] = d, slit{from, to, i}
			}
			if next < 0 || far[i] < far[next]-tieMM {
				next = i
			}
		}
		if next >= 0 {
			list = append(list, near[next])
		}
		at = next
	}
	return list
}
