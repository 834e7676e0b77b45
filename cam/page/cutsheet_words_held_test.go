package page

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/plan"
	"traywright/profiles"
)

// A cutter that stands 55 mm out of its nut and goes 51.6 mm deep brings it down to 3.4 mm
// (arithmetic), whatever another cutter of the sheet does.
func TestTheNutIsAsLowAsItsDeepestCut(t *testing.T) {
	tool := func(out float64) profiles.Tool { return profiles.Tool{StickoutMM: profiles.Number{Value: out}} }
	s := plan.Sheet{
		Edge: plan.Cut{Tool: tool(55), Passes: []plan.Pass{{ToMM: 20}, {ToMM: 51.6}}},
		Cuts: []plan.Cut{{Tool: tool(27), DepthMM: 12, Passes: []plan.Pass{{ToMM: 12}}}},
	}
	assert.InDelta(t, 3.4, lowestNut(s), 1e-9)
	assert.True(t, math.IsInf(lowestNut(plan.Sheet{}), 1), "nobody has said")
}
