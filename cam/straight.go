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

// straightInPlan is straightDown of all sheets, each on a blank of its own. What has no path says
// so when it is cut.
func straightInPlan(r Request, p *plan.Plan) finding.List {
	works := sheetsOf(p)
	each(len(works), func(i int) {
		w := works[i]
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
