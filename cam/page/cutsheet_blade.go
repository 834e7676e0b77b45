package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles"
)

// What a sheet's page says of a blade on a machine (common practice, no source).

func (c CutSheet) blade() bool { return c.Plan.Machine.Process.Traits().Blade }

// holder is what is above the tool and has to pass by whatever holds the foam.
func (c CutSheet) holder() (short, long string) {
	if c.blade() {
		return "holder", "holder above the blade"
	}
	return "nut", "nut above the tool"
}

// heldForBlade is what holds foam that a blade pushes along.
func heldForBlade(by string) string {
	return "Hold it down: " + by + ". A blade pushes the foam along and lifts it as it comes up, and what it has cut round is held from below alone."
}

// pastCorners is what the edge of a blade that leans forward cuts beyond corners; "" of an upright one.
func (c CutSheet) pastCorners(s Sheet) string {
	past := deepestCut(s) * math.Tan(s.Sheet.Edge.Tool.SlantDegrees.Value*math.Pi/180)
	if past == 0 {
		return ""
	}
	return fmt.Sprintf("the blade's edge leans forward: at inside corners it cuts up to %s past the corner at the foam's top, and nothing at its bottom", c.length(past))
}

// comesFree is what the blade leaves loose, and when.
func (c CutSheet) comesFree(s Sheet) string {
	var pieces, parts []string
	for _, f := range s.Run.Freed {
		when := fmt.Sprintf(" after %s (line %d)", finding.Duration(f.AtS), f.Line)
		if c.Plan.Machine.DrawingsOnly() { // its own software decides when
			when = ""
		}
		if f.Part > 0 {
			parts = append(parts, c.part(s, f.Part)+when)
		} else {
			pieces = append(pieces, f.Name+when)
		}
	}
	if len(pieces) > 0 {
		parts = append([]string{Listed(slices.Compact(pieces))}, parts...)
	}
	if len(parts) == 0 {
		return ""
	}
	return "What comes free lies where it was: " + strings.Join(parts, ", ") + "."
}

// amiss is what to do when something goes wrong under a blade: a machine that is stopped does not stop the
// motor of one that a hand has switched on, and a new blade stands out otherwise than the old one.
func (c CutSheet) amiss() string {
	stop, anew := "stop the machine, and never reach in while it runs", "Z0 anew"
	if c.steers() {
		stop, anew = "stop the machine, which leaves the blade's motor running, and switch that off too; never reach in before both stand still", "A0 and Z0 anew"
	}
	return "Where a piece moves or stands up, or the blade drags the foam along, bends or breaks: " + stop + ". A blade that drags or tears is blunt. Change it with the machine off, find every piece of a broken one, set " + anew + ", and begin again on a new piece of foam."
}

// swivels tells a blade that turns by itself.
func swivels(t profiles.Tool) bool { return t.TrailMM.Value > 0 }

// bladeFacts are lines of a sheet's settings.
func (c CutSheet) bladeFacts(s Sheet) (facts [][2]string) {
	if !c.blade() {
		return nil
	}
	switch t := s.Sheet.Edge.Tool; {
	case swivels(t):
		moves := "the program moves the axis so that the tip follows the line"
		if c.Plan.Machine.DrawingsOnly() {
			moves = "its own software has to move the axis so that the tip follows the line"
		}
		facts = append(facts, [2]string{"Blade", fmt.Sprintf("swivels freely, its tip %s behind the axis: "+moves+". With another trail every corner is off: %s", c.length(t.TrailMM.Value), t.TrailMM.Source)})
	case t.Turned():
		low, high := headings(s)
		if c.Plan.Machine.ASign() < 0 {
			low, high = -high, -low
		}
		ahead := t.AheadMM(deepestCut(s))
		facts = append(facts, [2]string{"Blade", fmt.Sprintf("%s wide, the axis that turns it in its middle. A0: its edge points along X, to the right. A counts up %s seen from above, and goes from %.0f to %.0f here. In the foam it turns by %.1f degrees in one place at most, and is lifted to turn farther. With another width every corner is off: %s",
			c.length(t.ChordMM.Value), c.countsA(), math.Floor(low), math.Ceil(high), 180/math.Pi*t.MostTurn(ahead), t.ChordMM.Source)})
	}
	if text := c.pastCorners(s); text != "" {
		facts = append(facts, [2]string{"Corners of the cut", strings.ToUpper(text[:1]) + text[1:]})
	}
	return facts
}

// steers tells a blade that an axis turns along its way.
func (c CutSheet) steers() bool {
	_, turned := c.Plan.Machine.TurnedTool()
	return turned
}

func (c CutSheet) countsA() string {
	if c.Plan.Machine.ASign() < 0 {
		return "clockwise"
	}
	return "counter-clockwise"
}

// deepestCut is how deep a sheet's cuts go, mm.
func deepestCut(s Sheet) (mm float64) {
	for _, cut := range s.Sheet.All() {
		for _, p := range cut.Passes {
			mm = math.Max(mm, p.ToMM)
		}
	}
	return mm
}

// headings are the least and the greatest A of a program, degrees, but for the way it counts.
func headings(s Sheet) (low, high float64) {
	for _, op := range s.Program.Ops {
		for _, m := range op.Moves {
			low, high = math.Min(low, m.Heading*180/math.Pi), math.Max(high, m.Heading*180/math.Pi)
		}
	}
	return low, high
}

// bladeReady is what comes between Zero and Run.
func (c CutSheet) bladeReady(s Sheet) (steps []string) {
	if c.steers() {
		points, other := "away from the machine's front, along Y", profiles.AClockwise
		if c.Plan.Machine.ASign() < 0 {
			points, other = "to the machine's front, against Y", profiles.ACounterclockwise
		}
		steps = append(steps, fmt.Sprintf("High above the foam, the blade's motor off, send A90 and look from above: its edge has to point %s. Where it points the other way, write a_counts: %s into the machine's profile and %s. Then send A0.", points, other, c.again()))
	}
	if !c.Plan.Machine.DrawingsOnly() {
		steps = append(steps, fmt.Sprintf("Look: the blade stands over the foam near X0 Y0. The program's first move goes straight to Z %s, down where it stands higher.", c.length(c.clearAt(s))))
	}
	steps = append(steps, c.amiss())
	if c.steers() {
		return append(steps, "Switch the blade's motor on: no program switches it"+ownSwitch+". Hands away.")
	}
	return append(steps, "Hands away: the blade cuts wherever the machine takes it.")
}

// bladeDone is what comes when the program of a blade has ended.
func (c CutSheet) bladeDone(s Sheet) (steps []string) {
	if text := c.comesFree(s); text != "" {
		steps = append(steps, text)
	}
	if c.steers() {
		steps = append(steps, "When it has stopped, switch the blade's motor off before you reach in.")
		if len(s.Sheet.Marks) > 0 {
			steps = append(steps, "Write what is to stand on it with a pen, along the drawing's MARK lines: a blade so wide scores no letters.")
		}
	}
	steps = append(steps, nameParts(s)...)
	return append(append(steps, c.leftToHand(s)...), "Take all that is free out before the next sheet.")
}

// leftToHand is where the blade has stopped short of what it does not fit: the middle of each place.
func (c CutSheet) leftToHand(s Sheet) []string {
	var of []string
	n, mm, wide := 0, 0.0, 0.0
	for _, cut := range s.Sheet.HolesAndEdge() {
		if len(cut.Left) == 0 {
			continue
		}
		var at []string
		for _, way := range cut.Left {
			parts := slices.Collect(way.Segments())
			p := parts[len(parts)/2].At(0.5)
			at = append(at, fmt.Sprintf("%s at X %s Y %s", c.length(way.Length()), c.length(p.X), c.length(p.Y)))
		}
		n, mm, wide = n+len(cut.Left), mm+cut.LeftMM(), cut.Tool.ChordMM.Value
		of = append(of, cut.Name+": "+strings.Join(at, ", "))
	}
	if n == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Some of it does not fall out by itself: the blade, %s wide, does not fit %s, %s in all, marked on the sheet's picture, and has left them uncut. Cut them by hand, all the way down, along the finished edge; how a piece fits there is that hand's work, nothing here has tried it. %s.",
		c.length(wide), finding.Counted(n, "place"), c.length(mm), strings.Join(of, "; "))}
}
