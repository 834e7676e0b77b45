package arrange

import (
	"fmt"
	"slices"
	"strings"
)

// last orders what is before what is not.
func last(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// oftenOf are the pieces in a tray of the job, or a finished one, that are used every game.
func (m *maker) oftenOf(tray string) (ids []string) {
	for _, p := range m.Job.Roster {
		if p.Often && m.holds[tray][p.ID] > 0 {
			ids = append(ids, p.ID)
		}
	}
	return ids
}

func (m *maker) oftenIn(tray string) bool { return len(m.oftenOf(tray)) > 0 }

// often reports whether something in a new tray is used every game.
func (t chosen) often() bool {
	return t.f != nil && slices.ContainsFunc(t.f.blocks, func(b block) bool { return b.piece.Often })
}

// oftenTrays are how many trays have something that is used every game.
func oftenTrays(trays []chosen) (n int) {
	for _, t := range trays {
		if t.often() {
			n++
		}
	}
	return n
}

// mixed reports whether some of the kinds are used every game, and some are not.
func mixed(kinds []kind) bool {
	often := func(k kind) bool { return k.piece.Often }
	return slices.ContainsFunc(kinds, often) && slices.ContainsFunc(kinds, func(k kind) bool { return !k.piece.Often })
}

// inGathered fills trays with what is used every game, and beside it with what is not and needs no deeper a tray; the
// rest as inBlocks does. Stuck is a kind that no tray takes.
func (k *choosing) inGathered(kinds []kind) (trays []chosen, stuck *kind) {
	var often, rest []kind
	for _, one := range kinds {
		if one.piece.Often {
			often = append(often, one)
		} else {
			rest = append(rest, one)
		}
	}
	for len(often) > 0 {
		s := search{try: k.Try, seed: k.Seed + uint64(len(trays))}
		f := fill(k.ctx, k.newRoom(), often, nil, s)
		if len(f.blocks) == 0 {
			return nil, &often[0]
		}
		often = leftOf(often, f)
		most := k.padFor(k.trayOf(f).depth)
		var beside, others []kind
		for _, one := range rest {
			if k.padFor(one.needs[0].Depth) <= most {
				beside = append(beside, one)
			} else {
				others = append(others, one)
			}
		}
		f = fill(k.ctx, f.room, beside, f.blocks, s)
		trays, rest = append(trays, k.trayOf(f)), append(others, leftOf(beside, f)...)
	}
	more, stuck := k.inBlocks(rest, false)
	return append(trays, more...), stuck
}

// oftenFirst is a stack with the trays of what is used every game above those of what is not; what has no pockets stays.
func (m *maker) oftenFirst(stack []string) []string {
	var places []int
	var ids []string
	for i, id := range stack {
		if len(m.holds[id]) > 0 {
			places, ids = append(places, i), append(ids, id)
		}
	}
	slices.SortStableFunc(ids, func(a, b string) int { return last(m.oftenIn(a), m.oftenIn(b)) })
	sorted := slices.Clone(stack)
	for i, at := range places {
		sorted[at] = ids[i]
	}
	return sorted
}

// tellOften notes of each tray of a stack what is used every game, where it lies above a lighter one for that.
func (m *maker) tellOften(stack []string) {
	grams := func(id string) float64 {
		i := trayAt(m.out.Trays, id)
		return m.weight(&m.out.Trays[i])
	}
	for i, id := range stack {
		often := m.oftenOf(id)
		if len(often) == 0 {
			continue
		}
		var lighter []string
		for _, under := range stack[i+1:] {
			if len(m.holds[under]) > 0 && !m.oftenIn(under) && grams(under) < grams(id) {
				lighter = append(lighter, under)
			}
		}
		if at := slices.IndexFunc(m.trays, func(t Tray) bool { return t.ID == id }); at >= 0 && len(lighter) > 0 {
			m.trays[at].Why = fmt.Sprintf("above %s, lighter as they are: %s is used every game", strings.Join(lighter, ", "), strings.Join(often, ", "))
		}
	}
}
