package cam

import (
	"fmt"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/profiles"
)

// lessCareful warns of each row that a plan counts on, of the user's own and under a shipped
// name, that takes back numbers which keep people, machine or foam from harm: who knows the
// name trusts what it ships with.
func lessCareful(p *plan.Plan, c *profiles.Catalog) finding.List {
	var found finding.List
	seen := map[string]bool{}
	tell := func(row, as string, changes []string) {
		if seen[row] || len(changes) == 0 {
			return
		}
		seen[row] = true
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "less-careful", Where: row,
			Message: "your profiles have this shipped name and are less careful: " + strings.Join(changes, ", "),
			Hint:    "look at each number: where it is not measured, take the shipped one; where " + as + " really is another one, give it a name of its own",
		})
	}
	tell("machine "+p.Machine.ID, "your machine", c.WeakerMachine(p.Machine))
	for _, t := range p.Trays {
		for _, l := range t.Layers {
			tell("foam "+l.Foam.ID, "your foam", c.WeakerFoam(l.Foam))
		}
		for _, s := range t.Sheets {
			for _, cut := range s.All() {
				for _, used := range cut.Recipes {
					if r, ok := c.Recipe(used.Foam, used.Machine, used.Tool); ok {
						tell(fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool), "the foam or the machine", c.WeakerRecipe(r))
					}
				}
			}
		}
	}
	return found
}
