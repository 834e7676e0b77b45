package kerf

import (
	"fmt"
	"math"

	"traywright/cam/finding"
)

// Densities beyond these are no foam's, kg/m3.
const (
	leastDensity = 2
	mostDensity  = 600
)

// Estimate is a number with what is known of how far off it is.
type Estimate struct {
	Value     float64
	HalfWidth float64 // half of the 95 % interval; +Inf where there is none
}

// MarshalJSON writes an interval that is not there as null.
func (e Estimate) MarshalJSON() ([]byte, error) {
	if math.IsInf(e.HalfWidth, 0) || math.IsNaN(e.HalfWidth) {
		return fmt.Appendf(nil, `{"value":%s,"half_width":null}`, plainNumber(e.Value)), nil
	}
	return fmt.Appendf(nil, `{"value":%s,"half_width":%s}`, plainNumber(e.Value), plainNumber(e.HalfWidth)), nil
}

// Block is a piece of foam to be weighed.
type Block struct {
	Foam      string
	At        finding.Position
	Sides     [3]Measure // length, width, height
	MassG     float64
	MassStepG float64 // of the balance's last digit
}

// Density is the block's apparent density in kg/m3, mass over volume as ISO 845
// has it. Its interval is that of reading alone: a length or mass read to a step
// is anywhere within half a step of it, a standard uncertainty of step/√12, and
// relative uncertainties of a product add in squares (common practice in
// metrology, from memory); 1.96 of the sum is 95 %. How much foam varies within
// a sheet is not in it: weigh several blocks.
func (b Block) Density() Estimate {
	const mm3PerM3, gPerKg = 1e9, 1e3
	volume, relative := 1.0, square(b.MassStepG/b.MassG)
	for _, s := range b.Sides {
		volume *= s.Length.MM()
		relative += square(s.Step.MM() / s.Length.MM())
	}
	value := b.MassG / gPerKg / volume * mm3PerM3
	return Estimate{value, normal95 * value * math.Sqrt(relative/12)}
}

// normal95 is the 97.5 % point of the normal distribution.
const normal95 = 1.959963984540054

func square(x float64) float64 { return x * x }

// roundTo rounds to a step that is one over a whole number, so that no binary
// fraction adds digits.
func roundTo(x, step float64) float64 {
	whole := math.Round(1 / step)
	return math.Round(x*whole) / whole
}
