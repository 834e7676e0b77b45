package cam

import (
	"fmt"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/cam/process"
	"traywright/profiles"
)

// takeDepth puts into the setup what is known without a job of how deep a beam goes:
// the recipe of the one foam that the program is for, on its machine. What nobody
// can judge without the job is one note.
func (d *Tried) takeDepth(c *profiles.Catalog) finding.List {
	note := finding.Finding{
		Severity: finding.Note, Rule: "not-judged", Where: d.trial.Name,
		Message: "without its job nobody can say whether the right foam goes, nor whether " + settingsOf(d.setup.Machine) + " are right for it",
		Hint:    "add --job and the job's file",
	}
	m := d.setup.Machine
	if !m.Process.Traits().Beam {
		if m.ClearanceMM.Value <= 0 && !m.Process.Traits().Upright {
			note.Message += "; nor how high above the foam it has to travel"
		}
		note.Message += "; nor whether a part or a plug comes loose" + before(m)
		if left := d.header["left"]; left != "" {
			note.Message += fmt.Sprintf("; nor whether more stays uncut than its comments say, %q", left)
		}
		return finding.List{note}
	}
	note.Message += "; nor whether the bridges stand that keep what comes free from tipping up"
	if d.isLadder() {
		note.Message += "; nor whether its beam goes through, for a coupon's ladder is there to find out"
		return finding.List{note}
	}
	recipe, ok := d.recipe(c)
	if !ok || d.setup.ThicknessMM <= 0 {
		note.Message += "; nor whether its beam goes through"
		note.Hint += ", or --foam, --thickness and --machine with a recipe for that foam"
		return finding.List{note}
	}
	d.setup.Recipe.FeedMMPerMin, d.setup.Recipe.PowerPercent = recipe.FeedMMPerMin.Value, recipe.PowerPercent.Value
	d.setup.Recipe.MMPerPass, d.setup.Recipe.Passes, d.setup.Recipe.PauseS = recipe.MMPerPass.Value, 1, recipe.PauseS.Value
	marking, _ := process.MeansOf(m).Marking(recipe, d.setup.ThicknessMM)
	d.setup.MarkShare = marking.PowerPercent.Value / recipe.PowerPercent.Value
	note.Message += fmt.Sprintf("; whether its beam goes through is judged by the recipe for %s on %s", recipe.Foam, recipe.Machine)
	found := finding.List{note}
	if most := recipe.MostMM.Value; most > 0 && d.setup.ThicknessMM > most*(1+1e-9) {
		found = append(found, finding.Finding{
			Rule: "too-thick", Where: d.trial.Name,
			Message: fmt.Sprintf("is for foam of %s, and the recipe for %s on %s goes through %s at most", page.Length(d.setup.ThicknessMM, d.trial.Unit), recipe.Foam, recipe.Machine, page.Length(most, d.trial.Unit)),
			Hint:    "take foam of at most " + page.Length(most, d.trial.Unit),
		})
	}
	return found
}

// settingsOf are what a recipe of the machine's process says, in words; of all processes where nobody knows it.
func settingsOf(m profiles.Machine) string {
	is := m.Process.Traits()
	switch {
	case is.Wire:
		return "feed, current and kerf"
	case is.Beam:
		return "feed, power and focus"
	case is.Blade:
		return "feed and depth of a pass"
	case is.Turning:
		return "feed, depth of a pass and speed"
	}
	return "feed, depth of a pass, speed, power and focus"
}

// before is when nothing may come loose.
func before(m profiles.Machine) string {
	if is := m.Process.Traits(); is.Wire || is.Blade {
		return " before its time"
	}
	return " under the cutter"
}

// isLadder reports whether the program is a coupon whose squares have settings of
// their own, as its header says them.
func (d *Tried) isLadder() bool {
	id, _, _ := strings.Cut(d.header["tray"], ",")
	return id == kerf.CouponID && strings.Contains("\n"+d.header["note"], "\nsquares A: ")
}

// recipe is that of the one foam that the program is known to be for, with the first
// of its machine's tools that has one; false where there is none that says how deep a
// pass goes.
func (d *Tried) recipe(c *profiles.Catalog) (profiles.Recipe, bool) {
	foams, found := d.foams(c, nil)
	if len(foams) != 1 || found.Failed() {
		return profiles.Recipe{}, false
	}
	for _, t := range d.setup.Machine.Tools {
		if r, ok := c.Recipe(foams[0].ID, d.setup.Machine.ID, t.ID); ok {
			return r, r.MMPerPass.Value > 0 && r.PowerPercent.Value > 0
		}
	}
	return profiles.Recipe{}, false
}
