package arrange

import (
	"cmp"
	"slices"

	"traywright/geometry/units"
)

// spread shares the spare room of a tray out, so that walls and edges grow
// alike: first the walls inside each block, then those between blocks. Nothing
// comes closer than it was, the blocks keep their order, and every place stays a
// multiple of the room's step. Where pockets from elsewhere stay put, the room
// between them is shared.
func (f *filling) spread() {
	if f.outlined {
		return
	}
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
	g := gauge{axis: a, room: f.room, boxes: boxes, walls: walls, stay: n, end: whole - f.room.edge, list: make([]play, len(boxes))}
	order := make([]int, len(boxes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(g.low(i), g.low(j)) })
	for k, i := range order {
		g.back(i, order[:k])
	}
	for k := len(order) - 1; k >= 0; k-- {
		g.ahead(order[k], order[k+1:])
	}
	return g.list[:n]
}

// gauge works the plays of boxes out, one box after another along the axis.
type gauge struct {
	axis  axis
	room  room
	boxes []box
	walls []int        // inside each box
	stay  int          // boxes from here on do not move
	end   units.Length // of the room, less its edge
	list  []play
}

func (g *gauge) low(i int) units.Length {
	low, _, _, _ := g.axis.span(g.boxes[i])
	return low
}

// between reports whether two boxes would be in each other's way if one were
// moved along the axis.
func (g *gauge) between(i, j int) bool {
	_, _, c0, c1 := g.axis.span(g.boxes[i])
	_, _, d0, d1 := g.axis.span(g.boxes[j])
	return c1+g.room.wall > d0 && d1+g.room.wall > c0
}

// back is how far a box can go back, when those before it have.
func (g *gauge) back(i int, before []int) {
	p := play{low: g.room.edge, before: 1}
	for _, j := range before {
		if g.between(i, j) {
			low, high, _, _ := g.axis.span(g.boxes[j])
			p.low = max(p.low, g.list[j].low+high-low+g.room.wall)
			p.before = max(p.before, g.list[j].before+g.walls[j]+1)
		}
	}
	p.low = p.low.Up(g.room.step)
	if i >= g.stay {
		p.low, p.before = g.low(i), 0
	}
	g.list[i] = p
}

// ahead is how far a box can go ahead, when those behind it have.
func (g *gauge) ahead(i int, behind []int) {
	low, high, _, _ := g.axis.span(g.boxes[i])
	p := &g.list[i]
	p.high, p.after = g.end-(high-low), 1
	for _, j := range behind {
		if g.between(i, j) {
			p.high = min(p.high, g.list[j].high-(high-low)-g.room.wall)
			p.after = max(p.after, g.list[j].after+g.walls[j]+1)
		}
	}
	p.high = p.high.Down(g.room.step)
	if i >= g.stay {
		p.high, p.after = low, 0
	}
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
