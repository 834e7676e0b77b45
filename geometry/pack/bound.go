package pack

import "math"

// Lower bounds by dual feasible functions: a function f of a side (in parts of
// the bin's) such that sides that fit beside each other still sum to at most 1
// after f. Then f of the lengths times g of the widths is an area that no
// packing can beat. Source: S. P. Fekete, J. Schepers, "New classes of fast
// lower bounds for bin packing problems", Mathematical Programming 91 (2001)
// 11-31 (from memory).

// dual is a dual feasible function of l/of.
type dual func(l, of int64) float64

func identity(l, of int64) float64 { return float64(l) / float64(of) }

// stepped is u(k): x stays when (k+1)x is whole, else it is rounded down to
// floor((k+1)x)/k.
func stepped(k int64) dual {
	return func(l, of int64) float64 {
		n := (k + 1) * l
		if n%of == 0 {
			return float64(l) / float64(of)
		}
		return float64(n/of) / float64(k)
	}
}

// trimmed is U(e): more than 1-e counts as all, less than e as nothing.
func trimmed(num, den int64) dual {
	return func(l, of int64) float64 {
		switch {
		case l*den > of*(den-num):
			return 1
		case l*den < of*num:
			return 0
		}
		return float64(l) / float64(of)
	}
}

// duals are the functions that are tried against each other.
func duals() []dual {
	list := []dual{identity}
	for k := int64(1); k <= 6; k++ {
		list = append(list, stepped(k))
	}
	for num := int64(1); num <= 10; num++ {
		list = append(list, trimmed(num, 20))
	}
	return list
}

// binBound is the least number of bins, by every pair of functions. An item
// that may be turned counts as the smaller of its two areas.
func binBound(items []Item, length, width int64) int {
	best := 0
	list := duals()
	for _, f := range list {
		for _, g := range list {
			var sum float64
			for _, it := range items {
				sum += dualArea(it, f, g, length, width)
			}
			best = max(best, int(math.Ceil(sum-1e-9*float64(len(items)+1))))
		}
	}
	return best
}

func dualArea(it Item, f, g dual, length, width int64) float64 {
	area := math.Inf(1)
	if it.Length <= length && it.Width <= width {
		area = f(it.Length, length) * g(it.Width, width)
	}
	if !it.Fixed && it.Width <= length && it.Length <= width {
		area = min(area, f(it.Width, length)*g(it.Length, width))
	}
	return area
}
