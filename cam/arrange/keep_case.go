package arrange

import (
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// keepCase keeps the trays that an earlier arrangement chose for a case, where
// everything that the case is for still has its place in them, or finds one in
// the room that is left.
func (m *maker) keepCase(c *job.Case, wanted []*job.Piece) bool {
	if m.Previous == nil {
		return false
	}
	at := caseAt(m.Previous.Cases, c.Name)
	if at < 0 || m.Previous.Cases[at].Inside.Height != c.Inside.Height || len(m.stackOf(*c)) == 0 {
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
	if k.tooHigh(m.Previous.Cases[at].Stack) || !k.placeRest(wanted) {
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
	if i := trayAt(k.out.Trays, id); i >= 0 {
		for _, p := range k.Job.Roster {
			k.left[p.ID] -= k.holds[id][p.ID]
		}
		return true
	}
	i := trayAt(k.Previous.Trays, id)
	if i < 0 {
		return false
	}
	old := k.Previous.Trays[i]
	t, r := k.stood(k.c, old)
	baseless := len(old.Pockets) > 0 && len(old.Layers) == 1 && len(k.Job.Defaults.Layers) > 1
	if baseless || !sameSheets(t.Layers, old.Layers) || k.refused(t, t.Layers) != nil {
		return false
	}
	if len(old.Pockets) == 0 {
		k.trays = append(k.trays, chosen{tray: t})
		return old.Length == t.Length && old.Width == t.Width
	}
	for _, p := range k.Job.Roster {
		k.left[p.ID] -= k.holds[id][p.ID] // pinned
	}
	var kinds []kind
	for _, p := range k.Job.Roster {
		if n := k.left[p.ID]; n > 0 {
			list, _ := k.kindsFor(k.pieces[p.ID], n, &t)
			kinds = append(kinds, list...)
		}
	}
	kept := k.keptIn(&t, kinds, r, offset{})
	if len(kept)+len(t.Pockets) == 0 {
		return false
	}
	for _, b := range kept {
		k.left[b.piece.ID] -= b.pieces()
	}
	k.trays = append(k.trays, chosen{tray: t, f: newFilling(r, nil, kept)})
	return true
}

// tooHigh reports whether the sheets of an earlier stack, as they are measured now, fit in the case no more.
func (k *keeper) tooHigh(stack []string) bool {
	var trays []*job.Tray
	for _, id := range stack {
		if i := trayAt(k.out.Trays, id); i >= 0 {
			trays = append(trays, &k.out.Trays[i])
		}
	}
	for i := range k.trays {
		trays = append(trays, &k.trays[i].tray)
	}
	return heightOf(trays) > k.c.Inside.Height
}

// placeRest finds room for what is new in the trays that are kept: beside what is there, then in the place of a few
// pockets that find another, then with all of a tray moved together; each time with ways in for it before without.
func (k *keeper) placeRest(wanted []*job.Piece) bool {
	for _, way := range []func(room, []kind, []block, search) *filling{k.fillBeside, k.fillLifting, k.fillSqueezed} {
		for _, bare := range []bool{false, true} {
			for i := range k.trays {
				k.placeIn(&k.trays[i], wanted, bare, way)
			}
		}
	}
	return !slices.ContainsFunc(wanted, func(p *job.Piece) bool { return k.left[p.ID] > 0 })
}

// placeIn places what it can in one tray; bare is without ways in.
func (k *keeper) placeIn(t *chosen, wanted []*job.Piece, bare bool, way func(room, []kind, []block, search) *filling) {
	var kinds []kind
	for _, p := range wanted {
		if n := k.left[p.ID]; n > 0 {
			list, _ := k.kindsFor(p, n, &t.tray)
			if bare {
				list = given(list, givers(list))
			}
			kinds = append(kinds, list...)
		}
	}
	if t.f == nil || len(kinds) == 0 {
		return
	}
	f := way(t.f.room, kinds, t.f.blocks, search{try: k.Try, seed: k.Seed})
	if f == nil || slices.Equal(f.left, newFilling(f.room, kinds, nil).left) {
		return
	}
	t.f = f
	for j, one := range kinds {
		k.left[one.piece.ID] -= (one.count - f.left[j]) * one.needs[0].Pieces()
	}
}

// boundOfTrays is the least number of trays for what is in those of a case.
func (m *maker) boundOfTrays(c *job.Case, trays []chosen, wanted []*job.Piece) int {
	placed := map[string]int{}
	var first *filling
	for _, t := range trays {
		if t.f == nil {
			continue
		}
		first = t.f
		for _, b := range t.f.blocks {
			placed[b.piece.ID] += b.pieces()
		}
	}
	if first == nil {
		return 0
	}
	model := m.model(c)
	var kinds []kind
	for _, p := range wanted {
		one, _ := m.anyDepth(p, placed[p.ID], &model)
		kinds = append(kinds, one.piles(placed[p.ID])...)
	}
	return boundOf(first.room, kinds)
}

func (k *keeper) finish(stack []string, wanted []*job.Piece) {
	bound := k.boundOfTrays(k.c, k.trays, wanted)
	for _, t := range k.trays {
		k.out.Trays = append(k.out.Trays, t.tray)
		if t.f != nil {
			k.finishTray(&k.out.Trays[len(k.out.Trays)-1], []*filling{t.f}, []offset{{}}, k.c.Name)
			k.maker.trays[len(k.maker.trays)-1].TraysMin = bound
		}
	}
	k.c.Stack, k.c.StackPositions = k.oftenFirst(stack), make([]finding.Position, len(stack))
	k.tellOften(k.c.Stack)
}
