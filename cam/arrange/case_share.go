package arrange

import (
	"slices"
	"strings"

	"traywright/cam/job"
)

// share says which pieces each case without a stack is for: those that it
// holds; else all that no other case carries. Where several cases are to share
// those, a group goes to the case that is named after it, and the rest to the
// first.
func (m *maker) share() map[int][]*job.Piece {
	wanted := map[int][]*job.Piece{}
	var open []int
	spoken := map[string]bool{}
	for i, c := range m.Job.Cases {
		switch {
		case len(c.Stack) > 0:
			for _, id := range c.Stack {
				for piece := range m.holds[id] {
					spoken[piece] = true
				}
			}
		case len(c.Holds) > 0:
			wanted[i] = m.named(c.Holds)
			for _, p := range wanted[i] {
				spoken[p.ID] = true
			}
		default:
			open = append(open, i)
		}
	}
	for k := range m.Job.Roster {
		p := &m.Job.Roster[k]
		if len(open) == 0 || spoken[p.ID] {
			continue
		}
		home := open[0]
		for _, i := range open {
			if p.Group != "" && slices.Contains(strings.Fields(strings.ToLower(m.Job.Cases[i].Name)), strings.ToLower(p.Group)) {
				home = i
				break
			}
		}
		wanted[home] = append(wanted[home], p)
	}
	for _, i := range open {
		for _, p := range m.common() {
			if !slices.Contains(wanted[i], p) {
				wanted[i] = append(wanted[i], p)
			}
		}
	}
	return wanted
}

// common are the pieces in trays that every case with a stack carries, where
// there are at least two such cases: the next case wants them as well.
func (m *maker) common() []*job.Piece {
	stacked, count := 0, map[string]int{}
	for _, c := range m.Job.Cases {
		if len(c.Stack) == 0 {
			continue
		}
		stacked++
		for i, id := range c.Stack {
			if !slices.Contains(c.Stack[:i], id) {
				count[id]++
			}
		}
	}
	var list []*job.Piece
	for i := range m.Job.Roster {
		p := &m.Job.Roster[i]
		for _, t := range m.Job.Trays {
			if stacked > 1 && count[t.ID] == stacked && m.holds[t.ID][p.ID] > 0 && !slices.Contains(list, p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// lastGroup parts the last group from a list of pieces, or the last piece where
// there is one group only.
func lastGroup(pieces []*job.Piece) (stay, last []*job.Piece) {
	if len(pieces) == 0 {
		return nil, nil
	}
	end := pieces[len(pieces)-1]
	for _, p := range pieces {
		if p == end || end.Group != "" && p.Group == end.Group {
			last = append(last, p)
		} else {
			stay = append(stay, p)
		}
	}
	if len(stay) == 0 {
		return pieces[:len(pieces)-1], pieces[len(pieces)-1:]
	}
	return stay, last
}

// nextOpen is the next case after one that may take what it has no room for; 0
// for none.
func (m *maker) nextOpen(i int) int {
	open := func(c job.Case) bool { return len(c.Stack) == 0 && len(c.Holds) == 0 }
	for k := i + 1; k < len(m.Job.Cases) && open(m.Job.Cases[i]); k++ {
		if open(m.Job.Cases[k]) {
			return k
		}
	}
	return 0
}
