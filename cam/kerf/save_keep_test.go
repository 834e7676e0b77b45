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
		merged, goes := kept(now, old, units.Millimetre, false)
		has := func(one profiles.KerfIn) bool {
			return slices.ContainsFunc(merged.MeasuredIn, func(o profiles.KerfIn) bool {
				return o.ThicknessMM == one.ThicknessMM && o.KerfMM == one.KerfMM
			})
		}
		for _, one := range now.MeasuredIn {
			assert.Contains(t, merged.MeasuredIn, one)
		}
		for _, one := range old.MeasuredIn {
			said := slices.ContainsFunc(goes.unasked, func(s string) bool {
				return strings.Contains(s, " in foam of "+wide(one.ThicknessMM, units.Millimetre)+",")
			})
			assert.NotEqual(t, has(one), said, "%v: %v", one, goes)
		}
		if old.FeedMMPerMin != now.FeedMMPerMin {
			assert.Len(t, merged.MeasuredIn, len(now.MeasuredIn), "of another setting")
		}
	})
}
