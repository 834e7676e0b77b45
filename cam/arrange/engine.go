package arrange

import (
	"context"
	"slices"

	"traywright/geometry/pack"
	"traywright/geometry/units"
)

// singles are pockets one by one, as the packing engine takes them: in the
// smallest pose, with their notches.
type singles struct {
	items []pack.Item
	kinds []int   // of each item
	cells []block // of each kind, not turned
}

func singlesOf(r room, kinds []kind) singles {
	var s singles
	for i, k := range kinds {
		b := k.cells(r.wall, r.step)[0]
		s.cells = append(s.cells, b)
		l, w := b.cell()
		for range k.count {
			s.items = append(s.items, pack.Item{Length: int64(l), Width: int64(w)})
			s.kinds = append(s.kinds, i)
		}
	}
	return s
}

// boundOf is a number of rooms that no arrangement of the pockets can do
// without: the engine's bound for them one by one, with walls and edge.
func boundOf(r room, kinds []kind) int {
	if slices.ContainsFunc(kinds, kind.odd) {
		return boundByArea(r, kinds)
	}
	bound, err := pack.Bound(singlesOf(r, kinds).items, int64(r.length), int64(r.width),
		pack.Options{Spacing: int64(r.wall), Margin: int64(r.edge)})
	if err != nil {
		return 0
	}
	return bound
}

// densest is how full of pockets and walls trays can be for a search to be worth its time, where there are more pockets
// than manyPockets, or what has no room goes on to another case; judged by rosters drawn by a seed, no source.
const (
	densest     = 0.96
	manyPockets = 1000
)

// packed lays the pockets out one by one, as densely as the engine can: what is
// left when blocks take more room than there is. None where the room has
// pockets already or corners that the engine does not know of.
// Most is how full of them rooms may be for a search to aim at so few.
func packed(ctx context.Context, r room, kinds []kind, seed uint64, most float64) []*filling {
	if len(r.taken) > 0 || r.corner > r.edge {
		return nil
	}
	s := singlesOf(r, kinds)
	for i := range s.items { // an opening is long enough for a finger, and does not turn
		if b := s.cells[s.kinds[i]]; b.open > 0 {
			s.items[i] = pack.Item{Length: int64(b.length()), Width: int64(b.width()), Fixed: true}
		}
	}
	if len(s.items) > manyPockets {
		most = densest
	}
	result, err := pack.Bins(ctx, s.items, int64(r.length), int64(r.width),
		pack.Options{Spacing: int64(r.wall), Margin: int64(r.edge), Seed: seed, Densest: most})
	if err != nil {
		return nil
	}
	list := make([]*filling, result.Bins)
	for i := range list {
		list[i] = newFilling(r, kinds, nil)
		clear(list[i].left)
	}
	for _, p := range result.Placements {
		b := s.cells[s.kinds[p.Item]]
		if p.Turned {
			b.turned, b.notch = true, turnedSides(b.notch)
		}
		l, w := b.length(), b.width()
		x, y := units.Length(p.X), units.Length(p.Y)
		// From the back, on the grid: everything else of the bin moves alike.
		b.x, b.y = x.Up(r.step), (r.width - y - w).Down(r.step)
		if at := (box{b.x, b.y, b.x + l, b.y + w}); !list[p.Bin].free(at) {
			return nil
		}
		list[p.Bin].add(b)
	}
	return list
}
