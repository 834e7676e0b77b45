package kerf

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// speedLaw fits a wire's ladder of feeds at one current; false with fewer than three.
func (l Ladder) speedLaw() (profiles.SpeedLaw, bool) {
	if !l.melts || l.rung.key != "feed" {
		return profiles.SpeedLaw{}, false
	}
	var list profiles.TestedKerfs
	for _, s := range l.Steps {
		list = append(list, profiles.TestedKerf{FeedMMPerMin: s.Value, KerfMM: s.KerfMM.Value, IntervalMM: s.KerfMM.HalfWidth})
	}
	return list.Law()
}

// judgeSpeeds says whether a wire's kerf follows its speed as it should.
func (l Ladder) judgeSpeeds(file string) finding.List {
	law, ok := l.speedLaw()
	if !ok {
		return nil
	}
	f := finding.Finding{Severity: finding.Note, Rule: "speed-law", Where: file + ": " + l.String()}
	if !law.Holds {
		f.Severity = finding.Warning
		f.Message = fmt.Sprintf("at %.4g mm/min the kerf is %s off k0 + b / feed, farther than its interval: between these feeds nobody can say it", law.WorstAt, thin(law.WorstMM, l.unit))
		f.Hint = "cut at a feed that was measured, with its own kerf; look whether the current stayed, and whether the wire bowed at the fastest"
		return finding.List{f}
	}
	middle := math.Round((law.Least + law.Most) / 2)
	kerf, _ := law.At(middle)
	f.Message = fmt.Sprintf("the kerf is %s + %s x mm/min / feed from %.4g to %.4g mm/min at this current, within the intervals of all %d: %s at %.4g mm/min", thin(law.K0MM, l.unit), wide(law.B, l.unit), law.Least, law.Most, len(l.Steps), thin(kerf, l.unit), middle)
	f.Hint = "--save keeps every kerf of this table: set feed_mm_per_min in the file that it writes to any feed between, and its kerf follows; beyond them it is not known: cut another ladder"
	return finding.List{f}
}

// keepTested gives each fit of a wire all the kerfs of its foam that this table tells, by feed and current.
func keepTested(fits []Fit) {
	alike := func(f Fit) Subject {
		s := f.Subject
		s.Setting.FeedMMPerMin, s.Setting.CurrentA = 0, 0
		return s
	}
	tested := map[Subject]profiles.TestedKerfs{}
	for _, f := range fits {
		list := tested[alike(f)]
		k := f.asTested()
		if wayOf(f.Machine).melts && !math.IsInf(f.KerfMM.HalfWidth, 1) && k.FeedMMPerMin > 0 && k.CurrentA > 0 && k.KerfMM > 0 &&
			!slices.ContainsFunc(list, func(o profiles.TestedKerf) bool { return o.FeedMMPerMin == k.FeedMMPerMin && o.CurrentA == k.CurrentA }) {
			tested[alike(f)] = append(list, k)
		}
	}
	for i := range fits {
		fits[i].Tested = tested[alike(fits[i])]
	}
}

// asTested is the fit's kerf as it is saved, with the feed and the current that it was cut at: its own,
// else the recipe's.
func (f Fit) asTested() profiles.TestedKerf {
	step := worthMM(f.KerfMM.HalfWidth)
	return profiles.TestedKerf{
		FeedMMPerMin: cmp.Or(f.Setting.FeedMMPerMin, f.Recipe.FeedMMPerMin.Value), CurrentA: cmp.Or(f.Setting.CurrentA, f.Recipe.CurrentA.Value),
		KerfMM: roundTo(f.KerfMM.Value, step), IntervalMM: roundUp(f.KerfMM.HalfWidth, step),
	}
}

// JudgeCurrents says between which currents, and there at which feeds, a wire's kerf is known, and why
// it is not.
func JudgeCurrents(file string, fits []Fit) (found finding.List) {
	told := map[string]bool{}
	for _, f := range fits {
		s := f.Subject
		s.Setting = Setting{}
		if told[s.String()] {
			continue
		}
		told[s.String()] = true
		all := f.Tested.Currents()
		for i := 1; i < len(all); i++ {
			one := betweenCurrents(f.Tested, all[i-1], all[i], f.Unit)
			one.Where = s.where(file, f.Unit)
			found = append(found, one)
		}
	}
	return found
}

// betweenCurrents judges two neighbouring currents in the middle of the feeds that both were tested at.
func betweenCurrents(t profiles.TestedKerfs, low, high float64, u units.Unit) finding.Finding {
	var least, most float64
	for i, a := range []float64{low, high} {
		feeds := t.Under(a)
		slices.SortFunc(feeds, func(a, b profiles.TestedKerf) int { return cmp.Compare(a.FeedMMPerMin, b.FeedMMPerMin) })
		from, to := feeds[0].FeedMMPerMin, feeds[len(feeds)-1].FeedMMPerMin
		if least = math.Max(least, from); i == 0 || to < most {
			most = to
		}
	}
	f := finding.Finding{Severity: finding.Warning, Rule: "current-between", Message: fmt.Sprintf("between %.4g and %.4g A nobody can say the kerf: ", low, high)}
	if least > most {
		f.Message += "no feed was tested at both"
		f.Hint = "cut at a current that was tested; or cut a coupon between them, without --ladder and with such --current values that none is more than a third above the one below it"
		return f
	}
	feed, amps := math.Round((least+most)/2), (low+high)/2
	feed = math.Min(math.Max(feed, least), most)
	k, why := t.At(feed, amps)
	if why != "" {
		f.Message += why
		f.Hint = "cut at a current and a feed that were tested, with their own kerf; look whether the supply stayed, and measure again"
		return f
	}
	f.Severity = finding.Note
	f.Message = fmt.Sprintf("between %.4g and %.4g A the kerf is known from %.4g to %.4g mm/min: %s at %.4g A and %.4g mm/min", low, high, least, most, Estimate{k.KerfMM, k.IntervalMM}.In(u), amps, feed)
	f.Hint = "--save keeps every kerf of this table: set current_a and feed_mm_per_min in the file that it writes to any between, and the supply to that current; beyond them it is not known"
	return f
}
