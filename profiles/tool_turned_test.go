package profiles

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a machine that turns its blade lacks is refused, of each of its blades (by what its paths are
// made of), and the hint, followed, is read.
func TestWhatATurnedBladeNeeds(t *testing.T) {
	const pc, first, second = "like: pc, tool_change: none, axes: [X, Y, Z, A]", ", chord_mm: 2, gouge_mm: 0.1}", "\n  - {id: wide, number: 2, name: a wide one, diameter_mm: 0.5"
	row := func(controller, machine, blades string) error {
		text := strings.NewReplacer("tool_change: none", controller, "  z_zero: bed\n", "  z_zero: bed\n"+machine).Replace(knife("", ""))
		_, err := with(t, strings.Replace(text, "diameter_mm: 0.5}", "diameter_mm: 0.5"+blades, 1))
		return err
	}
	const turns = "  turn_rpm: 100\n  a_counts: cw\n"
	require.NoError(t, row(pc, turns, first))
	require.NoError(t, row(pc, turns, first+second+first))
	for _, c := range []struct{ name, controller, machine, blades, want string }{
		{"no blade to turn", pc, turns, "}", "a_counts: is of an axis that turns a blade"},
		{"nor with a speed", pc, "  turn_rpm: 100\n", "}", "turn_rpm: is of an axis that turns a blade"},
		{"a small controller", "like: small", turns, first, "is turned by an A axis, which the controller does not move"},
		{"no A axis", "like: pc, tool_change: none", turns, first, "is turned by an A axis, which the controller does not move"},
		{"both kinds in one", pc, turns, ", trail_mm: 1" + first, "a blade either swivels by itself, with trail_mm, or is turned"},
		{"one of each kind", pc, turns, first + second + ", trail_mm: 1}", "a machine has blades of one kind"},
		{"no speed", pc, "", first, "needs turn_rpm"},
		{"no gouge", pc, turns, ", chord_mm: 2}", "each of its blades chord_mm and gouge_mm"},
		{"none of the second", pc, turns, first + second + ", chord_mm: 3}", "each of its blades chord_mm and gouge_mm"},
		{"nobody says what the second is", pc, turns, first + second + "}", "each of its blades chord_mm and gouge_mm"},
	} {
		assert.ErrorContains(t, row(c.controller, c.machine, c.blades), c.want, c.name)
	}
}
