package profiles

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a folder lays over a recipe, its machine or its foam does not move the start.
func TestTheStartIsWhatShips(t *testing.T) {
	c := shippedCatalog(t)
	pe, _ := c.Foam("pe-30")
	before, on, ok := c.Started(pe, Laser, 0)
	require.True(t, ok)
	assert.Equal(t, "pe-30", before.Foam)
	assert.Equal(t, "bench-laser", on.ID)
	require.NoError(t, c.Add(folderOf(`recipes:
- {machine: bench-laser, tool: beam, source: mine, common: {kerf_mm: 0.4, feed_mm_per_min: 1, power_percent: 100, passes: 99, focus_step_mm: 0, lead_in_mm: 0, corner_radius_mm: 0, taper_degrees: 0}, foams: {pe-30: {}}}
`)))
	now, _ := c.Recipe("pe-30", "bench-laser", "beam")
	assert.Equal(t, 1.0, now.FeedMMPerMin.Value)
	after, on, ok := c.Started(pe, Laser, 0)
	assert.True(t, ok)
	assert.Equal(t, before, after)
	assert.Equal(t, 40.0, on.PowerW.Value)
}

func TestNoStart(t *testing.T) {
	c := shippedCatalog(t)
	pvc, _ := c.Foam("pvc-60")
	_, _, ok := c.Started(pvc, Laser, 0)
	assert.False(t, ok)
	_, _, ok = (&Catalog{}).Started(pvc, Laser, 0)
	assert.False(t, ok)
	assert.Equal(t, 0.0, Recipe{}.PassJPerMM(Machine{}))
}

// Passes are the thickness by the depth of one, rounded up, and a layer that is as
// thick as its passes needs no other for the rounding of inches (arithmetic).
func TestThrough(t *testing.T) {
	depth := func(each, passes float64) Recipe {
		return Recipe{MMPerPass: Number{each, "s"}, Passes: Number{Value: passes}}
	}
	for _, c := range []struct{ each, passes, thick, want float64 }{
		{12.7, 0, 6.35, 1}, {12.7, 0, 12.7, 1}, {12.7, 0, 12.701, 2}, {12.7, 0, 25.4, 2}, {12.7, 0, 50.8, 4}, {12.7, 0, 0, 1},
		{25.4 / 3, 0, 25.4, 3}, {0.1, 0, 0.3, 3}, {8.4666667, 0, 25.4, 3},
		{12.7, 3, 12.7, 3}, {12.7, 3, 50.8, 4}, // at least so many
		{0, 2, 50.8, 2}, // a recipe that only says passes
		{0, 0, 50.8, 0}, // a cutter's
	} {
		assert.Equal(t, c.want, depth(c.each, c.passes).Through(c.thick).Passes.Value, "%+v", c)
	}
	assert.Equal(t, Number{2, "s"}, depth(12.7, 0).Through(25.4).Passes)
}

// The depth of a pass that ships: a sheet of the thickness that it is for is cut in
// as many passes as its start, for which an energy balance leaves room. E = P/v
// reaches E/(k rho h) deep, with kerf k and h 2.6 MJ/kg (derived; h from memory).
func TestDepthThatShips(t *testing.T) {
	c := shippedCatalog(t)
	for foam, want := range map[string]struct{ most, passes, share float64 }{
		"pe-30": {25.4, 2, 0.5}, "pe-45": {25.4, 2, 0.5}, "xpe-33": {25.4, 2, 0.5}, "eva-90": {12.7, 2, 0.5},
	} {
		r, ok := c.Recipe(foam, "bench-laser", "beam")
		require.True(t, ok)
		m, _ := c.Machine("bench-laser")
		f, _ := c.Foam(foam)
		assert.Equal(t, want.most, r.MostMM.Value, foam)
		assert.Equal(t, want.passes, r.Through(want.most).Passes.Value, foam)
		balance := r.PassJPerMM(m) / (r.KerfMM.Value * f.DensityKgM3.Value * 2.6e-3)
		assert.Less(t, r.MMPerPass.Value, want.share*balance, "%s: %.1f mm", foam, balance)
	}
}

// A laser's recipe says how deep a pass goes, or, as older ones do, how many passes.
func TestDepthOfAPassIsAsked(t *testing.T) {
	recipe := func(numbers string) error {
		return shippedCatalog(t).Add(folderOf(`recipes:
- {machine: bench-laser, tool: beam, source: mine, common: {kerf_mm: 0.4, feed_mm_per_min: 900, power_percent: 45, focus_step_mm: 0, lead_in_mm: 0, corner_radius_mm: 0, taper_degrees: 0` + numbers + `}, foams: {pe-30: {}}}
`))
	}
	for numbers, want := range map[string]string{
		"": "mm_per_pass is missing", ", passes: 2": "", ", mm_per_pass: 8": "", ", mm_per_pass: 8, passes: 2, most_mm: 30": "",
		", mm_per_pass: 8, most_mm: 6": "mm_per_pass of 8 is more than most_mm, 6",
	} {
		err := recipe(numbers)
		if want == "" {
			assert.NoError(t, err, numbers)
			continue
		}
		assert.ErrorContains(t, err, want, numbers)
	}
}
