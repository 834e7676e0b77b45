package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/job"
)

// What is new in a tray is placed in one of these ways, each of which moves more of what is there. nil where
// a way does not help.

// fillAround is the first of these ways that leaves nothing out; the last one where none does. What is new gives its
// ways in up before anything moves.
func (m *maker) fillAround(t *job.Tray, r room, kinds []kind, kept []block, s search) (f *filling) {
	rest := without(kinds, kept)
	if m.leaves(t, rest) {
		return m.fillBeside(r, rest, kept, s)
	}
	order := givers(rest)
	for _, way := range []func(room, []kind, []block, search) *filling{m.fillBeside, m.fillLifting, m.fillSqueezed} {
		does := func(gave []int) bool {
			other := way(r, given(rest, gave), kept, s)
			ok := other != nil && !other.short()
			if ok || len(gave) == 0 && other != nil {
				f = other
			}
			return ok
		}
		if does(nil) || len(kept) == 0 {
			break
		}
		if len(order) > 0 && does(order) {
			again(order, does)
			break
		}
	}
	return f
}

// keptHalves are the halves of a tray with all that has its place there still and what is new beside it; nil where
// nothing has, or what is new has no room so.
func (m *maker) keptHalves(t *job.Tray, rooms [2]room, second offset, kinds []kind, s search) (*filling, *filling) {
	a := m.keptIn(t, kinds, rooms[0], offset{})
	rest := without(kinds, a)
	b := m.keptIn(t, rest, rooms[1], second)
	if len(a)+len(b) == 0 {
		return nil, nil
	}
	rest = without(rest, b)
	one := fill(m.ctx, rooms[0], rest, a, s)
	for i := range rest {
		rest[i].count = one.left[i]
	}
	if two := fill(m.ctx, rooms[1], rest, b, s); !two.short() {
		return one, two
	}
	return nil, nil
}

// fillBeside moves nothing.
func (m *maker) fillBeside(r room, kinds []kind, kept []block, s search) *filling {
	return fill(m.ctx, r, kinds, kept, s)
}

// fillLifting takes out as few pockets as it can so that these and all that is new find places.
func (m *maker) fillLifting(r room, kinds []kind, kept []block, s search) *filling {
	for _, l := range lifts(kept) {
		all, stay := slices.Clone(kinds), l.stay
		for _, b := range l.out {
			all = withMore(all, b)
		}
		if f := fill(m.ctx, r, all, stay, search{seed: s.seed}); !f.short() {
			f.left = f.left[:len(kinds)]
			return f
		}
		if m.ctx.Err() != nil {
			break
		}
	}
	return nil
}

// fillSqueezed moves all together, where boxes say how.
func (m *maker) fillSqueezed(r room, kinds []kind, kept []block, s search) *filling {
	if outlinedAlready(kept, r.wall) {
		return nil
	}
	return fill(m.ctx, r, kinds, squeezed(r, kept), s)
}

// withMore are kinds with the pockets of a block, in the block's pose where they are no kind yet.
func withMore(kinds []kind, b block) []kind {
	for i := range kinds {
		if b.is(kinds[i]) {
			kinds[i].count += b.count
			return kinds
		}
	}
	return append(kinds, b.kind())
}

// lift is a few pockets that are taken out of a tray.
type lift struct {
	stay, out []block
	pockets   int
}

// Bounds of the lifts that are tried.
const (
	mostLifts = 60
	mostPairs = 60
)

// lifts are the ways to take pockets out: a block, or its last row; then two blocks. The fewest pockets first.
func lifts(kept []block) []lift {
	var one, two []lift
	without := func(i int, rest ...block) []block {
		return append(slices.Delete(slices.Clone(kept), i, i+1), rest...)
	}
	for i, b := range kept {
		one = append(one, lift{without(i), []block{b}, b.count})
		if n := b.columns * (b.rows() - 1); n > 0 {
			last := b
			last.count, last.columns = b.count-n, b.count-n
			one = append(one, lift{without(i, b.first(n)), []block{last}, last.count})
		}
		for j, c := range kept[:i] {
			two = append(two, lift{slices.Delete(without(i), j, j+1), []block{b, c}, b.count + c.count})
		}
	}
	fewest := func(list []lift, most int) []lift {
		slices.SortStableFunc(list, func(a, b lift) int { return cmp.Compare(a.pockets, b.pockets) })
		return list[:min(len(list), most)]
	}
	return append(fewest(one, mostLifts), fewest(two, mostPairs)...)
}
