package cam

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry/units"
	"traywright/profiles"
)

// otherProfiles warns where a program's header counts on other numbers than the profiles
// at hand have for its foam and machine: it was made with another folder of profiles, or
// before something was measured. Said is what the header alone says.
func (d *Tried) otherProfiles(said proof.Setup, c *profiles.Catalog, p *plan.Plan) finding.List {
	m, ok := c.Machine(said.Machine.ID)
	if p != nil {
		m, ok = p.Machine, true
	}
	if !ok || d.trial.KerfMM > 0 {
		return nil
	}
	foams, _ := d.headerFoams(c)
	var found finding.List
	for _, number := range slices.Sorted(maps.Keys(said.KerfMM)) {
		if text := d.otherKerf(number, said.KerfMM[number], said.ThicknessMM, m, foams, c); text != "" {
			found = append(found, d.madeWithOther(text))
		}
	}
	x, y := m.Scale()
	if sx, sy := said.Machine.Scale(); said.Machine.ID == m.ID && (differ(sx, x) || differ(sy, y)) {
		found = append(found, d.madeWithOther(fmt.Sprintf("its header is corrected for a scale of X %g Y %g, and the profile of %s has X %g Y %g", sx, sy, m.ID, x, y)))
	}
	return found
}

// otherKerf says that no recipe at hand for one of the foams has the kerf that the header
// says of a tool, in whatever foam it was measured; "" where one has, and of a tool that the machine does not have.
func (d *Tried) otherKerf(number int, kerfMM, thicknessMM float64, m profiles.Machine, foams []profiles.Foam, c *profiles.Catalog) string {
	at := slices.IndexFunc(m.Tools, func(t profiles.Tool) bool { return t.Number == number })
	if at < 0 || len(foams) == 0 {
		return ""
	}
	var have []string
	for _, f := range foams {
		r, ok := c.Recipe(f.ID, m.ID, m.Tools[at].ID)
		through, _ := r.In(thicknessMM, false)
		switch {
		case ok && (!differ(r.KerfMM.Value, kerfMM) || !differ(through.KerfMM.Value, kerfMM) || slices.ContainsFunc(r.MeasuredIn, func(one profiles.KerfIn) bool { return !differ(one.KerfMM, kerfMM) })):
			return ""
		case ok:
			have = append(have, fmt.Sprintf("%s for %s (%s)", fine(r.KerfMM.Value, d.trial.Unit), f.ID, r.KerfMM.Source))
		}
	}
	return fmt.Sprintf("its header counts on a kerf of %s with %s, and the recipe at hand on %s has %s",
		fine(kerfMM, d.trial.Unit), m.Tools[at].ID, m.ID, cmp.Or(strings.Join(have, ", "), "none"))
}

// differ reports whether two numbers are not the same to the last digit of a header.
func differ(a, b float64) bool { return math.Abs(a-b) > 0.5e-4 }

// fine prints a width to the last digit of a header.
func fine(mm float64, u units.Unit) string {
	l, err := units.FromMM(round(mm, 1e-4))
	if err != nil {
		return fmt.Sprintf("%g mm", mm)
	}
	return l.Format(u)
}

func (d *Tried) madeWithOther(text string) finding.Finding {
	return finding.Finding{
		Severity: finding.Warning, Rule: "other-profiles", Where: d.trial.Name, Message: text,
		Hint: "give the folder of profiles that it was made with (--profiles, or the job's `profiles`), or make it again with `traywright cut`",
	}
}
