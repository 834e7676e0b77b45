package arrange

import (
	"slices"

	"traywright/geometry/units"
)

// spread shares the spare room of a tray out, so that walls and edges grow
// alike: first the walls inside each block, then those between blocks. Nothing
// comes closer than it was, the blocks keep their order, and every place stays a
// multiple of the room's step. Where pockets from elsewhere stay put, the room
// between them is shared.
func (f *filling) spread() {
	before := slices.Clone(f.blocks)
	for _, a := range []axis{alongX, alongY} {
		f.widen(a)
		f.even(a)
	}
	f.taken = f.taken[:len(f.room.taken)]
	for i, b := range f.blocks {
		if !f.free(b.box()) {
			f.blocks = before
			break
		}
		f.taken = append(f.taken, f.blocks[i].box())
	}
}

// squeezed are blocks moved together, to the left and to the back, in the order
// in which they lie: so that there is room for more without a new layout.
func squeezed(r room, blocks []block) []block {
	f := newFilling(r, nil, blocks)
	for i := range f.blocks {
		b := &f.blocks[i]
		b.gapX, b.gapY, b.kept = r.wall, r.wall, false
	}
	for i, p := range f.plays(alongX) {
		f.set(alongX, i, p.low)
	}
	for i, p := range f.plays(alongY) {
		f.set(alongY, i, p.high)
	}
	return f.blocks
}

// axis is X or Y: which way room is shared out.
type axis uint8

const (
	alongX axis = iota
	alongY
)

// span is a box along the axis, and across it.
func (a axis) span(b box) (low, high, across0, across1 units.Length) {
	if a == alongX {
		return b.x0, b.x1, b.y0, b.y1
	}
	return b.y0, b.y1, b.x0, b.x1
}

// inside is how many walls a block has inside it along the axis.
func (a axis) inside(b block) int {
	if a == alongX {
		return b.columns - 1
	}
	return b.rows() - 1
}

// range of places that the low side of a block may have, and the number of
// walls, edges counted, that could grow before and behind it.
type play struct {
	low, high     units.Length
	before, after int
}

// plays are how far each block can go to either side when all others give way.
// Ranges of boxes that stay put are single places.
func (f *filling) plays(a axis) []play {
	n := len(f.blocks)
	boxes := make([]box, 0, n+len(f.room.taken))
	walls := make([]int, n+len(f.room.taken))
	for i, b := range f.blocks {
		boxes = append(boxes, b.box())
		walls[i] = a.inside(b)
	}
	boxes = append(boxes, f.room.taken...)
	whole := f.room.length
	if a == alongY {
		whole = f.room.width
	}
	order := make([]int, len(boxes))
	for i := range order {
		order[i] = i
	}
	low := func(i int) units.Length { l, _, _, _ := a.span(boxes[i]); return l }
	slices.SortStableFunc(order, func(i, j int) int { return int(min(1, max(-1, low(i)-low(j)))) })
	list := make([]play, len(boxes))
	for k, i := range order {
		l, _, c0, c1 := a.span(boxes[i])
		p := play{low: f.room.edge, before: 1}
		for _, j := range order[:k] {
			_, jh, d0, d1 := a.span(boxes[j])
			if c1+f.room.wall <= d0 || d1+f.room.wall <= c0 {
				continue
			}
			jl := low(j)
			p.low = max(p.low, list[j].low+jh-jl+f.room.wall)
			p.before = max(p.before, list[j].before+walls[j]+1)
		}
		p.low = p.low.Up(f.room.step)
		if i >= n {
			p.low, p.before = l, 0
		}
		list[i] = p
	}
	for k := len(order) - 1; k >= 0; k-- {
		i := order[k]
		l, h, c0, c1 := a.span(boxes[i])
		list[i].high, list[i].after = whole-f.room.edge-(h-l), 1
		for _, j := range order[k+1:] {
			_, _, d0, d1 := a.span(boxes[j])
			if c1+f.room.wall <= d0 || d1+f.room.wall <= c0 {
				continue
			}
			list[i].high = min(list[i].high, list[j].high-(h-l)-f.room.wall)
			list[i].after = max(list[i].after, list[j].after+walls[j]+1)
		}
		list[i].high = list[i].high.Down(f.room.step)
		if i >= n {
			list[i].high, list[i].after = l, 0
		}
	}
	return list[:n]
}

// widen makes the walls inside blocks wider by their share of the spare room.
func (f *filling) widen(a axis) {
	shares := make([]units.Length, len(f.blocks))
	for i, p := range f.plays(a) {
		gaps := p.before + p.after + a.inside(f.blocks[i])
		if spare := p.high - p.low; spare > 0 {
			shares[i] = (spare / units.Length(gaps)).Down(f.room.step)
		}
	}
	for i, share := range shares {
		if a.inside(f.blocks[i]) == 0 || share == 0 || f.blocks[i].kept {
			continue
		}
		old := f.blocks[i]
		b := &f.blocks[i]
		if a == alongX {
			b.gapX += share
		} else {
			b.gapY += share
		}
		if !f.push(a) {
			*b = old
		}
	}
}

// push moves blocks up along the axis until walls and edge are kept again;
// false, with nothing changed, where that cannot be.
func (f *filling) push(a axis) bool {
	list := f.plays(a)
	for _, p := range list {
		if p.low > p.high {
			return false
		}
	}
	for i, p := range list {
		f.set(a, i, p.low)
	}
	return true
}

func (f *filling) set(a axis, i int, at units.Length) {
	if a == alongX {
		f.blocks[i].x = at
	} else {
		f.blocks[i].y = at
	}
}

// even puts every block where the walls before and behind it have grown alike.
// Of two blocks, one behind the other, the second's share of the play is never
// the smaller, so they do not come closer.
func (f *filling) even(a axis) {
	for i, p := range f.plays(a) {
		if p.high <= p.low || f.blocks[i].kept {
			continue
		}
		share := units.Length(int64(p.high-p.low) / int64(p.before+p.after+a.inside(f.blocks[i])) * int64(p.before))
		f.set(a, i, (p.low + share).Down(f.room.step))
	}
}
