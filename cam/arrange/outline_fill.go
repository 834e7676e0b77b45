package arrange

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
)

// By their true outlines pieces are placed where boxes leave something out, and a piece is drawn or may be turned freely:
// one after another, the largest first, each where it reaches least far to the front, and so in the hollows of those that
// have their place. Equal boxes stay a block where a block has room. It is taken where it leaves out less.

// byOutline is the better of a filling of boxes and those by true outlines.
func byOutline(ctx context.Context, r room, kinds []kind, kept []block, s search, boxes *filling) *filling {
	hollow := func(b block) bool { return b.need.Outline != "" }
	if r.feet == nil || !boxes.short() || !slices.ContainsFunc(kinds, kind.odd) && !slices.ContainsFunc(kept, hollow) {
		return boxes
	}
	begin, best := newGround(r), boxes
	for _, b := range kept {
		begin.addBlock(b)
	}
	all := make([]*choices, len(kinds))
	for i, k := range kinds {
		all[i] = newChoices(k, r)
	}
	for _, m := range outlineManners(kinds, s) {
		o := outlined{ground: begin.clone(), kinds: kinds, all: all, outlineManner: m, whole: s.whole, filling: newFilling(r, kinds, kept)}
		for _, i := range m.order {
			o.place(i)
		}
		o.filling.outlined = true
		if o.filling.leftOver(kinds) < best.leftOver(kinds) {
			best = o.filling
		}
		if !best.short() || ctx.Err() != nil {
			break
		}
	}
	return best
}

// outlineManner is how a search by true outlines goes about a room.
type outlineManner struct {
	manner
	apart float64 // the turns are multiples of so many degrees
}

// mostPlaced is how many pockets a search by true outlines looks for, each turn counted, in the plain manners and others that
// are drawn at random: so many that it takes seconds, however many pieces there are. Judged, no source.
const mostPlaced = 800

// outlineManners are the orders in which kinds are placed, the largest pocket first, then the longest, then as they come, each
// with all turns and as it is drawn; then shuffled ones.
func outlineManners(kinds []kind, s search) (list []outlineManner) {
	plain, work := make([]int, len(kinds)), 0
	for i, k := range kinds {
		plain[i] = i
		for _, cell := range k.cells(0, 1) {
			if turns := k.turns(cell); cell.turned && cell.need.Outline == "" {
				work += k.count
			} else if !cell.turned {
				work += k.count * len(turns)
			}
		}
	}
	sorted := func(less func(a, b int) int) []int {
		list := slices.Clone(plain)
		slices.SortStableFunc(list, less)
		return list
	}
	size := func(i int) float64 { return kinds[i].needs[0].Area() }
	side := func(i int) units.Length { return max(kinds[i].needs[0].Length, kinds[i].needs[0].Width) }
	area := sorted(func(a, b int) int { return cmp.Compare(size(b), size(a)) })
	long := sorted(func(a, b int) int { return cmp.Compare(side(b), side(a)) })
	for _, order := range [][]int{area, long, plain} {
		for _, apart := range []float64{1, 360} {
			if len(list) == 0 || len(list)*work < mostPlaced {
				list = append(list, outlineManner{manner{order: order}, apart}, outlineManner{manner{order: order, upward: true}, apart})
			}
		}
	}
	random := rand.New(rand.NewPCG(s.seed, 0x6f75))
	for s.try > 0 && len(list)*work < mostPlaced {
		order := slices.Clone(area)
		for range 1 + len(order)/4 {
			a, b := random.IntN(len(order)), random.IntN(len(order))
			order[a], order[b] = order[b], order[a]
		}
		list = append(list, outlineManner{manner{order: order, upward: random.IntN(2) == 1}, []float64{1, 180, 360}[random.IntN(3)]})
	}
	return list
}

// outlined is a filling by true outlines while it is made.
type outlined struct {
	*ground
	*filling
	outlineManner
	kinds []kind
	all   []*choices
	whole bool
}

func (g *ground) clone() *ground {
	c := *g
	c.taken, c.solids = slices.Clone(g.taken), slices.Clone(g.solids)
	return &c
}

// place finds places for all pockets of a kind, or for as many as it can; whole, for all or none.
func (o *outlined) place(i int) {
	before, blocks := o.ground.clone(), len(o.blocks)
	for o.left[i] > 0 {
		b, ok := o.bestOf(i)
		if !ok {
			break
		}
		o.blocks = append(o.blocks, b)
		o.addBlock(b)
		o.left[i] -= b.count
	}
	if o.whole && o.left[i] > 0 {
		o.ground, o.blocks, o.left[i] = before, o.blocks[:blocks], o.kinds[i].count
	}
}

// bestOf is the best place for what is left of a kind, or for as many of it as there is one.
func (o *outlined) bestOf(i int) (block, bool) {
	k := o.kinds[i]
	if !k.odd() {
		if b, ok := o.bestBlock(i); ok {
			return b, true
		}
	}
	var best block
	var least score
	found := false
	for _, c := range o.all[i].cells {
		cell := c.block
		if cell.need.Outline != "" && cell.turned {
			continue // the turns take that in
		}
		for _, turn := range k.turns(cell) {
			if cell.turned && turn != 0 || math.Mod(turn, o.apart) != 0 {
				continue
			}
			b := cell
			if b.open > 0 { // a row by itself has room for an opening; one that is turned has none
				b.open, b.gaveWay = 0, true
			}
			if b.foot = o.room().feet.of(b, turn); b.foot == nil {
				continue
			}
			far := math.MaxInt
			if found {
				far = o.within(least.used, b.foot.box)
			}
			var ok bool
			if b.x, b.y, ok = o.first(o.forFoot(b.foot), o.upward, far, b.foot.shape); !ok {
				continue
			}
			if s := o.scoreOf(b.box(), 0); !found || s.less(least) {
				best, least, found = b, s, true
			}
		}
	}
	return best, found
}

// within is how many places to the front, or upward to the right, a box may be moved so that it reaches no further than used.
func (o *outlined) within(used float64, b geometry.Box) int {
	if o.upward {
		return int(math.Floor((used-b.Max.X)/o.step)) + 1
	}
	room := o.room()
	return o.h - 1 - int(math.Ceil((room.width.MM()-used-b.Min.Y)/o.step)) + 1
}

func (o *outlined) room() room { return o.ground.room }

// scoreOf a box is how far it reaches to the front, or upward to the right; waste is what of it stays empty, mm2.
func (o *outlined) scoreOf(b box, waste float64) score {
	r := o.room()
	if o.upward {
		return score{b.x1.MM() + waste/r.width.MM(), (r.width - b.y1).MM()}
	}
	return score{(r.width - b.y0).MM() + waste/r.length.MM(), b.x0.MM()}
}

// bestBlock is the best place for what is left of a kind of boxes in one block, or for the largest part of it that has one.
func (o *outlined) bestBlock(i int) (best block, found bool) {
	var least score
	try := func(s *shape) {
		rect := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: s.l.MM(), Y: s.w.MM()}}, 0))
		x, y, ok := o.first(o.forBox(s.l, s.w), o.upward, math.MaxInt, rect)
		if !ok {
			return
		}
		b := s.at(x, y)
		if c := o.scoreOf(b.box(), s.empty); !found || c.less(least) {
			best, least, found = b, c, true
		}
	}
	list := o.all[i].shapes(o.left[i])
	for k := range list {
		try(&list[k])
	}
	parts := o.all[i].parts()
	for k := range parts {
		if found && parts[k].count != best.count {
			break
		}
		if !found && parts[k].count < o.left[i] || found && parts[k].count == best.count && best.count < o.left[i] {
			try(&parts[k])
		}
	}
	return best, found
}

// addBlock notes a block where it is.
func (g *ground) addBlock(b block) {
	for _, shape := range g.room.feet.shapesOf(b) {
		g.add(shape)
	}
}

// shapesOf are the true outlines of a block's pockets; of boxes, and with notches or openings that are no part of a
// drawing, the block's own box.
func (s *feet) shapesOf(b block) (list []geometry.Region) {
	if b.foot != nil {
		return []geometry.Region{b.foot.at(b.x, b.y)}
	}
	var one *foot
	if b.need.Outline != "" || b.need.Round && b.notch == 0 && b.open == 0 {
		one = s.of(b, 0)
	}
	if one == nil {
		c := b.box()
		return []geometry.Region{geometry.NewRegion(geometry.Rectangle(geometry.Box{
			Min: geometry.Point{X: c.x0.MM(), Y: c.y0.MM()}, Max: geometry.Point{X: c.x1.MM(), Y: c.y1.MM()},
		}, 0))}
	}
	cl, cw := b.cell()
	for n := range b.count {
		row, column := n/b.columns, n%b.columns
		x := b.x + units.Length(column)*(cl+b.gapX) + b.margin(job.West)
		y := b.y + units.Length(b.rows()-1-row)*(cw+b.gapY) + b.margin(job.South)
		list = append(list, one.at(x, y))
	}
	return list
}

// boundByArea is a number of rooms that no arrangement of the pockets can do without, wherever they lie: with half a wall
// around them they do not meet, and lie in the room inside its edge with half a wall around that; boxes by themselves have the
// engine's bound as well.
func boundByArea(r room, kinds []kind) int {
	var boxes []kind
	sum := 0.0
	for _, k := range kinds {
		least := math.Inf(1)
		for _, cell := range k.cells(r.wall, r.step) {
			if f := r.feet.of(cell, 0); f != nil {
				least = min(least, f.cost(r.wall))
			}
		}
		if !math.IsInf(least, 0) {
			sum += float64(k.count) * least
		}
		if !k.odd() && !slices.ContainsFunc(k.needs, func(n plan.Need) bool { return n.Round }) {
			boxes = append(boxes, k)
		}
	}
	l, w := r.inner()
	bound := int(math.Ceil(sum/((l+r.wall).MM()*(w+r.wall).MM()) - 1e-9))
	if len(boxes) > 0 {
		bound = max(bound, boundOf(r, boxes))
	}
	return max(1, bound)
}
