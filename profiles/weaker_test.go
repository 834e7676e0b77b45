package profiles

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Which way each number is the less careful one: common practice, no source.
func TestWhatIsLessCarefulThanTheShippedRowOfItsName(t *testing.T) {
	c := laidOver(t)
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
	f, _ = c.Foam("pe-30")
	f.DensityKgM3.Value = 36
	assert.Empty(t, c.WeakerFoam(f), "as foam is sold")
	f.DensityKgM3.Value = 600
	assert.Equal(t, []string{"density_kg_m3 30 -> 600"}, c.WeakerFoam(f))
	f, _ = c.Foam("pu-30")
	f.Cells.Value = "closed"
	assert.Equal(t, []string{"cells open -> closed"}, c.WeakerFoam(f))
}

// What makes a program of a shipped name go another way, sink deeper or burn longer is told; what a coupon measured, and
// what only is more careful, is not.
func TestWhatGoesAnotherWayUnderAKnownName(t *testing.T) {
	c := laidOver(t)
	machine := func(id string, change func(*Machine)) []string {
		m, ok := c.Machine(id)
		require.True(t, ok)
		m.Tools = append([]Tool(nil), m.Tools...)
		change(&m)
		return c.WeakerMachine(m)
	}
	recipe := func(foam, id, tool string, change func(*Recipe)) []string {
		r, ok := c.Recipe(foam, id, tool)
		require.True(t, ok)
		m, _ := c.Machine(id)
		change(&r)
		return c.WeakerRecipe(r, m)
	}
	assert.Equal(t, []string{"blade: chord_mm 2 -> 3", "blade: gouge_mm 0.1 -> 3"}, machine("bench-knife", func(m *Machine) { m.Tools[0].GougeMM.Value, m.Tools[0].ChordMM.Value = 3, 3 }))
	assert.Empty(t, machine("bench-knife", func(m *Machine) { m.Tools[0].GougeMM.Value = 0.05 }))
	assert.Equal(t, []string{"a_counts ccw -> cw"}, machine("bench-knife", func(m *Machine) { m.ACounts = AClockwise }))
	assert.Empty(t, machine("bench-knife", func(m *Machine) { m.ACounts = ACounterclockwise }))
	assert.Equal(t, []string{"z_counts up -> down"}, machine("bench-router", func(m *Machine) { m.ZCounts = ZDown }))
	assert.Equal(t, []string{"scale_x 1 -> 1.05"}, machine("bench-router", func(m *Machine) { m.ScaleX.Value = 1.05 }))
	assert.Empty(t, machine("bench-router", func(m *Machine) { m.ScaleX.Value, m.ScaleY.Value = 1.009, 0.991 }))
	assert.Empty(t, machine("bench-router", func(m *Machine) { m.ScaleX.Value, m.ScaleReadings = 1.05, make([]ScaleReading, 1) }))
	assert.Equal(t, []string{"flat-3: name \"3.175 mm single-flute cutter, flat end\" -> \"6 mm cutter, long\""}, machine("bench-router", func(m *Machine) { m.Tools[0].Name = "6 mm cutter, long" }))
	assert.Len(t, machine("bench-laser", func(m *Machine) { m.Controller.LaserOn = "M4" }), 1)
	assert.Len(t, machine("bench-laser", func(m *Machine) { m.AccelerationMMPerS2.Value = 1 }), 1)
	assert.Empty(t, machine("bench-router", func(m *Machine) { m.AccelerationMMPerS2.Value = 1 }))
	assert.Len(t, machine("bench-hotwire", func(m *Machine) { m.Tools[0].DragNPerM.Value = 20 }), 1)
	assert.Equal(t, []string{"mark_depth_mm 1.5 -> 8"}, recipe("pe-30", "bench-router", "flat-3", func(r *Recipe) { r.MarkDepthMM.Value = 8 }))
	assert.Empty(t, recipe("pe-30", "bench-router", "flat-3", func(r *Recipe) { r.MarkDepthMM.Value = 1 }))
	assert.Equal(t, []string{"feed_mm_per_min 100 -> 1"}, recipe("xps-32", "bench-hotwire", "wire", func(r *Recipe) { r.FeedMMPerMin.Value = 1 }))
}

// A cutter under another name is held against the one whose number it has taken, and so are its recipes; another number,
// another helix and another zero are told, and a clamp that is no longer kept clear of.
func TestAToolThatIsCalledAnotherIsStillTheSame(t *testing.T) {
	c := laidOver(t)
	m, _ := c.Machine("bench-router")
	m.Tools[0].ID, m.Tools[0].StickoutMM.Value = "mine", 100
	assert.Equal(t, []string{"mine: stickout_mm 27 -> 100", "mine: name flat-3 -> mine"}, c.WeakerMachine(m))
	r, _ := c.Recipe("pe-30", "bench-router", "flat-3")
	r.Tool, r.FeedMMPerMin.Value = "mine", 3000
	assert.Equal(t, []string{"feed_mm_per_min 1800 -> 3000"}, c.WeakerRecipe(r, m))

	m, _ = c.Machine("bench-router")
	added := m.Tools[0]
	added.ID, added.Number, added.StickoutMM.Value = "third", 3, 100
	m.Tools = append(m.Tools, added)
	assert.Empty(t, c.WeakerMachine(m), "a third one beside the two is one of its own")

	m, _ = c.Machine("bench-router")
	m.Tools[0].Number, m.Tools[1].Number, m.Tools[0].Helix, m.ZZero = 2, 1, HelixDown, ZBed
	assert.Equal(t, []string{"z_zero top -> bed", "flat-3: number 1 -> 2", "flat-3: helix up -> down", "flat-6: number 2 -> 1"}, c.WeakerMachine(m))

	jaw := ClampZone{Name: "jaw", XMM: 10, YMM: 0, LengthMM: 40, WidthMM: 20, HeightMM: 15}
	c.machines["bench-router"] = func() Machine { m, _ := c.Machine("bench-router"); m.Clamps = []ClampZone{jaw}; return m }()
	m, _ = c.Machine("bench-router")
	assert.Empty(t, c.WeakerMachine(m))
	m.Clamps[0].HeightMM = 14
	assert.Equal(t, []string{"clamp jaw, 40 x 20 mm at 10, 0 and 15 high -> not there"}, c.WeakerMachine(m))
	m.Clamps[0] = ClampZone{Name: "all", XMM: 0, YMM: 0, LengthMM: 60, WidthMM: 20, HeightMM: 15}
	assert.Empty(t, c.WeakerMachine(m), "a greater one covers it")
}

// laidOver is the catalog that a first folder is laid over.
func laidOver(t *testing.T) *Catalog {
	c := shippedCatalog(t)
	require.NoError(t, c.Add(fstest.MapFS{"a.yaml": {Data: []byte("foams: []")}}))
	require.Len(t, c.Below(), 1)
	return c.Below()[0]
}

// A beam that is slower burns, and one that is faster or weaker may not go through what its row says; faster is less
// careful with a cutter.
func TestWhatIsLessCarefulInARecipe(t *testing.T) {
	c := laidOver(t)
	for _, on := range []struct {
		machine, tool string
		feed          float64
		weaker        int
	}{{"bench-laser", "beam", 100, 1}, {"bench-laser", "beam", 2000, 1}, {"bench-router", "flat-3", 100, 0}, {"bench-router", "flat-3", 3000, 1}} {
		m, _ := c.Machine(on.machine)
		r, ok := c.Recipe("pe-30", on.machine, on.tool)
		require.True(t, ok)
		assert.Empty(t, c.WeakerRecipe(r, m))
		r.FeedMMPerMin.Value = on.feed
		assert.Len(t, c.WeakerRecipe(r, m), on.weaker, "%v", on)
	}
	m, _ := c.Machine("bench-laser")
	r, _ := c.Recipe("pe-30", m.ID, "beam")
	r.FocusStepMM.Value, r.TabCount.Value = r.FocusStepMM.Value+1, 1
	assert.Equal(t, []string{"tab_count 2 -> 1", fmt.Sprintf("focus_step_mm %.6g -> %.6g", r.FocusStepMM.Value-1, r.FocusStepMM.Value)}, c.WeakerRecipe(r, m), "it is held by two where a row names none")
	r, _ = c.Recipe("pe-30", m.ID, "beam")
	r.PauseS.Value, r.MostMM.Value, r.PowerPercent.Value = 0, 0, 1
	assert.Equal(t, []string{"power_percent 45 -> 1", "most_mm 25.4 -> 0", "pause_s 3 -> 0"}, c.WeakerRecipe(r, m))
}

// A measured kerf that is laid over a shipped recipe takes nothing back.
func TestAMeasuredKerfIsNotLessCareful(t *testing.T) {
	c := laidOver(t)
	m, _ := c.Machine("bench-router")
	r, _ := c.Recipe("pe-30", m.ID, "flat-3")
	r.KerfMM.Value = 1.6
	assert.Equal(t, []string{"kerf_mm 3.175 -> 1.6"}, c.WeakerRecipe(r, m), "half as wide as the cutter is, and nobody has measured it")
	require.Positive(t, r.KerfOffMM.Value)
	r.KerfOffMM, r.KerfIntervalMM = Number{}, Number{0.05, "measured"}
	if r.Measured() {
		assert.Empty(t, c.WeakerRecipe(r, m))
	}
}

// A number that a row can have guards something, or is known not to.
func TestEveryNumberIsJudgedForWhatItGuards(t *testing.T) {
	free := []string{"loose_mm", "corner_mm", "power_w", "scale_x", "scale_y", "kerf_interval_mm",
		"finish_mm", "taper_degrees", "turn_rpm", "overcut_mm"} // power_w is refused as other-laser, a scale is judged in otherMoves
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
