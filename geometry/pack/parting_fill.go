package pack

import (
	"math"
	"slices"
)

// partedFill fills one sheet panel by panel, and parts it as it goes.
type partedFill struct {
	*sheetSearch
	length, width int64  // of the sheet as it lies
	grid          [2]int // equal panels; 0 along an axis for panels by what lies on them
	most          int    // panels
	cut           sheetCut
	rest          []int
}

// fillParted fills a sheet from the pool with no more panels than may be paid.
func (s *sheetSearch) fillParted(pool []int, kind, most int) (sheetCut, []int) {
	sheet, p := s.whole[kind], s.o.Parting
	f := partedFill{sheetSearch: s, most: most, cut: sheetCut{kind: kind}, rest: pool}
	ways := sheet.turnedWays(p)
	f.cut.turned = ways[0]
	if len(ways) > 1 {
		f.cut.turned = s.random.IntN(2) == 1
	}
	f.length, f.width = sheet.lie(f.cut.turned)
	if p.reaches(f.length, f.width) {
		f.most = min(most, 1)
		f.panel(Panel{0, 0, f.length, f.width})
		return f.cut, f.rest
	}
	for axis, whole := range [2]int64{f.length, f.width} {
		if fewest := (whole + p.Reach[axis] - 1) / p.Reach[axis]; p.Equal || s.random.IntN(2) == 0 {
			f.grid[axis] = int(fewest)
			for s.random.IntN(2) == 0 { // seldom many more than the fewest
				f.grid[axis]++
			}
		}
	}
	for x := int64(0); x < f.length && f.open(); {
		end := f.strip(x, f.side(x, f.length, 0))
		if end == x {
			end = f.strip(x, p.most(x, f.length, 0))
		}
		if end == x {
			break
		}
		x = end
	}
	return f.cut, f.rest
}

func (f *partedFill) open() bool { return len(f.rest) > 0 && len(f.cut.panels) < f.most }

// side is how long the next panel may be along an axis: all that the machine reaches, an equal part of the
// sheet, or just what some of the next items take.
func (f *partedFill) side(from, end int64, axis int) int64 {
	p := f.o.Parting
	most := p.most(from, end, axis)
	if whole := [2]int64{f.length, f.width}[axis]; whole <= p.Reach[axis] {
		return most
	} else if n := int64(f.grid[axis]); n > 0 {
		return min(most, max(whole/n/max(p.Step, 1)*max(p.Step, 1), p.up(p.held(axis))))
	}
	if f.random.IntN(2) == 0 {
		return most
	}
	it := f.fillers[0].items[f.rest[0]]
	long := [2]int64{it.Length, it.Width}
	if !it.Fixed && f.random.IntN(2) == 0 {
		long[0], long[1] = long[1], long[0]
	}
	around := 2*f.o.Margin - f.o.Spacing
	fit := (most - around) / long[axis]
	if fit < 1 {
		return most
	}
	return min(most, p.up(from+(1+f.random.Int64N(fit))*long[axis]+around)-from)
}

// strip fills a strip panel by panel, makes it as wide as what lies on it needs, and returns where it ends.
func (f *partedFill) strip(x, length int64) int64 {
	first := len(f.cut.panels)
	end := f.behind(x, 0, length)
	for i := first; i < len(f.cut.panels); i++ {
		f.cut.panels[i].Length = end - x
	}
	return end
}

// behind fills a strip panel by panel from somewhere on, and returns where what lies on these panels ends.
func (f *partedFill) behind(x, from, length int64) int64 {
	p, first, needed := f.o.Parting, len(f.cut.panels), x
	for y := from; y < f.width && f.open(); {
		at, high := len(f.cut.panels), f.side(y, f.width, 1)
		used, ok := f.panel(Panel{x, y, length, high})
		if !ok {
			if used, ok = f.panel(Panel{x, y, length, p.most(y, f.width, 1)}); !ok {
				break
			}
		}
		needed = max(needed, used.X)
		panel := &f.cut.panels[at]
		if f.width > p.Reach[1] && !p.Equal {
			panel.Width = p.end(y, used.Y, f.width, 1) - y
		}
		y += panel.Width
		if at == first && f.length > p.Reach[0] && !p.Equal && f.random.IntN(2) == 0 {
			length = p.end(x, needed, f.length, 0) - x // no further panel makes the strip wider
		}
	}
	switch {
	case needed == x:
		return x
	case f.length > p.Reach[0] && !p.Equal:
		return p.end(x, needed, f.length, 0)
	}
	return x + length
}

// panel fills a panel, and says how far it has to reach, if anything lies on it.
func (f *partedFill) panel(p Panel) (used Panel, ok bool) {
	o := f.o
	length, width := p.Length-2*o.Margin+o.Spacing, p.Width-2*o.Margin+o.Spacing
	if length <= 0 || width <= 0 || !f.open() {
		return used, false
	}
	boxes, area, rest := f.lay(f.rest, f.cut.kind, length, width)
	if len(boxes) == 0 {
		return used, false
	}
	for _, b := range boxes {
		b.x, b.y = b.x+p.X, b.y+p.Y
		used.X, used.Y = max(used.X, b.x+b.l), max(used.Y, b.y+b.h)
		f.cut.boxes = append(f.cut.boxes, b)
	}
	used.X, used.Y = used.X+2*o.Margin-o.Spacing, used.Y+2*o.Margin-o.Spacing
	f.cut.area += area
	f.cut.panels = append(f.cut.panels, p)
	f.rest = rest
	return used, true
}

// changePanels empties one to three panels, or all of a strip, and fills them and what is left of their sheets
// anew, before others.
func (s *sheetSearch) changePanels(limit int64) {
	pool := slices.Clone(s.left)
	touched := map[int]bool{}
	type frame struct {
		cut int
		Panel
	}
	var frames []frame
	for range 1 + s.random.IntN(3) {
		i := s.random.IntN(len(s.now))
		if len(s.now[i].panels) == 0 {
			continue
		}
		panel := s.now[i].panels[s.random.IntN(len(s.now[i].panels))]
		pool = s.now[i].empty(panel, s.o.Margin, pool)
		frames, touched[i] = append(frames, frame{i, panel}), true
	}
	rest := s.pool(pool)
	s.count()
	for _, f := range frames {
		rest = s.again(f.cut, limit, rest, func(p *partedFill) { p.panel(f.Panel) })
	}
	for i := range s.now {
		if touched[i] {
			rest = s.again(i, limit, rest, (*partedFill).further)
		}
	}
	s.now = slices.DeleteFunc(s.now, func(c sheetCut) bool { return len(c.panels) == 0 })
	s.count()
	s.left = slices.Clone(s.refill(rest, limit))
}

// fewerPanels takes the panel away that least lies on, of sheets that are cut into several.
func (s *sheetSearch) fewerPanels(limit int64) {
	cut, least, panel := -1, math.Inf(1), Panel{}
	for i, c := range s.now {
		for _, p := range c.panels {
			area := 0.0
			for _, b := range c.boxes {
				if p.Holds(Placement{X: b.x + s.o.Margin, Y: b.y + s.o.Margin}) {
					area += float64(b.l) * float64(b.h)
				}
			}
			if len(c.panels) > 1 && area < least {
				cut, least, panel = i, area, p
			}
		}
	}
	if cut >= 0 && s.cost > limit {
		s.left = s.now[cut].empty(panel, s.o.Margin, s.left)
		s.count()
	}
}

// again goes on filling a sheet.
func (s *sheetSearch) again(cut int, limit int64, rest []int, how func(*partedFill)) []int {
	c := s.now[cut]
	f := partedFill{sheetSearch: s, cut: c, rest: rest, most: len(c.panels) + len(rest)}
	f.length, f.width = s.whole[c.kind].lie(c.turned)
	if p := s.o.Parting; p.Cost > 0 {
		f.most = min(f.most, max(1, len(c.panels))+int((limit-s.cost)/p.Cost))
	}
	how(&f)
	s.now[cut] = f.cut
	s.cost += s.costOf(f.cut) - s.costOf(c)
	return f.rest
}

// further fills what of a sheet is behind its strips' panels and beside them.
func (f *partedFill) further() {
	for _, p := range Rests(f.cut.panels, f.length, f.width) {
		if p.Y > 0 {
			first := len(f.cut.panels)
			f.behind(p.X, p.Y, p.Length)
			for i := first; i < len(f.cut.panels); i++ {
				f.cut.panels[i].Length = p.Length
			}
			continue
		}
		for x := p.X; x < f.length && f.open(); {
			end := f.strip(x, f.side(x, f.length, 0))
			if end == x {
				break
			}
			x = end
		}
	}
}

// empty takes a panel away, and adds what lay on it to a list.
func (c *sheetCut) empty(panel Panel, margin int64, list []int) []int {
	boxes := make([]placed, 0, len(c.boxes))
	for _, b := range c.boxes {
		if panel.Holds(Placement{X: b.x + margin, Y: b.y + margin}) {
			list = append(list, b.item)
			c.area -= float64(b.l) * float64(b.h)
			continue
		}
		boxes = append(boxes, b)
	}
	c.boxes = boxes
	c.panels = slices.DeleteFunc(slices.Clone(c.panels), func(p Panel) bool { return p == panel })
	return list
}

// count counts anew what lies now.
func (s *sheetSearch) count() {
	clear(s.used)
	s.cost = 0
	for _, c := range s.now {
		s.used[c.kind]++
		s.cost += s.costOf(c)
	}
}
