package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/plan"
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
	past := 0.0
	for _, cut := range s.Sheet.All() {
		for _, p := range cut.Passes {
			past = math.Max(past, p.ToMM*math.Tan(cut.Tool.SlantDegrees.Value*math.Pi/180))
		}
	}
	if past == 0 {
		return ""
	}
	return fmt.Sprintf("the blade's edge leans forward: at inside corners it cuts up to %s past the corner at the foam's top, and nothing at its bottom", c.length(past))
}

// comesFree is what the blade leaves loose, when, and what to do with it.
func (c CutSheet) comesFree(s Sheet) string {
	var list []string
	for _, f := range s.Run.Freed {
		list = append(list, fmt.Sprintf("%s after %s (line %d)", f.Name, duration(f.AtS), f.Line))
	}
	if len(list) == 0 {
		return ""
	}
	return "What comes free lies where it was: " + Listed(slices.Compact(list)) + ". Where a piece moves or stands up, stop the machine, and never reach in while it runs. Take all of it out before the next sheet."
}

// swivels tells a blade that turns by itself.
func swivels(t profiles.Tool) bool { return t.TrailMM.Value > 0 }

// bladeFacts are lines of a sheet's settings.
func (c CutSheet) bladeFacts(s Sheet) (facts [][2]string) {
	if !c.blade() {
		return nil
	}
	if i := slices.IndexFunc(s.Sheet.All(), func(c plan.Cut) bool { return swivels(c.Tool) }); i >= 0 {
		t := s.Sheet.All()[i].Tool
		facts = append(facts, [2]string{"Blade", fmt.Sprintf("swivels freely, its tip %s behind the axis: the program moves the axis so that the tip follows the line. With another trail every corner is off: %s", c.length(t.TrailMM.Value), t.TrailMM.Source)})
	}
	if text := c.pastCorners(s); text != "" {
		facts = append(facts, [2]string{"Corners of the cut", strings.ToUpper(text[:1]) + text[1:]})
	}
	return facts
}
