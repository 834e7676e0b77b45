package cam

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
)

// straightDown warns once of a sheet's program in which a cutter goes straight down into foam,
// lengths in u.
func straightDown(where string, program process.Program, sheet plan.Sheet, u units.Unit) finding.List {
	var worst process.Op
	count := 0
	for _, op := range program.Ops {
		if op.StraightMM > 0 {
			count++
		}
		if op.StraightMM > worst.StraightMM {
			worst = op
		}
	}
	if count == 0 {
		return nil
	}
	wide := 0.0
	for _, c := range sheet.All() {
		if c.Tool.ID == worst.Tool.ID {
			wide = max(wide, c.WidestMM())
		}
	}
	others := ""
	if count > 1 {
		others = fmt.Sprintf("; so it does in %d more", count-1)
	}
	// A tenth of a mm is more than the way down is sure to need, and than its length is rounded by.
	room := math.Ceil((wide*(1+2*plan.LeastTurn)+0.01)*10) / 10
	return finding.List{{
		Severity: finding.Warning, Rule: "straight-down", Where: where + ", " + worst.Name,
		Message: fmt.Sprintf("has no room for the tool %s to go down on a ramp: it goes straight down into the foam, %s at a time, and its middle does not cut: it tears or melts what is under it%s",
			worst.Tool.ID, page.Length(worst.StraightMM, u), others),
		Hint: fmt.Sprintf("make it %s wide or wider everywhere, or let a thinner tool cut it", page.Length(room, u)),
	}}
}

// mostLaid is how many segments a sheet's cuts may have to be laid out for a check: of more, as
// drawings have, the paths take many times as long as all of the rest.
const mostLaid = 4000

// straightInPlan is straightDown of all sheets of few segments, each on a blank of its own. Of the
// others, and of what has no path, it is told when they are cut.
func straightInPlan(r Request, p *plan.Plan) finding.List {
	works := sheetsOf(p)
	each(len(works), func(i int) {
		w, segments := works[i], 0
		for _, c := range w.sheet.All() {
			for _, contour := range c.Shape.Contours() {
				segments += contour.Len()
			}
		}
		if segments > mostLaid {
			return
		}
		if program, err := process.Make(*w.sheet, p.Machine, toleranceMM); err == nil {
			w.found = straightDown(w.where(), program, *w.sheet, r.Unit)
		}
	})
	var found finding.List
	for _, w := range works {
		found = append(found, w.found...)
	}
	return found
}
