package profiles

import (
	"fmt"
	"slices"
	"strings"

	"traywright/geometry/units"
)

// A machine is a laser, whatever its profile says, when the profile has what
// only a beam has:
//
//   - a power in watts, a wavelength, a scale of power or an air assist;
//   - a tool of at most beamMM that has no flutes, unless it is a hot wire;
//   - a cutter so thin for its reach that it would be no cutter;
//   - a spindle that turns no faster than a scale of power goes;
//   - a name, an id or a tool that calls itself a laser or a beam;
//   - a recipe with a power, a focus that is lowered, a share of power for marks, or
//     a speed that is a power's.
//
// One that has any of it and says that it is a router, a knife or a hot wire
// contradicts itself, and is not read: the safety table and the owner's rules go
// by the process.

// beamMM is the widest spot that a beam is taken to have. Beams are focused to
// 0.05 to 0.3 mm and no blade for foam is so thin (from memory).
const beamMM = 0.3

// slenderness is how many times its diameter a cutter may reach. The longest
// that are sold for foam reach about 20 times (from memory); a spot of 0.2 mm
// that "reaches" through a sheet of 25 mm would be 125.
const slenderness = 40

// MostPowerScale is the greatest S word that is taken for a power and not for a
// spindle's speed: the scales that controllers have of power end at 255 or 1000, and
// no spindle in foam turns so slowly, in turns a minute (common practice).
const MostPowerScale = 1000

const beamHint = "a beam is a laser: write `process: laser`; if there is none, take the beam's words out"

// beamHint is what to do about a beam's signs: of a tool whose number is a cutter's in
// inches, it says so first.
func (m Machine) beamHint() string {
	for _, t := range m.Tools {
		d := t.DiameterMM.Value
		thin := d > 0 && (t.Flutes == 0 && d <= beamMM || t.Reach() > slenderness*d)
		if m.Process == Router && thin && d*units.InchMM >= leastCutterMM && d < 1 {
			return fmt.Sprintf("diameter_mm of %s is in mm: for a cutter of %g in write %.6g, and flutes; %s", t.ID, d, d*units.InchMM, beamHint)
		}
	}
	return beamHint
}

// leastCutterMM is the thinnest cutter that is taken for one by its number: 1/32 in.
const leastCutterMM = 0.79

// beamSigns are what a profile that does not say laser has of a beam.
func (m Machine) beamSigns() []string {
	if m.Process == Laser {
		return nil
	}
	var signs []string
	sign := func(has bool, what string) {
		if has {
			signs = append(signs, what)
		}
	}
	sign(m.PowerW.Value != 0, "power_w")
	sign(m.WavelengthNM.Value != 0, "wavelength_nm")
	sign(m.StandoffMM.Value != 0, "standoff_mm")
	sign(m.RiseS.Value != 0, "rise_s")
	sign(m.Controller.PowerScale != 0, "power_scale")
	sign(On(m.Controller.Air) != "", "air_assist")
	sign(m.MaxRPM.Value > 0 && m.MaxRPM.Value <= MostPowerScale, fmt.Sprintf("a max_rpm of %g, which is a scale of power and no spindle's speed,", m.MaxRPM.Value))
	sign(speaksOfBeam(m.ID) || speaksOfBeam(m.Name), fmt.Sprintf("the name %q (%s)", m.Name, m.ID))
	for _, t := range m.Tools {
		d := t.DiameterMM.Value
		sign(speaksOfBeam(t.ID) || speaksOfBeam(t.Name), fmt.Sprintf("the tool %q (%s)", t.Name, t.ID))
		sign(m.With(t).Process != HotWire && t.hotSign() == "" && t.Flutes == 0 && d > 0 && d <= beamMM, fmt.Sprintf("a tool of %g mm that never turns (%s)", d, t.ID))
		sign(m.Process == Router && d > 0 && t.Reach() > slenderness*d, fmt.Sprintf("a cutter of %g mm that reaches %g mm (%s)", d, t.Reach(), t.ID))
	}
	return signs
}

func contradiction(p Process, sign string) string {
	return "a machine with " + sign + " is a laser, and this one says " + string(p)
}

// beamRecipe are the keys that only a beam's recipe has.
var beamRecipe = []string{"power_percent", "focus_step_mm", "pause_s", "mark_share"}

// beamKeys are what a recipe for another process has of a beam's.
func (r Recipe) beamKeys(p Process) []string {
	if p == Laser {
		return nil
	}
	var faults []string
	for _, n := range r.Numbers() {
		if slices.Contains(beamRecipe, n.Key) {
			faults = append(faults, "a recipe with "+n.Key+" is a laser's, and the machine says "+string(p))
		}
		if n.Key == "rpm" && n.Value <= MostPowerScale {
			faults = append(faults, fmt.Sprintf("a recipe with an rpm of %g is a laser's, because that is a power and no spindle's speed, and the machine says %s", n.Value, p))
		}
	}
	return faults
}

// beamWords are how a laser calls itself, as a part of a word; beamNames as a
// whole one; both as spelt.
var (
	beamWords = speltAll("laser", "lazer", "diod", "диод", "lézer", "лазер", "лазар", "λέιζερ", "激光", "雷射", "レーザ", "레이저", "לייזר", "ליזר", "ليزر")
	beamNames = speltAll("beam", "co2", "photon", "photons", "infrared", "strahl", "faisceau", "haz", "raggio", "луч")
)

func speltAll(words ...string) []string {
	for i, w := range words {
		words[i] = spelt(w)
	}
	return words
}

// speaksOfBeam reports whether a name is a laser's. A word that only sounds so
// (a glaser is a glazier) is not.
func speaksOfBeam(text string) bool {
	return slices.ContainsFunc(calls(text), func(word string) bool {
		return slices.Contains(beamNames, word) || slices.ContainsFunc(beamWords, func(beam string) bool {
			return strings.Contains(word, beam) && !strings.HasPrefix(word, "glaser")
		})
	})
}
