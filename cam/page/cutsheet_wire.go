package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/cam/safety"
	"traywright/geometry"
)

// What the page of a sheet says for an upright hot wire that a machine moves.

func (c CutSheet) wired() bool { return c.Plan.Machine.Process.Traits().Wire }

// wireLaid is how the foam lies and is held: nothing may stand where the wire comes.
func (c CutSheet) wireLaid(s Sheet, foam string) []string {
	return []string{
		"Lay the foam on the table: " + foam + ". " + faceUp(s) + ". Its left edge free: the wire comes from there.",
		"Hold it with pins or weights outside the cut, and what will fall free too, by its middle: the wire pushes a little. Nothing but foam where the wire goes." + c.ownClamps(s),
	}
}

// wireBegins is where the wire stands beside the foam.
func wireBegins(s Sheet) geometry.Point { return s.Program.Ops[0].Moves[0].To.Point }

// wireReady is what comes between Zero and Run.
func (c CutSheet) wireReady(s Sheet) []string {
	at, r := wireBegins(s), s.Sheet.Edge.Recipes[0]
	return []string{
		fmt.Sprintf("The supply off and the wire cold, move it around the foam by hand to where the program begins, beside the foam's left edge: X %s, Y %s. The program's first move goes straight there from wherever it stands, and at its end it stands there again.", c.length(at.X), c.length(at.Y)),
		wireAmiss,
		fmt.Sprintf("Extraction on. Switch the wire's supply on, set it to %.4g A, and wait until that stays. No program switches it%s. Hands away.", r.CurrentA.Value, ownSwitch),
	}
}

// ownSwitch is why what a hand switches on must not hang on the controller.
const ownSwitch = ", and what hangs on the controller's M3 goes off at the M5 that each begins with: it needs a switch of its own"

// wireAmiss is what to do when something goes wrong under a wire that is hot (common practice, no source).
const wireAmiss = "Where the wire breaks, glows, smokes more than a little, or stands still in the foam: its supply off first, then stop the machine, which leaves the wire hot. The ends of a broken one whip, and are live until the supply is off. Hands off until it is cold; cut the foam away from a wire that sticks, never pull, and begin again on a new piece of foam."

const wireOff = "When it has stopped, switch the wire's supply off and wait until the wire is cold. Leave the extraction on until the smoke has cleared"

const wireLift = ", then lift out what fell free."

// wireDone is what comes when a wire's program has ended: what lies loose, and the slits.
func (c CutSheet) wireDone(s Sheet) []string {
	if !c.wired() {
		return nil
	}
	steps := []string{wireOff + wireLift}
	if names := nameParts(s); len(names) > 0 {
		steps = slices.Concat([]string{wireOff + "."}, names, []string{"Lift out what fell free."})
	}
	if n := len(s.Sheet.Marks); n > 0 {
		steps = append(steps, "Write what is to stand on it with a pen, along the drawing's MARK lines: a wire cannot engrave.")
	}
	glued := c.glued(s)
	if len(glued) == 0 {
		return steps
	}
	return append(steps, "Glue these slits shut, with a glue that the foam's maker names, under light pressure until it holds: "+strings.Join(glued, "; ")+
		fmt.Sprintf(". Each takes about a kerf, %s, out of the foam, and pulls it as much narrower there.", kerfWide(s.Sheet.Edge.KerfMM[0], c.Unit)))
}

// glued are the slits through foam that stays.
func (c CutSheet) glued(s Sheet) (list []string) {
	half := s.Sheet.Edge.KerfMM[0] / 2
	for _, d := range s.Program.Drawn {
		v := d.Slit.Vertices()
		if len(v) != 2 || d.Kind != process.Pocket || d.Contour.Area() < 0 {
			continue
		}
		from, to := v[0].Point, v[1].Point
		name := d.Name
		if k := pocketOf(s, d.Name); k != nil {
			name = c.letters.called(k)
		}
		list = append(list, fmt.Sprintf("into %s from X %s, Y %s, %s long", name, tenth(from.X, c.Unit), tenth(from.Y, c.Unit), tenth(from.DistanceTo(to)-2*half, c.Unit)))
	}
	return list
}

// wireOrder is what comes loose, in order, and when.
func (c CutSheet) wireOrder(s Sheet) [][2]string {
	var list [][2]string
	for i, f := range s.Run.Falls {
		name := f.Name
		if name == "" {
			name = c.part(s, f.Part)
		} else if k := pocketOf(s, name); k != nil {
			name = c.letters.called(k)
		}
		list = append(list, [2]string{fmt.Sprint(i + 1), fmt.Sprintf("%s comes loose after %s, at line %d", name, finding.Duration(f.Seconds), f.Line)})
	}
	return list
}

// wireFacts names this wire's numbers. Formulas of first order: they say which way and about how much.
func (c CutSheet) wireFacts(s Sheet) [][2]string {
	r, t := s.Sheet.Edge.Recipes[0], s.Sheet.Edge.Tool
	var facts [][2]string
	length, thick := t.LengthMM.Value, s.Sheet.ThicknessMM()
	if w, ok := safety.WireOf(t); ok {
		heat, _ := w.Heat(r.CurrentA.Value, safety.Supply{DC: true, Dry: true})
		text := fmt.Sprintf("%.4g A through %s of wire are about %.2g V cold, %.3g ohm, %.3g W a metre", r.CurrentA.Value, c.length(length), heat.Volts, heat.Ohms, heat.WattsPerM)
		if k, known := w.StillAirK(r.CurrentA.Value); known {
			about := "about"
			if all, _ := w.StillAirAmps(); r.CurrentA.Value < all[0] {
				about = "less than"
			}
			text += fmt.Sprintf("; in still air %s %.0f K above the room by one maker's table, in foam less", about, k)
			grown := process.StretchMM(length, k)
			facts = append(facts, [2]string{"Stretch and sag", fmt.Sprintf("so hot the wire is %.2g mm longer: its spring or weight has to give that much. Between fixed ends its middle would stand %.2g mm aside", grown, process.SagMM(length, grown))})
		}
		facts = append([][2]string{{"Current", text}}, facts...)
	}
	if length > 0 && t.TensionN.Value > 0 && t.DragNPerM.Value > 0 {
		lag := process.LagMM(length, thick, t.DragNPerM.Value, t.TensionN.Value)
		facts = append(facts, [2]string{"Lag", fmt.Sprintf("with %.3g N in the wire and a drag of %.3g N a metre its middle goes about %.2g mm behind its ends, and cuts corners as much rounder there; slower or tighter, less", t.TensionN.Value, t.DragNPerM.Value, lag)})
	}
	v, a := r.FeedMMPerMin.Value/60, c.Plan.Machine.AccelerationMMPerS2.Value
	return append(facts, [2]string{"Corners of the way", fmt.Sprintf("where slits begin and at sharp corners the machine stops for %.2g s, and the wire melts about %.2g mm more a side there; %.0f mm/min is the most at which that stays below 0.1 mm", process.SlowdownS(v, 0, a), process.CornerMM(v, a), math.Floor(process.MostFeed(a)))})
}

// middle is what a program's X and Y say the place of.
func (c CutSheet) middle() string {
	if c.wired() {
		return "The wire's middle"
	}
	if c.blade() {
		return "The blade's axis"
	}
	return "The tool's centre"
}

// wireZero: a wire has no height to set.
const wireZero = "The wire has no height to set: it stands upright through all of the foam"
