package arrange

import (
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// keptIn are the blocks of an earlier arrangement of a tray that still fit what
// it holds: same piece, same pocket, in a place that is free. They stay where
// they are, and only what is new is placed around them. None are kept when one
// of them does not fit any more or what is new finds no room: then the tray
// is laid out afresh.
func (m *maker) keptIn(t *job.Tray, kinds []kind, taken []box) []block {
	if m.Previous == nil || t.Halves == 2 {
		return nil
	}
	at := slices.IndexFunc(m.Previous.Trays, func(u job.Tray) bool { return u.ID == t.ID })
	if at < 0 || !sameTray(m.Previous.Trays[at], *t) {
		return nil
	}
	var kept []block
	rest := slices.Clone(kinds)
	f := newFilling(m.roomOf(t, t.Length, t.Width, taken), kinds, nil)
	for _, p := range m.Previous.Trays[at].Pockets[min(len(t.Pockets), len(m.Previous.Trays[at].Pockets)):] {
		b, i, ok := asBlock(p, rest, f.room)
		if !ok || rest[i].count < b.count || !f.free(b.box()) {
			return nil
		}
		rest[i].count -= b.count
		f.add(b)
		kept = append(kept, b)
	}
	return kept
}

// without are the kinds less what blocks hold already.
func without(kinds []kind, kept []block) []kind {
	rest := slices.Clone(kinds)
	for i := range rest {
		for _, b := range kept {
			if b.piece.ID == rest[i].piece.ID {
				rest[i].count -= b.count
			}
		}
	}
	return rest
}

// sameTray reports whether two trays have the same room and layers.
func sameTray(a, b job.Tray) bool {
	same := func(x, y job.Layer) bool { return x.Foam == y.Foam && x.Thickness == y.Thickness }
	return a.Length == b.Length && a.Width == b.Width && a.Corner == b.Corner && slices.EqualFunc(a.Layers, b.Layers, same)
}

// asBlock is a pocket of a job as a block of one of the kinds.
func asBlock(p job.Pocket, kinds []kind, r room) (block, int, bool) {
	for i, k := range kinds {
		if k.piece.ID != p.For || p.Turn != 0 {
			continue
		}
		for _, b := range k.cells(r.wall, r.step) {
			l, w := b.pocket()
			same := p.Shape == job.SizeShape && !b.need.Round && p.Length == l && p.Width == w ||
				p.Shape == job.RoundShape && b.need.Round && p.Diameter == l
			if !same || p.Notch != b.notch {
				continue
			}
			cl, cw := b.cell()
			b.kept, b.columns, b.count = true, max(1, p.Columns), max(1, p.Columns)*max(1, p.Rows)
			if p.Columns > 1 {
				b.gapX = p.PitchX - cl
			}
			if p.Rows > 1 {
				b.gapY = p.PitchY - cw
			}
			b.x, b.y = p.X-b.margin(job.West), p.Y-b.margin(job.South)
			return b, i, b.gapX >= r.wall && b.gapY >= r.wall
		}
	}
	return block{}, 0, false
}

// keepCase keeps the trays that an earlier arrangement chose for a case, where
// everything that the case is for still has its place in them, or finds one in
// the room that is left.
func (m *maker) keepCase(c *job.Case, wanted []*job.Piece) bool {
	if m.Previous == nil {
		return false
	}
	at := slices.IndexFunc(m.Previous.Cases, func(d job.Case) bool { return d.Name == c.Name })
	if at < 0 || m.Previous.Cases[at].Inside.Height != c.Inside.Height || len(m.Previous.Cases[at].Stack) == 0 {
		return false
	}
	now := m.begin(c)
	now.reuse(wanted)
	if slices.ContainsFunc(now.reused, func(t *job.Tray) bool { return !slices.Contains(m.Previous.Cases[at].Stack, t.ID) }) {
		return false // a tray that the job has got since
	}
	k := keeper{maker: m, c: c, left: map[string]int{}}
	for _, p := range wanted {
		k.left[p.ID] = p.Count
	}
	for _, id := range m.Previous.Cases[at].Stack {
		if !k.take(id) {
			return false
		}
	}
	if !k.placeRest(wanted) {
		return false
	}
	k.finish(m.Previous.Cases[at].Stack, wanted)
	return true
}

// keeper rebuilds a case from an earlier arrangement, and changes nothing until
// it is sure.
type keeper struct {
	*maker
	c     *job.Case
	left  map[string]int
	trays []chosen
}

// take takes one tray of the earlier stack over.
func (k *keeper) take(id string) bool {
	if i := slices.IndexFunc(k.out.Trays, func(t job.Tray) bool { return t.ID == id }); i >= 0 {
		for _, p := range k.Job.Roster {
			k.left[p.ID] -= k.holds[id][p.ID]
		}
		return true
	}
	i := slices.IndexFunc(k.Previous.Trays, func(t job.Tray) bool { return t.ID == id })
	if i < 0 {
		return false
	}
	old := k.Previous.Trays[i]
	t := k.model(k.c)
	t.ID, t.Label = id, old.Label
	if t.Layers = old.Layers; k.refused(t, t.Layers) != nil {
		return false
	}
	if len(old.Pockets) == 0 {
		k.trays = append(k.trays, chosen{tray: t})
		return old.Length == t.Length && old.Width == t.Width
	}
	var kinds []kind
	for _, p := range k.Job.Roster {
		if n := k.left[p.ID]; n > 0 {
			if one, _ := k.kindFor(k.pieces[p.ID], n, &t); len(one.needs) > 0 {
				kinds = append(kinds, one)
			}
		}
	}
	kept := k.keptIn(&t, kinds, k.taken[caseKey(k.c)])
	if len(kept) == 0 {
		return false
	}
	for _, b := range kept {
		k.left[b.piece.ID] -= b.count
	}
	k.trays = append(k.trays, chosen{tray: t, f: newFilling(k.roomOf(&t, t.Length, t.Width, k.taken[caseKey(k.c)]), nil, kept)})
	return true
}

// placeRest finds room for what is new in the trays that are kept.
func (k *keeper) placeRest(wanted []*job.Piece) bool {
	for _, squeeze := range []bool{false, true} {
		for i := range k.trays {
			k.placeIn(&k.trays[i], wanted, squeeze)
		}
	}
	return !slices.ContainsFunc(wanted, func(p *job.Piece) bool { return k.left[p.ID] > 0 })
}

// placeIn places what it can in one tray, with or without moving together what
// is there.
func (k *keeper) placeIn(t *chosen, wanted []*job.Piece, squeeze bool) {
	var kinds []kind
	for _, p := range wanted {
		if one, _ := k.kindFor(p, k.left[p.ID], &t.tray); len(one.needs) > 0 && one.count > 0 {
			kinds = append(kinds, one)
		}
	}
	if t.f == nil || len(kinds) == 0 {
		return
	}
	blocks := t.f.blocks
	if squeeze {
		blocks = squeezed(t.f.room, blocks)
	}
	f := fill(k.ctx, t.f.room, kinds, blocks, search{try: k.Try, seed: k.Seed})
	if len(f.blocks) == len(blocks) {
		return
	}
	t.f = f
	for j, one := range kinds {
		k.left[one.piece.ID] = f.left[j]
	}
}

// boundOf is the least number of trays for what is in the chosen ones.
func (k *keeper) boundOf(wanted []*job.Piece) int {
	placed := map[string]int{}
	var first *filling
	for _, t := range k.trays {
		if t.f == nil {
			continue
		}
		first = t.f
		for _, b := range t.f.blocks {
			placed[b.piece.ID] += b.count
		}
	}
	if first == nil {
		return 0
	}
	model := k.model(k.c)
	var kinds []kind
	for _, p := range wanted {
		if one, _ := k.anyDepth(p, placed[p.ID], &model); len(one.needs) > 0 && one.count > 0 {
			kinds = append(kinds, one)
		}
	}
	return boundOf(first.room, kinds)
}

func (k *keeper) finish(stack []string, wanted []*job.Piece) {
	bound := k.boundOf(wanted)
	for _, t := range k.trays {
		k.out.Trays = append(k.out.Trays, t.tray)
		if t.f != nil {
			k.finishTray(&k.out.Trays[len(k.out.Trays)-1], []*filling{t.f}, []offset{{}}, k.c.Name)
			k.maker.trays[len(k.maker.trays)-1].TraysMin = bound
		}
	}
	k.c.Stack, k.c.StackPositions = slices.Clone(stack), make([]finding.Position, len(stack))
}
