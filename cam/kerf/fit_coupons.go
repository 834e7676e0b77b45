package kerf

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles"
)

// Readings of several coupons: which are of one, and which are of one day. Scales and kerfs rest on them alike.

// Retaken are coupons that were there before.
type Retaken struct {
	Again []string // whose earlier readings were replaced
	Twice []string // whose numbers are, to the last digit, those of another day: it counts once
}

// addReadings adds readings to others. One takes the place of all that are there of its coupon, which is noted where
// they said anything else; where they did not, the name that has a date, and the earlier one, stays.
func addReadings[R comparable](all, list []R, of func(*R) *string, told *Retaken) []R {
	for _, r := range list {
		var rest []R
		at := -1
		for _, old := range all {
			name, its := *of(&old), *of(&r)
			alike := alikeReadings(old, r, of)
			if !sameCoupon(name, its, alike) {
				rest = append(rest, old)
				continue
			}
			if at < 0 {
				at = len(rest)
			}
			told.note(name, its, alike)
			if alike && betterName(name, its) {
				r = old
			}
		}
		if at < 0 {
			at = len(rest)
		}
		all = slices.Insert(rest, at, r)
	}
	return all
}

// note notes that a coupon is there already.
func (t *Retaken) note(old, now string, alike bool) {
	_, before := spanOf(old)
	_, after := spanOf(now)
	switch {
	case t == nil:
	case !alike:
		t.Again = addText(t.Again, now)
	case before.from != "" && after.from != "" && before != after:
		t.Twice = addText(t.Twice, old)
	}
}

// judge says which coupons were there already.
func (t Retaken) judge(where string) (found finding.List) {
	for _, name := range t.Again {
		found = append(found, finding.Finding{Severity: finding.Note, Rule: "coupon-again", Where: where, Message: "the readings of " + name + " take the place of those that were saved of it",
			Hint: "if it is another coupon, say when it was measured: --date, or a column `date`"})
	}
	for _, name := range t.Twice {
		found = append(found, finding.Finding{Severity: finding.Note, Rule: "coupon-twice", Where: where, Message: "its numbers are to the last digit those of " + name + ": it is taken for the same coupon, and counts once",
			Hint: "if it is another coupon, read it to a finer digit, or in more places"})
	}
	return found
}

// alikeReadings reports whether two say the same, whatever their coupons are called.
func alikeReadings[R comparable](a, b R, of func(*R) *string) bool {
	*of(&a) = *of(&b)
	return a == b
}

func ofScale(r *profiles.ScaleReading) *string { return &r.Coupon }
func ofKerf(r *profiles.KerfReading) *string   { return &r.Coupon }

func betterName(a, b string) bool {
	_, from := spanOf(a)
	_, other := spanOf(b)
	if dated := from.from != ""; dated != (other.from != "") {
		return dated
	}
	return a < b
}

// sameCoupon reports whether two names are of one coupon: of the same cut, and of the same days, or days that lie within
// the other's, as those of a table that goes on; whatever their days, where all numbers are alike.
func sameCoupon(a, b string, alike bool) bool {
	of, days := spanOf(a)
	other, its := spanOf(b)
	within := days.from != "" && its.from != "" && (days.within(its) || its.within(days))
	return of == other && (a == b || alike || within)
}

// endsInDays is when a coupon's readings were taken, as its name says: see Fit.when.
var endsInDays = regexp.MustCompile(` (\d{4}-\d\d(?:-\d\d)?)(?: to (\d{4}-\d\d(?:-\d\d)?))?$`)

// span is the days that a coupon was measured on. A month may be any day of it, and what has no date may be of any.
type span struct{ from, to string }

func (s span) within(o span) bool { return s.from >= o.from && s.to <= o.to }

// spanOf parts a coupon's name into what was cut and when.
func spanOf(coupon string) (of string, s span) {
	const after = "~" // sorts behind every date
	m := endsInDays.FindStringSubmatch(coupon)
	if m == nil {
		return coupon, span{"", after}
	}
	return strings.TrimSuffix(coupon, m[0]), span{m[1], cmp.Or(m[2], m[1]) + after}
}

// daysOf parts coupons by when they were measured. What may be of several days is of all, until someone says when.
func daysOf(list []profiles.ScaleReading) (days [][]profiles.ScaleReading) {
	of := func(r profiles.ScaleReading) span {
		_, s := spanOf(r.Coupon)
		return s
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b profiles.ScaleReading) int { return strings.Compare(of(a).from, of(b).from) })
	last := ""
	for _, r := range sorted {
		s := of(r)
		if s.from >= last {
			days = append(days, nil)
		}
		days[len(days)-1] = append(days[len(days)-1], r)
		last = max(last, s.to)
	}
	return days
}
