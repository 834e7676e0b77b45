package arrange

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"traywright/geometry/units"
)

// box is a rectangle of a tray, from its lower-left corner.
type box struct{ x0, y0, x1, y1 units.Length }

// apart reports whether two boxes keep a distance in X or in Y. Boxes whose
// corners face each other are then further apart than that.
func (b box) apart(c box, wall units.Length) bool {
	return b.x1+wall <= c.x0 || c.x1+wall <= b.x0 || b.y1+wall <= c.y0 || c.y1+wall <= b.y0
}

// room is a tray, or a half of one, to be filled.
type room struct {
	length, width, corner units.Length
	wall, edge            units.Length // least, multiples of step
	step                  units.Length
	taken                 []box      // pockets that stay where they are, with notches
	standing              []standing // the same
	feet                  *feet
}

func (r room) inner() (length, width units.Length) { return r.length - 2*r.edge, r.width - 2*r.edge }

// within reports whether a box keeps its distance to the rim. At a rounded
// corner that is the distance from the box's corner to the arc.
func (r room) within(b box) bool {
	if b.x0 < r.edge || b.y0 < r.edge || b.x1 > r.length-r.edge || b.y1 > r.width-r.edge {
		return false
	}
	if r.corner <= r.edge {
		return true
	}
	x, y := min(b.x0, r.length-b.x1), min(b.y0, r.width-b.y1)
	if x >= r.corner || y >= r.corner {
		return true
	}
	return math.Hypot((r.corner-x).MM(), (r.corner-y).MM()) <= (r.corner - r.edge).MM()
}

// filling is a room with blocks in it and what found no place.
type filling struct {
	room     room
	blocks   []block
	left     []int // of each kind
	taken    []box
	xs, ys   []units.Length    // lines along which blocks may begin
	corners  []corner          // where they cross and are free
	failed   [][2]units.Length // sizes that found no place
	freeMM2  float64
	outlined bool // by true outlines: boxes may lie in each other
}

func newFilling(r room, kinds []kind, kept []block) *filling {
	f := &filling{room: r, blocks: slices.Clone(kept)}
	for _, k := range kinds {
		f.left = append(f.left, k.count)
	}
	l, w := r.inner()
	f.freeMM2 = (l + r.wall).MM() * (w + r.wall).MM()
	f.xs, f.ys = f.starts()
	for _, x := range f.xs {
		for _, y := range f.ys {
			f.addCorner(x, y)
		}
	}
	for _, t := range r.taken {
		f.take(t)
	}
	for _, b := range kept {
		f.take(b.box())
	}
	return f
}

// cost is the area that a box takes with half a wall around it, mm2.
func (f *filling) cost(b box) float64 {
	return (b.x1 - b.x0 + f.room.wall).MM() * (b.y1 - b.y0 + f.room.wall).MM()
}

// run places the kinds one after another: all of one kind as one block where
// that fits, else its largest parts.
func (f *filling) run(all []*choices, m manner, whole bool) {
	for _, i := range m.order {
		f.place(i, all[i], m.upward, whole)
	}
}

// place finds places for what is left of a kind.
func (f *filling) place(i int, c *choices, upward, whole bool) {
	for f.left[i] > 0 {
		b, ok := f.best(c, f.left[i], upward, whole)
		if !ok {
			return
		}
		f.add(b)
		f.left[i] -= b.count
	}
}

// short reports whether something found no place.
func (f *filling) short() bool {
	return slices.ContainsFunc(f.left, func(n int) bool { return n > 0 })
}

func (f *filling) add(b block) {
	f.blocks = append(f.blocks, b)
	f.take(b.box())
}

// best is the best place for n pockets of a kind, or for as many as fit.
func (f *filling) best(c *choices, n int, upward, whole bool) (block, bool) {
	var best *shape
	var at corner
	var least score
	if f.hopelessAll(c.cells) {
		return block{}, false
	}
	try := func(b *shape) {
		if p, s, ok := f.corner(b, upward); ok && (best == nil || s.less(least)) {
			best, at, least = b, p, s
		}
	}
	list := c.shapes(n)
	for i := range list {
		try(&list[i])
	}
	if best == nil && !whole && n > 1 {
		list = c.parts()
		for i := range list {
			if best != nil && list[i].count != best.count {
				break
			}
			if list[i].count < n {
				try(&list[i])
			}
		}
	}
	if best == nil {
		return block{}, false
	}
	return best.at(at.x, at.y-best.w), true
}

// corner is a place where a block may begin: its left side and its upper one.
type corner struct{ x, y units.Length }

// starts are the lines along which blocks may begin: left sides from the left,
// upper sides from the back.
func (f *filling) starts() (xs, ys []units.Length) {
	r := f.room
	xs, ys = []units.Length{r.edge}, []units.Length{(r.width - r.edge).Down(r.step)}
	if r.corner > r.edge {
		xs, ys = append(xs, r.corner.Up(r.step)), append(ys, (r.width-r.corner).Down(r.step))
	}
	return xs, ys
}

// open adds the corners on a new left line and a new upper line to those that
// are there; corners that are taken already are left out.
func (f *filling) open(x, y units.Length) {
	for _, other := range f.ys {
		f.addCorner(x, other)
	}
	for _, other := range f.xs {
		f.addCorner(other, y)
	}
	f.addCorner(x, y)
	f.xs, f.ys = append(f.xs, x), append(f.ys, y)
}

func (f *filling) addCorner(x, y units.Length) {
	r := f.room
	speck := box{x, y - r.step, x + r.step, y}
	if speck.x0 < r.edge || speck.y0 < r.edge || speck.x1 > r.length-r.edge || speck.y1 > r.width-r.edge {
		return
	}
	for _, t := range f.taken {
		if !speck.apart(t, r.wall) {
			return
		}
	}
	f.corners = append(f.corners, corner{x, y})
}

// take closes the corners that a box takes, and opens those beside it.
func (f *filling) take(b box) {
	f.taken = append(f.taken, b)
	f.freeMM2 -= f.cost(b)
	r := f.room
	f.corners = slices.DeleteFunc(f.corners, func(c corner) bool {
		return !box{c.x, c.y - r.step, c.x + r.step, c.y}.apart(b, r.wall)
	})
	f.open((b.x1 + r.wall).Up(r.step), (b.y0 - r.wall).Down(r.step))
}

// score says how good a place is: the less the better.
type score struct{ used, side float64 }

func (s score) less(t score) bool {
	return s.used < t.used || s.used == t.used && s.side < t.side
}

// corner finds the place at which a block reaches least far to the front (or, upward, to
// the right), its empty last places counted as room.
func (f *filling) corner(b *shape, upward bool) (where corner, best score, found bool) {
	l, w, waste := b.l, b.w, b.empty
	if f.hopeless(l, w) {
		return corner{}, score{}, false
	}
	for _, c := range f.corners {
		at := box{c.x, c.y - w, c.x + l, c.y}
		s := score{(f.room.width - at.y0).MM() + waste/f.room.length.MM(), at.x0.MM()}
		if upward {
			s = score{at.x1.MM() + waste/f.room.width.MM(), (f.room.width - at.y1).MM()}
		}
		if found && !s.less(best) || !f.free(at) {
			continue
		}
		where, best, found = c, s, true
	}
	if !found {
		f.failed = slices.DeleteFunc(f.failed, func(s [2]units.Length) bool { return s[0] >= l && s[1] >= w })
		f.failed = append(f.failed, [2]units.Length{l, w})
	}
	return where, best, found
}

// hopeless reports whether no smaller a block found a place before, or there is
// not so much room left.
func (f *filling) hopeless(l, w units.Length) bool {
	if (l+f.room.wall).MM()*(w+f.room.wall).MM() > f.freeMM2+1e-6 {
		return true
	}
	return slices.ContainsFunc(f.failed, func(s [2]units.Length) bool { return l >= s[0] && w >= s[1] })
}

// hopelessAll reports whether all ways in which a pocket may lie are.
func (f *filling) hopelessAll(cells []cell) bool {
	for i := range cells {
		if !f.hopeless(cells[i].l, cells[i].w) {
			return false
		}
	}
	return true
}

// hopelessKind reports whether a kind's pockets are, each without what it needs beside it.
func (f *filling) hopelessKind(k *kind) bool {
	for i := range k.needs {
		if n := &k.needs[i]; !f.hopeless(n.Length, n.Width) || !f.hopeless(n.Width, n.Length) {
			return false
		}
	}
	return true
}

func (f *filling) free(b box) bool {
	if !f.room.within(b) {
		return false
	}
	for _, t := range f.taken {
		if !b.apart(t, f.room.wall) {
			return false
		}
	}
	return true
}

// cost of a filling: what is left over comes first, then how many blocks were
// torn apart, then how plain the order is, then the room used.
func (f *filling) costOf(kinds []kind, m manner) [4]float64 {
	front := 0.0
	for _, b := range f.blocks {
		front = max(front, (f.room.width - b.y).MM())
	}
	return [4]float64{f.leftOver(kinds), float64(len(f.blocks)), float64(m.rank), front}
}

// leftOver is the area of what found no place, mm2.
func (f *filling) leftOver(kinds []kind) float64 {
	area := 0.0
	for i, n := range f.left {
		area += float64(n) * kinds[i].needs[0].Area()
	}
	return area
}

// search is how hard to look for a filling.
type search struct {
	try  int // orders tried at random, beside the plain ones
	seed uint64
	// whole leaves a kind out that does not fit as one block.
	whole bool
}

// fill fills a room with as much as it finds place for, and returns the best
// of several ways: the plain ones, and, until ctx ends, some at random.
func fill(ctx context.Context, r room, kinds []kind, kept []block, s search) *filling {
	var best *filling
	var least [4]float64
	all := make([]*choices, len(kinds))
	for i, k := range kinds {
		all[i] = newChoices(k, r)
	}
	random := rand.New(rand.NewPCG(s.seed, 0x7465))
	for i, m := range manners(kinds, s.try, random) {
		if m.rank == shuffled && ctx.Err() != nil && i > 0 {
			break
		}
		f := newFilling(r, kinds, kept)
		f.run(all, m, s.whole)
		if cost := f.costOf(kinds, m); best == nil || slices.Compare(cost[:], least[:]) < 0 {
			best, least = f, cost
		}
		if least[0] == 0 && int(least[1]) <= len(kinds)+len(kept) && m.rank > 1 {
			break
		}
	}
	return byOutline(ctx, r, kinds, kept, s, best)
}

// Of more than manyKinds a search for one tray looks at the first that make so many of it full, and at no fewer of them
// than nextKinds; judged, no source.
const (
	manyKinds = 250
	nextRooms = 4.0
	nextKinds = 60
)

// fillNext fills a room with the first kinds of many, and what room is left then with whatever goes in of the others.
func fillNext(ctx context.Context, r room, kinds []kind, s search) *filling {
	if len(kinds) <= manyKinds {
		return fill(ctx, r, kinds, nil, s)
	}
	l, w := r.inner()
	near, area := 0, 0.0
	for near < len(kinds) && (near < nextKinds || area < nextRooms*l.MM()*w.MM()) {
		area += float64(kinds[near].count) * kinds[near].needs[0].Area()
		near++
	}
	f := fill(ctx, r, kinds[:near], nil, s)
	if len(f.blocks) == 0 && near < len(kinds) {
		return fill(ctx, r, kinds, nil, s)
	}
	for i := near; i < len(kinds); i++ {
		f.left = append(f.left, kinds[i].count)
		if !f.hopelessKind(&kinds[i]) {
			f.place(i, newChoices(kinds[i], r), false, s.whole)
		}
	}
	return f
}
