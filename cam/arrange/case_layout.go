package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry/units"
)

// layOut lays the rest out in as few trays as it finds, then as low a stack; with ways in as far as these take no
// tray more than without them, and make no stack too high.
// Each thickness of stock is tried as the depth that poses are chosen for: the
// smallest pocket that is no deeper. False where a piece fits in no tray.
func (k *choosing) layOut() bool {
	if len(k.rest) == 0 {
		k.trays = k.standing
		return true
	}
	order := givers(k.rest)
	bare, whole := func() (layout, *kind) { return k.layOutOf(given(k.rest, order), aim{pad: everyPad}) }, aim{pad: everyPad}
	if k.goesOn && len(order) > 0 {
		least, _ := bare()
		if least.trays != nil && least.cost[0] > 0 { // some goes on, and it is laid out anew
			k.trays, k.bound = least.trays, least.bound
			return true
		}
		if least.trays != nil {
			bare, whole = func() (layout, *kind) { return least, nil }, least.like()
		}
	}
	best, large := k.layOutOf(k.rest, whole)
	if least := max(len(k.standing), boundOf(k.newRoom(), given(k.rest, order))); len(order) > 0 && !best.asFewAs(layout{trays: make([]chosen, least)}) {
		best, large = k.giveWay(best, bare, order)
	}
	k.trays, k.bound = best.trays, best.bound
	if best.trays == nil && large != nil {
		k.tooLarge(*large)
	}
	return best.trays != nil
}

// aim is what a layout is looked for.
type aim struct {
	pad  int     // of the thicknesses of a pad, the one that poses are chosen for
	like *layout // it is searched for as this was found
}

// like is to look for a layout as this one was found, with other ways in.
func (l layout) like() aim { return aim{l.pad, &l} }

const everyPad = -1

// layOutOf lays kinds out. Large is one that fits in no tray, where there are no trays.
func (k *choosing) layOutOf(kinds []kind, a aim) (best layout, large *kind) {
	room := k.roomForNew()
	for i, most := range k.pad.Thicknesses {
		if best.trays != nil && k.ctx.Err() != nil {
			break
		}
		posed, changed := posedFor(kinds, most, k.pad.Thicknesses[:i])
		if a.pad == everyPad && !changed && i > 0 || a.pad != everyPad && a.pad != i {
			continue
		}
		before := best.cost
		if stuck := k.tryPosed(&best, posed, room, a); stuck != nil && large == nil {
			large = stuck
		}
		if best.cost != before {
			best.pad = i
		}
		if i < caseParts-1 {
			k.advance(k.done + 1)
		}
	}
	return best, large
}

// tryPosed lays kinds out whose poses are chosen, and keeps what is better than
// the best so far. Stuck is a kind that no tray takes.
func (k *choosing) tryPosed(best *layout, posed []kind, room units.Length, a aim) (stuck *kind) {
	known := 0
	bound := func() int {
		if known == 0 {
			known = boundOf(k.newRoom(), posed)
		}
		return known
	}
	take := func(trays []chosen, single bool) {
		if best.take(trays, k.costOf(trays, room)) {
			best.bound, best.single = bound(), single
		}
	}
	if a.like == nil || !a.like.single {
		for _, whole := range []bool{true, false} {
			trays, stuck := k.inBlocks(posed, whole)
			if stuck != nil {
				return stuck
			}
			take(trays, false)
		}
		if mixed(posed) && len(k.standing) == 0 {
			if trays, stuck := k.inGathered(posed); stuck == nil {
				take(trays, false)
			}
		}
	}
	if a.like != nil && !a.like.single || len(k.standing) > 0 || best.trays != nil && len(best.trays) <= bound() {
		return nil
	}
	if trays := k.oneByOne(posed); len(trays) > 0 {
		take(trays, true)
	}
	return nil
}

// layout is the best so far, and what it costs.
type layout struct {
	trays  []chosen
	cost   [5]float64
	bound  int  // no layout of the same pockets has fewer trays
	pad    int  // of the thicknesses, that its poses are for
	single bool // pocket by pocket, not in blocks
}

// asFewAs reports whether a layout is no more too high, and has no more trays, than another.
func (l layout) asFewAs(other layout) bool {
	return l.trays != nil && l.cost[0] <= other.cost[0] && len(l.trays) <= len(other.trays)
}

// take keeps trays that cost less, or that are the first.
func (l *layout) take(trays []chosen, cost [5]float64) bool {
	if l.trays != nil && slices.Compare(cost[:], l.cost[:]) >= 0 {
		return false
	}
	l.trays, l.cost = trays, cost
	return true
}

// costOf is what a layout is judged by: how much it is too high, its trays, those of them with
// what is used every game, its blocks, its height.
func (k *choosing) costOf(trays []chosen, room units.Length) [5]float64 {
	var height units.Length
	blocks := 0
	for _, t := range trays {
		height += k.leastTray(t)
		blocks += len(t.f.blocks)
	}
	return [5]float64{max(0, height-room).MM(), float64(len(trays)), float64(oftenTrays(trays)), float64(blocks), height.MM()}
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
			fitting = []plan.Need{flattest(k.needs)}
		}
		return fitting
	}
	changed = len(thinner) == 0
	for _, k := range kinds {
		needs := pick(k, most)
		changed = changed || !slices.Equal(needs, pick(k, thinner[len(thinner)-1]))
		k.needs = needs
		posed = append(posed, k)
	}
	return posed, changed
}

// flattest is the pose of the shallowest pocket, the smallest of equal ones.
func flattest(needs []plan.Need) plan.Need {
	return slices.MinFunc(needs, func(a, b plan.Need) int { return cmp.Compare(a.Depth, b.Depth) })
}

// inBlocks fills tray after tray, deepest pieces first, groups together. Whole
// keeps pieces of one kind in one tray where one tray takes them. Stuck is a
// kind that no tray takes.
func (k *choosing) inBlocks(kinds []kind, whole bool) (trays []chosen, stuck *kind) {
	rest := slices.Clone(kinds)
	class := func(one kind) units.Length { return k.padFor(one.needs[0].Depth) }
	slices.SortStableFunc(rest, func(a, b kind) int { return cmp.Compare(class(b), class(a)) })
	trays, rest = k.fillStanding(rest, search{try: k.Try, seed: k.Seed, whole: whole})
	for len(rest) > 0 {
		s := search{try: k.Try, seed: k.Seed + uint64(len(trays)), whole: whole}
		f := fillNext(k.ctx, k.newRoom(), rest, s)
		if len(f.blocks) == 0 && whole {
			s.whole = false
			f = fillNext(k.ctx, f.room, rest, s)
		}
		if len(f.blocks) == 0 {
			return nil, &rest[0]
		}
		trays = append(trays, k.trayOf(f))
		rest = leftOf(rest, f)
	}
	return trays, nil
}

// leftOf are those kinds that a filling has no place for.
func leftOf(kinds []kind, f *filling) (rest []kind) {
	for i, one := range kinds {
		if one.count = f.left[i]; one.count > 0 {
			rest = append(rest, one)
		}
	}
	return rest
}

// oneByOne lays the pockets out singly, for when that takes fewer trays than
// blocks do.
func (k *choosing) oneByOne(kinds []kind) []chosen {
	var trays []chosen
	most := 1.0
	if k.goesOn {
		most = densest
	}
	for _, f := range packed(k.ctx, k.newRoom(), kinds, k.Seed, most) {
		trays = append(trays, k.trayOf(f))
	}
	return trays
}

// newRoom is the room in a new tray.
func (k *choosing) newRoom() room {
	return k.roomOf(&k.model, k.model.Length, k.model.Width, k.taken[caseKey(k.c)])
}

// trayOf is a new tray with a filling, as deep as its deepest pocket.
func (k *choosing) trayOf(f *filling) chosen {
	t := chosen{tray: k.model, f: f}
	for _, b := range f.blocks {
		t.depth = max(t.depth, b.need.Depth)
	}
	return t
}
