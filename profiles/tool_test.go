package profiles

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// How deep a cutter goes is up to what meets the foam first: its collet, or a shank that is
// wider than its edges (common practice, no source).
func TestReach(t *testing.T) {
	mm := func(v float64) Number { return Number{Value: v} }
	for _, c := range []struct {
		name string
		tool Tool
		want float64
	}{
		{"a beam", Tool{}, 0},
		{"what the row says", Tool{ReachMM: mm(12)}, 12},
		{"the collet", Tool{DiameterMM: mm(3), FluteMM: mm(22), StickoutMM: mm(27), ShankMM: mm(3)}, 27},
		{"the collet before what the row says", Tool{ReachMM: mm(30), StickoutMM: mm(27)}, 27},
		{"a wide shank", Tool{DiameterMM: mm(2), FluteMM: mm(8), StickoutMM: mm(27), ShankMM: mm(3.175)}, 8},
		{"a wide shank, nobody knows where it begins", Tool{DiameterMM: mm(2), StickoutMM: mm(27), ShankMM: mm(3.175)}, 27},
	} {
		assert.Equal(t, c.want, c.tool.Reach(), c.name)
	}
	edged := Tool{FluteMM: mm(22)}
	assert.False(t, edged.BeyondFlute(22))
	assert.True(t, edged.BeyondFlute(22.01))
	assert.False(t, Tool{}.BeyondFlute(100))
}

// A tool maker's chart, for a foam that it does not name: 18000 rpm and 2 edges, one
// diameter deep, 2540 to 3556 mm/min for 3.175 mm, 3556 to 5334 for 6.35 mm; a quarter
// less two diameters deep, half of it three deep.
func TestChipsAreHeldAgainstTheChart(t *testing.T) {
	mm := func(v float64) Number { return Number{Value: v} }
	chips := func(d, deep, feed, rpm float64, edges int) Chips {
		return ChipsOf(Recipe{FeedMMPerMin: mm(feed), RPM: mm(rpm), StepdownMM: mm(deep)}, Tool{DiameterMM: mm(d), Flutes: edges})
	}
	thin := chips(3.175, 3.175, 1800, 18000, 1)
	assert.InDelta(t, 0.1, thin.MM, 1e-9)
	assert.InDelta(t, 0.0706, thin.LeastMM, 5e-5)
	assert.InDelta(t, 0.0988, thin.MostMM, 5e-5)
	thick := chips(6.35, 2*6.35, 3600, 18000, 2)
	assert.InDelta(t, 0.75*0.0988, thick.LeastMM, 5e-5)
	assert.InDelta(t, 0.75*0.1482, thick.MostMM, 5e-5)
	assert.InDelta(t, 0.5*0.1482, chips(6.35, 40, 3600, 18000, 2).MostMM, 5e-5)
	assert.InDelta(t, (0.0988+0.1482)/2, chips((3.175+6.35)/2, 1, 3600, 18000, 2).MostMM, 5e-5)
	assert.True(t, chips(3.175, 3.175, 600, 18000, 1).Rub())
	assert.False(t, thin.Rub() || thin.Tear())
	assert.True(t, chips(3.175, 10, 2400, 18000, 1).Tear())
	assert.Zero(t, chips(3.175, 10, 2400, 18000, 0))

	c := shippedCatalog(t)
	for _, r := range c.Recipes() {
		m, _ := c.Machine(r.Machine)
		if tool, _ := m.Tool(r.Tool); m.Process == Router {
			chips := ChipsOf(r, tool)
			require.Positive(t, chips.MM)
			assert.False(t, chips.Rub() || chips.Tear(), keyOf(r).String())
		}
	}
}
