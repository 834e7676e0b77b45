package cam

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry/units"
	"traywright/profiles"
)

// What fails in a corner is a warning: foam may be wasted, and mostly is not. One
// thing is an error, because it is a person who pays for it: a part that comes loose
// while the cutter turns beside it is thrown. That it happens only in foam that is
// thinner than its label is no comfort, for nobody has looked; and there is always a
// way on that costs a minute: to measure the sheet.

// cornerFindings are the findings of all sheets: one for each thing that fails in a
// foam under a tool, with how many more places there are.
func cornerFindings(works []*sheetWork, m profiles.Machine, u units.Unit) finding.List {
	var list finding.List
	at := map[string]int{}
	for _, w := range works {
		if w.run.Corners == nil || !w.last() { // what a tool leaves between two programs is told of behind the last
			continue
		}
		for _, weak := range w.needs() {
			key := fmt.Sprint(weak.What, w.foams(), weak.Tool, w.sheet.ThicknessMM())
			if i, told := at[key]; told {
				list[i].More++
				continue
			}
			at[key] = len(list)
			list = append(list, w.cornerFinding(weak, m, u))
		}
	}
	return append(list, notTried(works, m)...)
}

// needs is what fails in the sheet. What is loose has to be held by what holds, so its
// skin is no matter of its own.
func (w *sheetWork) needs() []proof.Weak {
	list := slices.Clone(w.run.Corners.Weak)
	for loose, held := range map[proof.Weakness]proof.Weakness{proof.Loose: proof.Skin, proof.Parted: proof.Neck} {
		if slices.ContainsFunc(list, func(k proof.Weak) bool { return k.What == loose }) {
			list = slices.DeleteFunc(list, func(k proof.Weak) bool { return k.What == held })
		}
	}
	return list
}

// flies reports whether it is a person who pays for what fails.
func flies(what proof.Weakness) bool {
	return what == proof.Loose || what == proof.Parted || what == proof.Island
}

// cornerFinding is one thing that fails.
func (w *sheetWork) cornerFinding(weak proof.Weak, m profiles.Machine, u units.Unit) finding.Finding {
	c, when := w.run.Corners, "when"
	if weak.AsPlanned() {
		when = "as planned already, and most when"
	}
	f := finding.Finding{
		Severity: finding.Warning, Rule: "corner-" + cornerRules[weak.What], Where: w.path(),
		Message: fmt.Sprintf("safe in %d of %d: %s, %s short, %s %s", c.Safe, c.Tried,
			fmt.Sprintf(cornerTexts[weak.What], weak.Name), page.Length(units.AtLeast(weak.ShortMM, 0.05, u), u), when, strings.Join(causes(weak, u), " and ")),
		Hint: w.remedy(weak, m, u),
	}
	if flies(weak.What) {
		f.Severity = finding.Error
	}
	return f
}

var cornerRules = map[proof.Weakness]string{
	proof.Loose: "loose", proof.Skin: "skin", proof.Bed: "bed", proof.RapidLow: "rapid", proof.Uncut: "uncut", proof.Floor: "floor",
	proof.Wall: "wall", proof.Standing: "standing", proof.Tight: "tight", proof.Rattles: "rattles", proof.Proud: "proud", proof.Bridge: "bridge",
	proof.Parted: "parted", proof.Neck: "neck", proof.Island: "island",
}

// cornerTexts say what fails, of a name.
var cornerTexts = map[proof.Weakness]string{
	proof.Loose: "%s comes loose under the turning tool", proof.Skin: "%s is too thin to hold", proof.Bed: "%s goes too deep into what the foam lies on",
	proof.RapidLow: "%s runs through foam", proof.Uncut: "%s is not cut through", proof.Floor: "the floor of %s is too thin to hold",
	proof.Wall: "%s is too thin to hold", proof.Standing: "foam is left standing in %s", proof.Tight: "the piece of %s does not go in",
	proof.Rattles: "the piece of %s rattles", proof.Proud: "the piece of %s stands out too far", proof.Bridge: "%s is too thin to hold",
	proof.Parted: "%s comes loose under the turning tool, its tabs cut through from their sides", proof.Neck: "%s is too narrow to hold",
	proof.Island: "%s comes loose under the turning tool",
}

// causes say what has to come together.
func causes(weak proof.Weak, u units.Unit) []string {
	words := [...][2]string{
		proof.Thickness: {"thinner than it should be", "thicker than it should be"},
		proof.Zero:      {"too low", "too high"}, proof.Kerf: {"narrower", "wider"}, proof.Runout: {"narrower", "wider"},
	}
	subjects := [...]string{proof.Thickness: "the foam is", proof.Zero: "the Z zero is", proof.Kerf: "the kerf is", proof.Runout: "the cutter's run-out makes it"}
	var list []string
	for i, mm := range weak.ValueMM {
		if mm == 0 {
			continue
		}
		list = append(list, fmt.Sprintf("%s %s %s", subjects[i], page.Length(math.Abs(mm), u), words[i][bit(mm > 0)]))
	}
	if len(list) == 0 {
		list = append(list, "all is as planned")
	}
	return list
}

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}

// up is a length rounded up to a twentieth of a mm: enough, and still a number that a
// person can set.
func up(mm float64) float64 { return math.Ceil(mm*20-1e-6) / 20 }

// remedy is the numbers that would make it safe, each alone.
func (w *sheetWork) remedy(weak proof.Weak, m profiles.Machine, u units.Unit) string {
	list := w.measureFirst(weak, u)
	if share := weak.ShareMM[proof.Kerf]; share > weak.ShortMM {
		list = append(list, fmt.Sprintf("cut a coupon: a kerf known to %s either way is good enough", page.Length(units.AtMost(share-weak.ShortMM, 0.01, u), u)))
	}
	if other := w.otherwise(weak, m, u); other != "" {
		list = append(list, other)
	}
	return strings.Join(list, "; or ")
}

// measureFirst says to measure the sheets that nobody has, where that is enough.
func (w *sheetWork) measureFirst(weak proof.Weak, u units.Unit) []string {
	now, then := weak.ShareMM[proof.Thickness], w.thicknessOff(readingOf).High
	var flags []string
	for _, l := range w.sheet.Layers {
		if flag := job.MeasuredFlag(l.Foam.ID, l.Sold(), u); !l.Measured() && !slices.Contains(flags, flag) {
			flags = append(flags, flag)
		}
	}
	if len(flags) == 0 || now-then < weak.ShortMM-1e-9 {
		return nil
	}
	return []string{"measure the sheet, and give " + strings.Join(flags, " ")}
}

// otherwise is the number of the job, a recipe or the machine that would do.
func (w *sheetWork) otherwise(weak proof.Weak, m profiles.Machine, u units.Unit) string {
	more := page.Length(units.AtLeast(weak.ShortMM, 0.05, u), u)
	if flies(weak.What) { // it is to be held, not only not to fly
		weak.ShortMM += w.tolerances(m).LeastLeftMM
		more = page.Length(units.AtLeast(weak.ShortMM, 0.05, u), u)
	}
	switch weak.What {
	case proof.Loose, proof.Skin:
		if hold := w.sheet.Edge.Hold; strings.HasPrefix(weak.Name, "the island") {
			return "end it " + more + " higher"
		} else if c, ok := w.plugIn(weak.Name); ok {
			return w.inRecipe("skin_mm", w.sheet.ThicknessMM()-c.DepthMM+weak.ShortMM, c)
		} else if hold.SkinMM > 0 {
			return w.inRecipe("skin_mm", hold.SkinMM+weak.ShortMM, w.sheet.Edge)
		} else {
			return w.inRecipe("tab_height_mm", hold.TabHighMM+weak.ShortMM, w.sheet.Edge)
		}
	case proof.Uncut:
		if m.Process.Traits().Beam {
			return w.onceMore(weak)
		}
		return w.deeper(weak, m)
	case proof.Bed:
		return fmt.Sprintf("lay a thicker board under the foam and set bed_cut_mm of %s to %g", m.ID, up(m.BedCutMM.Value+weak.ShortMM))
	case proof.RapidLow:
		return fmt.Sprintf("set clearance_mm of %s to %g", m.ID, up(m.ClearanceMM.Value+weak.ShortMM))
	case proof.Floor:
		return "make it " + more + " shallower"
	case proof.Wall, proof.Island:
		if foam, least, of := w.lettering(weak.Name); of {
			return fmt.Sprintf("set least_wall_mm of %s to %g: what holds letters together is as wide", foam, up(least+weak.ShortMM))
		}
		return "move them " + more + " apart"
	case proof.Parted, proof.Neck:
		return w.inRecipe("tab_width_mm", w.sheet.Edge.Hold.TabMM+weak.ShortMM, w.sheet.Edge)
	case proof.Bridge:
		return "make tab_width_mm " + more + " larger in the recipe"
	case proof.Tight:
		return "make it " + more + " larger"
	case proof.Rattles:
		return "make it " + more + " smaller"
	case proof.Proud:
		return "make it " + more + " deeper"
	}
	return ""
}

// lettering is the foam whose least wall is that between the parts of a label or an emblem, if
// they are what a name speaks of.
func (w *sheetWork) lettering(name string) (foam string, least float64, of bool) {
	for _, c := range w.sheet.Cuts {
		of = of || len(c.Pockets) == 0 && (strings.HasSuffix(name, " between two parts of "+c.Name) || strings.HasSuffix(name, " cut round by "+c.Name))
	}
	for _, l := range w.sheet.Layers {
		if wall := l.Foam.LeastWallMM.Value; wall > least {
			foam, least = l.Foam.ID, wall
		}
	}
	return foam, least, of
}

// plugIn is the cut round the plug of that name.
func (w *sheetWork) plugIn(name string) (plan.Cut, bool) {
	for _, c := range w.sheet.Cuts {
		if c.Plug && strings.HasSuffix(name, "the plug in "+c.Name) {
			return c, true
		}
	}
	return plan.Cut{}, false
}

// inRecipe names a number of the recipe of a cut's lowest layer.
func (w *sheetWork) inRecipe(key string, mm float64, c plan.Cut) string {
	r := c.Recipes[len(c.Recipes)-1]
	return fmt.Sprintf("set %s to %g in the recipe for %s with %s", key, up(mm), r.Foam, r.Tool)
}

// deeper is the breakthrough that goes through, unless it would go too deep into what
// the foam lies on, or deeper than its tool reaches.
func (w *sheetWork) deeper(weak proof.Weak, m profiles.Machine) string {
	for _, c := range w.sheet.All() {
		if c.Tool.Number != weak.Tool || !c.Through {
			continue
		}
		below := up(c.BelowMM + weak.ShortMM)
		tooDeep := m.BedCutMM.Value > 0 && below+weak.ShareMM[proof.Thickness]+weak.ShareMM[proof.Zero] > m.BedCutMM.Value
		tooFar := c.Tool.Reach() > 0 && w.sheet.ThicknessMM()+below > c.Tool.Reach()
		if !tooDeep && !tooFar {
			return w.inRecipe("breakthrough_mm", below, c)
		}
	}
	return ""
}

// onceMore is the depth of a pass that makes one more of them.
func (w *sheetWork) onceMore(weak proof.Weak) string {
	for _, c := range w.sheet.All() {
		thick, n := w.sheet.ThicknessMM(), float64(len(c.Passes))
		if c.Tool.Number != weak.Tool || n == 0 {
			continue
		}
		each := (math.Ceil(thick/n*10) - 1) / 10
		if r := c.Recipes[0]; r.MMPerPass.Value > 0 && (n+1)*each >= thick+weak.ShortMM {
			return fmt.Sprintf("set mm_per_pass to %g in the recipe for %s with %s: then there is one more", each, r.Foam, r.Tool)
		}
	}
	return ""
}

// notTried says once which tolerances nobody has given.
func notTried(works []*sheetWork, m profiles.Machine) finding.List {
	var missing []string
	miss := func(n profiles.Number, what string) {
		if n.Source == "" && !slices.Contains(missing, what) {
			missing = append(missing, what)
		}
	}
	beam := m.Process.Traits().Upright // which touches nothing off
	for _, w := range works {
		if w.run.Corners == nil {
			continue
		}
		for _, l := range w.sheet.Layers {
			if !l.Measured() {
				miss(l.Foam.ThickerMM, "thicker_mm of "+l.Foam.ID)
				miss(l.Foam.ThinnerMM, "thinner_mm of "+l.Foam.ID)
			}
		}
		for _, c := range w.sheet.All() {
			for _, r := range c.Recipes {
				miss(r.KerfOff(), fmt.Sprintf("kerf_off_mm of %s with %s", r.Foam, r.Tool))
			}
			if m.Process.Traits().Turning {
				miss(c.Tool.RunoutMM, "runout_mm of the tool "+c.Tool.ID)
			}
		}
	}
	if !beam && len(works) > 0 {
		miss(m.ZeroMM, "zero_mm of "+m.ID)
	}
	if len(missing) == 0 {
		return nil
	}
	slices.Sort(missing)
	return finding.List{{
		Severity: finding.Note, Rule: "corners-not-tried", Where: m.ID,
		Message: "corners were tried without what no profile says: " + strings.Join(missing, ", "),
		Hint:    "add it to your profiles; a measured sheet or a coupon says it too",
	}}
}

// CornersText says of all programs in how many corners they are safe; "" where none
// were tried.
func (r Report) CornersText() string {
	tried, whole := 0, 0
	var worst *CornersReport
	for _, d := range r.DryRun {
		c := d.Corners
		if c == nil {
			continue
		}
		if tried++; c.Safe == c.Tried {
			whole++
		}
		if worst == nil || c.Safe*worst.Tried < worst.Safe*c.Tried {
			worst = c
		}
	}
	switch {
	case worst == nil:
		return ""
	case whole == tried:
		return fmt.Sprintf("corners of what may be off: safe in %d of %d, every program", worst.Safe, worst.Tried)
	}
	return fmt.Sprintf("corners of what may be off: %d of %d programs are safe in all of them, the worst in %d of %d", whole, tried, worst.Safe, worst.Tried)
}
