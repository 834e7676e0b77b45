package pack

import (
	"context"
	"errors"
	"fmt"
	"slices"
)

// Sheet is a size of sheet to cut up: a new one, or an offcut.
type Sheet struct {
	Length, Width int64
	Cost          int64   // of one; an offcut's may be 0
	Count         int     // how many there are
	Fixed         bool    // may not be laid with its length along Y to be parted
	Taken         []Panel // where on it, or on each of its panels, from the lower-left corner, no item may lie
}

// SheetsResult is a packing into sheets of several sizes. The Bin of a placement is an
// index into Used, its place that on the whole sheet as it lies.
type SheetsResult struct {
	Placements []Placement // one for each item, in the items' order
	Used       []int       // the sheets that are cut up, each an index into the sheets given
	Panels     [][]Panel   // of each sheet of Used; nil where none is parted
	Laid       []bool      // of each sheet of Used, whether it lies with its length along Y; nil where none is parted
	Cost       int64       // of all that are cut up, and of their panels
	LowerBound int64       // no packing costs less
}

// ErrTooFewSheets says that the sheets do not hold all items, as far as the search has
// found: their area may suffice all the same.
var ErrTooFewSheets = errors.New("the sheets do not hold all items")

// most sums of costs and areas stay inside 64 bits below these.
const (
	mostCost   = 1 << 44
	mostSheets = 1 << 18
)

// Sheets places every item onto sheets, at the least cost that the search finds. Spacing is
// kept between items and Margin along every sheet's rim. When ctx ends, the best so far is
// returned. An item that fits on no sheet, and sheets that do not hold all of them, are errors.
func Sheets(ctx context.Context, items []Item, sheets []Sheet, o Options) (SheetsResult, error) {
	if err := checkSheets(items, sheets, o); err != nil {
		return SheetsResult{}, err
	}
	s := newSheetSearch(ctx, items, sheets, o)
	if !s.run() {
		return SheetsResult{}, ErrTooFewSheets
	}
	r := s.result()
	if err := r.verify(items, sheets, o); err != nil {
		return SheetsResult{}, err
	}
	return r, nil
}

// verify holds each panel, and what lies on it from its own corner, against what was promised.
func (r SheetsResult) verify(items []Item, sheets []Sheet, o Options) error {
	var rooms []room
	list := slices.Clone(r.Placements)
	on := make([][]int, len(r.Used)) // items, by sheet
	for i, p := range list {
		if p.Bin >= 0 && p.Bin < len(on) {
			on[p.Bin] = append(on[p.Bin], i)
			list[i].Bin = -1
		}
	}
	for bin, kind := range r.Used {
		panels := r.panelsOf(bin, sheets)
		if r.Panels != nil {
			length, width := sheets[kind].lie(r.Laid[bin])
			if err := verifyPanels(panels, length, width, o.Parting); err != nil {
				return err
			}
		}
		for _, panel := range panels {
			for _, i := range on[bin] {
				if p := &list[i]; p.Bin < 0 && panel.Holds(*p) {
					p.Bin, p.X, p.Y = len(rooms), p.X-panel.X, p.Y-panel.Y
				}
			}
			rooms = append(rooms, room{panel.Length, panel.Width, sheets[kind].Taken})
		}
	}
	return verify(items, list, rooms, o)
}

// checkSheets refuses what the arithmetic cannot hold and what cannot fit.
func checkSheets(items []Item, sheets []Sheet, o Options) error {
	for i, s := range sheets {
		switch {
		case s.Length <= 0 || s.Width <= 0 || max(s.Length, s.Width) > maxLength-o.Spacing:
			return fmt.Errorf("sheet %d: its sides must be between 1 and %d", i, maxLength-o.Spacing)
		case s.Cost < 0 || s.Cost > mostCost || s.Count < 0 || s.Count > mostSheets:
			return fmt.Errorf("sheet %d: its cost must be between 0 and %d, and there can be 0 to %d of it", i, int64(mostCost), mostSheets)
		}
	}
	for i, it := range items {
		var err error = fmt.Errorf("item %d, %d x %d: %w", i, it.Length, it.Width, ErrTooFewSheets)
		for _, s := range sheets {
			if s.Count == 0 {
				continue
			}
			if err = o.Parting.checkItem(it, s, o); err == nil {
				break
			}
		}
		if err != nil {
			return fmt.Errorf("item %d: on no sheet: %w", i, err)
		}
	}
	return nil
}
