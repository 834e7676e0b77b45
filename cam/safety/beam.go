package safety

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/profiles"
)

// How many times the heat of the recipe that it started from a beam or a wire may give: beyond WarmHeat it is told, and
// beyond MostHeat refused. Common practice, no source.
const (
	WarmHeat = 2
	MostHeat = 5
)

// What a beam gives to the foam is bounded by the recipe that its settings started
// from: the shipped one for that foam. How much heat a cut takes is known to a
// factor of about five: foam that only melts takes 0.4 to 0.6 MJ/kg, foam that is
// all made into gas 1.9 to 2.6 (polyethylene, from memory). What gives more than
// five times as much as the start does not cut better: it burns. Only a coupon that
// was cut and measured at such a setting says otherwise, and then it is a warning.
const (
	mostPasses = 30   // over one mm; a weak beam of 5 W takes about 16 for what 40 W does in two (derived)
	slack      = 1.01 // of a measured heat, for the rounding of programs
)

// Beam is what a lit beam does to the foam where it does most.
type Beam struct {
	PassJPerMM float64 // heat in a mm of its way in one pass
	AllJPerMM  float64 // in all passes over that mm
	Passes     int
}

// BeamOf is what a recipe makes of a machine's beam.
func BeamOf(r profiles.Recipe, m profiles.Machine) Beam {
	pass, n := r.PassJPerMM(m), int(max(1, r.Passes.Value))
	return Beam{PassJPerMM: pass, AllJPerMM: pass * float64(n), Passes: n}
}

// CheckBeam holds a beam against the recipe that it started from, with the passes that
// it makes through foam as thick as the use is deep; through the thickest that it is
// for where that is not known (0). What is far
// hotter, or goes over one place too often, is refused; it is warned of where a
// recipe with a measured kerf for this foam on this machine is as hot.
func CheckBeam(b Beam, u Use, c *profiles.Catalog) finding.List {
	recipe, machine, ok := c.Started(u.Foam, profiles.Laser, u.DepthMM)
	start := BeamOf(recipe, machine)
	from := fmt.Sprintf("the recipe for %s on %s that ships", recipe.Foam, recipe.Machine)
	if !ok {
		start, from = Beam{}, "nothing: no recipe of this kind of foam ships for a laser"
	}
	why, hint := "", "less power, fewer passes or a higher feed"
	switch {
	case !(b.PassJPerMM <= MostHeat*start.PassJPerMM):
		why = fmt.Sprintf("the beam gives %.3g J to a mm in one pass; it started from %.3g J, %s", b.PassJPerMM, start.PassJPerMM, from)
	case !(b.AllJPerMM <= MostHeat*start.AllJPerMM):
		why = fmt.Sprintf("the beam gives %.3g J to a mm in %d passes; it started from %.3g J, %s", b.AllJPerMM, b.Passes, start.AllJPerMM, from)
	case b.Passes > mostPasses:
		why = fmt.Sprintf("the beam goes over one place %d times, and %d are the most", b.Passes, mostPasses)
		hint = "thinner foam, or a setting that takes fewer passes"
	default:
		return nil
	}
	f := finding.Finding{
		Rule: "beam-too-hot", Where: u.Where, Message: u.what() + ": " + why + fmt.Sprintf("; more than %d times as much is a fire and no cut", MostHeat),
		Hint: hint + "; a coupon that was cut and measured at such a setting makes this a warning",
	}
	if b.within(measuredBeam(u, c)) {
		f.Severity = finding.Warning
		f.Hint = "a coupon was measured at this setting: watch every second of it, extinguisher in hand"
	}
	return finding.List{f}
}

func (b Beam) within(most Beam) bool {
	return b.PassJPerMM <= slack*most.PassJPerMM && b.AllJPerMM <= slack*most.AllJPerMM && b.Passes <= max(most.Passes, mostPasses)
}

// measuredBeam is the hottest beam that a kerf of this foam was measured with on
// this machine.
func measuredBeam(u Use, c *profiles.Catalog) Beam {
	var most Beam
	for _, r := range c.Recipes() {
		if b := BeamOf(r, u.Machine); r.Foam == u.Foam.ID && r.Machine == u.Machine.ID && r.Measured() && b.AllJPerMM > most.AllJPerMM {
			most = b
		}
	}
	return most
}

// weakW is the power below which a laser does not cut foam: the weakest that are
// sold for cutting have about 2 W, in W of light (from memory).
const weakW = 2

// tellWeak warns of lasers that are too weak to cut foam: more likely the profile is
// wrong, and heat and eyewear are counted by its watts.
func tellWeak(uses []Use, c *profiles.Catalog, rules []Rules) finding.List {
	var found finding.List
	told := map[string]bool{}
	for _, u := range uses {
		m := u.Machine
		if !m.Process.Traits().Beam || !(m.PowerW.Value > 0 && m.PowerW.Value < weakW) || told[m.ID] || Barred(u, c, rules) {
			continue
		}
		told[m.ID] = true
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "weak-laser", Where: "machine " + m.ID,
			Message: fmt.Sprintf("power_w is %g, and no laser below about %d W cuts foam (from memory): heat and eyewear are counted by that number, and if it is too small, both are wrong", m.PowerW.Value, weakW),
			Hint:    "read the watts of light on the laser's label or in its manual",
		})
	}
	return found
}

// How long a beam may be lit in one program. Somebody stands beside it all the
// time (universities' laser rules), and the limits of what it makes of foam are
// means over 8 hours (OSHA): nobody is to be in that for longer. The two hours
// after which that is said are common practice, no source.
const (
	longLitS = 2 * 3600
	mostLitS = 8 * 3600
)

// CheckLit refuses a program whose beam is lit for longer than a shift, and warns
// of a long one. Seconds that are no number are longer than any.
func CheckLit(seconds float64, where string) finding.List {
	f := finding.Finding{
		Rule: "beam-too-long", Where: where, Message: fmt.Sprintf("the beam is lit for %.1f hours in one program", seconds/3600),
		Hint: "split the tray, or cut a thinner foam; somebody stands beside the machine all that time",
	}
	switch {
	case seconds <= longLitS:
		return nil
	case seconds <= mostLitS:
		f.Severity, f.Rule = finding.Warning, "beam-long"
	default:
		f.Message += fmt.Sprintf(", and %d are the most: nobody watches it for longer than a shift", mostLitS/3600)
	}
	return finding.List{f}
}
