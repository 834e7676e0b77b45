package kerf

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry/units"
	"traywright/profiles"
)

// Whatever was saved and whatever comes: each old kerf is kept as it was, or said to go.
func TestNothingMeasuredIsLostWithoutAWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) (r profiles.Recipe) {
			r = profiles.Recipe{Foam: "pe-30", Machine: "bench-laser", Tool: "beam", FeedMMPerMin: profiles.Number{Value: rapid.SampledFrom([]float64{900, 1200}).Draw(t, name+" feed")}}
			for _, mm := range rapid.SliceOfNDistinct(rapid.SampledFrom([]float64{10, 10.3, 20, 25.4, 50}), 1, 3, rapid.ID[float64]).Draw(t, name) {
				r.MeasuredIn = r.MeasuredIn.With(profiles.KerfIn{ThicknessMM: mm, KerfMM: rapid.SampledFrom([]float64{0.31, 0.32}).Draw(t, "kerf"), IntervalMM: 0.02})
			}
			return r
		}
		old, now := draw("old"), draw("now")
		merged, lost := kept(now, old, units.Millimetre)
		for _, one := range now.MeasuredIn {
			assert.Contains(t, merged.MeasuredIn, one)
		}
		for _, one := range old.MeasuredIn {
			said := slices.ContainsFunc(lost, func(s string) bool {
				return strings.Contains(s, " in foam of "+wide(one.ThicknessMM, units.Millimetre)+",")
			})
			assert.NotEqual(t, slices.Contains(merged.MeasuredIn, one), said, "%v: %v", one, lost)
		}
		if old.FeedMMPerMin != now.FeedMMPerMin {
			assert.Len(t, merged.MeasuredIn, len(now.MeasuredIn), "of another setting")
		}
	})
}
