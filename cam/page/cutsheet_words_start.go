package page

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

// What a hand sees to right before a program starts (common practice, no
// source).

// isolated comes before any tool is put in or taken out.
const isolated = "Spindle off and isolated: unplugged where it has a plug, the spindle alone, so that the machine keeps its zero. "

// touchOff is how Z0 is found on soft foam (common practice, no source).
const touchOff = " For Z0 the tip must not press the foam in: lay a flat thin plate of known thickness on it, touch that with the spindle off, and take its thickness off, for Z0 lies that much below the plate's top."

// fit is the tool that a hand puts in, of a process whose tools are put in, and what it does to the
// zero point.
func (c CutSheet) fit(s Sheet) (steps []string, zero string) {
	door, ok := process.On(c.Plan.Machine)
	if !ok {
		return nil, "Set the zero point"
	}
	if tools := toolsInOrder(s.Program); door.FitsTools() && len(tools) > 0 {
		steps = []string{c.fitted(s, tools)}
	}
	return steps, door.SetZero()
}

// changesItself tells whether the machine changes its tools, and no hand.
func (c CutSheet) changesItself() bool {
	return c.Plan.Machine.Controller.ToolChange == profiles.ByItself
}

// fitted says which tool a hand puts in first; of a machine that changes by itself, which it
// has to have.
func (c CutSheet) fitted(s Sheet, tools []profiles.Tool) string {
	if !c.changesItself() {
		if from := c.staysFrom(s, tools); from != "" {
			return fmt.Sprintf(isolated+"T%d, %s, stays in from %s: look that it is the one, sits tight and stands %s.", tools[0].Number, tools[0].Name, from, cmp.Or(c.standsOut(tools[0]), "out as far as it has to"))
		}
		return isolated + c.putIn(tools[0], fmt.Sprintf("T%d, %s", tools[0].Number, tools[0].Name))
	}
	var names []string
	for _, t := range tools {
		name := fmt.Sprintf("T%d, %s", t.Number, t.Name)
		if out := c.standsOut(t); out != "" {
			name += ", standing " + out
		}
		names = appendNew(names, name)
	}
	text := isolated + "Put where the machine takes its tools, and into its table of tools: " + strings.Join(names, "; ") + "."
	if len(names) > 1 {
		text += " Their tips have to be equally far below the spindle: the program tells no lengths."
	}
	return text
}

// putIn is to fit a tool, and how far it has to stand out: that is seen to while the collet is open, and not afterwards.
func (c CutSheet) putIn(t profiles.Tool, name string) string {
	text := "Fit " + name + "."
	if out := c.standsOut(t); out != "" {
		text += " Let it stand " + out + ", for the nut passes over clamps."
	}
	return text
}

// standsOut is how far a tool has to stand out of what holds it; "" where its profile does not say.
func (c CutSheet) standsOut(t profiles.Tool) string {
	if out := t.StickoutMM.Value; out > 0 {
		return c.least(out) + " out of the collet, not less"
	}
	return ""
}

// staysFrom is the program whose last tool is the first of a sheet's, and comes right before it; "" for none. One that is
// run several times may find another in the spindle the second time.
func (c CutSheet) staysFrom(s Sheet, tools []profiles.Tool) string {
	at := slices.IndexFunc(c.Sheets, func(o Sheet) bool { return o.File == s.File })
	if at < 1 || s.made() > 1 && (s.Of > 1 || len(tools) > 1) {
		return ""
	}
	before := c.Sheets[at-1]
	if had := toolsInOrder(before.Program); len(had) == 0 || had[len(had)-1].Number != tools[0].Number {
		return ""
	}
	return before.File
}

// touched is how the zero point is found where the tip is not simply brought there.
func (c CutSheet) touched(s Sheet) string {
	if m := s.Sheet.On(c.Plan.Machine); m.Process.Traits().Turning && m.ZZero == profiles.ZTop {
		return touchOff
	}
	return ""
}

// clearAt is the height at which the tool goes from cut to cut, in the program's own Z, mm.
func (c CutSheet) clearAt(s Sheet) float64 {
	if s.Sheet.On(c.Plan.Machine).ZZero == profiles.ZBed {
		return s.Program.ClearZ + s.Sheet.ThicknessMM()
	}
	return s.Program.ClearZ
}

// ready is what is looked at and switched on between Zero and Run: the first move comes down where
// the tool happens to stand, and what no program switches has to be on before.
func (c CutSheet) ready(s Sheet) []string {
	m := c.Plan.Machine
	if c.wired() {
		return c.wireReady(s)
	}
	if c.blade() {
		return c.bladeReady(s)
	}
	if m.Process.Traits().Beam {
		return []string{"Extraction on, and the lid shut where it has one. Hands away.", c.watched(s)}
	}
	if !m.Process.Traits().Turning || m.Controller.Class == "" {
		return nil
	}
	var steps []string
	if !m.DrawingsOnly() {
		steps = append(steps, fmt.Sprintf("Look: the tool stands over the foam near X0 Y0, and nothing else is below it. The program's first move goes straight to Z %s, down where the tool stands higher.", c.length(c.clearAt(s))))
	}
	on := "Switch on"
	if m.DrawingsOnly() {
		on = "Switch on, where its own software does not,"
	}
	if profiles.On(m.Controller.Dust) == "" || m.DrawingsOnly() {
		on += " the dust extraction, and"
	}
	if c.changesItself() {
		if profiles.On(m.Controller.Dust) != "" {
			return append(steps, "Hands away.")
		}
		return append(steps, "Switch on the dust extraction. Hands away. The spindle is the program's to switch: one that turns by a switch of its own would turn while the tool is changed.")
	}
	on += " a spindle that has a switch of its own, plugged in again"
	if rpm := s.Program.Ops[0].RPM; rpm > 0 {
		on += fmt.Sprintf(", its dial at %.0f rpm", rpm)
	}
	return append(steps, on+". Hands away.")
}

// changing says how the program goes to the place where tools are changed, and back.
func (c CutSheet) changing(s Sheet, at []float64) string {
	return fmt.Sprintf("at %s, or higher. After the change it comes down to Z %s there and goes back at that height: the way there, that place and the way back have to be free. Hands away before it goes on",
		c.place(at), c.length(c.clearAt(s)))
}

// travel is how far X0 Y0 has to be from the ends of the machine's travel.
func (c CutSheet) travel(s Sheet) string {
	if s.Offcut.shared() {
		return s.Offcut.travel(c.Unit)
	}
	return fmt.Sprintf("Keep it at least %s (X) and %s (Y)%s from the lower-left end of the machine's travel.", c.least(max(0, -s.Whole.Min.X)), c.least(max(0, -s.Whole.Min.Y)), c.atMost(s))
}

// atMost is how far X0 Y0 may lie from that end, so that no program of the sheet runs over the other; "" where no
// travel is known.
func (c CutSheet) atMost(s Sheet) string {
	travel := c.Plan.Machine.TravelMM
	if !(travel[0].Value > 0 && travel[1].Value > 0) {
		return ""
	}
	down := func(mm float64) string { return c.length(units.AtMost(max(0, mm), 0.1, c.Unit)) }
	return fmt.Sprintf(", and at most %s (X) and %s (Y),", down(travel[0].Value-s.Whole.Max.X), down(travel[1].Value-s.Whole.Max.Y))
}

var zeroText = map[profiles.ZZero]string{
	profiles.ZTop: "Z0 is the top of the foam",
	profiles.ZBed: "Z0 is the top of what the foam lies on: of the board, where there is one, and not the bed below it",
}

// zero is where the program counts from.
func (c CutSheet) zero(s Sheet) []string {
	at := s.Sheet.On(c.Plan.Machine).ZZero
	own := ""
	if at != c.Plan.Machine.ZZero {
		own = " That is so for this sheet: its job says it, and the machine's other sheets count from elsewhere. Set Z0 anew before it, and before the next"
	}
	corner := "the tray's lower-left corner"
	if s.Laid != nil {
		corner = c.corner(s)
	}
	return []string{
		fmt.Sprintf("X0 Y0 is %s. %s %s.", corner, c.travel(s), strings.TrimSuffix(c.zeroOf(at)+"."+own, ".")),
		fmt.Sprintf("%s sweeps %s (X then Y).", c.middle(), c.swept(s)),
	}
}

// zeroOf says where Z0 is: of a beam, where its head is in focus there.
func (c CutSheet) zeroOf(at profiles.ZZero) string {
	m := c.Plan.Machine
	if c.wired() {
		return wireZero
	}
	if !m.Process.Traits().Beam {
		return zeroText[at]
	}
	const is = "Z0 is where the beam is in focus on the foam's top, "
	if m.StandoffMM.Value <= 0 {
		return is + "at your lens's focus height above the foam: measure it. Never the nozzle on the foam"
	}
	text := is + fmt.Sprintf("the nozzle %s above it", c.length(m.StandoffMM.Value))
	if m.DrawingsOnly() { // a program's settings say it
		text += ": never the nozzle on the foam"
	}
	return text
}
