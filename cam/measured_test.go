package cam_test

import (
	"context"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/safety"
)

const measuredBeam = "measured:\n  - {machine: bench-laser, tool: beam, source: my coupon, foams: {pe-30: {kerf_mm: 0.37, kerf_interval_mm: 0.02, feed_mm_per_min: 900, power_percent: 45, passes: 2, focus_step_mm: 5, lead_in_mm: 2, corner_radius_mm: 1, taper_degrees: 0, mark_share: 0.1}}}\n"

// cut is the findings of a cut, by rule.
func cutFindings(t *testing.T, r cam.Request) (cam.Result, map[string]finding.Finding) {
	result, err := cam.Cut(context.Background(), r, cam.Options{})
	require.NoError(t, err)
	rules := map[string]finding.Finding{}
	for _, f := range result.Report.Findings {
		rules[f.Rule] = f
	}
	return result, rules
}

// A kerf that nobody measured is told of; a measured one is named as its own,
// unless the shop rules ask for another setting.
func TestWhoseKerf(t *testing.T) {
	r := scaledRequest(t, "bench-laser", "", "")
	_, rules := cutFindings(t, r)
	assert.Equal(t, "the kerf is a starting value that nobody measured: pe-30 with beam (0.4 mm)", rules["starting-kerf"].Message)
	assert.Equal(t, finding.Warning, rules["starting-kerf"].Severity)
	assert.Contains(t, rules["starting-kerf"].Hint, "The first: `traywright coupon --foam pe-30 --thickness \"25.4 mm\" --machine bench-laser --tool beam --out coupon`")

	require.NoError(t, r.Catalog.Add(fstest.MapFS{"kerf.yaml": {Data: []byte(measuredBeam)}}))
	result, rules := cutFindings(t, r)
	assert.NotContains(t, rules, "starting-kerf")
	assert.NotContains(t, rules, "kerf-at-other-setting")
	require.NotEmpty(t, result.Files)
	for _, f := range result.Report.Files {
		if f.Kind == "gcode" {
			assert.Equal(t, 0.37, f.KerfMM)
			assert.Equal(t, "my coupon", f.KerfFrom)
		}
	}
	assert.Contains(t, cutSheetOf(t, result), "my coupon")
	assert.Contains(t, textOf(t, result, ".ngc"), "(recipe: pe-30 with beam: my coupon)")

	slower, err := safety.ReadRules("rules.yaml", []byte("owner: Quayside workshop\nlimits: {feed: 600 mm/min}\n"))
	require.NoError(t, err)
	r.Rules = append(r.Rules, slower)
	_, rules = cutFindings(t, r)
	assert.Equal(t, finding.Warning, rules["kerf-at-other-setting"].Severity)
}
