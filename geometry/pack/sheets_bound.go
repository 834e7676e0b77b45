package pack

import "math"

// bound is the least cost of any packing: by the area of sheets and of panels, and by what can share none.
func (s *sheetSearch) bound(items []Item) int64 {
	o, p := s.o, s.o.Parting
	around := o.Spacing
	if p.Reach != [2]int64{} {
		around = min(o.Spacing, 2*o.Margin) // between items on two panels
	}
	rooms := make([]Sheet, len(s.sheets))
	area, most, longest := 0.0, 0.0, int64(0)
	for i, sheet := range s.whole {
		room := sheet
		room.Length, room.Width, room.Count = sheet.Length-2*o.Margin+around, sheet.Width-2*o.Margin+around, s.sheets[i].Count
		rooms[i] = room
		for _, turned := range sheet.turnedWays(p) {
			l, w := sheet.lie(turned)
			l, w = p.within(l, 0)-2*o.Margin+around, p.within(w, 1)-2*o.Margin+around
			if room.Count > 0 {
				most, longest = math.Max(most, float64(l)*float64(w)), max(longest, l, w)
			}
		}
	}
	grown := make([]Item, len(items))
	alone := int64(0)
	for i, it := range items {
		grown[i] = Item{it.Length + around, it.Width + around, it.Fixed}
		area += float64(grown[i].Length) * float64(grown[i].Width)
		if 2*min(grown[i].Length, grown[i].Width) > longest {
			alone++
		}
	}
	var least int64
	if p.Share {
		sortByPrice(rooms)
		least = (&cover{sheets: rooms}).inParts(0, area)
	} else {
		least = coverBound(rooms, area)
	}
	panels := alone
	if most > 0 {
		panels = max(panels, int64(math.Ceil(area/most-1e-9)))
	}
	if p.Reach == [2]int64{} {
		least = max(least, aloneBound(rooms, grown))
	}
	return least + p.Cost*panels
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
