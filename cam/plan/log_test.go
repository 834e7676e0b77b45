package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry/units"
)

// Sixty-fourths of an inch stay what they are, whatever a sum of floats left of them; all else has three decimals.
func TestLengthsInMessages(t *testing.T) {
	in, mm := &maker{unit: units.Inch}, &maker{unit: units.Millimetre}
	for x, want := range map[float64]string{17.4625 + 1e-5: "11/16 in", 10.31875: "13/32 in", 60.325: "2 3/8 in", 17.4726: "0.688 in", 0: "0 in", -17.4625: "-11/16 in"} {
		assert.Equal(t, want, in.mm(x))
	}
	assert.Equal(t, "17.46 mm", mm.mm(17.4625))
}
