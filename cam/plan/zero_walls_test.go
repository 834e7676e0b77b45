package plan_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

// A `wall` or `edge` of 0 is the foam's least, as where none is said: thinner foam is warned of, and no default of the job counts.
func TestZeroIsTheFoamsLeast(t *testing.T) {
	found := func(defaults, own string) (list finding.List) {
		folder := fstest.MapFS{"job.yaml": {Data: []byte("machine: bench-router\n" + defaults + "trays:\n  - id: crew\n    size: [200, 150]\n    layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}]\n" + own +
			"    pockets:\n      - {at: [4, 40], size: [40, 30], depth: 10}\n      - {at: [48, 40], size: [40, 30], depth: 10}\n")}}
		j, c, rules := lookedat.Job(t, folder, "job")
		for _, f := range cam.Check(cam.Request{Job: j, Catalog: c, Rules: rules, Unit: units.Millimetre}).Report.Findings {
			list = append(list, finding.Finding{Severity: f.Severity, Rule: f.Rule, Message: f.Message, Hint: f.Hint})
		}
		return list
	}
	none := found("", "")
	rules := map[string]finding.Severity{}
	for _, f := range none {
		rules[f.Rule] = f.Severity
	}
	require.Equal(t, finding.Warning, rules["wall-thin-for-foam"], "4 mm: %v", none)
	require.Equal(t, finding.Warning, rules["edge-thin-for-foam"])
	assert.False(t, none.Failed())
	assert.Equal(t, none, found("", "    wall: 0\n    edge: 0 in\n"))
	const wide = "tray_defaults: {wall: 20, edge: 20}\n"
	assert.True(t, found(wide, "").Failed())
	assert.Equal(t, none, found(wide, "    wall: 0\n    edge: 0\n"))
}
