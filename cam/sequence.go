package cam

import "slices"

// The order of the sheets over the whole job. A sheet leads from the tool that it begins with to
// the one that it ends with, and between two sheets a tool is changed where the next begins with
// another than the last ended with. So what needs no change between is a trail over tools, and the
// fewest trails that take every sheet once change tools least often (Euler): one for each sheet
// too many that leaves a tool, and at least one for what hangs together.

// leastChanges puts sheets, each with all of its programs, in the order that changes tools least
// often: that of the plan, where it is no worse.
func leastChanges(works []*sheetWork) []*sheetWork {
	list := trails(works)
	if len(list) != len(works) || changesBetween(list) >= changesBetween(works) {
		return works
	}
	return list
}

// changesBetween is how often the tool is changed from one sheet to the next.
func changesBetween(works []*sheetWork) int {
	changes, fitted := 0, ""
	for _, w := range works {
		from, to := w.ends()
		if fitted != "" && from != fitted {
			changes++
		}
		fitted = to
	}
	return changes
}

// ends are the first and the last tool of a sheet; both "" where there are no moves.
func (w *sheetWork) ends() (from, to string) {
	if tools := w.tools(); len(tools) > 0 {
		return tools[0], tools[len(tools)-1]
	}
	return "", ""
}

// leaving are the sheets that begin with each tool and are in no trail yet.
type leaving map[string][]*sheetWork

// trails are the fewest, one after the other.
func trails(works []*sheetWork) []*sheetWork {
	out, more, tools := leaving{}, map[string]int{}, []string{}
	for _, w := range works {
		from, to := w.ends()
		out[from], tools = append(out[from], w), append(tools, from)
		more[from]++ // than come to it
		more[to]--
	}
	var begun [][]*sheetWork
	for _, t := range tools {
		for ; more[t] > 0; more[t]-- {
			begun = append(begun, out.walk(t))
		}
	}
	for i, trail := range begun {
		begun[i] = out.rounds(trail)
	}
	for _, t := range tools { // what is left comes back to where it began
		if len(out[t]) > 0 {
			begun = append(begun, out.rounds(out.walk(t)))
		}
	}
	return slices.Concat(begun...)
}

// walk goes on from a tool until no sheet begins with the one that it has come to.
func (l leaving) walk(tool string) (trail []*sheetWork) {
	for len(l[tool]) > 0 {
		w := l[tool][0]
		l[tool] = l[tool][1:]
		trail = append(trail, w)
		_, tool = w.ends()
	}
	return trail
}

// rounds puts into a trail the ways that lead from one of its tools back to it.
func (l leaving) rounds(trail []*sheetWork) []*sheetWork {
	for i := 0; i < len(trail); i++ {
		from, _ := trail[i].ends()
		trail = slices.Insert(trail, i, l.walk(from)...)
	}
	return trail
}
