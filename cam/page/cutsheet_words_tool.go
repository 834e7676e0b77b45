package page

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/profiles"
)

// tools says of each cutter of a sheet how it is held and how deep it goes, and what
// is cut of the board under the foam.
func (c CutSheet) tools(s Sheet) [][2]string {
	if door, ok := process.For(c.Plan.Machine.Process); !ok || !door.FitsTools() {
		return nil
	}
	var lines [][2]string
	for _, t := range toolsInOrder(s.Program) {
		if text := c.held(t, deepestWith(s.Program, t)); text != "" {
			lines = append(lines, [2]string{fmt.Sprintf("T%d, %s", t.Number, t.ID), text})
		}
	}
	board := "nothing is cut below the foam"
	if below := s.Program.BreakthroughMM; below > 0 && s.Stats.Min.Z < -s.Sheet.ThicknessMM() {
		board = fmt.Sprintf("cuts go %s below the foam: into a board that may be spoilt, never into the bed", c.length(below))
	}
	return append(lines, [2]string{"Board", board})
}

// roughing says why a larger tool takes foam out before another makes the walls; of a program that comes after that one, what
// is left to it.
func (c CutSheet) roughing(s Sheet) [][2]string {
	r, cuts := s.Sheet.Roughing, map[int]bool{}
	for _, op := range s.Program.Ops {
		if strings.HasPrefix(op.Name, plan.RoughingOf) {
			return [][2]string{{"Roughing", fmt.Sprintf("T%d takes most of the foam out of %s, and the tool that fits them makes their corners and all of their wall: the fit is that tool's. Without it the job would take about %s more, changes of tools counted, by estimate. A pocket whose tool the job names is made by that one alone",
				r.Tool.Number, finding.Counted(s.Sheet.Roughed(), "pocket"), finding.About(r.SavedSeconds))}}
		}
		cuts[op.Tool.Number] = cuts[op.Tool.Number] || op.Kind == process.Pocket
	}
	n := 0
	for _, cut := range s.Sheet.Cuts {
		if !cut.Roughed.Empty() && cuts[cut.Tool.Number] {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return [][2]string{{"Roughed", fmt.Sprintf("T%d has taken most of the foam out of %s, in an earlier program on the same foam: this one makes their corners and all of their wall, so that the fit is its tool's. It does not clear them alone: until that one has run, do not start it",
		r.Tool.Number, finding.Counted(n, "pocket"))}}
}

// laps says which way round a program's laps go, and how often along a wall, where its recipe has
// that otherwise than usual.
func laps(s Sheet) (lines [][2]string) {
	conventional, once, each := false, 0, 0
	for _, cut := range s.Sheet.HolesAndEdge() {
		switch {
		case cut.Tool.ID == "" || s.K > 0 && cut.Tool.Number != s.Program.Ops[0].Tool.Number:
			continue // another program's
		case cut.WallOnceMM > 0:
			once++
		case len(cut.Pockets) > 0 && len(cut.Recipes) > 0 && cut.Recipes[0].WallLap == profiles.LapOnce && len(cut.Passes) > 1:
			each++
		}
		conventional = conventional || cut.Conventional
	}
	if conventional {
		lines = append(lines, [2]string{"Direction", "conventional, as the recipe says: walls lie on the left of the cutter's way, and each tooth meets them at no chip"})
	}
	if once > 0 {
		text := "one lap at full depth along the wall of " + finding.Counted(once, "pocket") + ", when all levels are cleared, as the recipe says: look at the first that the foam does not bend away from the cutter"
		if each > 0 {
			text += fmt.Sprintf("; %s at each level, for reasons that stand among the notes", finding.Counted(each, "pocket"))
		}
		lines = append(lines, [2]string{"Walls", text})
	}
	return lines
}

// held is how a cutter is held, as far as its profile says; "" where it says nothing.
func (c CutSheet) held(t profiles.Tool, deepMM float64) string {
	text := fmt.Sprintf("goes %s deep", c.length(deepMM))
	if flute := t.FluteMM.Value; flute > 0 {
		text += fmt.Sprintf("; its edges are %s long", c.length(flute))
		if t.BeyondFlute(deepMM) {
			text += ", and its shank rubs above them"
		}
	}
	switch out := c.standsOut(t); {
	case out != "":
		text += fmt.Sprintf("; let it stand %s, for the nut passes over clamps: at its deepest it stays %s above the foam", out, c.length(math.Max(0, t.StickoutMM.Value-deepMM)))
	case t.Reach() > 0:
		text += fmt.Sprintf("; it reaches %s", c.length(t.Reach()))
	default:
		return ""
	}
	return text
}

// deepestWith is how deep below the foam's top a tool goes, mm.
func deepestWith(p process.Program, t profiles.Tool) float64 {
	lowest := 0.0
	for _, op := range p.Ops {
		if op.Tool.Number != t.Number {
			continue
		}
		for _, m := range op.Moves {
			lowest = math.Min(lowest, m.To.Z)
		}
	}
	return -lowest
}

// chips judges what each edge takes of the foam at every turn; "" where nothing turns.
func (c CutSheet) chips(r profiles.Recipe) (text, source string) {
	t, _ := c.Plan.Machine.Tool(r.Tool)
	chips := profiles.ChipsOf(r, t)
	if chips.MM == 0 {
		return "", ""
	}
	judged := "within it"
	switch {
	case chips.MM < chips.LeastMM:
		judged = "below it: listen for rubbing, feel whether the foam gets warm"
	case chips.MM > chips.MostMM:
		judged = "above it: look for torn walls"
	}
	return "chip " + profiles.ChipText(chips.MM, c.Unit), fmt.Sprintf("chip: feed / (speed x edges); %s, has %s so deep, and this is %s",
		profiles.ChipsSource, chips.Chart(c.Unit), judged)
}
