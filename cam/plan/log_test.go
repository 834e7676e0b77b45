package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry/units"
)

// TestWhatAHintAsksForIsEnough types what a hint prints: it is never less than was needed,
// in either unit, and not much more.
func TestWhatAHintAsksForIsEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &maker{unit: rapid.SampledFrom([]units.Unit{units.Millimetre, units.Inch}).Draw(t, "unit")}
		need := rapid.Float64Range(0.001, 500).Draw(t, "mm")
		for _, c := range []struct {
			say  func(float64) string
			most float64
		}{{m.more, 0.026}, {m.above, 0.128}, {m.corner, 0.1001}} {
			typed, err := units.Parse(c.say(need), m.unit)
			require.NoError(t, err)
			require.GreaterOrEqual(t, typed.MM(), need-2e-6)
			require.LessOrEqual(t, typed.MM(), need+c.most)
		}
	})
}
