package safety

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/profiles"
)

// What is far hotter than it started is a warning, and no error, where a coupon was measured
// as hot: of this foam, on this machine, the hottest of several, to a hundredth.
func TestAMeasuredHeatIsAWarning(t *testing.T) {
	m, f := bench(t, profiles.Laser), ofKind(t, "pe")
	require.Equal(t, 40.0, m.PowerW.Value)
	// 40 W by a share at 100 mm/min is 24 J a mm of it, twice in two passes.
	measured := func(id string, shares ...int) *profiles.Catalog {
		c, err := profiles.Shipped() // one of its own, since it is added to
		require.NoError(t, err)
		text := ""
		for i, share := range shares {
			text += fmt.Sprintf("  - {machine: bench-laser, tool: spot-%d, source: my coupon, foams: {%s: {kerf_mm: 0.37, kerf_interval_mm: 0.02, feed_mm_per_min: 100, "+
				"power_percent: %d, passes: 2, focus_step_mm: 5, lead_in_mm: 2, corner_radius_mm: 1, taper_degrees: 0.2}}}\n", i, id, share)
		}
		own := m
		own.Tools = nil
		for i := range shares {
			spot := m.Tools[0]
			spot.ID, spot.Number = fmt.Sprintf("spot-%d", i), i+1
			own.Tools = append(own.Tools, spot)
		}
		require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: c.MachineFile(own, "bench-laser")}, "z.yaml": {Data: []byte("measured:\n" + text)}}))
		return c
	}
	severity := func(c *profiles.Catalog, m profiles.Machine, b Beam) string {
		list := CheckBeam(b, Use{Foam: f, Machine: m, Where: "x"}, c)
		require.Len(t, list, 1)
		assert.Equal(t, "beam-too-hot", list[0].Rule)
		return list[0].Severity.String()
	}
	hot := Beam{PassJPerMM: 21.6, AllJPerMM: 43.2, Passes: 2} // 90 %
	assert.Equal(t, "error", severity(catalog(t), m, hot))
	for share, want := range map[float64]string{0.99: "warning", 1: "warning", 1.009: "warning", 1.02: "error"} {
		assert.Equal(t, want, severity(measured(f.ID, 90), m, Beam{hot.PassJPerMM * share, hot.AllJPerMM, 2}), "a pass: %v", share)
		assert.Equal(t, want, severity(measured(f.ID, 90), m, Beam{hot.PassJPerMM, hot.AllJPerMM * share, 2}), "all: %v", share)
	}
	assert.Equal(t, "error", severity(measured(f.ID, 80), m, hot), "less was measured")
	for _, shares := range [][]int{{40, 90, 60}, {90, 40, 60}, {60, 40, 90}} {
		assert.Equal(t, "warning", severity(measured(f.ID, shares...), m, hot), "%v", shares)
	}
	assert.Equal(t, "error", severity(measured("xpe-33", 90), m, hot), "of another foam")
	require.NotEqual(t, "xpe-33", f.ID)
	elsewhere := m
	elsewhere.ID = "other-laser"
	assert.Equal(t, "error", severity(measured(f.ID, 90), elsewhere, hot), "on another machine")
	for passes, want := range map[int]string{30: "warning", 31: "error"} {
		assert.Equal(t, want, severity(measured(f.ID, 90), m, Beam{hot.PassJPerMM, hot.AllJPerMM, passes}), "%d passes", passes)
	}
}

// A pass of less heat goes through as much less foam, also where it went through little.
func TestALowerPowerGoesThroughLess(t *testing.T) {
	m := bench(t, profiles.Laser)
	for _, perPass := range []float64{0, 0.4, 1, 6} {
		r := shippedRecipe(t, "pe-30", "bench-laser", "beam")
		r.PowerPercent.Value, r.MMPerPass.Value = 40, perPass
		lower, _ := Limit(r, m, []Rules{{File: "a.yaml", Limits: []Limits{{PowerPercent: 30, Line: 1}}}})
		assert.InDelta(t, perPass*0.75, lower.MMPerPass.Value, 1e-9, perPass)
	}
}
