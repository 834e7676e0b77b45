package profiles

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hand is a hand's row, with a part of it replaced.
func hand(old, new string) string {
	row := `machines:
- id: mine
  name: my set
  process: hand
  source: mine
  tools:
  - {id: blade, number: 1, name: a blade, diameter_mm: 0.5, reach_mm: 60}
  - {id: other, number: 2, name: a wire, diameter_mm: 0.4, reach_mm: 60, process: hot-wire}
`
	return strings.Replace(row, old, new, 1)
}

// What calls itself hot is a hot wire, and a profile that says otherwise is not read (the
// project's own rule: the table refuses a wire what it allows a blade). The hint, followed, is.
func TestWhatCallsItselfHotIsAHotWire(t *testing.T) {
	for _, row := range []string{hand("", ""), knife("", ""), machine("", "")} {
		_, err := with(t, row)
		require.NoError(t, err)
	}
	for _, c := range []struct{ name, row, want string }{
		{"a hand's tool", hand("a blade", "hot knife"), "tools[1]: the tool \"hot knife\" (blade) is a hot wire's, and its row says no process\nhint: write `process: hot-wire` into its row"},
		{"its id", hand("id: blade", "id: bow2"), "tools[1]: the tool \"a blade\" (bow2) is a hot wire's"},
		{"its source", hand("reach_mm: 60", "reach_mm: 60, source: nichrome of AWG 26"), "tools[1]: a tool (blade) whose source speaks of a hot wire is a hot wire's"},
		{"a number's source", hand("diameter_mm: 0.5", "diameter_mm: {value: 0.5, source: 2 A at 12 volts}"), "tools[1]: a tool (blade) whose source speaks of a hot wire"},
		{"a wire without its process", hand(", process: hot-wire", ""), "tools[2]: the tool \"a wire\" (other) is a hot wire's"},
		{"in German", hand("a blade", "Heißschneider"), "is a hot wire's"},
		{"in Russian", hand("a blade", "нихромовая нить"), "is a hot wire's"},
		{"a knife", knife("a blade", "a heated blade"), "tools[1]: the tool \"a heated blade\" (blade) is a hot wire's, and the machine says knife\nhint: write `process: hot-wire`"},
		{"a thin one is no beam", knife("diameter_mm: 0.5", "diameter_mm: 0.2, source: hot wire"), "tools[1]: a tool (blade) whose source speaks"},
		{"its length", knife("diameter_mm: 0.5", "diameter_mm: 0.5, length_mm: 300"), "tools[1]: a tool (blade) with length_mm is a hot wire's, and the machine says knife"},
		{"its pull", knife("diameter_mm: 0.5", "diameter_mm: 0.5, tension_n: 10"), "tools[1]: a tool (blade) with tension_n is a hot wire's"},
		{"its drag, in a hand", hand("reach_mm: 60", "reach_mm: 60, drag_n_per_m: 2"), "tools[1]: a tool (blade) with drag_n_per_m is a hot wire's, and its row says no process"},
		{"a machine", knife("my cutter", "Hot-Wire bench"), "the machine \"Hot-Wire bench\" (mine) speaks of a hot wire, and says knife"},
		{"a router", machine("thin cutter", "nichrome tip"), "tools[1]: the tool \"nichrome tip\" (thin) is a hot wire's, and the machine says router"},
		{"a hand's set", strings.Replace(hand("my set", "my bow"), ", process: hot-wire", "", 1), "the machine \"my bow\" (mine) speaks of a hot wire, and says hand\nhint: write `process: hot-wire` into the row of its wire"},
	} {
		_, err := with(t, c.row)
		assert.ErrorContains(t, err, c.want, c.name)
		assert.NotContains(t, err.Error(), "is a laser", c.name)
	}
	for _, name := range []string{"thermal cutter", "Thermal", "plasma", "soldering iron", "a torch", "glow blade", "pyrography pen", "wood burner", "wood-burner", "woodburning tool", "melting needle", "h o t  k n i f e", "h-o-t w-i-r-e", "H.E.A.T.E.D", "burner2"} {
		_, err := with(t, hand("a blade", "\""+name+"\""))
		assert.ErrorContains(t, err, "is a hot wire's", name)
		_, err = with(t, machine("thin cutter", name))
		assert.ErrorContains(t, err, "is a hot wire's", name)
		_, err = with(t, knife("my cutter", name))
		assert.ErrorContains(t, err, "speaks of a hot wire", name)
	}
	for _, name := range []string{"photon", "infrared cutter", "l a s e r", "l-a-s-e-r", "L.A.S.E.R", "la-ser head"} {
		_, err := with(t, machine("thin cutter", name))
		assert.ErrorContains(t, err, "is a laser, and this one says router", name)
		_, err = with(t, hand("a blade", name))
		assert.ErrorContains(t, err, "is a laser, and this one says hand", name)
	}
	for name, row := range map[string]string{
		"steel and fire apart":     hand("a blade", "snap-off ironmonger's blade"),
		"a spindle's own heat":     machine("max_rpm", "notes: its spindle gets hot; foam melts below 900 mm/min\n  max_rpm"),
		"a hand's set with a wire": hand("my set", "my bow and knife"),
		"a hot knife that says so": hand("a blade, diameter_mm", "hot knife, process: hot-wire, diameter_mm"),
		"a bench that says so":     strings.Replace(knife("my cutter", "hot wire bench"), "process: knife", "process: hot-wire", 1),
		"a shot, a bowl, a rewire": hand("a blade", "shotgun bowl rewired"),
	} {
		_, err := with(t, row)
		assert.NoError(t, err, name)
	}
}

// What somebody wrote beside the numbers is read as a tool's source is: a machine's notes, and its
// recipes' sources (our rule). A hot wire's own may say so.
func TestNotesAndRecipesThatSpeakOfHeat(t *testing.T) {
	notes := "  notes: it has a nichrome tip"
	for _, row := range []string{hand(", process: hot-wire", ""), knife("", ""), machine("", "")} {
		_, err := with(t, strings.NewReplacer("a wire", "a saw", "  process:", notes+"\n  process:").Replace(row))
		assert.ErrorContains(t, err, "speaks of a hot wire, and says")
	}
	recipe := func(tool, source, numbers string) error {
		_, err := with(t, hand("", "")+"recipes:\n- {machine: mine, tool: "+tool+", source: "+source+", foams: {pe-30: {"+numbers+"}}}\n")
		return err
	}
	require.NoError(t, recipe("blade", "tried on melted scrap", "mm_per_pass: 8"))
	require.NoError(t, recipe("other", "a hot wire of 2 ohms", "mm_per_pass: 8, kerf_mm: 1"))
	assert.ErrorContains(t, recipe("blade", "the blade heated", "mm_per_pass: 8"), "its source speaks of a hot wire, and the machine says hand; where nothing is heated, say it otherwise")
	assert.ErrorContains(t, recipe("blade", "mine", "mm_per_pass: {value: 8, source: nichrome}"), "its source speaks of a hot wire")
	_, err := with(t, knife("", "")+"recipes:\n- {machine: mine, tool: blade, source: mine, foams: {pe-30: {kerf_mm: 0.5, feed_mm_per_min: 300, plunge_mm_per_min: 100, mm_per_pass: 6, most_mm: 6, current_a: 2}}}\n")
	assert.ErrorContains(t, err, "a recipe with current_a is a hot wire's, and the machine says knife")
}

// The wire of the hand that ships stays one under every name: without its process, or as
// another tool of its number or its diameter, what it melts would be judged as cut (our rule).
func TestTheHandsWireStaysAWire(t *testing.T) {
	as := func(bow string) error {
		_, err := with(t, "machines:\n- id: by-hand\n  name: mine\n  process: hand\n  source: mine\n  tools:\n  - {id: knife, number: 1, name: a blade, diameter_mm: 0.5, reach_mm: 80}\n  - {reach_mm: 60, "+bow+"}\n")
		return err
	}
	require.NoError(t, as("id: bow, number: 2, name: a wire, diameter_mm: 0.4049, process: hot-wire"))
	require.NoError(t, as("id: saw, number: 3, name: a saw, diameter_mm: 0.8"))
	for _, bow := range []string{"id: blade, number: 2, name: a blade, diameter_mm: 0.6", "id: blade, number: 3, name: a blade, diameter_mm: 0.4049"} {
		assert.ErrorContains(t, as(bow), "tool blade of machine by-hand is a blade here and is known as a hot-wire, bow\nhint: write process: hot-wire into its row")
	}
}

// A hand's recipe says how wide and how deep, and nothing else; nothing in it turns, and no
// drawing is cut by colour (by what the keys mean).
func TestWhatAHandHasNoUseFor(t *testing.T) {
	recipe := func(numbers string) error {
		_, err := with(t, hand("", "")+"recipes:\n- {machine: mine, tool: blade, source: mine, foams: {pe-30: {"+numbers+"}}}\n")
		return err
	}
	require.NoError(t, recipe("mm_per_pass: 8, most_mm: 40, passes: 2, kerf_off_mm: 0.2"))
	for _, key := range []string{"feed_mm_per_min: 300", "plunge_mm_per_min: 100", "skin_mm: 1", "breakthrough_mm: 1", "corner_radius_mm: 1"} {
		name, _, _ := strings.Cut(key, ":")
		assert.ErrorContains(t, recipe("mm_per_pass: 8, "+key), name+" is a machine's, and a hand's recipe has only kerf_mm", key)
	}
	for want, row := range map[string]string{
		"flutes: are a cutter's":      hand("reach_mm: 60", "reach_mm: 60, flutes: 2"),
		"dxf_colours: is a machine's": hand("process: hand", "process: hand\n  dxf_colours: {mark: 1, pocket: 2, outline: 3}"),
	} {
		_, err := with(t, row)
		assert.ErrorContains(t, err, want)
	}
}
