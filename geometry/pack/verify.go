package pack

import (
	"cmp"
	"fmt"
	"slices"
)

// verify holds a packing against what was promised, independently of how it
// was found: every item once, turned only where it may be, inside the margin of
// its room, and apart by the spacing.
func verify(items []Item, list []Placement, rooms []room, o Options) error {
	there := make([][]lying, len(rooms))
	for i, p := range list {
		l, w := items[i].Length, items[i].Width
		if p.Turned {
			l, w = w, l
		}
		switch {
		case p.Item != i || p.Bin < 0 || p.Bin >= len(rooms):
			return unsound("item %d has no place", i)
		case p.Turned && items[i].Fixed:
			return unsound("item %d is turned and may not be", i)
		case p.X < o.Margin || p.Y < o.Margin || p.X+l > rooms[p.Bin].length-o.Margin || p.Y+w > rooms[p.Bin].width-o.Margin:
			return unsound("item %d sticks out", i)
		case !rooms[p.Bin].clear(p.X, p.Y, p.X+l, p.Y+w):
			return unsound("item %d lies where nothing may", i)
		}
		there[p.Bin] = append(there[p.Bin], lying{i, p.X, p.Y, p.X + l + o.Spacing, p.Y + w + o.Spacing})
	}
	for _, list := range there {
		if a, b, met := meeting(list); met {
			return unsound("items %d and %d are too near", a, b)
		}
	}
	return nil
}

// room is what a bin, a sheet or a strip offers.
type room struct {
	length, width int64
	taken         []Panel // of a sheet
}

// unsound is an error that no caller can cause: a defect of this package, told
// instead of a wrong packing.
func unsound(format string, a ...any) error {
	return fmt.Errorf("no packing: the one that was found is wrong, please report this: "+format, a...)
}

// lying is an item's rectangle with the spacing on its far sides.
type lying struct {
	item           int
	x0, y0, x1, y1 int64
}

// meeting finds two rectangles that share more than an edge. A line sweeps
// along X and keeps the rectangles that it cuts in the order of Y; as long as
// none overlap, a new one need only be held against its two neighbours.
func meeting(room []lying) (a, b int, met bool) {
	ends := slices.Clone(room)
	slices.SortFunc(room, func(a, b lying) int { return cmp.Compare(a.x0, b.x0) })
	slices.SortFunc(ends, func(a, b lying) int { return cmp.Compare(a.x1, b.x1) })
	var cut []lying
	at := func(r lying) int {
		n, _ := slices.BinarySearchFunc(cut, r, func(a, b lying) int { return cmp.Compare(a.y0, b.y0) })
		return n
	}
	gone := 0
	for _, r := range room {
		for ; ends[gone].x1 <= r.x0; gone++ {
			n := at(ends[gone])
			cut = slices.Delete(cut, n, n+1)
		}
		n := at(r)
		if n < len(cut) && cut[n].y0 < r.y1 {
			return cut[n].item, r.item, true
		}
		if n > 0 && cut[n-1].y1 > r.y0 {
			return cut[n-1].item, r.item, true
		}
		cut = slices.Insert(cut, n, r)
	}
	return 0, 0, false
}
