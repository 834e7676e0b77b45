package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// 3.175 mm with one edge at 18000 rpm, one diameter deep: the chart has 0.0706 to 0.0988 mm,
// which is 1270 to 1778 mm/min (facts of the chart, arithmetic).
func TestChipsAboveTheChartAreAWarning(t *testing.T) {
	in := func(u units.Unit, feed float64) finding.List {
		n := func(v float64) profiles.Number { return profiles.Number{Value: v} }
		tool := profiles.Tool{ID: "thin", Flutes: 1, DiameterMM: n(3.175)}
		cut := plan.Cut{Tool: tool, Recipes: []profiles.Recipe{{Foam: "pe-30", Tool: "thin", FeedMMPerMin: n(feed), RPM: n(18000), StepdownMM: n(3.175)}}}
		return thickChips(&plan.Plan{Trays: []plan.Tray{{Sheets: []plan.Sheet{{Edge: cut, Cuts: []plan.Cut{cut}}}}}}, u)
	}
	run := func(feed float64) finding.List { return in(units.Millimetre, feed) }
	assert.Empty(t, run(1770))
	assert.Empty(t, run(3600), "the plan tells of that")
	found := run(1790)
	require.Len(t, found, 1)
	assert.Equal(t, finding.Warning, found[0].Severity)
	assert.Equal(t, "each edge takes more at a turn than a tool maker's chart, for a foam that it does not name, has so deep: pe-30 with thin (0.099 mm, the chart has 0.071 to 0.099 mm)", found[0].Message)
	assert.Contains(t, in(units.Inch, 1790)[0].Message, "pe-30 with thin (3.9 thou, the chart has 2.8 to 3.9 thou)")
}
