package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Sheets of one foam and label add up whole, different ones as t sqrt n; a measured
// one is off by what it is read to (ISO 1923, after GB/T 6342).
func TestThicknessOfABlock(t *testing.T) {
	const inch = units.Length(25_400_000)
	foam := func(id string) profiles.Foam {
		return profiles.Foam{ID: id, ThickerMM: profiles.Number{Value: 0.4}, ThinnerMM: profiles.Number{Value: 0.5}}
	}
	a, b := plan.Layer{Foam: foam("a"), Thickness: inch}, plan.Layer{Foam: foam("b"), Thickness: inch}
	measured := plan.Layer{Foam: foam("a"), Thickness: inch - 1000, Label: inch}
	for _, c := range []struct {
		layers    []plan.Layer
		low, high float64
	}{
		{[]plan.Layer{a}, -0.5, 0.4},
		{[]plan.Layer{a, a}, -1, 0.8},
		{[]plan.Layer{a, b}, -0.5 * math.Sqrt2, 0.4 * math.Sqrt2},
		{[]plan.Layer{a, b, a}, -0.5 * math.Sqrt(5), 0.4 * math.Sqrt(5)},
		{[]plan.Layer{measured}, -0.2, 0.2},
	} {
		w := sheetWork{sheet: &plan.Sheet{Layers: c.layers}}
		got := w.thicknessOff(offOf)
		assert.InDelta(t, c.low, got.Low, 1e-12)
		assert.InDelta(t, c.high, got.High, 1e-12)
	}
	assert.Equal(t, []float64{0.1, 0.2, 0.2, 1}, []float64{profiles.ReportedSoftMM(9.9), profiles.ReportedSoftMM(10), profiles.ReportedSoftMM(100), profiles.ReportedSoftMM(101)})
}
