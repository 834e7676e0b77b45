package profiles

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// knife is a knife's row, with a part of it replaced.
func knife(old, new string) string {
	row := `machines:
- id: mine
  name: my cutter
  process: knife
  source: its manual
  travel_mm: [900, 600, 90]
  rapid_mm_per_min: 4000
  max_feed_mm_per_min: 2000
  acceleration_mm_per_s2: 200
  corner_mm: 0.01
  clearance_mm: 6
  z_zero: bed
  controller: {tool_change: none}
  tools:
  - {id: blade, number: 1, name: a blade, diameter_mm: 0.5}
`
	return strings.Replace(row, old, new, 1)
}

// Whatever has what only a beam has is a laser, and a profile that says
// otherwise is not read (common practice; spots of 0.05 to 0.3 mm from memory).
func TestABeamIsALaserWhateverItSays(t *testing.T) {
	_, err := with(t, knife("", ""))
	require.NoError(t, err)
	cases := []struct{ name, old, new, want string }{
		{"watts", "clearance_mm: 6", "clearance_mm: 6\n  power_w: 40", "a machine with power_w is a laser, and this one says knife"},
		{"wavelength", "clearance_mm: 6", "clearance_mm: 6\n  wavelength_nm: 450", "a machine with wavelength_nm is a laser"},
		{"power scale", "tool_change: none", "tool_change: none, power_scale: 1000", "a machine with power_scale is a laser"},
		{"air assist", "tool_change: none", "tool_change: none, air_assist: M8", "a machine with air_assist is a laser"},
		{"a spot", "diameter_mm: 0.5", "diameter_mm: 0.3", "a machine with a tool of 0.3 mm that never turns (blade) is a laser"},
		{"a tool called so", "name: a blade", "name: the beam", `a machine with the tool "the beam" (blade) is a laser`},
		{"a tool's id", "id: blade", "id: beam", `a machine with the tool "a blade" (beam) is a laser`},
		{"its id", "id: mine", "id: old-laser", `a machine with the name "my cutter" (old-laser) is a laser`},
		{"a diode", "name: my cutter", "name: blue diode module", "is a laser"},
		{"a tube", "name: my cutter", "name: CO₂ 40", "is a laser"},
		{"German", "name: my cutter", "name: der Diodenlaser", "is a laser"},
		{"Spanish", "name: my cutter", "name: CORTADORA LÁSER", "is a laser"},
		{"Russian", "name: my cutter", "name: лазерный станок", "is a laser"},
		{"Japanese", "name: my cutter", "name: レーザー加工機", "is a laser"},
		{"Chinese", "name: my cutter", "name: 激光切割机", "is a laser"},
		{"wide letters", "name: my cutter", "name: ＬＡＳＥＲ", "is a laser"},
		{"a zero-width space", "name: my cutter", "name: \"la\\u200bser\"", "is a laser"},
		{"a Cyrillic letter", "name: my cutter", "name: lаser", "is a laser"},
	}
	for _, c := range cases {
		_, err := with(t, knife(c.old, c.new))
		assert.ErrorContains(t, err, c.want, c.name)
		assert.ErrorContains(t, err, "write `process: laser`", c.name)
	}
	for name, text := range map[string]string{
		"a glazier's bench": knife("name: my cutter", "name: Glasers Werkbank"),
		"a moonbeam":        knife("name: my cutter", "name: moonbeam"),
		"a thin hot wire":   strings.Replace(knife("diameter_mm: 0.5", "diameter_mm: 0.2"), "process: knife", "process: hot-wire", 1),
	} {
		_, err := with(t, text)
		assert.NoError(t, err, name)
	}
}

// A spot that is written as a cutter reaches too far for one: 20 diameters are
// the longest that are sold (from memory).
func TestASpotIsNoCutter(t *testing.T) {
	_, err := with(t, machine("diameter_mm: 2, reach_mm: 12", "diameter_mm: 0.2, reach_mm: 12"))
	assert.ErrorContains(t, err, "a machine with a cutter of 0.2 mm that reaches 12 mm (thin) is a laser, and this one says router")
	_, err = with(t, machine("diameter_mm: 2, reach_mm: 12", "diameter_mm: 1, reach_mm: 40"))
	assert.NoError(t, err)
	_, err = with(t, machine("diameter_mm: 2, reach_mm: 12", "diameter_mm: 1, reach_mm: 40.1"))
	assert.Error(t, err)
}

// Scales of power end at 255 or 1000, and no spindle in foam turns so slowly (common
// practice): a router that turns so is a beam, by its machine or by its recipe.
func TestASpindleThatTurnsAsAPowerIsALaser(t *testing.T) {
	for rpm, no := range map[string]bool{"255": true, "1000": true, "1000.1": false} {
		_, err := with(t, machine("max_rpm: 20000", "max_rpm: "+rpm))
		assert.Equal(t, no, err != nil && strings.Contains(err.Error(), "a machine with a max_rpm of "+rpm+", which is a scale of power and no spindle's speed, is a laser"), "%s: %v", rpm, err)
		_, err = with(t, recipe("rpm: 12000", "rpm: "+rpm))
		assert.Equal(t, no, err != nil && strings.Contains(err.Error(), "a recipe with an rpm of "+rpm+" is a laser's"), "%s: %v", rpm, err)
	}
}

// The tube under a shipped name stays what it is: heat and eyewear are counted by its
// watts and by its scale (the project's own rule). More watts are only stricter; a copy
// under another name says what its owner says.
func TestAKnownLaserIsNotWeaker(t *testing.T) {
	c := shippedCatalog(t)
	m, _ := c.Machine("bench-laser")
	as := func(id string, change func(*Machine)) error {
		changed := m
		change(&changed)
		own := shippedCatalog(t)
		return own.Add(folderOf(string((&Catalog{}).MachineFile(changed, id))))
	}
	require.NoError(t, as("bench-laser", func(*Machine) {}))
	require.NoError(t, as("bench-laser", func(m *Machine) { m.PowerW.Value = 400 }))
	for want, change := range map[string]func(*Machine){
		"a power_w of 39.9 here and is known with 40":           func(m *Machine) { m.PowerW.Value = 39.9 },
		"a power_scale of 100000 here and is known with 1000":   func(m *Machine) { m.Controller.PowerScale = 100000 },
		"a power_scale of 255 here and is known with 1000: its": func(m *Machine) { m.Controller.PowerScale = 255 },
	} {
		assert.ErrorContains(t, as("bench-laser", change), want)
		assert.ErrorContains(t, as("bench-laser", change), "traywright profiles --yaml bench-laser --as my-bench-laser")
		assert.NoError(t, as("my-bench-laser", change))
	}
}

// Every process protects the id of every shipped machine, and of one that an
// earlier folder brought.
func TestTheProcessOfAKnownMachineStays(t *testing.T) {
	for _, m := range shippedCatalog(t).Machines() {
		for _, text := range []string{machine("id: mine", "id: "+m.ID), knife("id: mine", "id: "+m.ID)} {
			_, err := with(t, text)
			if strings.Contains(text, "process: "+string(m.Process)) {
				assert.NoError(t, err, m.ID)
				continue
			}
			require.Error(t, err, m.ID)
			if m.Process != Laser && m.Process != HotWire { // whose id has told already
				assert.ErrorContains(t, err, "is known as a "+string(m.Process)+"\nhint: give another machine another id")
			}
		}
	}
	c := shippedCatalog(t)
	require.NoError(t, c.Add(folderOf(knife("", ""))))
	assert.ErrorContains(t, c.Add(folderOf(machine("", ""))), "machine mine is a router here and is known as a knife")
}
