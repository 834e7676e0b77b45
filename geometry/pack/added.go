package pack

import (
	"context"
	"slices"
)

// Added places the items behind those that r places, of which none is moved: where r's panels have room
// left, each as low as it goes there, and the rest on further panels and sheets as Sheets does. It does not
// look for a cheaper way that would move any. Items, sheets and options are those of r, with more items
// at their end; the errors are those of Sheets.
func (r SheetsResult) Added(ctx context.Context, items []Item, sheets []Sheet, o Options) (SheetsResult, error) {
	if err := checkSheets(items, sheets, o); err != nil {
		return SheetsResult{}, err
	}
	var there []occupied
	for bin, kind := range r.Used {
		for _, panel := range r.panelsOf(bin, sheets) {
			there = append(there, newOccupied(bin, panel, sheets[kind].Taken, o))
		}
	}
	for i, p := range r.Placements {
		at := slices.IndexFunc(there, func(s occupied) bool { return s.bin == p.Bin && s.panel.Holds(p) })
		there[at].add(items[i], p)
	}
	r.Placements, r.Used = slices.Clone(r.Placements), slices.Clone(r.Used)
	r.Panels, r.Laid = slices.Clone(r.Panels), slices.Clone(r.Laid)
	var rest []int
	for i := len(r.Placements); i < len(items); i++ {
		p, at := firstRoom(there, items[i])
		p.Item = i
		if r.Placements = append(r.Placements, p); at < 0 {
			rest = append(rest, i)
			continue
		}
		there[at].add(items[i], p)
	}
	r, err := r.beside(ctx, items, rest, sheets, o)
	if err != nil {
		return SheetsResult{}, err
	}
	r.LowerBound = newSheetSearch(ctx, items, sheets, o).lower
	if err := r.verify(items, sheets, o); err != nil {
		return SheetsResult{}, err
	}
	return r, nil
}

// firstRoom is a place on the first panel that has one; -1 for none.
func firstRoom(there []occupied, it Item) (Placement, int) {
	for at := range there {
		if p, found := there[at].room(it); found {
			p.Bin = there[at].bin
			return p, at
		}
	}
	return Placement{}, -1
}

// beside places the rest of the items on sheets that are not cut up yet, and on further panels of those that
// are.
func (r SheetsResult) beside(ctx context.Context, items []Item, rest []int, sheets []Sheet, o Options) (SheetsResult, error) {
	if len(rest) == 0 {
		return r, nil
	}
	list, free := make([]Item, len(rest)), slices.Clone(sheets)
	for n, i := range rest {
		list[n] = items[i]
	}
	for _, kind := range r.Used {
		free[kind].Count--
	}
	pieces, of := r.pieces(sheets)
	for n, p := range pieces {
		free = append(free, Sheet{Length: p.Length, Width: p.Width, Count: 1, Fixed: true, Taken: sheets[r.Used[of[n]]].Taken})
	}
	more, err := Sheets(ctx, list, free, o)
	if err != nil {
		return SheetsResult{}, err
	}
	bins, moved := make([]int, len(more.Used)), make([]Panel, len(more.Used)) // where its sheets are now
	for n, kind := range more.Used {
		if k := kind - len(sheets); k >= 0 {
			bins[n], moved[n] = of[k], pieces[k]
			for _, p := range more.Panels[n] {
				r.Panels[of[k]] = append(slices.Clone(r.Panels[of[k]]), Panel{p.X + pieces[k].X, p.Y + pieces[k].Y, p.Length, p.Width})
			}
			continue
		}
		bins[n] = len(r.Used)
		r.Used = append(r.Used, kind)
		if more.Panels != nil {
			r.Panels, r.Laid = append(r.Panels, more.Panels[n]), append(r.Laid, more.Laid[n])
		}
	}
	for n, p := range more.Placements {
		p.Item, p.X, p.Y, p.Bin = rest[n], p.X+moved[p.Bin].X, p.Y+moved[p.Bin].Y, bins[p.Bin]
		r.Placements[rest[n]] = p
	}
	r.Cost += more.Cost
	return r, nil
}

// pieces are what can be parted further of the sheets that are cut up, and which they are of.
func (r SheetsResult) pieces(sheets []Sheet) (pieces []Panel, of []int) {
	for bin := range r.Panels {
		length, width := sheets[r.Used[bin]].lie(r.Laid[bin])
		for _, p := range Rests(r.Panels[bin], length, width) {
			pieces, of = append(pieces, p), append(of, bin)
		}
	}
	return pieces, of
}

// occupied is a panel with items on it; sizes include the spacing.
type occupied struct {
	bin     int
	panel   Panel
	spacing int64
	x0, y0  int64 // where the room for items begins
	x, y    int64 // and ends
	area    int64 // that is free
	lie     []lying
}

func newOccupied(bin int, p Panel, taken []Panel, o Options) occupied {
	s := occupied{bin: bin, panel: p, spacing: o.Spacing, x0: p.X + o.Margin, y0: p.Y + o.Margin}
	s.x, s.y = p.X+p.Length-o.Margin+o.Spacing, p.Y+p.Width-o.Margin+o.Spacing
	s.area = (s.x - s.x0) * (s.y - s.y0)
	for _, h := range o.holesIn(taken, false) {
		s.lie = append(s.lie, lying{h.item, h.x0 + s.x0, h.y0 + s.y0, h.x1 + s.x0, h.y1 + s.y0})
	}
	return s
}

func (s *occupied) add(it Item, p Placement) {
	l, w := it.Length+s.spacing, it.Width+s.spacing
	if p.Turned {
		l, w = w, l
	}
	s.area -= l * w
	s.lie = append(s.lie, lying{p.Item, p.X, p.Y, p.X + l, p.Y + w})
}

// room is where an item's far edge is lowest, and of such places the leftmost: in a corner of what
// lies there and the rim.
func (s *occupied) room(it Item) (best Placement, found bool) {
	l, w := it.Length+s.spacing, it.Width+s.spacing
	if l*w > s.area {
		return best, false
	}
	top := s.y + 1
	xs, ys := []int64{s.x0}, []int64{s.y0}
	for _, r := range s.lie {
		xs, ys = append(xs, r.x1), append(ys, r.y1)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	for _, turned := range []bool{false, true} {
		if turned {
			if it.Fixed || l == w {
				break
			}
			l, w = w, l
		}
		for _, y := range ys {
			if y+w >= top {
				break
			}
			for _, x := range xs {
				if s.free(x, y, l, w) {
					best, top, found = Placement{X: x, Y: y, Turned: turned}, y+w, true
					break
				}
			}
		}
	}
	return best, found
}

func (s *occupied) free(x, y, l, w int64) bool {
	if x+l > s.x || y+w > s.y {
		return false
	}
	for _, r := range s.lie {
		if r.meets(x, y, x+l, y+w) {
			return false
		}
	}
	return true
}
