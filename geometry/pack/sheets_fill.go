package pack

import "slices"

// affordable are the kinds of sheets of which there are more, for no more than the limit.
func (s *sheetSearch) affordable(limit int64) []int {
	s.kinds = s.kinds[:0]
	for kind, sheet := range s.sheets {
		if s.used[kind] < sheet.Count && (sheet.Cost+s.o.Parting.Cost <= limit-s.cost || s.o.Parting.Share) {
			s.kinds = append(s.kinds, kind)
		}
	}
	return s.kinds
}

// mostTried kinds of sheets are filled before one is taken.
const mostTried = 16

// some are affordable ones, of many some by chance.
func (s *sheetSearch) some(limit int64) []int {
	kinds := s.affordable(limit)
	for i := 0; i < mostTried && len(kinds) > mostTried; i++ {
		k := i + s.random.IntN(len(kinds)-i)
		kinds[i], kinds[k] = kinds[k], kinds[i]
	}
	return kinds[:min(mostTried, len(kinds))]
}

// fillOne fills each of some sheets from the pool, and takes the one whose
// boxes cover most for its cost, with some luck; of those that hold all, the cheapest.
func (s *sheetSearch) fillOne(pool []int, limit int64, kinds []int) (best sheetCut, rest []int, ok bool) {
	most, whole := -1.0, false
	for _, kind := range kinds {
		c, left := s.fillSheet(pool, kind, limit-s.cost)
		if len(c.boxes) == 0 || s.costOf(c) > limit-s.cost {
			continue
		}
		all := len(left) == 0
		cost := float64(s.costOf(c)) + 1e-3
		score := c.area / cost * (1 + 0.2*s.random.Float64())
		if all {
			score = 1 / cost
		}
		if all && !whole || all == whole && score > most {
			most, whole, ok = score, all, true
			best, rest = c, left
		}
	}
	return best, rest, ok
}

// fillSheet fills a sheet of a kind from the pool, for no more than a cost.
func (s *sheetSearch) fillSheet(pool []int, kind int, limit int64) (sheetCut, []int) {
	if p := s.o.Parting; p.Reach != [2]int64{} {
		panels := len(pool)
		if p.Cost > 0 {
			if !p.Share {
				limit -= s.sheets[kind].Cost
			}
			panels = int(min(limit/p.Cost, int64(panels)))
		}
		return s.fillParted(pool, kind, panels)
	}
	boxes, area, left := s.lay(pool, kind, s.sheets[kind].Length, s.sheets[kind].Width)
	return sheetCut{kind: kind, boxes: boxes, area: area}, left
}

// lay fills a room of a kind of sheet from the pool, along X or along Y.
func (s *sheetSearch) lay(pool []int, kind int, length, width int64) (boxes []placed, area float64, left []int) {
	across := s.random.IntN(2) == 1
	f := &s.fillers[0]
	f.length, f.rim, f.holes = length, width, s.holes[kind][0]
	if across {
		f = &s.fillers[1]
		f.length, f.rim, f.holes = width, length, s.holes[kind][1]
	}
	s.spend(len(pool) + 1)
	left = f.fill(pool, nil)
	boxes = slices.Clone(f.boxes)
	for i := range boxes {
		b := &boxes[i]
		area += float64(b.l) * float64(b.h)
		if across {
			b.x, b.y, b.l, b.h = b.y, b.x, b.h, b.l
		}
	}
	return boxes, area, left
}
