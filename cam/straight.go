package cam

import (
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

// plunges are the operations of one tool that go straight down into foam.
type plunges struct {
	tool profiles.Tool
	mm   float64 // the farthest at a time
	in   []finding.Position
	at   map[finding.Position][]string // by where the job says them, the names of the operations
}

// straightsOf is how far the operations of a program go straight down, by name.
func straightsOf(program process.Program) map[string]float64 {
	straight := map[string]float64{}
	for _, op := range program.Ops {
		straight[op.Name] = max(straight[op.Name], op.StraightMM)
	}
	return straight
}

// plungesIn are those of a sheet whose operations go so far straight down, by tool, in the job's order.
func plungesIn(straight map[string]float64, sheet plan.Sheet) (list []*plunges) {
	for _, c := range sheet.All() {
		if straight[c.Name] == 0 {
			continue
		}
		i := slices.IndexFunc(list, func(p *plunges) bool { return p.tool.ID == c.Tool.ID })
		if i < 0 {
			i, list = len(list), append(list, &plunges{tool: c.Tool, at: map[finding.Position][]string{}})
		}
		p := list[i]
		p.mm = max(p.mm, straight[c.Name])
		if len(p.at[c.At]) == 0 {
			p.in = append(p.in, c.At)
		}
		p.at[c.At] = append(p.at[c.At], c.Name)
	}
	return list
}

// others are the places after the first, each with its line in the job.
func (p *plunges) others() string {
	var list []string
	for i, at := range p.in {
		text := p.at[at][0]
		if i > 0 && at.Line > 0 {
			text += fmt.Sprintf(" (line %d)", at.Line)
		}
		switch n := len(p.at[at]) - 1; {
		case i == 0 && n == 0:
			continue
		case i == 0:
			text = fmt.Sprintf("%d more like it", n)
		case n > 0:
			text += fmt.Sprintf(" and %d more like it", n)
		}
		list = append(list, text)
	}
	if len(list) == 0 {
		return ""
	}
	return "; so it does in " + page.Listed(list)
}

// straightDown warns, once of a tool and with every place, of a sheet whose cutter
// goes straight down into foam, lengths in u.
func straightDown(where string, straight map[string]float64, sheet plan.Sheet, u units.Unit) (found finding.List) {
	for _, p := range plungesIn(straight, sheet) {
		wide := 0.0
		for _, c := range sheet.All() {
			if c.Tool.ID == p.tool.ID {
				wide = max(wide, c.WidestMM())
			}
		}
		// A tenth of a mm is more than the way down is sure to need, and than its length is rounded by.
		room := units.AtLeast(wide*(1+2*plan.LeastTurn)+0.01, 0.1, u)
		at := where + ", " + p.at[p.in[0]][0]
		if p.in[0].Line > 0 {
			at = p.in[0].String() + ": " + at
		}
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "straight-down", Where: at,
			Message: fmt.Sprintf("has no room for the tool %s to go down on a ramp: it goes straight down into the foam, %s at a time, and its middle does not cut: it tears or melts what is under it%s",
				p.tool.ID, page.Length(p.mm, u), p.others()),
			Hint: fmt.Sprintf("make it %s wide or wider everywhere, or let a thinner tool cut it", page.Length(room, u)),
		})
	}
	return found
}

// mostLaid is how many segments of a sheet's cuts are laid out for a check: of more, as drawings
// have, the paths take many times as long as all of the rest.
const mostLaid = 4000

// fewest is a sheet without its cuts of the most segments, as far as they are too many to lay out;
// false where its outline alone is. What has no room to go down in is small.
func fewest(sheet plan.Sheet) (plan.Sheet, bool) {
	left, many := mostLaid, make([]int, 0, len(sheet.Cuts)) // the cuts, those of the most segments first
	segments := make([]int, len(sheet.Cuts))
	for _, contour := range sheet.Edge.Shape.Contours() {
		left -= contour.Len()
	}
	for i, c := range sheet.Cuts {
		for _, contour := range c.Shape.Contours() {
			segments[i] += contour.Len()
		}
		left, many = left-segments[i], append(many, i)
	}
	slices.SortStableFunc(many, func(a, b int) int { return segments[b] - segments[a] })
	for ; left < 0 && len(many) > 0; many = many[1:] {
		left += segments[many[0]]
	}
	slices.Sort(many)
	cuts := make([]plan.Cut, len(many))
	for k, i := range many {
		cuts[k] = sheet.Cuts[i]
		cuts[k].At = finding.Position{} // no path hangs on the line that asks for it
	}
	sheet.Cuts = cuts
	return sheet, left >= 0
}

// straightInPlan is straightDown of all sheets, each on a blank of its own. Of the cuts beyond
// mostLaid, and of what has no path, it is told when they are cut.
func straightInPlan(r Request, p *plan.Plan) finding.List {
	works := sheetsOf(p)
	each(len(works), func(i int) {
		w := works[i]
		few, ok := fewest(*w.sheet)
		if !ok {
			return
		}
		w.found = straightDown(w.where(), r.Memory.straight(few, p.Machine), *w.sheet, r.Unit)
	})
	var found finding.List
	for _, w := range works {
		found = append(found, w.found...)
	}
	return found
}
