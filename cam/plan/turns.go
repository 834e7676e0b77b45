package plan

import "slices"

// The order in which a sheet's tools take their turns. Marks come first and the outline last,
// each with the tool that it has; between them every tool of the holes has one turn. Of all
// orders that leave a cut behind the roughing it needs, the one that changes tools least often
// is taken, of several the one that mixes the steps of the holes least, and then the one with the lowest tool
// numbers first. An outline for which the
// job names no tool leaves its own for one of the sheet's, as thick or thicker, that saves a change.

// mostTurns is how many tools are tried in every order; more keep that of their numbers.
const mostTurns = 6

// takeTurns decides Sheet.Turns.
func (s *Sheet) takeTurns() {
	s.Turns = nil
	for _, c := range s.Cuts {
		s.Turns = append(s.Turns, c.Tool.Number)
	}
	slices.Sort(s.Turns)
	s.Turns = slices.Compact(s.Turns)
	if len(s.Turns) < 2 || len(s.Turns) > mostTurns {
		return
	}
	best, least := s.Turns, []int(nil)
	for _, turns := range orders(s.Turns) {
		if n := []int{s.changes(turns), s.mixed(turns)}; s.roughsFirst(turns) && (least == nil || slices.Compare(n, least) < 0) {
			best, least = turns, n
		}
	}
	s.Turns = best
}

// Step is when a hole is cut, of all that one tool cuts: pockets, 0, then registration holes, then what is
// cut round and stands on its skin, 2, so that nothing works beside foam that may move.
func (c Cut) Step() int {
	switch {
	case c.Plug:
		return 2
	case c.Dowel:
		return 1
	}
	return 0
}

// mixed is how many pairs of holes are cut against their steps when their tools take those turns.
func (s *Sheet) mixed(turns []int) (pairs int) {
	of := map[int]*[3]int{} // holes of each step, by tool
	for _, number := range turns {
		of[number] = &[3]int{}
	}
	for _, c := range s.Cuts {
		of[c.Tool.Number][c.Step()]++
	}
	var before [3]int
	for _, number := range turns {
		now := of[number]
		pairs += now[0]*(before[1]+before[2]) + now[1]*before[2]
		for step, n := range now {
			before[step] += n
		}
	}
	return pairs
}

// saveChange gives the outline another of the sheet's tools where that is a change less, and
// the tool is no thinner, reaches with its edges and has room around the tray.
func (m *maker) saveChange(b *board, t task, sheet *Sheet) {
	if t.tool != "" || sheet.Edge.Tool.ID == "" || sheet.precede(m.TolMM) != nil {
		return
	}
	best, least := sheet.Edge, sheet.changes(sheet.Turns)
	for _, tool := range m.Machine.Tools {
		try := *sheet
		try.Edge.Tool = tool
		if try.takeTurns(); try.changes(try.Turns) >= least || tool.DiameterMM.Value < sheet.Edge.Tool.DiameterMM.Value {
			continue
		}
		recipes, no := m.recipes(t, tool)
		if no != nil || m.reaches(t, tool, recipes) != nil || tool.BeyondFlute(t.deepest(recipes)) || !m.travels(b, tool.DiameterMM.Value) {
			continue
		}
		best.Tool, best.Recipes, least = tool, recipes, try.changes(try.Turns)
	}
	sheet.Edge = best
}

// orders are all orders of numbers, those with the lowest first ahead.
func orders(numbers []int) [][]int {
	if len(numbers) < 2 {
		return [][]int{numbers}
	}
	var list [][]int
	for i, n := range numbers {
		rest := slices.Delete(slices.Clone(numbers), i, i+1)
		for _, o := range orders(rest) {
			list = append(list, append([]int{n}, o...))
		}
	}
	return list
}

// changes is how often the sheet's tool is changed when the holes' tools take those turns.
func (s *Sheet) changes(turns []int) int { return len(s.taken(turns)) - 1 }

// taken are the numbers of the tools in the order of cutting, one for each time that it is taken.
func (s *Sheet) taken(turns []int) []int {
	all := slices.Clone(turns)
	if tool := s.marker(); len(s.Marks) > 0 && tool.ID != "" {
		all = append([]int{tool.Number}, all...)
	}
	if !s.Edge.Shape.Empty() && s.Edge.Tool.ID != "" {
		all = append(all, s.Edge.Tool.Number)
	}
	return slices.Compact(all)
}

// roughsFirst reports whether every roughing comes before what it is done for.
func (s *Sheet) roughsFirst(turns []int) bool {
	for _, c := range s.Cuts {
		for _, i := range c.After {
			if s.Cuts[i].Rough && slices.Index(turns, s.Cuts[i].Tool.Number) > slices.Index(turns, c.Tool.Number) {
				return false
			}
		}
	}
	return true
}

// turn is when the tool of a cut has its turn, from 0.
func (s *Sheet) turn(c Cut) int { return slices.Index(s.Turns, c.Tool.Number) }
