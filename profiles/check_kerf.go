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

// OddKerf is why a tool does not cut a kerf, known to so much either way, as what follows "a kerf of 9", and what to write
// instead; "" where it may. A kerf that nobody measured is the cutter's own, and was forgotten where the cutter has become
// another.
func OddKerf(kerfMM, offMM float64, measured bool, p Process, t Tool) (why, instead string) {
	d, far := t.DiameterMM.Value, FarKerfMM
	if measured {
		far = MostKerfOffMM
	}
	cutter := fmt.Sprintf("write kerf_mm: %v until a coupon says better, or the diameter_mm of the cutter that is in use", d)
	switch is := p.Traits(); {
	case d <= 0:
	case is.Turning && !KerfOfCutter(kerfMM, d):
		return fmt.Sprintf("is not the work of a cutter of %v mm", d), cutter
	case is.Turning && math.Abs(kerfMM-d) > far+1e-9:
		return fmt.Sprintf("is %.3g mm off the cutter of %v mm, and nobody measured it", math.Abs(kerfMM-d), d), cutter
	case is.Blade && kerfMM > d+far+1e-9:
		return fmt.Sprintf("is more than %v mm wider than the blade of %v mm, which parts foam and takes none away", far, d),
			fmt.Sprintf("write kerf_mm: %v until a coupon says better, or the diameter_mm of the blade, which is how thick it is", d/2)
	case is.Beam && kerfMM > max(mostMelted*d, mostMeltedMM):
		return fmt.Sprintf("is more than %v times the spot of %v mm", mostMelted, d), "write what a coupon measures, or the diameter_mm of the beam's spot"
	case is.Wire && kerfMM+offMM < d:
		return fmt.Sprintf("is less than the wire of %v mm, which melts more than its own width", d), ""
	}
	return "", ""
}

// kerfFaults is what is wrong with the kerfs of a recipe beside its tool's width: its own, and those which the foam of a job
// or a shop's limit of the feed may put into its place.
func kerfFaults(r Recipe, m Machine, tool Tool) (faults []string) {
	measured := r.Measured() || len(r.MeasuredIn) > 0 || len(r.Tested) > 0
	if why, instead := OddKerf(r.KerfMM.Value, r.KerfIntervalMM.Value, measured, m.Process, tool); instead != "" {
		faults = append(faults, fmt.Sprintf("kerf_mm of %v %s: %s", r.KerfMM.Value, why, instead))
	} else if why != "" {
		faults = append(faults, fmt.Sprintf("kerf_mm of %v %s", r.KerfMM.Value, why))
	}
	for _, k := range r.Tested {
		if why, _ := OddKerf(k.KerfMM, k.IntervalMM, true, HotWire, tool); why != "" {
			faults = append(faults, fmt.Sprintf("tested: kerf_mm of %v at %.6g mm/min and %.6g A %s", k.KerfMM, k.FeedMMPerMin, k.CurrentA, why))
		}
	}
	for _, k := range r.MeasuredIn {
		if why, _ := OddKerf(k.KerfMM, k.IntervalMM, true, m.With(tool).Process, tool); why != "" {
			faults = append(faults, fmt.Sprintf("measured_in: kerf_mm of %v in foam of %.6g mm %s", k.KerfMM, k.ThicknessMM, why))
		}
	}
	return faults
}
