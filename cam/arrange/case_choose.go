package arrange

import (
	"cmp"
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// chosen is a tray while it is chosen for a case.
type chosen struct {
	tray  job.Tray
	f     *filling
	depth units.Length // that its pad needs
	grams float64      // with layers and pieces, pockets not taken off
}

// anyDepth is a piece with all its poses: the tray will be made as deep as it
// takes.
func (m *maker) anyDepth(p *job.Piece, n int, model *job.Tray) (kind, bool) {
	k := kind{piece: p, count: n, habits: model.Habits}
	if len(model.Layers) == 0 {
		return k, true // reported by the caller, once
	}
	foam, ok := m.Catalog.Foam(model.Layers[0].Foam)
	if !ok {
		m.add(finding.Error, model.Layers[0].Position, "unknown-foam", "`traywright profiles` lists the foams", "there is no foam %q", model.Layers[0].Foam)
		return k, false
	}
	fit, ok := plan.FitIn(foam, model.Fit)
	if !ok {
		m.add(finding.Error, model.Position, "unknown-fit", "`traywright profiles "+foam.ID+"` lists its fits", "foam %s has no fit %q", foam.ID, model.Fit)
		return k, false
	}
	k.needs = plan.NeedsOf(p, fit, m.step)
	return k, true
}

// choose lays the kinds out in as few trays as it finds, then as low a stack.
// Each thickness of stock is tried as the depth that poses are chosen for: the
// smallest pocket that is no deeper.
func (m *maker) choose(c *job.Case, model job.Tray, kinds []kind, taken units.Length) ([]chosen, int) {
	if len(kinds) == 0 {
		return nil, 0
	}
	pad, _ := m.Catalog.Foam(model.Layers[0].Foam)
	var best []chosen
	var least [4]float64
	bound := 0
	room := c.Inside.Height - taken
	for i, most := range pad.Thicknesses {
		if i > 0 && best != nil && m.ctx.Err() != nil {
			break
		}
		posed, changed := posedFor(kinds, most, pad.Thicknesses[:i])
		if !changed && best != nil {
			continue
		}
		for _, whole := range []bool{true, false} {
			trays, stuck := m.layOut(c, model, posed, whole)
			if stuck != nil {
				m.tooLarge(c, model, *stuck)
				return nil, 0
			}
			cost := m.costOf(trays, model, pad, room)
			if best == nil || slices.Compare(cost[:], least[:]) < 0 {
				best, least, bound = trays, cost, boundOf(trays[0].f.room, posed)
			}
		}
		if i < caseParts-1 {
			m.advance(m.done + 1)
		}
		if len(best) > bound {
			trays := m.denser(c, model, posed)
			if cost := m.costOf(trays, model, pad, room); len(trays) > 0 && slices.Compare(cost[:], least[:]) < 0 {
				best, least = trays, cost
			}
		}
	}
	return best, bound
}

// posedFor keeps the poses that need no more than a depth, or, of a piece that
// has none, the flattest. Changed is false where a thinner sheet chose the same.
func posedFor(kinds []kind, most units.Length, thinner []units.Length) (posed []kind, changed bool) {
	pick := func(k kind, most units.Length) []plan.Need {
		var fitting []plan.Need
		for _, n := range k.needs {
			if n.Depth <= most {
				fitting = append(fitting, n)
			}
		}
		if len(fitting) == 0 {
			fitting = []plan.Need{slices.MinFunc(k.needs, func(a, b plan.Need) int { return cmp.Compare(a.Depth, b.Depth) })}
		}
		return fitting
	}
	changed = len(thinner) == 0
	for _, k := range kinds {
		needs := pick(k, most)
		if !changed && len(needs) != len(pick(k, thinner[len(thinner)-1])) || !changed && needs[0] != pick(k, thinner[len(thinner)-1])[0] {
			changed = true
		}
		k.needs = needs
		posed = append(posed, k)
	}
	return posed, changed
}

// costOf is what a layout is judged by: how much it is too high, its trays, its
// blocks, its height.
func (m *maker) costOf(trays []chosen, model job.Tray, pad profiles.Foam, room units.Length) [4]float64 {
	var height units.Length
	blocks := 0
	for _, t := range trays {
		height += m.atLeast(t, model, pad)
		blocks += len(t.f.blocks)
	}
	return [4]float64{max(0, height-room).MM(), float64(len(trays)), float64(blocks), height.MM()}
}

// denser lays the pockets out one by one, for when that takes fewer trays than
// blocks do.
func (m *maker) denser(c *job.Case, model job.Tray, kinds []kind) []chosen {
	var trays []chosen
	for _, f := range packed(m.ctx, m.roomOf(&model, model.Length, model.Width, m.taken[caseKey(c)]), kinds, m.Seed) {
		t := chosen{tray: model, f: f}
		for _, b := range f.blocks {
			t.depth = max(t.depth, b.need.Depth)
		}
		trays = append(trays, t)
	}
	return trays
}

// layOut fills tray after tray, deepest pieces first, groups together. Whole
// keeps pieces of one kind in one tray where one tray takes them. Stuck is a
// kind that no tray takes.
func (m *maker) layOut(c *job.Case, model job.Tray, kinds []kind, whole bool) (trays []chosen, stuck *kind) {
	pad, _ := m.Catalog.Foam(model.Layers[0].Foam)
	rest := slices.Clone(kinds)
	class := func(k kind) units.Length { return stockFor(k.needs[0].Depth, pad) }
	slices.SortStableFunc(rest, func(a, b kind) int { return cmp.Compare(class(b), class(a)) })
	for len(rest) > 0 {
		s := search{try: m.Try, seed: m.Seed + uint64(len(trays)), whole: whole}
		f := fill(m.ctx, m.roomOf(&model, model.Length, model.Width, m.taken[caseKey(c)]), rest, nil, s)
		if len(f.blocks) == 0 && whole {
			s.whole = false
			f = fill(m.ctx, f.room, rest, nil, s)
		}
		if len(f.blocks) == 0 {
			return nil, &rest[0]
		}
		t := chosen{tray: model, f: f}
		for _, b := range f.blocks {
			t.depth = max(t.depth, b.need.Depth)
		}
		trays = append(trays, t)
		var next []kind
		for i, k := range rest {
			if k.count = f.left[i]; k.count > 0 {
				next = append(next, k)
			}
		}
		rest = next
	}
	return trays, nil
}

func (m *maker) tooLarge(c *job.Case, model job.Tray, k kind) {
	b := k.cells(model.Wall.Up(m.step), m.step)[0]
	l, w := b.cell()
	edge := model.Edge.Up(m.step)
	m.add(finding.Error, c.Position, "piece-too-large",
		fmt.Sprintf("an inside of %s x %s would take it; or lay it another way in the roster's pose", m.length(l+2*edge), m.length(w+2*edge)),
		"case %q: the piece %s needs a pocket of %s x %s with its notches, and an edge of %s around it: more than the %s x %s inside",
		c.Name, k.piece.ID, m.length(l), m.length(w), m.length(edge), m.length(model.Length), m.length(model.Width))
}
