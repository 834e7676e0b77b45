package cam

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// thickChips warns, once, of recipes whose edges take more at a turn than the chart has. What
// is far beyond it the plan has told already, each for itself.
func thickChips(p *plan.Plan, u units.Unit) finding.List {
	var names []string
	for _, t := range p.Trays {
		for _, s := range t.Sheets {
			for _, c := range s.All() {
				for _, r := range c.Recipes {
					chips := profiles.ChipsOf(r, c.Tool)
					name := fmt.Sprintf("%s with %s (%s, the chart has %s)", r.Foam, r.Tool, profiles.ChipText(chips.MM, u), chips.Chart(u))
					if chips.MM > chips.MostMM && !chips.Tear() && !slices.Contains(names, name) {
						names = append(names, name)
					}
				}
			}
		}
	}
	if len(names) == 0 {
		return nil
	}
	slices.Sort(names)
	return finding.List{{
		Severity: finding.Warning, Rule: "chip-above-chart", Where: p.Machine.ID,
		Message: "each edge takes more at a turn than " + profiles.ChipsSource + ", has so deep: " + strings.Join(names, ", "),
		Hint:    "look at the first walls: where foam is torn, lower the feed, or take a smaller step-down, in the recipe",
	}}
}
