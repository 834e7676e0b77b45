package profiles

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A laser whose bed rises counts Z down; what would then drive the head into the foam is
// not read, and neither is a cutter that counts so.
func TestWhichWayZCounts(t *testing.T) {
	read := func(machine string, change ...string) (*Catalog, error) {
		c := shippedCatalog(t)
		m, _ := c.Machine(machine)
		text := strings.NewReplacer(change...).Replace(string(c.MachineFile(m, "mine")))
		return c, c.Add(fstest.MapFS{"mine.yaml": {Data: []byte(text)}})
	}
	c, err := read("bench-laser", "z_zero: top\n", "z_zero: top\n    z_counts: down\n")
	require.NoError(t, err)
	m, _ := c.Machine("mine")
	assert.Equal(t, ZDown, m.ZCounts)
	assert.Contains(t, string(c.MachineFile(m, "again")), "z_counts: \"down\"")
	low, known := m.LowestFocusMM()
	assert.True(t, known)
	assert.Equal(t, 10.0, low)
	_, err = read("bench-laser", "z_zero: top\n", "z_zero: bed\n    z_counts: down\n")
	assert.ErrorContains(t, err, "a laser has its Z0 where its beam is in focus on the foam's top")
	assert.ErrorContains(t, err, "hint: write z_zero: top")
	_, err = read("bench-laser", "z_zero: top\n", "z_zero: bed\n")
	assert.ErrorContains(t, err, "a laser has its Z0 where its beam is in focus on the foam's top")
	_, err = read("bench-laser", "z_zero: top\n", "z_zero: top\n    z_counts: down\n", "controller: {", "controller: {park_at: [0, 0, 5], ")
	assert.ErrorContains(t, err, "a greater Z drives the head into the foam")
	_, err = read("bench-laser", "z_zero: top\n", "z_zero: top\n    z_counts: down\n", "clearance_mm: 0", "clearance_mm: 3")
	assert.NoError(t, err)
	_, err = read("bench-router", "z_zero: top\n", "z_zero: top\n    z_counts: down\n")
	assert.ErrorContains(t, err, "its programs count Z up from the foam")
	_, err = read("bench-router", "max_rpm: 24000\n", "max_rpm: 24000\n    standoff_mm: 8\n")
	assert.ErrorContains(t, err, "a machine with standoff_mm is a laser")
}

// What nobody measured on an own machine is not taken from another's nozzle.
func TestANozzleIsNobodyElses(t *testing.T) {
	c := shippedCatalog(t)
	text := string(c.OwnFile(Own{ID: "loft", Process: Laser, TravelMM: [3]float64{300, 200, 40}, PowerW: 40, WavelengthNM: 10600, PowerScale: 255, Tools: []OwnTool{{DiameterMM: 0.2}}}))
	assert.NotContains(t, text, "standoff_mm:")
}

// A laser's programs switch no dust extraction, so its key is not dropped in silence there.
func TestDustIsACutters(t *testing.T) {
	c := shippedCatalog(t)
	for _, machine := range []string{"bench-laser", "bench-router"} {
		m, _ := c.Machine(machine)
		text := strings.Replace(string(c.MachineFile(m, "mine")), "controller: ", "controller: {like: pc, power_scale: 1000, dust: [M7, M9]} # ", 1)
		if machine == "bench-router" {
			text = strings.Replace(text, "power_scale: 1000, ", "", 1)
		}
		err := shippedCatalog(t).Add(fstest.MapFS{"mine.yaml": {Data: []byte(text)}})
		if machine == "bench-router" {
			require.NoError(t, err)
			continue
		}
		assert.ErrorContains(t, err, "dust is a cutter's")
		assert.ErrorContains(t, err, "hint: take dust out")
	}
}

// A blade is lowered by its program, and its turns of half a mm need steps finer than 0.0025 mm: with
// those the demo's own programs were refused by the dry run (seen).
func TestABladesController(t *testing.T) {
	c := shippedCatalog(t)
	m, _ := c.Machine("bench-drag-knife")
	for keys, says := range map[string]string{
		"like: pc, axes: [X, Y]":           "hint: write axes: [X, Y, Z]",
		"like: pc, units: in, decimals: 4": "hint: write decimals: 5",
		"like: pc, units: in, decimals: 5": "",
		"like: printer, axes: [X, Y, Z]":   "",
	} {
		text := strings.Replace(string(c.MachineFile(m, "mine")), "controller: ", "controller: {"+keys+"} # ", 1)
		err := shippedCatalog(t).Add(fstest.MapFS{"mine.yaml": {Data: []byte(text)}})
		if says == "" {
			require.NoError(t, err, keys)
			continue
		}
		assert.ErrorContains(t, err, says)
	}
}
