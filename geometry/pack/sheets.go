package pack

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// Sheet is a size of sheet to cut up: a new one, or an offcut.
type Sheet struct {
	Length, Width int64
	Cost          int64 // of one; an offcut's may be 0
	Count         int   // how many there are
}

// SheetsResult is a packing into sheets of several sizes. The Bin of a placement is an
// index into Used.
type SheetsResult struct {
	Placements []Placement // one for each item, in the items' order
	Used       []int       // the sheets that are cut up, each an index into the sheets given
	Cost       int64       // of all that are cut up
	LowerBound int64       // no packing costs less
}

// ErrTooFewSheets says that the sheets do not hold all items, as far as the search has
// found: their area may suffice all the same.
var ErrTooFewSheets = errors.New("the sheets do not hold all items")

// most sums of costs and areas stay inside 64 bits below these.
const (
	mostCost   = 1 << 40
	mostSheets = 1 << 20
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

func (r SheetsResult) verify(items []Item, sheets []Sheet, o Options) error {
	rooms := make([]room, len(r.Used))
	for i, kind := range r.Used {
		rooms[i] = room{sheets[kind].Length, sheets[kind].Width}
	}
	return verify(items, r.Placements, rooms, o)
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
			if err = checkItems(items[i:i+1], s.Length, s.Width, o); err == nil {
				break
			}
		}
		if err != nil {
			return fmt.Errorf("item %d: on no sheet: %w", i, err)
		}
	}
	return nil
}

// coverBound is the least cost of sheets whose areas sum up to at least an area: exact by
// trying, as long as that takes few steps, else as if the last sheet could be had in part.
// Sheets and area include the spacing.
func coverBound(sheets []Sheet, area float64) int64 {
	c := cover{steps: 100_000, best: math.MaxInt64}
	for _, s := range sheets {
		if s.Count > 0 {
			c.sheets = append(c.sheets, s)
		}
	}
	sortByPrice(c.sheets)
	least := c.inParts(0, area)
	if c.search(0, area, 0); c.steps > 0 && c.best < math.MaxInt64 {
		return c.best
	}
	return least
}

// cover is a search for the cheapest sheets of an area.
type cover struct {
	sheets []Sheet // the cheapest for their area first
	steps  int
	best   int64
}

func (s Sheet) area() float64 { return float64(s.Length) * float64(s.Width) }

// inParts is the cost of an area of the sheets from one on, if they could be had in parts,
// rounded up; without end where they are too few.
func (c *cover) inParts(from int, area float64) int64 {
	cost := 0.0
	for _, s := range c.sheets[from:] {
		if area <= 0 {
			break
		}
		n := math.Min(float64(s.Count), area/s.area())
		cost += n * float64(s.Cost)
		area -= n * s.area()
	}
	if area > 0.5 { // areas are whole
		return math.MaxInt64
	}
	return int64(math.Ceil(cost - 1e-6))
}

func (c *cover) search(from int, area float64, cost int64) {
	if c.steps--; c.steps <= 0 {
		return
	}
	if area <= 0 {
		c.best = min(c.best, cost)
		return
	}
	if from == len(c.sheets) {
		return
	}
	if rest := c.inParts(from, area); rest == math.MaxInt64 || cost+rest >= c.best {
		return
	}
	s := c.sheets[from]
	for n := min(s.Count, int(math.Ceil(area/s.area()))); n >= 0 && c.steps > 0; n-- {
		c.search(from+1, area-float64(n)*s.area(), cost+int64(n)*s.Cost)
	}
}

// aloneBound is the least cost of sheets for the items of which no two lie on one: those
// whose shorter side is more than half of any sheet's longer one. Sheets and items include
// the spacing.
func aloneBound(sheets []Sheet, items []Item) int64 {
	longest := int64(0)
	for _, s := range sheets {
		if s.Count > 0 {
			longest = max(longest, s.Length, s.Width)
		}
	}
	sum := int64(0)
	for _, it := range items {
		if 2*min(it.Length, it.Width) <= longest {
			continue
		}
		least := int64(math.MaxInt64)
		for _, s := range sheets {
			if s.Count > 0 && s.Cost < least && fits(it, s.Length, s.Width) {
				least = s.Cost
			}
		}
		sum += least
	}
	return sum
}
