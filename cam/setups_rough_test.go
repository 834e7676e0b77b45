package cam_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/plan"
)

// A large pocket alone is not worth a change of the tool; several of the kind on one sheet share it. What they save is
// what each saves of cutting, less one change of 180 s: the outline's tool is there anyway, and the wall's is fitted again.
func TestPartsOfASetupShareTheChangeForTheirRoughing(t *testing.T) {
	request := func(copies int) cam.Result {
		return cam.Check(stockRequest(t, t, `
units: mm
machine: bench-router
trays:
  - {id: flat, size: [130, 180], corner: 6, layers: [{foam: pe-30, thickness: 20}],
     pockets: [{at: [14, 14], size: [90, 60], depth: through, waste: clear, corner: 1.6 mm}]}
cases:
  - {name: one, inside: [130, 180, 20], stack: [flat], copies: `+strconv.Itoa(copies)+`}
stock:
  margin: 5
  sheets: [{foam: pe-30, thickness: 20, size: [1000, 500], price: 9}]
`))
	}
	of := func(r cam.Result) plan.Sheet {
		require.False(t, r.Report.Findings.Failed(), "%v", r.Report.Findings)
		require.Len(t, r.Layout.Setups, 1)
		return r.Layout.Setups[0].Tray.Sheets[0]
	}
	assert.Zero(t, of(request(1)).Roughed())
	four := request(4)
	each := four.Layout.Setups[0].Parts[0].Sheet.Roughing
	assert.Equal(t, 4, of(four).Roughed())
	assert.InDelta(t, 4*each.CutSeconds-180, of(four).Roughing.SavedSeconds, 1e-6)
	for _, c := range of(four).Cuts {
		if c.Rough {
			assert.Equal(t, "flat-6", c.Tool.ID)
			assert.False(t, of(four).Cuts[c.Roughs].Roughed.Empty(), "%s is for %s", c.Name, of(four).Cuts[c.Roughs].Name)
		}
	}
}
