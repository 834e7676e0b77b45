package kerf

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// KeepSaved takes into files what the folder that they go into has already measured, and says of each kerf that they
// replace: kerfs of other thicknesses at the same setting stay, and nothing that was measured goes without a word.
func KeepSaved(files []ProfileFile, saved *profiles.Catalog, u units.Unit) (found finding.List) {
	if saved == nil {
		return nil
	}
	for i := range files {
		f := &files[i]
		if f.machine != nil {
			old, _ := saved.Machine(f.machine.ID)
			*f = scaleFileOf(withAxes(*f.machine, old))
			continue
		}
		old, ok := saved.Recipe(f.recipe.Foam, f.recipe.Machine, f.recipe.Tool)
		if !ok || !old.Measured() {
			continue
		}
		merged, lost := kept(*f.recipe, old, u)
		adds := len(merged.MeasuredIn) > len(f.recipe.MeasuredIn) || len(old.MeasuredIn) < len(merged.MeasuredIn)
		name := f.Name
		*f = recipeFile(merged)
		f.Name, f.Adds, f.Drops = name, adds && len(lost) == 0, strings.Join(lost, ", ")
		if len(lost) > 0 {
			found = append(found, finding.Finding{Severity: finding.Warning, Rule: "kerf-replaced", Where: fmt.Sprintf("%s on %s with %s", old.Foam, old.Machine, old.Tool),
				Message: "what was saved of it before goes: " + f.Drops, Hint: "to keep both, save into another folder: --save DIR"})
		}
	}
	return found
}

// withAxes is a machine's scale with that of an axis which only an old one has.
func withAxes(m, old profiles.Machine) profiles.Machine {
	for _, axis := range []Axis{axisX, axisY} {
		if len(ofAxis(m.ScaleReadings, axis)) > 0 {
			continue
		}
		m.ScaleReadings = append(m.ScaleReadings, ofAxis(old.ScaleReadings, axis)...)
		if axis == axisX {
			m.ScaleX = old.ScaleX
		} else {
			m.ScaleY = old.ScaleY
		}
	}
	return m
}

// kept is a new recipe with what stays of an old one, and what does not, in words.
func kept(r, old profiles.Recipe, u units.Unit) (merged profiles.Recipe, lost []string) {
	m := old.MeasuredIn
	if len(m) == 0 { // of a thickness that nobody wrote down
		m = profiles.KerfsIn{{KerfMM: old.KerfMM.Value, IntervalMM: old.KerfIntervalMM.Value}}
	}
	melts := len(r.Tested)+len(old.Tested) > 0
	for _, one := range m {
		i := slices.IndexFunc(r.MeasuredIn, func(o profiles.KerfIn) bool { return profiles.Alike(o.ThicknessMM, one.ThicknessMM) })
		why := ""
		switch {
		case i >= 0 && r.MeasuredIn[i] == one:
			continue
		case i >= 0:
			why = ", for that of this table"
		case one.ThicknessMM == 0:
			why = ", of which it does not say how thick the foam was"
		case melts:
			why = ", for a wire's kerf is kept for one thickness"
		case !sameSetting(r, old):
			why = ", cut at another setting"
		default:
			r.MeasuredIn = r.MeasuredIn.With(one)
			continue
		}
		text := Estimate{one.KerfMM, one.IntervalMM}.In(u)
		if one.ThicknessMM > 0 {
			text += " in foam of " + wide(one.ThicknessMM, u)
		}
		lost = append(lost, text+why)
	}
	for _, t := range old.Tested {
		if len(lost) == 0 && !slices.Contains(r.Tested, t) {
			lost = append(lost, "its kerfs by feed and current")
		}
	}
	return r, lost
}

// sameSetting reports whether two recipes cut alike.
func sameSetting(a, b profiles.Recipe) bool {
	for _, k := range rungs {
		if k.recipe != nil && k.recipe(&a).Value != k.recipe(&b).Value {
			return false
		}
	}
	return a.MMPerPass.Value == b.MMPerPass.Value
}
