package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// keptIn are the blocks of an earlier arrangement of a tray that still have their piece and their room, in
// that part of it which begins at a place: those whose pocket is as it was first, then those whose pocket has
// another size now and that find room for it where they are. Of a block of more than are left the last go.
func (m *maker) keptIn(t *job.Tray, kinds []kind, r room, from offset) []block {
	k := keeping{f: &filling{room: r, taken: slices.Clone(r.taken)}, rest: slices.Clone(kinds)}
	var changed []job.Pocket
	for _, p := range m.earlier(t) {
		p.X, p.Y = p.X-from.x, p.Y-from.y
		if !k.keep(p, false) {
			changed = append(changed, p)
		}
	}
	for _, p := range changed {
		k.keep(p, true)
	}
	k.reachIn()
	return k.f.blocks
}

// earlier are the pockets that an earlier arrangement chose the places of in a tray.
func (m *maker) earlier(t *job.Tray) []job.Pocket {
	if m.Previous == nil {
		return nil
	}
	at := trayAt(m.Previous.Trays, t.ID)
	if at < 0 {
		return nil
	}
	own := trayAt(m.source.Trays, t.ID)
	rest, _ := notOwn(m.Previous.Trays[at].Pockets, m.source, own)
	return slices.DeleteFunc(slices.Clone(rest), func(p job.Pocket) bool { return p.Pin || m.Touched[p.Position.Line] })
}

// keeping is what of a tray stays while its pockets are gone through.
type keeping struct {
	f    *filling
	rest []kind
	of   []job.Pocket // what each of the filling's blocks was
}

// keep keeps a pocket's block where it can; resized, with the size that it needs now.
func (k *keeping) keep(p job.Pocket, resized bool) bool {
	list := k.candidates(p, resized)
	if !resized {
		list = append(list, k.footed(p)...)
	}
	for _, c := range list {
		if c.foot == nil && k.f.free(c.box()) || k.between(c) {
			i := slices.IndexFunc(k.rest, c.is)
			k.rest[i].count -= c.count
			k.f.blocks, k.f.taken, k.of = append(k.f.blocks, c), append(k.f.taken, c.box()), append(k.of, p)
			return true
		}
	}
	return false
}

// likest is the kind that a pocket of an earlier arrangement is for: of a piece in piles the one of as many pockets,
// then the one of the likest depth; below 0 for none.
func (k *keeping) likest(p job.Pocket) int {
	best, least := -1, [2]float64{}
	for i, one := range k.rest {
		if one.piece.ID != p.For || one.count <= 0 {
			continue
		}
		off := [2]float64{1, -one.needs[0].Depth.MM()}
		if one.count == max(1, p.Columns)*max(1, p.Rows) {
			off[0] = 0
		}
		if p.Depth > 0 {
			off[1] = max(one.needs[0].Depth-p.Depth, p.Depth-one.needs[0].Depth).MM()
		}
		if best < 0 || slices.Compare(off[:], least[:]) < 0 {
			best, least = i, off
		}
	}
	return best
}

// candidates are the ways in which a pocket of an earlier arrangement may stand where it is, the likest first.
func (k *keeping) candidates(p job.Pocket, resized bool) (list []block) {
	i := k.likest(p)
	if i < 0 {
		return nil
	}
	if p.Shape == job.OutlineShape {
		return k.drawn(p, k.rest[i], resized)
	}
	if p.Turn != 0 {
		return nil
	}
	l, w := p.Length, p.Width
	if p.Shape == job.RoundShape {
		l, w = p.Diameter, p.Diameter
	}
	off := func(b block) units.Length { bl, bw := b.pocket(); return max(bl-l, l-bl) + max(bw-w, w-bw) }
	cells := k.cells(k.rest[i])
	slices.SortStableFunc(cells, func(a, b block) int { return cmp.Compare(off(a), off(b)) })
	for _, b := range cells {
		shape := p.Shape == job.RoundShape && b.need.Round || p.Shape == job.SizeShape && !b.need.Round
		if same := shape && off(b) == 0 && b.reachedAs(p); same == resized {
			continue
		}
		if b, ok := k.standing(b, p, k.rest[i].count); ok {
			list = append(list, b)
			if bl, bw := b.pocket(); resized { // it may grow the other way
				list = append(list, b.moved(l-bl, 0), b.moved(0, w-bw), b.moved(l-bl, w-bw), b.moved(((l-bl)/2).Down(k.f.room.step), ((w-bw)/2).Down(k.f.room.step)))
			}
		}
	}
	return list
}

// drawn is a pocket with the piece's drawing, as it lies. Its notches are those that the tray asks for now.
func (k *keeping) drawn(p job.Pocket, one kind, resized bool) (list []block) {
	for _, b := range k.cells(one) {
		if b.need.Outline != p.OutlineFile || b.turned != (p.Turn == 90) || !b.turned && p.Turn != 0 || b.reachedAs(p) == resized {
			continue
		}
		if b, ok := k.standing(b, p, one.count); ok {
			list = append(list, b)
		}
	}
	return list
}

func (b block) moved(x, y units.Length) block {
	b.x, b.y = b.x+x, b.y+y
	return b
}

// standing is a block where a pocket is, of no more than so many; false where its walls would be too thin.
func (k *keeping) standing(b block, p job.Pocket, most int) (block, bool) {
	cl, cw := b.cell()
	b.kept, b.columns, b.count = true, max(1, p.Columns), max(1, p.Columns)*max(1, p.Rows)
	if p.Columns > 1 {
		b.gapX = p.PitchX - cl
	}
	if p.Rows > 1 {
		b.gapY = p.PitchY - cw
	}
	b.x, b.y = p.X-b.margin(job.West), p.Y-b.margin(job.South)
	return b.first(most), b.gapX >= k.f.room.wall && b.gapY >= k.f.room.wall
}

// first is the first of a block's pockets, from the back, where they are.
func (b block) first(n int) block {
	if n >= b.count {
		return b
	}
	rows := b.rows()
	_, cw := b.cell()
	b.count, b.columns = n, min(n, b.columns)
	b.y += units.Length(rows-b.rows()) * (cw + b.gapY)
	return b
}

// without are the kinds less what blocks hold already.
func without(kinds []kind, kept []block) []kind {
	rest := slices.Clone(kinds)
	for i := range rest {
		for _, b := range kept {
			if b.is(rest[i]) {
				rest[i].count -= b.count
			}
		}
	}
	return rest
}
