package profiles

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Which way each number is the less careful one: common practice, no source.
func TestWhatIsLessCarefulThanTheShippedRowOfItsName(t *testing.T) {
	c := shippedCatalog(t)
	m, ok := c.Machine("bench-laser")
	require.True(t, ok)
	assert.Empty(t, c.WeakerMachine(m), "it is the shipped one")

	m.StandoffMM.Value, m.RiseS.Value, m.WavelengthNM.Value = 500, 0, 1064
	m.Controller.Air = nil
	assert.Equal(t, []string{"wavelength_nm 10600 -> 1064", "standoff_mm 12 -> 500", "rise_s 0.02 -> 0", "air [M8 M9] -> []"}, c.WeakerMachine(m))
	m.StandoffMM.Value = 0
	assert.Contains(t, c.WeakerMachine(m), "standoff_mm 12 -> 0", "without it nothing is held against the head")
	m.ID = "mine"
	assert.Empty(t, c.WeakerMachine(m), "a name of its own is trusted for what it says")

	r, ok := c.Machine("bench-router")
	require.True(t, ok)
	careful := r
	careful.ClearanceMM.Value, careful.ZeroMM.Value, careful.Controller.SpinUpS = 20, 0.5, 10
	assert.Empty(t, c.WeakerMachine(careful))
	r.ClearanceMM.Value, r.TravelMM[2].Value, r.Controller.SpinUpS, r.BedCutMM.Value = 1, 200, 0, 0
	r.Tools = append([]Tool(nil), r.Tools...)
	r.Tools[0].ColletMM.Value, r.Tools[0].StickoutMM.Value = 1, 100
	assert.Equal(t, []string{"travel_mm Z 80 -> 200", "clearance_mm 5 -> 1", "bed_cut_mm 3 -> 0", "spin_up_s 3 -> 0", "flat-3: stickout_mm 27 -> 100", "flat-3: collet_mm 19 -> 1"}, c.WeakerMachine(r))

	f, _ := c.Foam("pe-30")
	f.LeastWallMM.Value, f.LeastEdgeMM.Value = f.LeastWallMM.Value+1, 0.5
	assert.Len(t, c.WeakerFoam(f), 1)
}

// A beam that is slower burns, and one that is faster or weaker may not go through what its row says; faster is less
// careful with a cutter.
func TestWhatIsLessCarefulInARecipe(t *testing.T) {
	c := shippedCatalog(t)
	for _, on := range []struct {
		machine, tool string
		feed          float64
		weaker        int
	}{{"bench-laser", "beam", 100, 1}, {"bench-laser", "beam", 2000, 1}, {"bench-router", "flat-3", 100, 0}, {"bench-router", "flat-3", 3000, 1}} {
		r, ok := c.Recipe("pe-30", on.machine, on.tool)
		require.True(t, ok)
		assert.Empty(t, c.WeakerRecipe(r))
		r.FeedMMPerMin.Value = on.feed
		assert.Len(t, c.WeakerRecipe(r), on.weaker, "%v", on)
	}
	r, _ := c.Recipe("pe-30", "bench-laser", "beam")
	r.PauseS.Value, r.MostMM.Value, r.PowerPercent.Value = 0, 0, 1
	assert.Equal(t, []string{"power_percent 45 -> 1", "most_mm 25.4 -> 0", "pause_s 3 -> 0"}, c.WeakerRecipe(r))
}

// A measured kerf that is laid over a shipped recipe takes nothing back.
func TestAMeasuredKerfIsNotLessCareful(t *testing.T) {
	c := shippedCatalog(t)
	r, _ := c.Recipe("pe-30", "bench-router", "flat-3")
	require.Positive(t, r.KerfOffMM.Value)
	r.KerfOffMM, r.KerfIntervalMM = Number{}, Number{0.05, "measured"}
	if r.Measured() {
		assert.Empty(t, c.WeakerRecipe(r))
	}
}

// A number that a row can have guards something, or is known not to.
func TestEveryNumberIsJudgedForWhatItGuards(t *testing.T) {
	free := []string{"density_kg_m3", "loose_mm", "diameter_mm", "corner_mm", "power_w", "scale_x", "scale_y", "kerf_mm", "kerf_interval_mm",
		"finish_mm", "focus_step_mm", "taper_degrees", "mark_depth_mm"} // power_w is refused as other-laser
	var judged []string
	for key := range foamGuards {
		judged = append(judged, key)
	}
	for _, guards := range []map[string]way{toolGuards, machineGuards, recipeGuards} {
		for key := range guards {
			judged = append(judged, key)
		}
	}
	var all []string
	for _, k := range foamNumbers {
		all = append(all, k.key)
	}
	for _, k := range toolNumbers {
		all = append(all, k.key)
	}
	for _, k := range machineNumbers {
		all = append(all, k.key)
	}
	for _, k := range recipeNumbers {
		all = append(all, k.key)
	}
	assert.ElementsMatch(t, all, append(judged, free...))
}
