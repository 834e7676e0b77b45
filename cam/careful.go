package cam

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/profiles"
)

// lessCareful warns of each row that a plan counts on, of the user's own and under the name
// of one that ships, or of one in another folder of theirs that it is laid over, that takes
// back numbers which keep people, machine or foam from harm: who knows the name trusts what
// it came with.
func lessCareful(p *plan.Plan, c *profiles.Catalog) finding.List {
	w := newWeaker(c)
	found := w.machine(p.Machine)
	for _, t := range p.Trays {
		for _, l := range t.Layers {
			found = append(found, w.foam(l.Foam)...)
		}
		for _, s := range t.Sheets {
			for _, cut := range s.All() {
				for _, used := range cut.Recipes {
					if r, ok := c.Recipe(used.Foam, used.Machine, used.Tool); ok {
						found = append(found, w.recipe(r, p.Machine)...)
					}
				}
			}
		}
	}
	return found
}

// lessCareful warns of such rows of the machine that a written program is tried on, of its
// foams, and of the recipes for them with the tools that its header counts on.
func (d *Tried) lessCareful(said proof.Setup, c *profiles.Catalog, sheet *plan.Sheet) finding.List {
	m, ok := c.Machine(d.setup.Machine.ID)
	if !ok {
		return nil
	}
	w := newWeaker(c)
	found := w.machine(m)
	foams, _ := d.foams(c, sheet)
	for _, f := range foams {
		found = append(found, w.foam(f)...)
		for _, t := range m.Tools {
			r, ok := c.Recipe(f.ID, m.ID, t.ID)
			if _, counted := said.KerfMM[t.Number]; ok && counted {
				found = append(found, w.recipe(r, m)...)
			}
		}
	}
	return found
}

// weaker tells of each row once.
type weaker struct {
	below []*profiles.Catalog
	seen  map[string]bool
}

func newWeaker(c *profiles.Catalog) weaker { return weaker{c.Below(), map[string]bool{}} }

func (w weaker) machine(m profiles.Machine) finding.List {
	return w.tell("machine "+m.ID, "your machine", func(c *profiles.Catalog) []string { return c.WeakerMachine(m) })
}

func (w weaker) foam(f profiles.Foam) finding.List {
	return w.tell("foam "+f.ID, "your foam", func(c *profiles.Catalog) []string { return c.WeakerFoam(f) })
}

func (w weaker) recipe(r profiles.Recipe, m profiles.Machine) finding.List {
	return w.tell(fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool), "the foam or the machine",
		func(c *profiles.Catalog) []string { return c.WeakerRecipe(r, m) })
}

// tell says what a row makes less careful than those of its name that it is laid over.
func (w weaker) tell(row, as string, changes func(*profiles.Catalog) []string) (found finding.List) {
	if w.seen[row] {
		return nil
	}
	w.seen[row] = true
	var told []string
	for i, c := range w.below {
		var list []string
		for _, change := range changes(c) {
			if !slices.Contains(told, change) {
				list = append(list, change)
			}
		}
		if told = append(told, list...); len(list) == 0 {
			continue
		}
		what, better := "your profiles have this shipped name and are less careful: ", "the shipped one"
		if i > 0 {
			what, better = "the folder of --profiles goes over the row of this name in the job's own folder, and is less careful: ", "that of the job's folder"
		}
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "less-careful", Where: row, Message: what + strings.Join(list, ", "),
			Hint: "look at each: where it is not measured, take " + better + "; where " + as + " really is another one, give it a name of its own",
		})
	}
	return found
}
