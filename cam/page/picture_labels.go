package page

// claims remembers which parts of the page are taken, so that no label is put
// on another. It counts in cells of claimPX pixels and never says that a taken
// place is free.
type claims struct {
	columns, rows int
	taken         []bool
}

const claimPX = 4

func newClaims(page rect) *claims {
	columns, rows := int(page.right())/claimPX+1, int(page.bottom())/claimPX+1
	return &claims{columns, rows, make([]bool, columns*rows)}
}

// span is the cells that r touches, and whether all of r is on the page.
func (c *claims) span(r rect) (x0, y0, x1, y1 int, inside bool) {
	if !(r.x >= 0 && r.y >= 0 && r.right() < float64(c.columns*claimPX) && r.bottom() < float64(c.rows*claimPX)) {
		return 0, 0, -1, -1, false
	}
	return int(r.x) / claimPX, int(r.y) / claimPX, int(r.right()) / claimPX, int(r.bottom()) / claimPX, true
}

// free reports whether r is on the page and no part of it is taken.
func (c *claims) free(r rect) bool {
	x0, y0, x1, y1, inside := c.span(r)
	if !inside {
		return false
	}
	for y := y0; y <= y1; y++ {
		for _, taken := range c.taken[y*c.columns+x0 : y*c.columns+x1+1] {
			if taken {
				return false
			}
		}
	}
	return true
}

// take claims r, whether or not it was free.
func (c *claims) take(r rect) {
	x0, y0, x1, y1, _ := c.span(r)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			c.taken[y*c.columns+x] = true
		}
	}
}

// place takes the first of the places that is free and inside within.
func (c *claims) place(within rect, places ...rect) (rect, bool) {
	for _, r := range places {
		if r.x >= within.x && r.y >= within.y && r.right() <= within.right() && r.bottom() <= within.bottom() && c.free(r) {
			c.take(r)
			return r, true
		}
	}
	return rect{}, false
}

// around are places for a box of w by h beside the point (x, y), distance away,
// the most readable first: right, left, above, below, then the corners.
func around(x, y, w, h, distance float64) []rect {
	left, right := x-distance-w, x+distance
	above, below := y-distance-h, y+distance
	return []rect{
		{right, y - h/2, w, h}, {left, y - h/2, w, h},
		{x - w/2, above, w, h}, {x - w/2, below, w, h},
		{right, above, w, h}, {left, above, w, h},
		{right, below, w, h}, {left, below, w, h},
	}
}

// centred is a box of w by h around the point (x, y).
func centred(x, y, w, h float64) rect { return rect{x - w/2, y - h/2, w, h} }

// spread moves the middles of labels of height h along a line until no two
// overlap, as little as it takes, keeping their order and staying between low
// and high where there is room. The middles rise.
func spread(middles []float64, h, low, high float64) []float64 {
	placed := make([]float64, len(middles))
	next := low + h/2
	for i, m := range middles {
		placed[i] = max(m, next)
		next = placed[i] + h
	}
	next = high - h/2
	for i := len(placed) - 1; i >= 0 && placed[i] > next; i-- {
		placed[i] = next
		next -= h
	}
	return placed
}
