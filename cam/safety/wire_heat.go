package safety

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/profiles"
)

// The slower a wire goes, the more heat a mm of foam gets: in proportion, at the same current. That is bounded as a beam's
// heat is, by the recipe that its settings started from.

// CoolWire lowers the current of a wire whose feed the shop rules have lowered, in the measure in which a laser's power
// goes down: a mm of foam gets no more heat than before. It tells of that, and where the wire itself gets less than half
// of its heat, so that it may be too cool to melt foam at all. Where the kerf of the lower feed was tested at the
// recipe's current, that stays.
func CoolWire(was, limited profiles.Recipe, m profiles.Machine) (profiles.Recipe, finding.List) {
	feed := limited.FeedMMPerMin.Value
	if !m.Process.Traits().Wire || !(feed > 0 && feed < was.FeedMMPerMin.Value) || was.CurrentA.Value <= 0 {
		return limited, nil
	}
	cooled := was.CooledA(feed)
	if cooled >= was.CurrentA.Value {
		return limited, nil
	}
	l := limiter{recipe: limited, machine: m}
	l.set(&l.recipe.CurrentA, "current", "A", cooled, "the lower feed")
	if share := math.Pow(cooled/was.CurrentA.Value, 2); feed*WarmHeat < was.FeedMMPerMin.Value {
		l.found = append(l.found, finding.Finding{
			Severity: finding.Warning, Rule: "wire-cool", Where: l.found[0].Where,
			Message: fmt.Sprintf("%.3g A heat the wire to %.2g times the watts of %.3g A: it may be too cool to melt the foam, push it, bow and break", cooled, share, was.CurrentA.Value),
			Hint:    fmt.Sprintf("cut the coupon first and watch whether the wire lags; or ask the owner for a feed limit of %.4g mm/min or more for this foam and process", math.Ceil(was.FeedMMPerMin.Value/WarmHeat)),
		})
	}
	return l.recipe, l.found
}

// CheckWireHeat holds what a recipe's wire gives to a mm of its way against the recipe that it started from, the shipped
// one of that foam or of its kind. Far hotter is refused, and a warning where a kerf of that foam was measured on this machine
// as hot. A recipe without a feed, a hand's, is not judged: nobody knows how fast it goes.
func CheckWireHeat(r profiles.Recipe, t profiles.Tool, u Use, c *profiles.Catalog) finding.List {
	heat := r.MeltHeat(t)
	if !u.Machine.Process.Traits().Wire || heat == 0 {
		return nil
	}
	start, machine, ok := c.Started(u.Foam, profiles.HotWire, 0)
	wire, _ := machine.Tool(start.Tool)
	times := heat / start.MeltHeat(wire)
	f := finding.Finding{Rule: "wire-too-slow", Where: u.Where}
	at := fmt.Sprintf("%s: at %.4g mm/min and %.4g A ", u.what(), r.FeedMMPerMin.Value, r.CurrentA.Value)
	least := math.Ceil(r.FeedMMPerMin.Value * times / MostHeat)
	switch measured := asHotAsMeasured(heat, u, c); {
	case !ok:
		f.Message = at + "the wire gives the foam more heat than anybody knows to be safe: no recipe of this kind of foam ships for a wire"
		f.Hint = "a coupon that was cut and measured at such a setting makes this a warning"
		if measured {
			f.Severity = finding.Warning
		}
	case times <= WarmHeat*slack, measured && times <= MostHeat*slack:
		return nil
	default:
		f.Message = at + fmt.Sprintf("the wire gives the foam %.3g times the heat of what it started from, %.4g mm/min and %.4g A in the recipe for %s on %s that ships: it melts far wider than its kerf says, and more than %d times may set it on fire",
			times, start.FeedMMPerMin.Value, start.CurrentA.Value, start.Foam, start.Machine, MostHeat)
		f.Hint = fmt.Sprintf("set feed_mm_per_min to %.4g or more: %.4g is the start's heat", least, math.Ceil(r.FeedMMPerMin.Value*times))
		if times <= MostHeat*slack {
			f.Severity, f.Rule = finding.Warning, "wire-slow"
			f.Hint = fmt.Sprintf("set feed_mm_per_min to %.4g, the start's heat; or watch it, be ready to stop, and measure its kerf with a coupon", math.Ceil(r.FeedMMPerMin.Value*times))
		} else if measured {
			f.Severity, f.Hint = finding.Warning, "a coupon was measured at this setting: watch every second of it, extinguisher in hand"
		}
	}
	return finding.List{f}
}

// asHotAsMeasured reports whether a kerf of this foam was measured on this machine with as much heat.
func asHotAsMeasured(heat float64, u Use, c *profiles.Catalog) bool {
	for _, r := range c.Recipes() {
		if r.Foam != u.Foam.ID || r.Machine != u.Machine.ID {
			continue
		}
		t, _ := u.Machine.Tool(r.Tool)
		if r.Measured() && heat <= slack*r.MeltHeat(t) {
			return true
		}
		for _, k := range r.Tested {
			r.FeedMMPerMin.Value, r.CurrentA.Value = k.FeedMMPerMin, k.CurrentA
			if heat <= slack*r.MeltHeat(t) {
				return true
			}
		}
	}
	return false
}
