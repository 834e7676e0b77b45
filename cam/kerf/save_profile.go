package kerf

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/profiles"
)

// ProfileHead begins every file that this package writes, so that a later run
// knows its own.
const ProfileHead = "# Measured by `traywright kerf`. Laid over the recipes and machines of every folder it is read with:\n"

// ProfileFile is one file of a folder of profiles.
type ProfileFile struct {
	Name string
	Data []byte
	Adds bool // it holds all that an earlier one of its name did

	Drops   string            // what it holds no more, in words; "" for nothing
	recipe  *profiles.Recipe  // that it has; nil for a machine's scale
	machine *profiles.Machine // whose scale it has; nil for a recipe
}

// Profiles is the fits as files for a folder of profiles: for each a recipe that
// is the one in force but for what was measured, and for each machine what its
// scale rests on. Date stands where the readings have none.
//
// A fit without a recipe to begin from, or with an interval that is nothing, is
// an error, and so are two fits of one foam, machine and tool.
func Profiles(fits []Fit, scales []Scale, date string) ([]ProfileFile, finding.List) {
	var files []ProfileFile
	var found finding.List
	seen := map[string]bool{}
	fits = joinThicknesses(fits)
	for _, f := range fits {
		name := f.Subject.Machine + " " + f.Tool + " " + f.Subject.Foam
		switch {
		case !f.Known:
			found = append(found, finding.Finding{
				Rule: "no-recipe", Where: f.Subject.In(f.Unit), Message: "there is no recipe for this foam on this machine with this tool, so there are no feeds to go with the kerf",
				Hint: "write one into a folder of profiles first (traywright profiles " + f.Subject.Machine + " shows what it takes)",
			})
		case math.IsInf(f.KerfMM.HalfWidth, 1):
			found = append(found, finding.Finding{Rule: "no-interval", Where: f.Subject.In(f.Unit), Message: "has no interval, so there is nothing to save", Hint: "measure more squares"})
		case f.Pooled.Apart:
			found = append(found, f.differ(f.Subject.In(f.Unit), finding.Error))
		case seen[name]:
			found = append(found, finding.Finding{
				Rule: "several-kerfs", Where: f.Subject.In(f.Unit), Message: "is a second kerf of one foam with one tool, and a recipe holds one", Hint: "choose one of them by its number, such as --step 2",
			})
		default:
			files = append(files, recipeFile(f.measured(date)))
		}
		seen[name] = true
	}
	if found.Failed() {
		return nil, found
	}
	return append(files, scaleFiles(scales)...), found
}

// recipeFile is a `measured:` row with every number of the recipe.
func recipeFile(r profiles.Recipe) ProfileFile {
	text := job.Seal(ProfileHead+"# take the file away and the recipe is what it was before.\n", profiles.MeasuredRow(r))
	return ProfileFile{Name: fmt.Sprintf("kerf-%s-%s-%s.yaml", r.Machine, r.Tool, r.Foam), Data: text, recipe: &r}
}

// measured is the recipe in force with what was measured in it: kerf, interval,
// taper of a beam or wire, and the settings that the coupon was cut with.
func (f Fit) measured(date string) profiles.Recipe {
	r, other := f.asCut(date)
	pool := f.pooled(date)
	source := pool.source(f)
	kerf, off := recipeKerf(pool.KerfMM)
	r.Source = "kerf " + cut(source, 300) + "; else " + settingsSource(f.Recipe.Through(f.Thickness.MM()).Source)
	r.KerfMM, r.KerfIntervalMM = profiles.Number{Value: kerf, Source: source}, profiles.Number{Value: off, Source: source}
	r.Tested = f.Tested
	switch t := f.TaperDegrees; {
	case t != nil && wayOf(f.Machine).leans && t.Value+t.HalfWidth >= 0:
		step := worth(t.HalfWidth, 1e-4, 0.01)
		r.TaperDegrees = profiles.Number{
			Value:  roundTo(math.Max(0, t.Value), step),
			Source: fmt.Sprintf("%s; each wall leans %s ± %s degrees", f.pool(nil, date).source(f), plainNumber(roundTo(t.Value, step)), plainNumber(roundTo(t.HalfWidth, step))),
		}
	case t == nil && f.keptTaper.Source != "":
		r.TaperDegrees = f.keptTaper
	}
	r.MeasuredIn = f.measuredIn(other, date)
	return r
}

// asCut is the recipe in force with the settings that the coupon was cut with, and whether one is another than the recipe's.
func (f Fit) asCut(date string) (r profiles.Recipe, other bool) {
	r = f.Recipe.Through(f.Thickness.MM())
	for _, k := range rungs {
		if k.recipe == nil {
			continue
		}
		if value := k.value(f.Setting); value != 0 && value != k.recipe(&r).Value {
			*k.recipe(&r) = profiles.Number{Value: value, Source: "as the coupon was cut" + f.when(date)}
			other = true
		}
	}
	return f.withDepth(r, other, date), other
}

// pooled is the fit's kerf with those of earlier coupons, or alone where nobody asked for them.
func (f Fit) pooled(date string) KerfPool {
	if len(f.Pooled.RestsOn) > 0 {
		return f.Pooled
	}
	return f.pool(nil, date)
}

// measuredIn is the kerf by the thickness of its foam: with those of other thicknesses of this table, and
// of the recipe in force where it was cut at the same setting. A wire's hang on feed and current too, and
// it keeps one thickness.
func (f Fit) measuredIn(other bool, date string) (list profiles.KerfsIn) {
	if !other && !wayOf(f.Machine).melts && f.Recipe.Measured() {
		list = f.Recipe.MeasuredIn
	}
	for _, one := range append([]Fit{f}, f.thicker...) {
		pool := one.pooled(date)
		kerf, off := recipeKerf(pool.KerfMM)
		list = list.With(profiles.KerfIn{ThicknessMM: pool.ThicknessMM, KerfMM: kerf, IntervalMM: off, RestsOn: pool.RestsOn})
	}
	return list
}

// joinThicknesses puts fits that differ in the thickness of their foam alone into the first of them.
func joinThicknesses(fits []Fit) (list []Fit) {
	for _, f := range fits {
		i := slices.IndexFunc(list, func(o Fit) bool {
			a, b := o.Subject, f.Subject
			a.Thickness, b.Thickness = 0, 0
			all := append([]Fit{o}, o.thicker...)
			return a == b && !wayOf(f.Machine).melts && !math.IsInf(f.KerfMM.HalfWidth, 1) &&
				!slices.ContainsFunc(all, func(o Fit) bool { return profiles.Alike(o.Thickness.MM(), f.Thickness.MM()) })
		})
		if i < 0 {
			list = append(list, f)
			continue
		}
		list[i].thicker = append(list[i].thicker, f)
	}
	return list
}

// withDepth puts the foam that one pass goes through in the place of passes: what
// the coupon has shown, where it was cut at another setting than the recipe's or
// the recipe does not say.
func (f Fit) withDepth(r profiles.Recipe, other bool, date string) profiles.Recipe {
	switch {
	case r.Passes.Value == 0:
		return r
	case !other && f.Recipe.MMPerPass.Value > 0:
		r.Passes = f.Recipe.Passes
		return r
	}
	r.MMPerPass = profiles.Number{
		Value:  roundTo(f.Thickness.MM()/math.Ceil(r.Passes.Value), 1e-7),
		Source: fmt.Sprintf("%s in %s, as the coupon was cut%s", f.Thickness, Setting{Passes: int(math.Ceil(r.Passes.Value))}, f.when(date)),
	}
	r.Passes = profiles.Number{}
	return r
}

// source is whose number the fit's kerf is: when, how many, how sure and under which conditions. Of
// several coupons it says what holds for all of them.
func (p KerfPool) source(f Fit) string {
	step := worthMM(p.KerfMM.HalfWidth)
	when, coupons, n, thick := p.when(), "one coupon", f.Readings(), f.Thickness.String()
	if len(p.RestsOn) > 1 {
		coupons, n, thick = fmt.Sprintf("%d coupons", len(p.RestsOn)), p.lengths(), plainNumber(p.ThicknessMM)+" mm"
	}
	text := fmt.Sprintf("measured%s: %s ± %s mm (95 %%, %s, n = %d, Student's t with %s degrees of freedom); %s of %s", when,
		plainNumber(roundTo(p.KerfMM.Value, step)), plainNumber(roundUp(p.KerfMM.HalfWidth, step)), coupons, n, plainNumber(math.Round(10*p.DOF)/10), thick, f.Subject.Foam)
	if f.DensityKgM3 != 0 && len(p.RestsOn) < 2 {
		text += fmt.Sprintf(", %.4g kg/m3", f.DensityKgM3)
	}
	if c := f.conditions(); c != "" {
		text += ", " + c
	}
	if f.Note != "" && len(p.RestsOn) < 2 {
		text += "; " + f.Note
	}
	return cut(text, 700)
}

// when is from when to when the coupons with a date were measured.
func (p KerfPool) when() string {
	var days []string
	for _, r := range p.RestsOn {
		if _, s := spanOf(r.Coupon); s.from != "" {
			days = append(days, s.from, strings.TrimSuffix(s.to, "~"))
		}
	}
	if len(days) == 0 {
		return ""
	}
	if from, to := slices.Min(days), slices.Max(days); from != to {
		return " " + from + " to " + to
	}
	return " " + days[0]
}

func (p KerfPool) lengths() (n int) {
	for _, r := range p.RestsOn {
		n += r.Lengths
	}
	return n
}

// settingsSource is where a recipe's other numbers are from: what stood behind
// "else" when its kerf was measured before.
func settingsSource(source string) string {
	return cut(profiles.SettingsSource(source), 300)
}

// when is " 2026-03-01", or what is known of it.
func (f Fit) when(date string) string {
	switch n := len(f.Dates); {
	case n == 1:
		return " " + f.Dates[0]
	case n > 1:
		return " " + f.Dates[0] + " to " + f.Dates[n-1]
	case date != "":
		return " " + date
	}
	return ""
}

// conditions are the settings that the coupon was cut with: its own, else the recipe's.
func (f Fit) conditions() string {
	s, r := f.Setting, f.Recipe.Through(f.Thickness.MM())
	for _, k := range rungs {
		if k.recipe != nil && k.value(s) == 0 {
			k.set(&s, k.recipe(&r).Value)
		}
	}
	return s.String()
}

// leastKerfMM is the least that a recipe takes (profiles): a hundredth, far below what can be measured.
const leastKerfMM = 0.01

// recipeKerf is a kerf and its interval as a recipe has them. One below the least is that, and its
// interval as much wider as it takes to hold all of what was measured.
func recipeKerf(e Estimate) (kerfMM, offMM float64) {
	step := worthMM(e.HalfWidth)
	if less := leastKerfMM - e.Value; less > 0 {
		return leastKerfMM, roundUp(less+e.HalfWidth, step)
	}
	return roundTo(e.Value, step), roundUp(e.HalfWidth, step)
}

// worthMM is the step that a kerf is worth writing to.
func worthMM(halfWidth float64) float64 { return worth(halfWidth, 1e-4, 0.01) }

// worth is the step that a number is worth writing to: two digits of its
// half-width (ISO/IEC Guide 98-3, 7.2.6, from memory), within bounds.
func worth(halfWidth, least, most float64) float64 {
	if !(halfWidth > 0) || math.IsInf(halfWidth, 1) {
		return least
	}
	return math.Min(math.Max(math.Pow(10, math.Floor(math.Log10(halfWidth))-1), least), most)
}

// roundUp is for half-widths, which are never made smaller.
func roundUp(x, step float64) float64 { return roundTo(math.Ceil(x/step-1e-9)*step, step) }

// plainNumber writes a number without exponent and without what binary fractions add.
func plainNumber(v float64) string {
	text := strconv.FormatFloat(v, 'f', 7, 64)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}

// cut shortens a text to so many characters.
func cut(text string, most int) string {
	if r := []rune(text); len(r) > most {
		return string(r[:most-3]) + "..."
	}
	return text
}
