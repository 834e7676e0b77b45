package cam_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/cam/safety"
)

// No program sets a current, so each has a piece, a program and a page of its own, which says it; they have one table.
func TestCouponForEachCurrent(t *testing.T) {
	r := demoRequest(t, "job.yaml")
	spec := kerf.CouponSpec{Foam: "xps-32", Thickness: 20_000_000}
	q := cam.CouponRequest{Spec: spec, Catalog: r.Catalog, Machine: "bench-hotwire", CurrentsA: []float64{1.8, 2}}
	result, err := cam.Coupon(context.Background(), q, cam.Options{})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	text := map[string]string{}
	for _, f := range result.Files {
		assert.True(t, cam.IsOurName(f.Path), f.Path)
		require.NotContains(t, text, f.Path)
		text[f.Path] = string(f.Data)
	}
	require.Len(t, result.Report.DryRun, 2)
	for name, others := range map[string][2]string{"coupon-1.8a": {"1.8 A", "2 A"}, "coupon-2a": {"2 A", "1.8 A"}} {
		program := strings.ReplaceAll(text[name+".ngc"], ")\n(+ ", " ")
		assert.Contains(t, program, "for "+others[0]+": set the wire's supply to that")
		assert.Contains(t, text[name+".md"], "set it to "+others[0]+", and wait until that stays")
		assert.NotContains(t, text[name+".md"], "set it to "+others[1])
		assert.Contains(t, text[name+".md"], name+".png")
	}
	assert.NotContains(t, text["coupon-2a.md"], "the plug of square A 40", "that lies on the other piece")
	assert.Equal(t, 2*2*3*2, strings.Count(text["coupon.csv"], "\nxps-32,"))
	assert.Contains(t, text["report.json"], `"current_a": 1.8`)

	// What a bare wire may not have, by the calculator: 4 m of AWG 26 are 33.6 ohm, 67 V at 2 A, and 60 V at 1.78.
	machine, _ := r.Catalog.Machine("bench-hotwire")
	long := "machines:\n" + strings.SplitAfterN(string(r.Catalog.MachineFile(machine, "bench-hotwire")), "machines:\n", 2)[1]
	require.Contains(t, long, "length_mm: ")
	at := strings.Index(long, "length_mm: ")
	long = long[:at] + "length_mm: 4000" + long[at+strings.Index(long[at:], "\n"):]
	require.NoError(t, r.Catalog.Add(fstest.MapFS{"long.yaml": {Data: []byte(long)}}))
	result, err = cam.Coupon(context.Background(), q, cam.Options{})
	require.NoError(t, err)
	require.True(t, result.Report.Findings.Failed())
	hint := ""
	for _, f := range result.Report.Findings {
		if f.Rule == "wire-voltage" {
			hint = f.Hint
		}
	}
	assert.Equal(t, "give --current 1.78 or less, or take a shorter or thicker wire", hint)
	q.CurrentsA = []float64{1.78}
	result, err = cam.Coupon(context.Background(), q, cam.Options{})
	require.NoError(t, err)
	for _, f := range result.Report.Findings { // so long a wire lags: that is told for itself
		assert.True(t, f.Severity != finding.Error || f.Rule == "wire-lags", "%v", f)
	}
}

// A limit lowers the feed: between tested feeds the kerf follows. Beyond them nobody knows it, and the current goes
// down with the feed: 1.8 A times the root of 50/81 are 1.41 A.
func TestKerfFollowsTheLimitedFeed(t *testing.T) {
	tested := `
measured:
  - {machine: bench-hotwire, tool: wire, source: my coupon, foams: {xps-32: {kerf_mm: 1, kerf_interval_mm: 0.02, kerf_off_mm: 0.5, feed_mm_per_min: 81, current_a: 1.8, lead_in_mm: 20, most_mm: 60, tested: [
     {feed_mm_per_min: 57, current_a: 1.8, kerf_mm: 1.24, kerf_interval_mm: 0.017},
     {feed_mm_per_min: 81, current_a: 1.8, kerf_mm: 1, kerf_interval_mm: 0.02},
     {feed_mm_per_min: 105, current_a: 1.8, kerf_mm: 0.864, kerf_interval_mm: 0.021}]}}}
`
	catalog := demoRequest(t, "job.yaml").Catalog
	require.NoError(t, catalog.Add(fstest.MapFS{"t.yaml": {Data: []byte(tested)}}))
	text := "trays: [{id: a, size: [90, 60], layers: [{foam: xps-32, thickness: 20 mm}], pockets: [{at: [20, 15], size: [30, 25]}]}]\n"
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.Empty(t, found)
	for limit, want := range map[float64]float64{0: 1, 70: 1.0883, 50: 1} {
		r := cam.Request{Job: j, Catalog: catalog, Machine: "bench-hotwire"}
		if limit > 0 {
			r.Rules = []safety.Rules{{Limits: []safety.Limits{{FeedMMPerMin: limit}}}}
		}
		result, rules := cutFindings(t, r)
		for _, f := range result.Report.Files {
			if f.Kind == "gcode" {
				assert.Equal(t, want, f.KerfMM, limit)
			}
		}
		assert.NotContains(t, rules, "kerf-at-other-setting")
		assert.NotContains(t, rules, "starting-kerf")
		if limit != 50 {
			assert.NotContains(t, rules, "kerf-not-tested")
			continue
		}
		assert.Equal(t, "the kerf at 50 mm/min and 1.41 A is not known: 1.41 A lies outside the current that was tested, 1.8 A; it is reckoned as 1 mm, give or take 0.5, and nobody has measured that", rules["kerf-not-tested"].Message)
		assert.Contains(t, rules["kerf-not-tested"].Hint, "`traywright coupon --foam xps-32 --thickness \"20 mm\" --machine bench-hotwire --tool wire --out coupon`")
	}
}
