package safety

import (
	"fmt"
	"math"

	"traywright/profiles"
)

// beamMM is the diameter that EN 207 takes a beam to have here.
const beamMM = 1

// lb is the least LB number of eyewear by EN 207 for a continuous beam of 1 mm
// diameter: with E the power density in W/m2, log10(E) - 1 from 315 to 1400 nm
// and log10(E) - 3 above 1400 nm, rounded up (after a secondary text). The error
// is for a wavelength below 315 nm, which the formula does not cover, and for a
// beam that no LB number is enough for. It is a first guess to take to a laser
// safety officer, not a choice of eyewear: a filter of that number stands the beam
// for 5 s (EN 207:2017, after a secondary text), and ISO 19818-1:2021 has largely
// taken the standard's place (after a secondary text).
func lb(powerW, wavelengthNM float64) (int, error) {
	const most = 10
	if !(powerW > 0) || !(wavelengthNM >= 315) || math.IsInf(wavelengthNM, 0) {
		return 0, fmt.Errorf("there is no LB number for %v W at %v nm", powerW, wavelengthNM)
	}
	n := math.Max(1, math.Ceil(math.Log10(density(powerW))-less(wavelengthNM)))
	if n > most {
		return 0, fmt.Errorf("no LB number is enough for %v W at %v nm", powerW, wavelengthNM)
	}
	return int(n), nil
}

// density is the power density of the beam, in W/m2.
func density(powerW float64) float64 { return powerW / (math.Pi / 4 * beamMM * beamMM * 1e-6) }

// less is what the formula takes off the logarithm.
func less(wavelengthNM float64) float64 {
	if wavelengthNM > 1400 {
		return 3
	}
	return 1
}

// eyewear says in few words which to begin with when the beam is not shut in.
func eyewear(m profiles.Machine) string {
	n, err := lb(m.PowerW.Value, m.WavelengthNM.Value)
	if err != nil {
		return "Eyewear: ask your laser safety officer before any lid is opened, or a beam lit that is not shut in."
	}
	return fmt.Sprintf("Eyewear where a beam is open: EN 207, D LB%d or more at %.0f nm, for seconds only; ask your laser safety officer.",
		n, m.WavelengthNM.Value)
}

// Eyewear says how the LB number in the cautions came about, and after whom;
// "" where there is none.
func Eyewear(m profiles.Machine) string {
	n, err := lb(m.PowerW.Value, m.WavelengthNM.Value)
	if err != nil {
		return ""
	}
	return fmt.Sprintf("%g W on %d mm is 10^%.1f W/m2; %.1[3]f - %[4]g, rounded up, gives LB%[5]d (EN 207 for a continuous beam, "+
		"after a secondary text). Such a filter stands a direct beam for 5 s, no more: it is for turning away in, not for looking "+
		"(EN 207:2017, after a secondary text). ISO 19818-1:2021, which is EN ISO 19818-1 too, has largely taken its place, with categories of its own "+
		"(after a secondary text). A first guess: check with your laser safety officer.",
		m.PowerW.Value, beamMM, math.Log10(density(m.PowerW.Value)), less(m.WavelengthNM.Value), n)
}
