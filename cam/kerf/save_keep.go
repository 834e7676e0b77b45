package kerf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// KeepSaved takes into files what the folder that they go into has already measured, and says of each kerf that they
// replace: coupons of the same kerf count with it, kerfs of other thicknesses at the same setting stay, and nothing
// that was measured goes without a word. Afresh is somebody's word for earlier coupons, of whatever thickness.
func KeepSaved(files []ProfileFile, saved *profiles.Catalog, u units.Unit, afresh bool) (found finding.List) {
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
		merged, goes := kept(*f.recipe, old, u, afresh)
		name := f.Name
		*f = recipeFile(merged)
		f.Name, f.Adds, f.Drops = name, len(goes.unasked) == 0, strings.Join(goes.unasked, ", ")
		if all := slices.Concat(goes.unasked, goes.asked); len(all) > 0 {
			found = append(found, finding.Finding{Severity: finding.Warning, Rule: "kerf-replaced", Where: fmt.Sprintf("%s on %s with %s", old.Foam, old.Machine, old.Tool),
				Message: "what was saved of it before goes: " + strings.Join(all, ", "), Hint: "to keep both, save into another folder: --save DIR"})
		}
	}
	return found
}

// lost is what was measured and does not stay, in words: unasked, or as somebody asked.
type lost struct{ unasked, asked []string }

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

// kept is a new recipe with what stays of an old one, and what does not.
func kept(r, old profiles.Recipe, u units.Unit, afresh bool) (merged profiles.Recipe, goes lost) {
	m := old.MeasuredIn
	if len(m) == 0 { // of a thickness that nobody wrote down
		m = profiles.KerfsIn{{KerfMM: old.KerfMM.Value, IntervalMM: old.KerfIntervalMM.Value}}
	}
	melts := len(r.Tested)+len(old.Tested) > 0
	for _, one := range m {
		i := slices.IndexFunc(r.MeasuredIn, func(o profiles.KerfIn) bool { return profiles.Alike(o.ThicknessMM, one.ThicknessMM) })
		why, asked := "", false
		switch {
		case i >= 0:
			if why = notIn(r.MeasuredIn[i], one); why == "" {
				continue
			}
			if asked = afresh; melts {
				why = ", for a wire's kerf goes by feed and current, which one table tells together: it is not pooled"
			}
		case one.ThicknessMM == 0:
			why = ", of which it does not say how thick the foam was"
		case melts:
			why = ", for a wire's kerf is kept for one thickness"
		case !sameSetting(r, old):
			why = ", cut at another setting"
		case afresh: // what was changed since changed that as well
			why, asked = ", of before the change: measure it anew, and save that without --afresh", true
		default:
			r.MeasuredIn = r.MeasuredIn.With(one)
			continue
		}
		text := Estimate{one.KerfMM, one.IntervalMM}.In(u)
		if one.ThicknessMM > 0 {
			text += " in foam of " + wide(one.ThicknessMM, u)
		}
		if text += why; asked {
			goes.asked = append(goes.asked, text)
		} else {
			goes.unasked = append(goes.unasked, text)
		}
	}
	for _, t := range old.Tested {
		if len(goes.unasked) == 0 && !slices.Contains(r.Tested, t) {
			goes.unasked = append(goes.unasked, "its kerfs by feed and current")
		}
	}
	return r, goes
}

// notIn says why an old kerf does not count in a new one of the same thickness; "" where every coupon of it does.
func notIn(now, old profiles.KerfIn) string {
	if len(old.RestsOn) == 0 {
		if now.ThicknessMM == old.ThicknessMM && now.KerfMM == old.KerfMM && now.IntervalMM == old.IntervalMM {
			return ""
		}
		return ", of which it does not say on which readings it rests: save its own table once more, and both count"
	}
	sum := poolKerfs(old.RestsOn).estimate(0.95)
	kerf, off := recipeKerf(sum)
	if step := 2 * worthMM(sum.HalfWidth); math.Abs(kerf-old.KerfMM) > step || math.Abs(off-old.IntervalMM) > step {
		return ", which is not what its own readings give: somebody changed it"
	}
	for _, r := range old.RestsOn {
		i := slices.IndexFunc(now.RestsOn, func(o profiles.KerfReading) bool { return sameCoupon(o.Coupon, r.Coupon, alikeReadings(o, r, ofKerf)) })
		switch {
		case i < 0:
			return ", for that of this table"
		case !alikeReadings(now.RestsOn[i], r, ofKerf) && (now.RestsOn[i].Coupon == r.Coupon || now.RestsOn[i].Lengths <= r.Lengths):
			return ", for that of this table, which is of the same coupon, " + r.Coupon + ": another has another --date"
		}
	}
	return ""
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
