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
	assert.Equal(t, []string{"X", "Y"}, classNamed("drawing").Axes)
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
		{"lifts too little", "clearance_mm: 6", "clearance_mm: 0.5", "clearance_mm: 0.5 mm is too near for what goes aside over foam, which is never flat to a millimetre\nhint: write 1 or more, such as clearance_mm: 5"},
		{"lifts by all that it has", "clearance_mm: 6", "clearance_mm: 90", "clearance_mm: 90 mm leaves nothing of the 90 mm that the machine travels in Z for the foam\nhint: write how far above"},
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

// What a class of controllers does not know is refused of it and of no other: the shipped
// controllers' sources say what each takes.
func TestWhatAControllerDoesNotKnow(t *testing.T) {
	for _, c := range []struct{ keys, told, classes string }{
		{"path_tolerance_mm: 0.02", "goes through every corner", "small printer"},
		{"tool_change: automatic, change_at: [0, 350, 60]", "knows no M6", "small printer"},
		{"tool_change: manual, change_at: [0, 350, 60]", "knows no tools", "printer"},
		{"units: in, decimals: 5", "counts in mm", "printer"},
		{"comments: brackets", "takes the letters between", "printer"},
		{"spindle_words: joined", "never starts its spindle", "printer"},
		{"longest_line: 79", "takes lines of", ""},
		{"longest_line: 80", "takes lines of 79", "small"},
		{"longest_line: 95", "takes lines of 79", "small"},
		{"longest_line: 96", "takes lines of", "small printer"},
		{"longest_line: 250", "takes lines of", "small printer"},
		{"units: in, decimals: 3", "inches with 3 decimals are steps of 0.0254 mm", "pc small printer"},
		{"units: in, decimals: 4", "inches with", ""},
		{"longest_line: 69", "longest_line is 69\nhint: give 70 or more", "pc small printer"},
		{"longest_line: 70", "longest_line", ""},
		{"longest_line: 251", "251 is more than 250", "pc small printer"},
		{"decimals: 2", "give 3 or more", "pc small printer"},
		{"decimals: 3", "decimals", ""},
		{"decimals: 6", "decimals", ""},
		{"decimals: 7", "7 is more than 6", "pc small printer"},
		{"park_at: [10000, -10000, 10000]", "is not from", ""},
		{"park_at: [10001, 0, 0]", "10001 is not from", "pc small printer"},
		{"park_at: [0, 0, -10001]", "-10001 is not from", "pc small printer"},
		{"start: [G90, G17, G94, G54, M5, M5]", "stands there twice", "pc small printer"},
		{"arcs: chords, chord_mm: 0", "0 is not from", "pc small printer"},
		{"tool_change: manual", "needs change_at", "pc small printer"},
		{"tool_change: files", "needs change_at", ""},
		{"axes: [X, Z]", "axes lacks X or Y", "pc small printer"},
		{"axes: [Y, Z]", "axes lacks X or Y", "pc small printer"},
		{"axes: [X, Y]", "axes lacks", ""},
		{"end: [M5]", "end has to close with M2 or M30", "pc small"},
		{"end: []", "end has to close with M2 or M30", "pc small"},
		{"dust: [M8]", "dust takes the word", "pc small printer"},
		{"dust: [M9, M8]", "dust takes the word", "pc small printer"},
		{"dust: [M8, M9]", "dust takes the word", ""},
		{"extension: json", "are others of the output folder", "pc small printer"},
		{"extension: .nc", "is no ending", "pc small printer"},
		{"extension: tap", "ending", ""},
		{"longest_line: 75", "takes no program", "drawing"},
	} {
		for _, class := range []Class{PC, Small, Printer, Drawing} {
			if class == Drawing && !strings.Contains(c.told, "takes no program") {
				continue
			}
			_, err := with(t, machine("{arcs: chords, chord_mm: 0.01, tool_change: automatic, change_at: [0, 350, 60]}", "{like: "+string(class)+", "+c.keys+"}"))
			told := err != nil && strings.Contains(err.Error(), c.told)
			assert.Equal(t, strings.Contains(c.classes, string(class)), told, "%s %s: %v", class, c.keys, err)
		}
	}
}
