package proof

// strip is cells beside each other in a row that end their hold with the same sweep: there are far
// fewer of them than cells.
type strip struct {
	end         int32 // the cell behind its last, counted through all rows
	gone, held  int32
	below, over int32 // the first strip of the row before and of the row behind that meets it; -1 without such a row
}

// strips are those of the grid, row by row.
func (g *standing) strips() (list []strip) {
	var below int32 // the row before begins with it
	for row := range g.Rows {
		first := int32(len(list))
		for cell := row * g.Columns; cell < (row+1)*g.Columns; cell++ {
			if n := len(list); n > int(first) && list[n-1].gone == g.gone[cell] {
				list[n-1].end++
				continue
			}
			list = append(list, strip{end: int32(cell + 1), gone: g.gone[cell], below: -1, over: -1})
		}
		g.link(list, below, first)
		below = first
	}
	return list
}

// link tells the strips of a row, and of the row before it, whom they meet.
func (g *standing) link(list []strip, below, row int32) {
	columns := int32(g.Columns)
	for a, b := below, row; a < row && int(b) < len(list); {
		if list[a].over < 0 {
			list[a].over = b
		}
		if list[b].below < 0 {
			list[b].below = a
		}
		switch end := list[a].end + columns; {
		case end < list[b].end:
			a++
		case end > list[b].end:
			b++
		default:
			a, b = a+1, b+1
		}
	}
}

// heldUntil is, for each cell, the sweep that took its last way to the edge of the grid:
// over all ways the latest of the first cell of each that goes.
func (g *standing) heldUntil() []int32 {
	list := g.strips()
	// What is reached until a sweep stands in its list, which goes on with ways[i].before: nothing is
	// reached for longer than what it is reached from. The last list is of what stands to the end.
	end := g.latest() + 1
	var ways []way
	front := make([]int32, end+1)
	reach := func(at, until int32) {
		s := &list[at]
		if until = min(until, s.gone); until <= s.held {
			return
		}
		s.held, until = until, min(until, end)
		ways = append(ways, way{at, front[until]})
		front[until] = int32(len(ways))
	}
	columns := int32(g.Columns)
	start := int32(0)
	for i, s := range list {
		if s.below < 0 || s.over < 0 || start%columns == 0 || s.end%columns == 0 {
			reach(int32(i), never)
		}
		start = s.end
	}
	for until := end; until > 0; until-- {
		for front[until] > 0 {
			w := ways[front[until]-1]
			front[until] = w.before
			if held := list[w.strip].held; min(held, end) == until {
				g.beside(list, w.strip, func(next int32) { reach(next, held) })
			}
		}
	}
	held := make([]int32, 0, len(g.gone))
	for _, s := range list {
		for range int(s.end) - len(held) {
			held = append(held, s.held)
		}
	}
	return held
}

// beside visits the strips that meet one.
func (g *standing) beside(list []strip, at int32, visit func(next int32)) {
	s, start, columns := list[at], int32(0), int32(g.Columns)
	if at > 0 {
		start = list[at-1].end
	}
	if start%columns > 0 {
		visit(at - 1)
	}
	if s.end%columns > 0 {
		visit(at + 1)
	}
	for _, row := range [2]struct{ first, off int32 }{{s.below, -columns}, {s.over, columns}} {
		for next := row.first; next >= 0; next++ {
			visit(next)
			if list[next].end >= s.end+row.off {
				break
			}
		}
	}
}

// latest is the last sweep that ended the hold of a cell.
func (g *standing) latest() int32 {
	latest := int32(0)
	for _, gone := range g.gone {
		if gone < never {
			latest = max(latest, gone)
		}
	}
	return latest
}

// way is a strip that is reached, and which of the ways was reached before it until the same sweep,
// counted from 1.
type way struct{ strip, before int32 }
