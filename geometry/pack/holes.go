package pack

// Holes: where on a sheet nothing may lie. A filler lays its boxes at the ends of gaps, and so below a hole and beside
// it; where none fits any more, the skyline goes on above the hole, and the room under it is lost.

// holesIn are what is taken of a room, as a filler that counts from where the margin ends sees it: each
// item has its spacing at its far sides.
func (o Options) holesIn(taken []Panel, across bool) (list []lying) {
	for _, t := range taken {
		h := lying{-1, t.X - o.Margin, t.Y - o.Margin, t.X + t.Length - o.Margin, t.Y + t.Width - o.Margin}
		h.x0, h.y0 = min(h.x0+o.Spacing, h.x1-1), min(h.y0+o.Spacing, h.y1-1)
		if min(h.x1, h.y1) <= 0 {
			continue // in the margin
		}
		if across {
			h.x0, h.y0, h.x1, h.y1 = h.y0, h.x0, h.y1, h.x1
		}
		list = append(list, h)
	}
	return list
}

// meets reports whether two rectangles share more than an edge.
func (r lying) meets(x0, y0, x1, y1 int64) bool {
	return x0 < r.x1 && r.x0 < x1 && y0 < r.y1 && r.y0 < y1
}

// free reports whether a box at one of the ends of a gap meets no hole.
func (f *filler) free(g segment, b box, right bool) bool {
	x := g.x
	if right {
		x += g.length - b.l
	}
	for _, h := range f.holes {
		if h.meets(x, g.y, x+b.l, g.y+b.h) {
			return false
		}
	}
	return true
}

// closeOff takes the room at and under the lowest hole above a gap, and reports whether there is one.
func (f *filler) closeOff(i int) bool {
	g, low := f.line[i], -1
	for n, h := range f.holes {
		if h.meets(g.x, g.y, g.x+g.length, f.rim) && (low < 0 || h.y1 < f.holes[low].y1) {
			low = n
		}
	}
	if low < 0 {
		return false
	}
	h, end := f.holes[low], g.x+g.length
	var parts []segment
	for _, p := range []segment{{g.x, g.y, h.x0 - g.x}, {max(g.x, h.x0), min(h.y1, f.rim), min(end, h.x1) - max(g.x, h.x0)}, {h.x1, g.y, end - h.x1}} {
		if p.length > 0 {
			parts = append(parts, p)
		}
	}
	f.line.replace(i, parts)
	return true
}

// clear reports whether an item at a place of a room meets nothing that is taken there.
func (r room) clear(x0, y0, x1, y1 int64) bool {
	for _, t := range r.taken {
		if (lying{0, t.X, t.Y, t.X + t.Length, t.Y + t.Width}).meets(x0, y0, x1, y1) {
			return false
		}
	}
	return true
}
