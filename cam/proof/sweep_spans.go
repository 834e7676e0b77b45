package proof

import "math"

// The cells of a row that a sweep covers. A row is the line y = constant
// through the centres of its cells, so a sweep covers intervals of x on it:
// one for a line with its two end discs, up to two for an arc's ring and one
// for each of its end discs.

// interval is from low to high; empty when low > high.
type interval struct{ low, high float64 }

var nothing = interval{math.Inf(1), math.Inf(-1)}

func (i interval) empty() bool { return !(i.low <= i.high) }

func (i interval) and(j interval) interval {
	k := interval{max(i.low, j.low), min(i.high, j.high)}
	if k.empty() {
		return nothing
	}
	return k
}

// hull is the least interval that holds both. An empty one must be nothing.
func (i interval) hull(j interval) interval {
	return interval{min(i.low, j.low), max(i.high, j.high)}
}

// where is the x for which low <= k x + c <= high.
func where(k, c, low, high float64) interval {
	switch {
	case k > 0:
		return interval{(low - c) / k, (high - c) / k}
	case k < 0:
		return interval{(high - c) / k, (low - c) / k}
	case low <= c && c <= high:
		return interval{math.Inf(-1), math.Inf(1)}
	}
	return nothing
}

// disc is the row's part of a disc.
func disc(x, y, radius, row float64) interval {
	h := radius*radius - (row-y)*(row-y)
	if h < 0 {
		return nothing
	}
	h = math.Sqrt(h)
	return interval{x - h, x + h}
}

// spans is the parts of a row within radius of the path; they may overlap.
func (s *sweep) spans(row, radius float64) (list [4]interval, n int) {
	ends := [2]interval{disc(s.a.X, s.a.Y, radius, row), disc(s.b.X, s.b.Y, radius, row)}
	if !s.arc {
		if whole := s.band(row, radius).hull(ends[0]).hull(ends[1]); !whole.empty() {
			list[0], n = whole, 1
		}
		return list, n
	}
	left, right := s.ring(row, radius)
	for _, i := range [4]interval{left, right, ends[0], ends[1]} {
		if !i.empty() {
			list[n] = i
			n++
		}
	}
	return list, n
}

// band is the rectangle beside a line, without its end discs.
func (s *sweep) band(row, radius float64) interval {
	d := s.b.Sub(s.a)
	length := d.Norm()
	if length == 0 {
		return nothing
	}
	ux, uy := d.X/length, d.Y/length
	y := row - s.a.Y
	along := where(ux, y*uy-s.a.X*ux, 0, length)
	aside := where(-uy, y*ux+s.a.X*uy, -radius, radius)
	return along.and(aside)
}

// ring is the sector of a ring beside an arc, without its end discs: at most
// two intervals, left and right of the hole.
func (s *sweep) ring(row, radius float64) (left, right interval) {
	a, b := s.a.Sub(s.center), s.b.Sub(s.center)
	if s.turn < 0 {
		a, b = b, a
	}
	y := row - s.center.Y
	// Counter-clockwise from a to b by at most half a turn: left of a, right of b.
	wedge := where(-a.Y, a.X*y+a.Y*s.center.X, 0, math.Inf(1))
	wedge = wedge.and(where(b.Y, -b.X*y-b.Y*s.center.X, 0, math.Inf(1)))
	whole := disc(s.center.X, s.center.Y, s.r+radius, row).and(wedge)
	if whole.empty() {
		return nothing, nothing
	}
	if s.r <= radius {
		return whole, nothing
	}
	hole := disc(s.center.X, s.center.Y, s.r-radius, row)
	if hole.empty() {
		return whole, nothing
	}
	left = whole.and(interval{math.Inf(-1), hole.low})
	right = whole.and(interval{hole.high, math.Inf(1)})
	return left, right
}
