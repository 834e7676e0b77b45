package profiles_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"traywright/profiles"
)

// TestMachineFilesLoadAgainAsTheyAre holds every machine that ships, and one with all that a
// machine can have, against its own file: the same numbers, and the same sources.
func TestMachineFilesLoadAgainAsTheyAre(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: []byte(`
machines:
  - id: loft-router
    name: 'a router: "loft" \ attic'
    process: router
    travel_mm: [{value: 300, source: measured}, 200, 60.5]
    rapid_mm_per_min: 2000
    max_feed_mm_per_min: {value: 1500, source: "its plate: 1500"}
    acceleration_mm_per_s2: 200
    corner_mm: 0
    clearance_mm: 5
    z_zero: bed
    max_rpm: 12000
    controller: {like: pc, comments: semicolon, longest_line: 200, decimals: 5, extension: tap, units: in, arcs: chords, chord_mm: 0.005, dwell_unit: ms, spin_up_s: 4.5, laser_on: M4, tool_change: automatic, change_at: [-20, 0, 60], park_at: [0, 200.5, 50], path_tolerance_mm: 0.02, start: [G90, G17, G94, G54, G40, M5], end: [M30], dust: [M7, M9], axes: [X, Y, Z, A]}
    tools:
      - {id: flat, number: 3, name: flat end, diameter_mm: 3, reach_mm: 20, flute_mm: 18, stickout_mm: 21, shank_mm: 6, collet_mm: 24, flutes: 2, helix: down}
    clamps:
      - {name: 'left "one"', x_mm: 1.25, y_mm: 0, length_mm: 20, width_mm: 10, height_mm: 12}
    dxf_colours: {mark: 5, pocket: 1, depths: [2, 4], bridged: 6, outline: 7, finished: 3}
    notes: "#1 of two"
    source: measured in the loft
recipes:
  - machine: loft-router
    tool: flat
    source: two trials
    foams:
      pe-30: {kerf_mm: 3.02, feed_mm_per_min: 900, plunge_mm_per_min: 300, stepdown_mm: 6, stepover: 0.4, rpm: 12000, ramp_degrees: 3, finish_mm: 0.2, breakthrough_mm: 0.3, skin_mm: 0.5, tab_count: 0, tab_width_mm: 0, tab_height_mm: 0, corner_radius_mm: 0, mark_depth_mm: 1, cut_direction: conventional, wall_lap: once}
scales:
  - machine: loft-router
    source: a coupon
    scale_x: 0.9981
    rests_on:
      - {coupon: "pe-30, May", axis: x, scale: 0.9981, standard_error: 0.0003, deviation_mm: 0.03, degrees_of_freedom: 6, lengths: 8}
`)}}))
	for _, want := range c.Machines() {
		t.Run(want.ID, func(t *testing.T) {
			again, err := profiles.Shipped()
			require.NoError(t, err)
			require.NoError(t, again.Add(fstest.MapFS{"mine.yaml": {Data: c.MachineFile(want, "mine")}}))
			got, ok := again.Machine("mine")
			require.True(t, ok)
			got.ID = want.ID
			require.Equal(t, want, got)
			require.Equal(t, recipesOf(c, want.ID), recipesOf(again, "mine"))
			require.NotEmpty(t, recipesOf(c, want.ID))
		})
	}
}

// recipesOf are a machine's recipes, the machine's name left out.
func recipesOf(c *profiles.Catalog, machine string) []profiles.Recipe {
	var list []profiles.Recipe
	for _, r := range c.Recipes() {
		if r.Machine == machine {
			r.Machine = ""
			list = append(list, r)
		}
	}
	return list
}
