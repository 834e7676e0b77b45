package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/profiles"
)

// The current of a recipe, in 300 mm of AWG 26 (2.52 ohm, 400 C in still air at 2.48 A) and in longer
// wires: limits of BS 7671 414.4.5 as Supply has them.
func TestCurrentOfARecipe(t *testing.T) {
	n := func(v float64) profiles.Number { return profiles.Number{Value: v} }
	m := profiles.Machine{ID: "wire", Process: profiles.HotWire}
	for _, c := range []struct {
		amps, length, diameter float64
		want                   string
	}{
		{2, 300, 0.4049, ""}, {2.48, 300, 0.4049, ""}, {2.5, 300, 0.4049, "warning:wire-too-hot"}, {5, 300, 0.4049, "error:wire-too-hot"},
		{2, 800, 0.4049, "warning:wire-supply"}, {2, 4000, 0.4049, "error:wire-voltage"},
		{2, 0, 0.4049, "warning:wire-unknown"}, {2, 300, 0.43, "warning:wire-unknown"}, {0, 300, 0.4049, ""},
	} {
		got := ""
		for _, f := range CheckWire(profiles.Recipe{CurrentA: n(c.amps)}, profiles.Tool{DiameterMM: n(c.diameter), LengthMM: n(c.length)}, m) {
			got = f.Severity.String() + ":" + f.Rule
		}
		assert.Equal(t, c.want, got, "%+v", c)
	}
	assert.Empty(t, CheckWire(profiles.Recipe{CurrentA: n(40)}, profiles.Tool{}, profiles.Machine{Process: profiles.Laser}))
}
