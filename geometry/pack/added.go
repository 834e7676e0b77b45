package pack

import (
	"context"
	"slices"
)

// Added places the items behind those that r places, of which none is moved: where r's sheets have
// room left, each as low as it goes there, and the rest on further sheets as Sheets does. It does not
// look for a cheaper way that would move any. Items, sheets and options are those of r, with more items
// at their end; the errors are those of Sheets.
func (r SheetsResult) Added(ctx context.Context, items []Item, sheets []Sheet, o Options) (SheetsResult, error) {
	if err := checkSheets(items, sheets, o); err != nil {
		return SheetsResult{}, err
	}
	there := make([]occupied, len(r.Used))
	for bin, kind := range r.Used {
		there[bin] = newOccupied(sheets[kind], o)
	}
	for i, p := range r.Placements {
		there[p.Bin].add(items[i], p)
	}
	r.Placements, r.Used = slices.Clone(r.Placements), slices.Clone(r.Used)
	var rest []int
	for i := len(r.Placements); i < len(items); i++ {
		p, found := firstRoom(there, items[i])
		p.Item = i
		if r.Placements = append(r.Placements, p); !found {
			rest = append(rest, i)
			continue
		}
		there[p.Bin].add(items[i], p)
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

// firstRoom is a place on the first sheet that has one.
func firstRoom(there []occupied, it Item) (Placement, bool) {
	for bin := range there {
		if p, found := there[bin].room(it); found {
			p.Bin = bin
			return p, true
		}
	}
	return Placement{}, false
}

// beside places the rest of the items on sheets that are not cut up yet.
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
	more, err := Sheets(ctx, list, free, o)
	if err != nil {
		return SheetsResult{}, err
	}
	for n, p := range more.Placements {
		p.Item, p.Bin = rest[n], p.Bin+len(r.Used)
		r.Placements[rest[n]] = p
	}
	r.Used, r.Cost = append(r.Used, more.Used...), r.Cost+more.Cost
	return r, nil
}

// occupied is a sheet with items on it; sizes include the spacing.
type occupied struct {
	spacing, margin int64
	x, y            int64 // where the room for items ends
	area            int64 // that is free
	lie             []lying
}

func newOccupied(s Sheet, o Options) occupied {
	x, y := s.Length-o.Margin+o.Spacing, s.Width-o.Margin+o.Spacing
	return occupied{o.Spacing, o.Margin, x, y, (x - o.Margin) * (y - o.Margin), nil}
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
	xs, ys := []int64{s.margin}, []int64{s.margin}
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
		if x < r.x1 && r.x0 < x+l && y < r.y1 && r.y0 < y+w {
			return false
		}
	}
	return true
}
