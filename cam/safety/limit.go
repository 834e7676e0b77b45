package safety

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/profiles"
)

// Limit lowers a recipe to the strictest limits of power and feed that hold for
// its foam and machine, and tells of each number that it lowered. A beam that
// goes slower heats the foam more, so where it lowers a laser's feed it lowers
// the power in the same measure. Where a pass then gives less to a mm of its way, it
// goes through as much less foam, and its focus goes as much less down; never through
// more than the recipe says.
func Limit(r profiles.Recipe, m profiles.Machine, rules []Rules) (profiles.Recipe, finding.List) {
	l := limiter{recipe: r, rules: rules, machine: m}
	feed := r.FeedMMPerMin.Value
	feedLimit := func(l Limits) float64 { return l.FeedMMPerMin }
	rule := l.lower(&l.recipe.FeedMMPerMin, "feed", "mm/min", feedLimit)
	l.lower(&l.recipe.PlungeMMPerMin, "plunge feed", "mm/min", feedLimit)
	if rule != "" && m.Process.Traits().Beam {
		power := r.PowerPercent.Value * l.recipe.FeedMMPerMin.Value / feed
		l.set(&l.recipe.PowerPercent, "power", "%", power, "the lower feed that is set by "+rule)
	}
	l.lower(&l.recipe.PowerPercent, "power", "%", func(l Limits) float64 { return l.PowerPercent })
	if before, after := r.PassJPerMM(m), l.recipe.PassJPerMM(m); after < before*(1-1e-9) && r.MMPerPass.Value > 0 {
		l.set(&l.recipe.MMPerPass, "depth of a pass", "mm", r.MMPerPass.Value*after/before, "the lower power")
		l.recipe.FocusStepMM.Value *= after / before
	}
	return l.recipe, l.found
}

type limiter struct {
	recipe  profiles.Recipe
	machine profiles.Machine
	rules   []Rules
	found   finding.List
}

// lower brings a number down to a limit, and returns the rule that it is from,
// or "" where nothing had to be lowered.
func (l *limiter) lower(n *profiles.Number, name, unit string, limit func(Limits) float64) string {
	least, rule := strictest(l.rules, func(limits Limits) float64 {
		if !limits.cover(l.recipe.Foam, l.machine) {
			return 0
		}
		return limit(limits)
	})
	if least == 0 || n.Value <= least {
		return ""
	}
	l.set(n, name, unit, least, rule)
	return rule
}

func (l *limiter) set(n *profiles.Number, name, unit string, value float64, rule string) {
	l.found = append(l.found, finding.Finding{
		Severity: finding.Note, Rule: "limited", Where: fmt.Sprintf("recipe for %s with %s", l.recipe.Foam, l.recipe.Tool),
		Message: fmt.Sprintf("%s lowered from %s to %s %s by %s", name, number(n.Value, value), number(value, n.Value), unit, rule),
		Hint:    "nothing to do; try the lowered settings on a test piece first",
	})
	*n = profiles.Number{Value: value, Source: fmt.Sprintf("lowered from %s by %s; %s", number(n.Value, value), rule, n.Source)}
}

// number is a value to four digits, or to as many as tell it from another.
func number(v, other float64) string {
	for digits := 4; ; digits++ {
		if text := fmt.Sprintf("%.*g", digits, v); text != fmt.Sprintf("%.*g", digits, other) || digits == 17 {
			return text
		}
	}
}

// CheckMinutes refuses a program that takes longer than the strictest limit.
// Seconds that are no number are longer than any.
func CheckMinutes(seconds float64, where string, rules []Rules) finding.List {
	least, rule := strictest(rules, func(l Limits) float64 { return l.Minutes })
	if least == 0 || seconds/60 <= least {
		return nil
	}
	return finding.List{{
		Rule: "too-long", Where: where,
		Message: fmt.Sprintf("the program takes %s, and %s allows %.4g minutes", tooLong(seconds), rule, least),
		Hint:    "split the tray in halves",
	}}
}

// tooLong is seconds that are too many, rounded up: they never read as those that are allowed.
func tooLong(seconds float64) string {
	if !(seconds < 1e8) {
		return finding.Duration(seconds)
	}
	s := int(math.Ceil(seconds))
	return fmt.Sprintf("%d min %02d s", s/60, s%60)
}
