package page

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/geometry"
	"traywright/profiles"
)

// The steps in which a hand cuts a sheet. Nothing but foam comes near a hot wire: what lies under
// one or sticks on the foam burns or melts with it, and many mats are vinyl. How a blade and a wire
// are led is common practice, no source.

// hot tells whether a tool melts its way.
func (c CutSheet) hot(t profiles.Tool) bool { return c.Plan.Machine.With(t).Process.Traits().Hot }

// cutWith tells whether blades and whether hot wires cut the sheet.
func (c CutSheet) cutWith(s Sheet) (blades, wires bool) {
	for _, cut := range s.Sheet.HolesAndEdge() {
		hot := c.hot(cut.Tool)
		blades, wires = blades || !hot, wires || hot
	}
	return blades, wires
}

// laidOn says how the paper stays where it is.
func (c CutSheet) laidOn(s Sheet) string {
	if _, wires := c.cutWith(s); wires {
		return "It lies under weights, with no tape and no glue: its lines are carried over onto the foam and it is taken off, for no paper, tape or glue may be under a hot wire."
	}
	return "Stick it on with tape at its rim, and a little repositionable glue under its middle where the foam takes it."
}

// handWork is the order of work: the pen, then tool after tool in the order of the numbers.
func (c CutSheet) handWork(s Sheet) []string {
	foam := fmt.Sprintf("%s, %s thick, at least %s", s.Foams, c.thick(s.Sheet.ThicknessMM()), c.size(s.BlankMM[0], s.BlankMM[1]))
	name := fmt.Sprintf("Write %q on the foam's upper face: layers are glued by their numbers, 1 on top.", fmt.Sprintf("%s, layer %d of %d", s.Tray.ID, s.Sheet.Number, len(s.Tray.Layers)))
	steps := []string{"Lay the foam on a mat that may be cut into, on a table that does not give: " + foam + ". " + faceUp(s) + ".", "Lay the template on it and stick it down. " + name}
	_, wires := c.cutWith(s)
	if wires {
		steps = []string{
			"Lay the foam flat: " + foam + ". " + faceUp(s) + ".",
			"Lay the template on it under weights. Prick through the paper with a pin: corners, the ends of slits, and curves every few millimetres. " + name,
			"Take the paper off, and every pin. Join the pricks with a fine pen, slits too, and write each number beside its line.",
		}
	}
	cuts := numberedLines(s)
	if cuts[0].lines[0].Kind == process.Mark {
		steps = append(steps, penned(cuts[0], wires))
		cuts = cuts[1:]
	}
	slits := c.slits(cuts)
	for len(cuts) > 0 {
		n := 1
		for n < len(cuts) && cuts[n].tool().ID == cuts[0].tool().ID {
			n++
		}
		if c.hot(cuts[0].tool()) {
			steps = append(steps, wireSteps(cuts[:n], slits)...)
		} else {
			steps = append(steps, c.bladeSteps(s, cuts[:n], wires)...)
		}
		cuts = cuts[n:]
	}
	if slits != "" {
		steps = append(steps, "Glue each slit shut when all is cut and the wire is off and cold, under light pressure: each takes about a kerf out of the sheet, and pulls it as much narrower there.")
	}
	steps = append(steps, keepEars(s)...)
	if holdsPiece(s) {
		steps = append(steps, "Try a piece in its pocket before the next sheet is cut.")
	}
	return steps
}

// penned says how what is not cut comes onto the foam.
func penned(n numbered, carried bool) string {
	text := fmt.Sprintf("Number %d, the grey dashed lines, is drawn with a fine pen and not cut: ", n.number)
	if carried {
		return text + "prick and join it as the others, in another colour."
	}
	return text + "prick along it through the paper with a pin now, and join the pricks when the paper is off."
}

// tool is what the lines are cut with.
func (n numbered) tool() profiles.Tool { return n.lines[0].Tool }

// numbersOf names the lines of a run, and the outline, which is the last of all.
func numbersOf(run []numbered) string {
	first, last := run[0], run[len(run)-1]
	text := fmt.Sprintf("Number %d", first.number)
	if len(run) > 1 {
		text = fmt.Sprintf("Numbers %d to %d", first.number, last.number)
	}
	text += " with the " + last.tool().ID
	if last.lines[0].Kind != process.Outline {
		return text
	}
	if len(run) == 1 {
		return text + ": the outline, last, for until then the rim holds the sheet"
	}
	return text + fmt.Sprintf(", %d, the outline, last, for until then the rim holds the sheet", last.number)
}

// bladeSteps cut a run with a blade; carried, without paper and where a wire may have been before.
func (c CutSheet) bladeSteps(s Sheet, run []numbered, carried bool) []string {
	passes, deep := 1, s.Sheet.ThicknessMM()
	for _, cut := range s.Sheet.HolesAndEdge() {
		if n := len(cut.Passes); cut.Tool.ID == run[0].tool().ID && n > passes {
			passes, deep = n, cut.Passes[0].ToMM
		}
	}
	text := numbersOf(run) + ". "
	if carried {
		text += "The wire off and cold, the foam on a mat that may be cut into. "
	}
	return []string{
		text + fmt.Sprintf("A fresh blade; begin and end in a corner, the blade stabbed in upright, and cut away from it. Score the line, then %s of about %s. The hand that holds the sheet stays out of the blade's way.", finding.Counted(passes, "pass"), c.length(deep)),
		"What is cut all round comes out: turn the sheet over and finish from there any line that does not show, never by tearing.",
	}
}

// What a hand switches before and after it cuts with a hot wire: no program does it.
const (
	bowOn  = "Extraction on, eye protection on. Then switch the wire's supply on, and set it on a scrap of the same foam: little current first, raised only until the wire cuts."
	bowOff = "Switch the wire's supply off, hang the bow up where it touches nothing, and wait until the wire is cold. Leave the extraction on until the smoke has cleared, then lift out what fell free."
)

// wireSteps cut a run with a hot wire.
func wireSteps(run []numbered, slits string) []string {
	steps := []string{
		fmt.Sprintf("For the %s: away with mat, paper, tape and pins. Lay the foam over the table's edge, or raise it, so that the wire passes below where it cuts; nothing under or beside the wire but foam.", run[0].tool().ID),
		bowOn,
		numbersOf(run) + ". The wire upright, at a steady speed: where a wire stands, it melts a hole. Lines are half a kerf inside of what falls out: the middle of the wire goes along them.",
	}
	last := run[len(run)-1].lines[0]
	if len(run) > 1 || last.Kind != process.Outline {
		steps = append(steps, "Into a closed line the wire comes by its slit, dashed in black on the template: in along it, round, and out along it again, so that the sheet stays in one piece. "+
			"A slit from the rim begins at the outline: from the foam's edge come straight on in its line, through waste. "+
			"One from a hole begins at that hole's line: come and go along what is cut, and leave what lies loose in its place. Slits: "+slits+".")
	}
	if last.Kind == process.Outline {
		steps = append(steps, "To the outline the wire comes from the foam's edge the shortest way, through waste alone, and goes round it once.")
	}
	return append(steps, bowOff)
}

// slits says where a wire comes in; "" where none does.
func (c CutSheet) slits(cuts []numbered) string {
	var ways []string
	for _, n := range cuts {
		for _, d := range n.lines {
			if v := d.Slit.Vertices(); len(v) == 2 {
				ways = append(ways, fmt.Sprintf("%d from %s, %s", n.number, entered(cuts, v[0].Point), tenth(v[0].DistanceTo(v[1].Point), c.Unit)))
			}
		}
	}
	return strings.Join(ways, "; ")
}

// entered is the cut whose line a slit begins on.
func entered(cuts []numbered, begin geometry.Point) string {
	best, where := math.Inf(1), "the rim"
	for _, n := range cuts {
		for _, d := range n.lines {
			for s := range d.Contour.Segments() {
				if p, _ := s.Nearest(begin); p.DistanceTo(begin) < best-1e-6 && d.Kind == process.Outline {
					best, where = p.DistanceTo(begin), "the rim"
				} else if p.DistanceTo(begin) < best-1e-6 {
					best, where = p.DistanceTo(begin), fmt.Sprintf("hole %d", n.number)
				}
			}
		}
	}
	return where
}
