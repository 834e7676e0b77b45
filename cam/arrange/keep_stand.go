package arrange

import (
	"cmp"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/cam/plan"
)

// stood is a tray that an earlier arrangement chose for a case, with what is pinned in it, and its room.
func (m *maker) stood(c *job.Case, old job.Tray) (job.Tray, room) {
	t := m.model(c)
	filler := strings.HasPrefix(old.ID, fillerID(c))
	t.Layers = asSaid(t.Layers, old.Layers, len(old.Pockets) == 0 && !filler)
	t.ID, t.Label, t.Pockets = old.ID, cmp.Or(t.Label, old.Label), m.pins[old.ID]
	if filler {
		t.Label, t.Labels, t.Emblems = "", nil, nil
	}
	return t, m.roomOf(&t, t.Length, t.Width, slices.Concat(m.taken[caseKey(c)], m.taken[old.ID]))
}

// pinnedTrays are the chosen trays of the earlier arrangement with nothing but their pins.
func (m *maker) pinnedTrays() (list []job.Tray) {
	for _, c := range m.Job.Cases {
		for _, id := range m.stackOf(c) {
			i := trayAt(m.Previous.Trays, id)
			if i < 0 || len(m.pins[id]) == 0 {
				continue
			}
			t := m.Previous.Trays[i]
			t.Pockets, t.Labels, t.Emblems = m.pins[id], nil, nil
			list = append(list, t)
		}
	}
	return list
}

// stand takes those trays of the earlier stack over that have something pinned in them; all of them, with all that
// has its place there still, where the case is to be mended.
func (k *choosing) stand() {
	for _, id := range k.stackOf(*k.c) {
		i := trayAt(k.Previous.Trays, id)
		if i < 0 || trayAt(k.Job.Trays, id) >= 0 {
			continue
		}
		old := k.Previous.Trays[i]
		t, r := k.stood(k.c, old)
		one := chosen{tray: t}
		for _, p := range t.Pockets {
			one.depth = max(one.depth, p.Depth)
			if p.Depth == 0 || p.Through {
				one.depth = max(one.depth, old.Layers[0].Thickness)
			}
		}
		var kept []block
		if k.mending {
			kept = k.keptIn(&t, k.rest, r, offset{})
		}
		if len(kept)+len(t.Pockets) == 0 {
			continue
		}
		for _, b := range kept {
			one.depth = max(one.depth, b.need.Depth)
		}
		k.rest = slices.DeleteFunc(without(k.rest, kept), func(one kind) bool { return one.count == 0 })
		one.f = newFilling(r, nil, kept)
		k.standing = append(k.standing, one)
	}
}

// fillStanding puts what it can into the trays that stand, and returns them and what is left. Those of a case that is
// mended become no deeper for it, and what has no room beside all that is there may take the place of a few pockets.
func (k *choosing) fillStanding(kinds []kind, s search) (trays []chosen, rest []kind) {
	trays, rest = slices.Clone(k.standing), slices.Clone(kinds)
	ways := []func(room, []kind, []block, search) *filling{k.fillBeside}
	if k.mending {
		ways = append(ways, k.fillLifting)
	}
	for _, way := range ways {
		for i := range trays {
			t := &trays[i]
			fitting, others := rest, []kind(nil)
			if k.mending {
				fitting, others = k.noDeeper(rest, t)
			}
			if len(fitting) == 0 {
				continue
			}
			f := way(t.f.room, fitting, t.f.blocks, s)
			if f == nil {
				continue
			}
			t.f = f
			for _, b := range f.blocks {
				t.depth = max(t.depth, b.need.Depth)
			}
			rest = append(leftOf(fitting, f), others...)
		}
	}
	return trays, rest
}

// noDeeper parts the kinds that a standing tray is deep enough for, in those poses, from the others.
func (k *choosing) noDeeper(kinds []kind, t *chosen) (fitting, others []kind) {
	for _, one := range kinds {
		needs := slices.DeleteFunc(slices.Clone(one.needs), func(n plan.Need) bool {
			_, ok := plan.DepthFor(n.Depth, t.tray.Layers, k.router, k.step)
			return !ok
		})
		if len(needs) == 0 {
			others = append(others, one)
			continue
		}
		one.needs = needs
		fitting = append(fitting, one)
	}
	return fitting, others
}
