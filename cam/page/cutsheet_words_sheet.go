package page

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

const spelling = "Every name is spelt right"

// sheet is what one sheet's page says.
func (c CutSheet) sheet(s Sheet) sheetText {
	if c.byHand() {
		return c.handSheet(s)
	}
	return sheetText{
		Parted:   s.Laid != nil && len(s.Laid.Parts) > 1,
		ZeroHead: "Zero point",
		Head:     s.File, Aside: fmt.Sprintf("%d to make", s.made()), Time: finding.Duration(s.Run.Seconds), Image: s.Name + ".png", Together: s.Of > 1,
		Settings: c.settings(s), Zero: c.zero(s), Work: c.work(s), Order: c.orderOf(s), Copies: s.made(), Made: MadeText(s.Parts),
		Owner: s.Owner, Cautions: slices.Concat(s.Cautions, c.open(), s.labels()), Burns: s.Burns,
	}
}

// cutTo is the sheet's finished size, and why it is not the tray's; of a setup, what lies on it.
func (c CutSheet) cutTo(s Sheet) [2]string {
	if s.Laid != nil {
		return [2]string{"Parts", c.lying(s)}
	}
	b := s.Sheet.Edge.Shape.Bounds()
	text := c.size(b.Width(), b.Height())
	if side := s.Tray.EarsAt(); side != "" {
		box := s.Tray.Outline.Bounds()
		text = fmt.Sprintf("%s, of which two ears at the %s are waste: without them %s", text, side, c.size(box.Width(), box.Height()))
	}
	if tray := c.size(s.Tray.Length.MM(), s.Tray.Width.MM()); !strings.HasSuffix(text, tray) {
		text += fmt.Sprintf(": the tray is %s, and its foam is that much larger (ease), so that the case presses it in", tray)
	}
	return [2]string{"Cut to", text}
}

// labels is a box for every text that goes into the sheet, and one for how they are spelt; of its several
// programs those have them that engrave, or cut round letters.
func (s Sheet) labels() []string {
	var boxes []string
	if s.K > 0 && !slices.ContainsFunc(s.Program.Ops, func(op process.Op) bool {
		return op.Kind != process.Pocket && op.Kind != process.Outline || strings.HasPrefix(op.Name, "label ")
	}) {
		return nil
	}
	for _, m := range s.Tray.Marks {
		if m.Text != "" && s.Sheet.Number <= 1 {
			if box := fmt.Sprintf("The label reads %q", m.Text); s.Laid == nil || !slices.Contains(boxes, box) {
				boxes = append(boxes, box)
			}
		}
	}
	if len(boxes) > 0 {
		boxes = append(boxes, spelling)
	}
	return boxes
}

// settings has a line for each tool and each of its recipes, and where the
// numbers come from.
func (c CutSheet) settings(s Sheet) [][2]string {
	facts := [][2]string{
		{"Foam", fmt.Sprintf("%s, %s thick", s.Foams, c.thick(s.Sheet.ThicknessMM()))},
		c.cutTo(s),
		{"Time", about(s.Run.Seconds)},
	}
	if text := Corners(s.Run.Corners); text != "" {
		facts = append(facts, [2]string{"Corners", text})
	}
	var told [][2][2]string
	for _, cut := range s.Sheet.CutOn(c.Plan.Machine) {
		if s.K > 0 && cut.Tool.Number != s.Program.Ops[0].Tool.Number {
			continue // another program's
		}
		for _, r := range cut.Recipes {
			text, source := c.setting(r)
			if lines := [2][2]string{{r.Tool, text}, {"", source}}; !slices.Contains(told, lines) {
				told = append(told, lines)
				facts = append(facts, lines[:]...)
			}
		}
	}
	if c.wired() {
		facts = append(facts, c.wireFacts(s)...)
	}
	facts = append(facts, c.bladeFacts(s)...)
	facts = append(facts, c.tools(s)...)
	facts = append(facts, c.roughing(s)...)
	facts = append(facts, laps(s)...)
	facts = append(facts, c.controller(s)...)
	if len(s.Drawings.Cutting) > 0 {
		facts = append(facts, c.drawings(s))
		if !c.Plan.Machine.Process.Traits().Upright {
			facts = append(facts, [2]string{"Run as it is", c.loose(s)})
		}
	}
	if c.Eyewear != "" {
		facts = append(facts, [2]string{"Eyewear", c.Eyewear})
	}
	return facts
}

// setting is a recipe in words, and where its numbers come from.
func (c CutSheet) setting(r profiles.Recipe) (text, source string) {
	text, settings := recipeText(c.Plan.Machine, r, c.Unit)
	sources := sourcesOf(settings)
	if r.MarkShare.Value == 1 { // a beam that engraves: what it cuts with says nothing of it
		sources = []string{"power: " + r.MarkShare.Source}
	}
	if chip, judged := c.chips(r); chip != "" {
		text, sources = text+", "+chip, append(sources, judged)
	}
	return text, strings.Join(sources, ". ")
}

// recipeText is a recipe's settings in words.
func recipeText(m profiles.Machine, r profiles.Recipe, u units.Unit) (string, []process.Setting) {
	settings := settingsOf(m, r)
	var parts []string
	for i, s := range settings {
		if i == 1 && r.MarkShare.Value == 1 {
			parts = append(parts, "engraving")
		}
		parts = append(parts, settingText(s, u))
	}
	return r.Foam + ": " + strings.Join(parts, ", "), settings
}

// about is a time as the program's header has it.
func about(seconds float64) string { return "about " + finding.Duration(seconds) + ", an estimate" }

// open are boxes for a beam that no lid shuts in, and for a focus height that nobody has said.
func (c CutSheet) open() []string {
	m := c.Plan.Machine
	if !m.Process.Traits().Beam {
		return nil
	}
	boxes := []string{"Where the beam is not shut in: eyewear made for its wavelength for everybody who can see it, a screen, and nobody else in the room's line of sight"}
	if m.StandoffMM.Value > 0 {
		return boxes
	}
	return append(boxes, "The lens's focus height above the foam is measured, and the head stands at it: it is not in the machine's profile (standoff_mm)")
}

// work is the order of work at the machine.
func (c CutSheet) work(s Sheet) []string {
	var steps []string
	if s.Sheet.Number == 0 && len(s.Sheet.Layers) > 1 {
		steps = append(steps, "First glue the layers into one block, in the order shown under Glue-up, and let the glue cure.")
	}
	steps = append(steps, c.laid(s)...)
	if s.K > 1 {
		steps = []string{fmt.Sprintf("%s %d of %d: the foam stays as the one before has left it, clamped and in its place.", strings.ToUpper(c.file()[:1])+c.file()[1:], s.K, s.Of)}
	}
	tools := toolsInOrder(s.Program)
	fit, zero := c.fit(s)
	steps = append(steps, fit...)
	switch {
	case s.K == 1:
		zero += fmt.Sprintf(" and mark where X0 Y0 is, from which the %d %ss of this sheet count", s.Of, c.file())
	case s.K > 1:
		zero = fmt.Sprintf("Zero check: X0 Y0 stays. Set Z0 again with T%d, then bring its tip over the mark of X0 Y0 and look that it is there", tools[0].Number)
	}
	if s.InsetMM == [2]float64{} {
		zero += ": X0 Y0 is the foam's front left corner."
	} else {
		zero += fmt.Sprintf(": X0 Y0 lies %s from the foam's left edge and %s from its front edge.", c.length(s.InsetMM[0]), c.length(s.InsetMM[1]))
	}
	zero += c.touched(s)
	load := c.load(s)
	steps = append(append(append(steps, load...), zero), c.ready(s)...)
	if len(load) == 0 {
		steps = append(steps, fmt.Sprintf("Run %s: %s.", s.File, s.cuts()))
	} else {
		steps = append(steps, fmt.Sprintf("Start it, and look that it cuts %s.", s.cuts()))
	}
	steps = append(steps, c.loosened(s)...)
	steps = append(append(steps, c.wireDone(s)...), c.swapped(s.Program)...)
	if s.K != s.Of {
		return append(steps, halt, fmt.Sprintf("Leave the foam clamped: %d more to run on it, before any other foam is laid.", s.Of-s.K))
	}
	steps = slices.Concat(steps, c.released(s), keepEars(s), c.keepOffcuts(s))
	if holdsPiece(s) {
		steps = append(steps, "Try a piece in its pocket before the next sheet is cut.")
	}
	return steps
}

// swapped says what a hand does where a program stops for the next tool.
func (c CutSheet) swapped(p process.Program) (steps []string) {
	if c.changesItself() {
		return nil
	}
	for i, op := range p.Ops {
		if i == 0 || op.Tool.Number == p.Ops[i-1].Tool.Number {
			continue
		}
		on := ""
		if op.RPM > 0 {
			on = fmt.Sprintf(" Plug in and switch on again what was off, and set a dial to %.0f rpm.", op.RPM)
		}
		steps = append(steps, fmt.Sprintf("When it stops for T%d, switch the spindle off, by its own switch where it has one, and wait until it stands still; unplug one that has a plug. %s "+
			"Where your controller can set zero while a program waits, touch off Z again where the first tool was; else its tip has to be as far below the spindle as the last one's.%s Then start.", op.Tool.Number, c.putIn(op.Tool, op.Tool.Name), on))
	}
	return steps
}

// file is what the machine takes.
func (c CutSheet) file() string {
	if c.Plan.Machine.DrawingsOnly() {
		return "drawing"
	}
	return "program"
}

// halt is what comes before hands do: a spindle with a switch of its own knows nothing of M5.
const halt = "Switch the spindle off, by its own switch where it has one, and wait until it stands still. Raise the tool and move it aside; X0 Y0 stays."

// released is how the knife frees what the machine has left standing.
func (c CutSheet) released(s Sheet) (steps []string) {
	hold := s.Sheet.Edge.Hold
	if door, ok := process.For(c.Plan.Machine.Process); !ok || !door.FitsTools() {
		return nil
	}
	steps = append(steps, halt)
	if hold.SkinMM > 0 {
		steps = append(steps, "Take the sheet off, clamps and tape too, and lay it on a mat that may be cut into.")
	}
	steps = append(steps, nameParts(s)...)
	if n := s.Sheet.Plugs(); n > 0 {
		steps = append(steps, c.lift(s, n))
	}
	if hold.SkinMM > 0 {
		steps = append(steps, fmt.Sprintf("A skin of %s is left under the outline: cut it with a knife.", c.length(hold.SkinMM)))
	}
	if hold.Tabs > 0 {
		steps = append(steps, fmt.Sprintf("%d tabs hold the outline: cut them with a knife.", hold.Tabs))
	}
	return steps
}

// keepEars says what of a part looks like waste and has to stay on it.
func keepEars(s Sheet) []string {
	if len(s.Tray.Ears) == 0 {
		return nil
	}
	return []string{"The ears that stick out, with the dowel holes in them, stay on each layer until its tray is glued: cut round them, not along the rim behind them."}
}

// lift says what to do with the plugs of a sheet, when the machine has stopped.
func (c CutSheet) lift(s Sheet, plugs int) string {
	text := "1 plug stands in its pocket on"
	if plugs > 1 {
		text = fmt.Sprintf("%d plugs stand in their pockets on", plugs)
	}
	return text + fmt.Sprintf(" a skin of %s, %s down: cut it with a long blade held against the pocket's wall, not the plug's, and lift the plug out, which is spare foam. No ledge may stay at the wall: a piece would stand on it, too high. %s",
		c.length(s.Sheet.PlugSkinMM()), c.length(s.Sheet.ThicknessMM()-s.Sheet.PlugSkinMM()), s.underneath())
}

// underneath is whether the lower edge of a plug's hole is seen when the tray is glued: in its lowest layer alone.
func (s Sheet) underneath() string {
	var seen, hidden []string
	tell := func(t *plan.Tray, layer int) {
		list := &hidden
		if layer == 0 || layer == len(t.Layers) {
			list = &seen
		}
		*list = appendNew(*list, Part{t, &plan.Sheet{Number: layer}}.name())
	}
	if s.Laid != nil {
		for _, p := range s.Laid.Parts {
			tell(p.Tray, p.Layer)
		}
	} else {
		for _, p := range s.Parts {
			tell(p.Tray, p.Sheet.Number)
		}
	}
	switch {
	case len(seen) == 0:
		return "The hole's edge underneath goes onto the layer below and is not seen."
	case len(hidden) == 0:
		return "The hole's edge underneath is on the tray's underside and is seen: cut it flush."
	}
	return "The hole's edge underneath goes onto the layer below and is not seen; in " + Listed(seen) + " it is on the tray's underside: cut it flush there."
}

// isPocket tells a pocket from a label or an emblem.
func isPocket(c plan.Cut) bool { return len(c.Pockets) > 0 }

// holdsPiece tells a sheet in whose pockets a piece can be tried from one with dowel holes alone.
func holdsPiece(s Sheet) bool {
	return slices.ContainsFunc(s.Sheet.Cuts, func(c plan.Cut) bool { return isPocket(c) && s.Tray.Pockets[c.Pockets[0]].Dowel == 0 })
}

// toolsInOrder lists the program's tools as it calls for them.
func toolsInOrder(p process.Program) []profiles.Tool {
	var list []profiles.Tool
	for _, op := range p.Ops {
		if n := len(list); n == 0 || list[n-1].Number != op.Tool.Number {
			list = append(list, op.Tool)
		}
	}
	return list
}

// cuts says what the program cuts, in its order.
func (s Sheet) cuts() string {
	marks, roughs, holes, pockets, dowels, finished, last := 0, 0, 0, 0, 0, 0, ""
	tools := map[int]bool{}
	for _, op := range s.Program.Ops {
		switch op.Kind {
		case process.Mark:
			marks++
		case process.Pocket:
			tools[op.Tool.Number] = true
		case process.Outline:
			last = "the outline last"
		}
	}
	for _, c := range s.Sheet.Cuts {
		switch {
		case s.K > 0 && !tools[c.Tool.Number]: // another program's
		case c.Rough:
			roughs++
		case !c.Roughed.Empty():
			finished++
		case isPocket(c) && s.Tray.Pockets[c.Pockets[0]].Dowel > 0:
			dowels++
		case isPocket(c):
			pockets++
		default:
			holes++
		}
	}
	var parts []string
	for _, part := range []struct {
		n    int
		noun string
	}{{marks, "mark"}, {roughs, "roughing"}, {holes, "label or emblem hole"}, {pockets, "pocket"}, {dowels, "registration hole"}, {finished, "roughed pocket"}} {
		if part.n > 0 {
			parts = append(parts, finding.Counted(part.n, part.noun))
		}
	}
	if last != "" {
		parts = append(parts, last)
	}
	return strings.Join(parts, ", ")
}
