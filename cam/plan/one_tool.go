package plan

import (
	"fmt"
	"slices"
	"strings"

	"traywright/profiles"
)

// One tool for a wall. A pocket that goes through several sheets of a tray has one wall, and where two tools make it, their
// kerfs being off by different lengths leave a step in it. So the first tool that fits and reaches in all of the sheets makes
// all of it; where none does, each sheet has the first that does in that one, and the plan says so (tellTwoTools).

// oneTools finds the holes for which one tool is taken that is not the first in each of their sheets.
func (m *maker) oneTools(b *board) {
	b.oneTool = map[int]string{}
	if !b.known || !m.built() || m.wholeLayers() {
		return
	}
	defer m.unheard()()
	slabs := m.slabs(b)
	for _, cuts := range b.throughSheets(slabs) {
		if tools := m.toolsOf(b, cuts); len(tools) > 1 {
			if tool, ok := m.inAll(b, cuts); ok {
				for _, c := range cuts {
					for _, i := range c.group {
						b.oneTool[i] = tool
					}
				}
			}
		}
	}
}

// sheetCut are holes that are one in a sheet.
type sheetCut struct {
	slab
	group []int
}

// throughSheets are the cuts of several sheets that have holes in common, those that belong together in one list.
func (b *board) throughSheets(slabs []slab) (list [][]sheetCut) {
	together := newSets(len(b.holes))
	var cuts []sheetCut
	for _, s := range slabs {
		for _, group := range s.groups(b) {
			cuts = append(cuts, sheetCut{s, group})
			for _, i := range group {
				together.join(group[0], i)
			}
		}
	}
	at := map[int]int{}
	for _, c := range cuts {
		first := together.find(c.group[0])
		if _, known := at[first]; !known {
			at[first] = len(list)
			list = append(list, nil)
		}
		list[at[first]] = append(list[at[first]], c)
	}
	return slices.DeleteFunc(list, func(cuts []sheetCut) bool { return cuts[0].number == cuts[len(cuts)-1].number })
}

// toolsOf are the tools that make cuts where each sheet has its own; none where the job names one, or a cut has none.
func (m *maker) toolsOf(b *board, cuts []sheetCut) (ids []string) {
	for _, c := range cuts {
		t, choice, no := m.tryCut(b, c.slab, c.group)
		if no != nil || t.tool != "" {
			return nil
		}
		if !slices.Contains(ids, choice.tool.ID) {
			ids = append(ids, choice.tool.ID)
		}
	}
	return ids
}

// inAll is the first of the machine's tools that makes all of the cuts, none with its shank in the foam.
func (m *maker) inAll(b *board, cuts []sheetCut) (string, bool) {
	makes := func(tool profiles.Tool, c sheetCut) bool {
		for _, i := range c.group {
			b.oneTool[i] = tool.ID
			defer delete(b.oneTool, i)
		}
		t, choice, no := m.tryCut(b, c.slab, c.group)
		return no == nil && !tool.BeyondFlute(t.deepest(choice.recipes))
	}
	for _, tool := range m.Machine.Tools {
		if !tool.ByAnother() && !slices.ContainsFunc(cuts, func(c sheetCut) bool { return !makes(tool, c) }) {
			return tool.ID, true
		}
	}
	return "", false
}

// tellTwoTools says at each pocket whose wall several tools make that it may have a step.
func (m *maker) tellTwoTools(b *board) {
	type layer struct{ tool, at string }
	made := map[int][]layer{}
	for _, s := range b.Sheets {
		for _, c := range s.Cuts {
			for _, i := range c.Pockets {
				if n := len(made[i]); n == 0 || made[i][n-1].tool != c.Tool.ID {
					made[i] = append(made[i], layer{c.Tool.ID, fmt.Sprintf("%s from layer %d", c.Tool.ID, s.Number)})
				}
			}
		}
	}
	for i, h := range b.holes {
		if len(made[i]) < 2 {
			continue
		}
		var said []string
		for _, l := range made[i] {
			said = append(said, l.at)
		}
		m.log.note(h.at, "wall-by-two-tools", "has its wall made by "+strings.Join(said, ", by ")+", for no tool of "+m.Machine.ID+" fits, reaches and has a recipe in all of its layers: where their kerfs are off by different lengths, the wall has a step there",
			"measure the kerf of each with a coupon (`traywright coupon`), for the step is what they are off by against each other; or pare it off when the layers are glued")
	}
}
