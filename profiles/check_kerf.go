package profiles

import (
	"fmt"
	"math"
)

// What a tool's kerf may be beside its width: what a cutter runs out, tears off and springs back from,
// what a blade tears, are some tenths of a mm each (judged, no source). Beyond that it is a slip, or
// another tool's.
const (
	MostKerfOffMM = 1.0 // that was measured
	FarKerfMM     = 0.5 // that nobody measured; and of a measured one, without a word
)

// mostMelted is how many times its spot a beam's kerf is at most, and mostMeltedMM what is let through of any:
// foam melts back, a mm or so from a spot of some tenths (judged, no source).
const (
	mostMelted   = 10
	mostMeltedMM = 2
)

// KerfOfCutter reports whether a measured kerf can be the work of a cutter of a diameter, both in mm:
// from half of it, in foam that springs back, to twice, and no more than MostKerfOffMM from it.
func KerfOfCutter(kerfMM, diameterMM float64) bool {
	return kerfMM >= diameterMM/2 && kerfMM <= 2*diameterMM && math.Abs(kerfMM-diameterMM) <= MostKerfOffMM+1e-9
}

// kerfFaults is what is wrong with a recipe's kerf beside its tool's width. A kerf that nobody
// measured is the cutter's own, and was forgotten where the cutter has become another.
func kerfFaults(r Recipe, p Process, tool Tool) []string {
	kerf, d := r.KerfMM.Value, tool.DiameterMM.Value
	off := FarKerfMM
	if r.Measured() || len(r.MeasuredIn) > 0 || len(r.Tested) > 0 {
		off = MostKerfOffMM
	}
	switch traits := p.Traits(); {
	case d <= 0:
	case traits.Turning && !KerfOfCutter(kerf, d):
		return []string{fmt.Sprintf("kerf_mm of %v is not the work of a cutter of %v mm: write kerf_mm: %[2]v until a coupon says better, or the diameter_mm of the cutter that is in use", kerf, d)}
	case traits.Turning && math.Abs(kerf-d) > off+1e-9:
		return []string{fmt.Sprintf("kerf_mm of %v is %.3g mm off the cutter of %v mm, and nobody measured it: write kerf_mm: %[3]v until a coupon says better, or the diameter_mm of the cutter that is in use", kerf, math.Abs(kerf-d), d)}
	case traits.Blade && kerf > d+off+1e-9:
		return []string{fmt.Sprintf("kerf_mm of %v is more than %v mm wider than the blade of %v mm, which parts foam and takes none away: write kerf_mm: %v until a coupon says better, or the diameter_mm of the blade, which is how thick it is", kerf, off, d, d/2)}
	case traits.Beam && kerf > max(mostMelted*d, mostMeltedMM):
		return []string{fmt.Sprintf("kerf_mm of %v is more than %v times the spot of %v mm: write what a coupon measures, or the diameter_mm of the beam's spot", kerf, mostMelted, d)}
	}
	return nil
}
