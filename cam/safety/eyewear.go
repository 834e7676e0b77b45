package safety

import (
	"fmt"
	"math"
)

// LB is the least LB number of eyewear by EN 207 for a continuous beam of 1 mm
// diameter: with E the power density in W/m2, log10(E) - 1 from 315 to 1400 nm
// and log10(E) - 3 above 1400 nm, rounded up (after a secondary text). The error
// is for a wavelength below 315 nm, which the formula does not cover, and for a
// beam that no LB number is enough for. It is a first guess to take to a laser
// safety officer, not a choice of eyewear.
func LB(powerW, wavelengthNM float64) (int, error) {
	const beamMM, most = 1, 10
	if !(powerW > 0) || !(wavelengthNM >= 315) || math.IsInf(wavelengthNM, 0) {
		return 0, fmt.Errorf("there is no LB number for %v W at %v nm", powerW, wavelengthNM)
	}
	less := 1.0
	if wavelengthNM > 1400 {
		less = 3
	}
	density := powerW / (math.Pi / 4 * beamMM * beamMM * 1e-6)
	n := math.Max(1, math.Ceil(math.Log10(density)-less))
	if n > most {
		return 0, fmt.Errorf("no LB number is enough for %v W at %v nm", powerW, wavelengthNM)
	}
	return int(n), nil
}
