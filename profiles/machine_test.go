package profiles

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// machine is a row that reads, with a part of it replaced.
func machine(old, new string) string {
	row := `machines:
- id: mine
  name: my router
  process: router
  source: its manual
  travel_mm: [900, {value: 600, source: measured}, 90]
  rapid_mm_per_min: 4000
  max_feed_mm_per_min: 2000
  acceleration_mm_per_s2: 200
  corner_mm: 0.01
  clearance_mm: 6
  z_zero: bed
  max_rpm: 20000
  controller: {arcs: chords, chord_mm: 0.01, tool_change: automatic, change_at: [0, 350, 60]}
  tools:
  - {id: thin, number: 3, name: thin cutter, diameter_mm: 2, reach_mm: 12, flutes: 2, source: callipers}
  - {id: thick, number: 4, name: thick cutter, diameter_mm: 8, reach_mm: 40, shank_mm: 8, flutes: 1}
  clamps:
  - {name: left, x_mm: 0, y_mm: 100, length_mm: 20, width_mm: 60, height_mm: 25}
`
	return strings.Replace(row, old, new, 1)
}

func TestAMachineOfMyOwn(t *testing.T) {
	c, err := with(t, machine("", ""))
	require.NoError(t, err)
	m, ok := c.Machine("mine")
	require.True(t, ok)
	assert.Equal(t, [3]Number{{900, "its manual"}, {600, "measured"}, {90, "its manual"}}, m.TravelMM)
	assert.Equal(t, ZBed, m.ZZero)
	want := Controllers()[0]
	want.Arcs, want.ChordMM, want.ToolChange, want.ChangeAt = Chords, 0.01, ByItself, []float64{0, 350, 60}
	assert.Equal(t, want, m.Controller)
	assert.Equal(t, []ClampZone{{"left", 0, 100, 20, 60, 25}}, m.Clamps)
	thin, ok := m.Tool("thin")
	require.True(t, ok)
	assert.Equal(t, Tool{ID: "thin", Number: 3, Name: "thin cutter", DiameterMM: Number{2, "callipers"}, ReachMM: Number{12, "callipers"}, Flutes: 2}, thin)
	_, ok = m.Tool("none")
	assert.False(t, ok)
}

func TestBadMachines(t *testing.T) {
	cases := []struct{ name, old, new, want string }{
		{"process", "process: router", "process: rooter", `x.yaml:4:12: machines[1].process is "rooter"` + "\nhint: did you mean router?"},
		{"Z zero", "z_zero: bed", "z_zero: floor", "z_zero is \"floor\"\nhint: known are top, bed"},
		{"two numbers of travel", "[900, {value: 600, source: measured}, 90]", "[900, 600]", "travel_mm takes 3 values\nhint: write `travel_mm: [X, Y, Z]`"},
		{"travel of a ship", "900", "9000000", "9000000 is not from 1 to 10000"},
		{"no chord", "chord_mm: 0.01, ", "", "a controller that gets arcs as chords needs chord_mm"},
		{"tool change", "automatic", "robot", `tool_change is "robot"`},
		{"power on a router", "max_rpm: 20000", "max_rpm: 20000\n  power_w: 5", "a machine with power_w is a laser, and this one says router"},
		{"no spindle speed", "  max_rpm: 20000\n", "", "a router needs max_rpm"},
		{"number twice", "number: 4", "number: 3", "machines[1].tools[2]: a tool of this id or number is there already"},
		{"id twice", "id: thick", "id: thin", "tools[2]: a tool of this id or number is there already"},
		{"half a flute", "flutes: 1}", "flutes: 1.5}", `tools[2].flutes: "1.5" is no whole number`},
		{"no reach", ", reach_mm: 12", "", "tools[1]: a cutter needs stickout_mm (or reach_mm), flutes, and a number of 1 or more"},
		{"edges longer than the cutter", "reach_mm: 12", "flute_mm: 13, stickout_mm: 12", "tools[1]: flute_mm of 13 is more than stickout_mm of 12"},
		{"helix", "reach_mm: 12", "reach_mm: 12, helix: left", `tools[1].helix is "left"`},
		{"clamp without size", ", length_mm: 20", "", "clamps[1]: length_mm is missing"},
		{"clamp with a colour", "height_mm: 25", "height_mm: 25, colour: red", `clamps[1] has no key "colour"`},
	}
	for _, c := range cases {
		_, err := with(t, machine(c.old, c.new))
		assert.ErrorContains(t, err, c.want, c.name)
	}
	head, _, _ := strings.Cut(machine("", ""), "  tools:")
	_, err := with(t, head+"  tools: []\n")
	assert.ErrorContains(t, err, "machines[1].tools: is empty\nhint: a beam or a wire is a tool too")
}
