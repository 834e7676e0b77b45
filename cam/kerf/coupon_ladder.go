package kerf

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

// CouponLadder is one setting in several values, each with squares of its own.
type CouponLadder struct {
	Key    string    // one of ladderKeys; "" is no ladder
	Values []float64 // mm/min, per cent, a number, mm
}

// Bounds of a ladder: each step has squares to measure.
const (
	leastSteps = 2
	mostSteps  = 8
)

// ParseLadder reads "feed=600,900,1200". A number may carry its unit; a bare
// step-down is in bare. The finding says what cannot be read; whose text it is,
// its caller knows.
func ParseLadder(text string, bare units.Unit) (CouponLadder, finding.List) {
	key, list, ok := strings.Cut(text, "=")
	key = strings.ToLower(strings.TrimSpace(key))
	kind := rungOf(key)
	switch {
	case !ok:
		return CouponLadder{}, finding.List{{Rule: "no-ladder", Message: fmt.Sprintf("%q is no ladder", text), Hint: "write a setting and its values, such as feed=600,900,1200"}}
	case key == "current":
		return CouponLadder{}, finding.List{{Rule: "no-ladder", Message: "a ladder is of one program, and no program sets a current: a hand does", Hint: "add --current " + strings.TrimSpace(list) + ": a piece and a program for each"}}
	case kind.key == "":
		return CouponLadder{}, finding.List{{Rule: "no-ladder", Message: fmt.Sprintf("a ladder cannot be over %q", key), Hint: finding.Suggest(key, ladderKeys())}}
	}
	l := CouponLadder{Key: key}
	for item := range strings.SplitSeq(list, ",") {
		v, ok := kind.parse(strings.TrimSpace(item), bare)
		if !ok {
			return CouponLadder{}, finding.List{{Rule: "no-ladder", Message: fmt.Sprintf("%s: %q is not %s", key, strings.TrimSpace(item), kind.wanted()), Hint: "write " + kind.example()}}
		}
		l.Values = append(l.Values, v)
	}
	return l, nil
}

// mostCurrents of a coupon: each is a piece to cut and measure.
const mostCurrents = 3

// ParseCurrents reads "1.6,1.8,2", the currents of a hot wire's coupon, lowest first; none of "". The
// finding says what cannot be read; whose text it is, its caller knows.
func ParseCurrents(text string) (list []float64, found finding.List) {
	if text == "" {
		return nil, nil
	}
	const hint = "write one to three currents in A with commas between, such as 1.6,1.8,2"
	for item := range strings.SplitSeq(text, ",") {
		v, ok := rung{unit: "A"}.parse(strings.TrimSpace(item), units.Millimetre)
		switch {
		case !ok || !(v > 0):
			return nil, finding.List{{Rule: "no-current", Message: fmt.Sprintf("%q is no current in A", strings.TrimSpace(item)), Hint: hint}}
		case v != math.Round(v*100)/100:
			return nil, finding.List{{Rule: "no-current", Message: fmt.Sprintf("%g A is finer than a supply is set to", v), Hint: "write no more than hundredths of an A, such as 1.85"}}
		case slices.Contains(list, v):
			return nil, finding.List{{Rule: "no-current", Message: fmt.Sprintf("%g A stands there twice", v), Hint: hint}}
		}
		list = append(list, v)
	}
	if len(list) > mostCurrents {
		return nil, finding.List{{Rule: "no-current", Message: fmt.Sprintf("%d currents are more than %d pieces to cut and measure", len(list), mostCurrents), Hint: hint}}
	}
	slices.Sort(list)
	return list, nil
}

func (k rung) parse(text string, bare units.Unit) (float64, bool) {
	if k.unit == "mm" {
		l, err := units.Parse(text, bare)
		return l.MM(), err == nil
	}
	plain := strings.TrimSpace(strings.TrimSuffix(text, k.unit))
	v, err := strconv.ParseFloat(plain, 64)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0) && !strings.ContainsAny(plain, "xXpP_")
}

// wanted is what a value of the rung is, and example a list of some.
func (k rung) wanted() string {
	switch k.unit {
	case "":
		return "a number"
	case "mm":
		return "a length"
	}
	return "a number of " + k.unit
}

func (k rung) example() string {
	values := map[string]string{"feed": "600,900,1200", "power": "30,40,50", "passes": "1,2,3", "stepdown": "4 mm,8 mm"}
	return "them with commas between, such as " + k.key + "=" + values[k.key]
}

// Group is the squares of one setting, and what they are cut with.
type Group struct {
	Letter string // A, B, ...; "" without a ladder
	Value  float64
	Recipe profiles.Recipe
}

// text is the setting for a person: "feed 900 mm/min".
func (l CouponLadder) text(v float64) string {
	return strings.TrimSpace(fmt.Sprintf("%s %.6g %s", l.Key, v, rungOf(l.Key).unit))
}

// settings makes the groups: one for each value of the ladder, each within the
// machine's and the shop's limits.
func (d *designer) settings() {
	base := d.coupon.Recipe
	if d.NoSquares {
		return
	}
	if d.Ladder.Key == "" && d.tooCool() {
		return
	}
	chosen := d.Ladder.Key == ""
	if feed := base.FeedMMPerMin.Value; chosen && wayOf(d.Machine).melts && feed > 0 && len(d.Sizes) == 0 && !d.Machine.DrawingsOnly() {
		if d.fastest(base) < slowest {
			d.fail("ladder-too-slow", fmt.Sprintf("no three feeds of a wire can be tried where the limits leave %.4g mm/min", feed), fmt.Sprintf("a feed_mm_per_min of the recipe, or a limit of the owner's, has to be %d mm/min or more for that", slowest))
			return
		}
		d.Ladder = threeSpeeds(feed, d.fastest(base))
		d.coupon.Spec.Ladder = d.Ladder
	}
	if d.Ladder.Key == "" {
		one := Group{Recipe: base}
		if d.Of > 1 {
			one.Letter = d.letter(0)
		}
		if d.CurrentA > 0 {
			d.checkHeat(one, fmt.Sprintf("%.4g A", d.CurrentA), base, false)
		}
		d.coupon.Groups = []Group{one}
		return
	}
	if !d.checkLadder() {
		return
	}
	for i, v := range d.Ladder.Values {
		s := Group{Letter: d.letter(i), Value: v, Recipe: base}
		step := profiles.Number{Value: v, Source: "a step of this coupon's ladder"}
		*rungOf(d.Ladder.Key).recipe(&s.Recipe) = step
		if d.Ladder.Key == "passes" { // they are to go through, which the coupon will tell
			step.Value = d.Thickness.MM() / v
			s.Recipe.MMPerPass = step
			if usual := base.Through(d.Thickness.MM()).Passes.Value; v > max(usual, 2) { // its focus goes down no farther than the recipe's
				s.Recipe.FocusStepMM.Value *= (max(usual, 2) - 1) / (v - 1)
			}
		}
		d.checkSetting(s, base, chosen)
		d.coupon.Groups = append(d.coupon.Groups, s)
	}
}

// letter is that of a group: no two pieces of a coupon have the same.
func (d *designer) letter(group int) string {
	return string(rune('A' + max(0, d.Piece-1)*max(1, len(d.Ladder.Values)) + group))
}

// threeSpeeds is a wire's ladder where none is asked for: its kerf follows its speed, two speeds
// make a law of that and the third tries it (judgeSpeeds).
func threeSpeeds(feed, most float64) CouponLadder {
	l := CouponLadder{Key: "feed"}
	feed = math.Min(feed, most/1.3)
	for _, times := range []float64{0.7, 1, 1.3} {
		l.Values = append(l.Values, math.Max(1, math.Round(times*feed)))
	}
	return l
}

// CurrentsApart warns of pieces, the coolest first, of which two neighbours test no feed in common: once they
// are cut and measured nobody can say the kerf between their currents (see betweenCurrents).
func CurrentsApart(pieces []*Coupon) (found finding.List) {
	for i, hot := range pieces[1:] {
		cool := pieces[i]
		if len(hot.Squares) == 0 || hot.Groups[0].Recipe.FeedMMPerMin.Value <= cool.Groups[len(cool.Groups)-1].Recipe.FeedMMPerMin.Value {
			continue
		}
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "currents-apart", Where: CouponID,
			Message: fmt.Sprintf("no feed is tested at both %.4g and %.4g A: nobody will be able to say the kerf between these currents", cool.Spec.CurrentA, hot.Spec.CurrentA),
			Hint:    "give --current such values that none is more than a third above the one below it; or cut at these currents alone",
		})
	}
	return found
}

// fastest is the feed that machine and limits allow a recipe, in whole mm/min.
func (d *designer) fastest(r profiles.Recipe) float64 {
	r.FeedMMPerMin.Value *= 2
	if most := d.Machine.MaxFeedMMPerMin.Value; most > 0 {
		r.FeedMMPerMin.Value = math.Min(r.FeedMMPerMin.Value, most)
	}
	if d.Limit != nil {
		r, _ = d.Limit(r)
	}
	return math.Floor(r.FeedMMPerMin.Value)
}

// checkLadder looks at the ladder as a whole.
func (d *designer) checkLadder() bool {
	l, kind, before := d.Ladder, rungOf(d.Ladder.Key), len(d.found)
	if w := wayOf(d.Machine); !slices.Contains(w.ladder, l.Key) {
		d.fail("ladder-not-of-process", fmt.Sprintf("%s is a %s, which has no %s", d.Machine.ID, d.Machine.Process, l.Key),
			"its ladders are over "+strings.Join(w.ladder, " or "))
	}
	if n := len(l.Values); n < leastSteps || n > mostSteps {
		d.fail("ladder-length", fmt.Sprintf("a ladder of %d is no ladder: it has %d to %d steps", n, leastSteps, mostSteps), "choose a few values, well apart; each has squares to measure")
	}
	for i, v := range l.Values {
		switch {
		case !(v > 0) || v > kind.most || kind.whole && v != math.Trunc(v):
			d.fail("ladder-value", l.text(v)+" cannot be set", "give "+kind.range_())
		case slices.Contains(l.Values[:i], v):
			d.fail("ladder-value", l.text(v)+" stands in the ladder twice", "give each value once")
		}
	}
	return len(d.found) == before
}

func (k rung) range_() string {
	text := "values above 0, up to"
	if k.whole {
		text = "whole numbers from 1 to"
	}
	return strings.TrimSpace(fmt.Sprintf("%s %.6g %s", text, k.most, k.unit))
}

// How far a setting may be from the recipe's: beyond warnAt it is told, and more
// heat than refuseAt times the recipe's is no step of a ladder but a fire.
const (
	warnAt   = safety.WarmHeat
	refuseAt = safety.MostHeat
	coldAt   = 2. / 3 // of a wire: the feeds that ship are up to two thirds of what its heat melts (see recipes.yaml)
)

// checkSetting holds one step against the limits and against the recipe.
func (d *designer) checkSetting(s Group, base profiles.Recipe, chosen bool) {
	name := fmt.Sprintf("step %s, %s", s.Letter, d.Ladder.text(s.Value))
	if most := d.Machine.MaxFeedMMPerMin.Value; d.Ladder.Key == "feed" && most > 0 && s.Value > most {
		d.fail("ladder-over-limit", fmt.Sprintf("%s: %s goes no faster than %.6g mm/min", name, d.Machine.ID, most), "leave it out, or make it slower")
	}
	if d.Limit != nil {
		_, lowered := d.Limit(s.Recipe)
		for _, f := range lowered {
			d.fail("ladder-over-limit", name+", is beyond what is allowed: "+f.Message, "leave it out, or stay within the limit")
		}
	}
	if wayOf(d.Machine).heats {
		d.checkHeat(s, name, base, chosen)
		return
	}
	d.checkCutter(s, name, base)
}

// slowest is the least feed of which three whole steps can be tried, mm/min: 3, 4 and 5, or 2, 3 and 4 below a limit.
const slowest = 4

// tooCool refuses a current whose feed, which follows it, has no three whole steps of mm/min.
func (d *designer) tooCool() bool {
	r := d.coupon.Recipe
	usual, ok := d.Catalog.Recipe(r.Foam, r.Machine, r.Tool)
	if !ok || d.CurrentA == 0 || !wayOf(d.Machine).melts {
		return false
	}
	least := math.Ceil(100*usual.CurrentA.Value*math.Sqrt(slowest/usual.FeedMMPerMin.Value)) / 100
	if d.CurrentA < least {
		d.fail("current-too-small", fmt.Sprintf("%.4g A goes with a feed under %d mm/min, where no three can be tried", d.CurrentA, slowest), fmt.Sprintf("give --current %.4g or more", least))
	}
	return d.CurrentA < least
}

// checkHeat compares what the beam gives to a mm of its way in one pass. What a ladder that nobody
// chose asks for is a matter of the current, for its feeds are within the limits.
func (d *designer) checkHeat(s Group, name string, base profiles.Recipe, chosen bool) {
	heat := func(r profiles.Recipe) float64 { return r.PowerPercent.Value / r.FeedMMPerMin.Value }
	if wayOf(d.Machine).melts {
		heat = func(r profiles.Recipe) float64 { return r.MeltHeat(d.coupon.Tool) }
		if usual, ok := d.Catalog.Recipe(base.Foam, base.Machine, base.Tool); ok { // as it is, not at the coupon's current
			base = usual
		}
	}
	times := heat(s.Recipe) / heat(base)
	switch {
	case times > refuseAt && chosen && wayOf(d.Machine).melts:
		d.fail("ladder-too-hot", fmt.Sprintf("%s, of the feeds within the limits, gives the foam %.2g times the heat of the recipe, and may set it on fire", name, times),
			fmt.Sprintf("give --current %.4g: its feeds follow it", math.Floor(100*s.Recipe.CurrentA.Value/math.Sqrt(times))/100))
	case times > refuseAt:
		d.fail("ladder-too-hot", fmt.Sprintf("%s, gives the foam %.2g times the heat of the recipe, and may set it on fire", name, times),
			fmt.Sprintf("stay nearer to the recipe, within %d times its heat; measure that coupon, and go on from there", refuseAt))
	case times > warnAt:
		d.warn("ladder-hot", fmt.Sprintf("%s, gives the foam %.2g times the heat of the recipe", name, times), "watch it, and be ready to stop; cut it first on a scrap")
	case wayOf(d.Machine).melts && times < coldAt:
		d.warn("ladder-cold", fmt.Sprintf("%s, gives the foam %.2g times the heat of the recipe: the wire may push it, bow and break", name, times), "go slower at so little current: leave --ladder out and the feeds follow the current")
	}
}

// checkCutter warns of steps that rub or tear.
func (d *designer) checkCutter(s Group, name string, base profiles.Recipe) {
	is := *rungOf(d.Ladder.Key).recipe(&s.Recipe)
	was := *rungOf(d.Ladder.Key).recipe(&base)
	switch times := is.Value / was.Value; {
	case times > warnAt:
		d.warn("ladder-far", fmt.Sprintf("%s, is %.2g times the recipe's %.6g", name, times, was.Value), "foam may tear, or the cutter break: stand back, and be ready to stop")
	case d.Ladder.Key == "feed" && times < 1./warnAt/warnAt:
		d.warn("ladder-far", fmt.Sprintf("%s, is %.2g times the recipe's %.6g", name, times, was.Value), "a cutter that rubs melts foam: watch it")
	}
}

// checkAlike refuses step-downs that make the same passes.
func (d *designer) checkAlike() {
	if d.Ladder.Key != "stepdown" {
		return
	}
	depth := d.Thickness.MM() - d.coupon.SkinMM()
	passes := func(s Group) float64 { return math.Ceil(depth/s.Value - 1e-6) }
	for i, s := range d.coupon.Groups {
		for _, t := range d.coupon.Groups[:i] {
			if passes(s) == passes(t) {
				d.fail("ladder-alike", fmt.Sprintf("steps %s and %s cut %s in the same number of passes, %.0f", t.Letter, s.Letter, d.mm(depth), passes(s)),
					"choose step-downs that make a different number of passes")
			}
		}
	}
}
