package plan

import (
	"fmt"

	"traywright/geometry"
	"traywright/profiles"
)

// A tool that is changed inside a program. Where most controllers stop they can neither
// jog nor set a zero, and no program here tells a machine how long a tool is: so one
// change is safe only between tools that stand out equally far, and beside the foam.

// equalMM is how far apart two stick-outs may be that are taken for one: as well as a hand
// sets them (judged, no source).
const equalMM = 0.05

// checkChanges refuses a sheet whose tools cannot be changed inside one program.
func (m *maker) checkChanges(b *board, s slab, sheet Sheet) {
	c := m.Machine.Controller
	first, other, several := sheet.tools()
	if !sheet.changesInside(c) {
		return
	}
	const files = "write `tool_change: files` in the controller of %s: a program for each tool, each with a zero of its own"
	out, its := first.StickoutMM.Value, other.StickoutMM.Value
	switch {
	case !several:
	case out == 0 || its == 0:
		m.log.fail(s.at, "tool-lengths", fmt.Sprintf("changes from %s to %s inside its program, and how far they stand out nobody has said: the second would cut at a height that nobody knows", first.ID, other.ID),
			fmt.Sprintf(files, m.Machine.ID))
	case out-its > equalMM || its-out > equalMM:
		m.log.fail(s.at, "tool-lengths", fmt.Sprintf("changes from %s to %s inside its program, which stand out %s and %s: nothing tells the machine the difference, and the second would cut that much too deep or too high", first.ID, other.ID, m.mm(out), m.mm(its)),
			fmt.Sprintf(files, m.Machine.ID))
	}
	if at := c.ChangeAt; sheet.ChangesOver(c, b.cutRound().Bounds()) {
		m.log.fail(s.at, "change-over-foam", fmt.Sprintf("a tool is changed at X %s, Y %s, over the foam or less than %s beside it", m.mm(at[0]), m.mm(at[1]), m.more(changeRoomMM)),
			fmt.Sprintf("write a place beside it as change_at in the controller of %s, or tool_change: files", m.Machine.ID))
	}
}

// changesInside reports whether a tool is put in while a program of the sheet runs.
func (s Sheet) changesInside(c profiles.Controller) bool {
	first, _, several := s.tools()
	return c.ToolChange == profiles.ByItself && first.ID != "" || several && c.ToolChange == profiles.ByHand
}

// ChangesOver reports whether a controller changes the sheet's tools over foam that lies there,
// mm from X0 Y0, or less than a hand's room beside it.
func (s Sheet) ChangesOver(c profiles.Controller, foam geometry.Box) bool {
	at := c.ChangeAt
	return len(at) == 3 && s.changesInside(c) && holds(foam.Grow(changeRoomMM), geometry.Point{X: at[0], Y: at[1]})
}

// changeRoomMM is how far beside the tray a tool is changed at least: a hand reaches in there
// (judged, no source).
const changeRoomMM = 20

func holds(b geometry.Box, p geometry.Point) bool {
	return p.X > b.Min.X && p.X < b.Max.X && p.Y > b.Min.Y && p.Y < b.Max.Y
}

// tools are the first tool of a sheet and the first other one whose stick-out differs from
// it, or any other where none does.
func (s Sheet) tools() (first, other profiles.Tool, several bool) {
	for _, c := range s.All() {
		switch {
		case c.Tool.ID == "":
		case first.ID == "":
			first = c.Tool
		case c.Tool.Number != first.Number && (!several || c.Tool.StickoutMM.Value != first.StickoutMM.Value):
			other, several = c.Tool, true
		}
	}
	return first, other, several
}
