package cam

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/safety"
)

// tinyJob is a tray for the beam whose pockets are as small as they come: each has its corners, its
// way in and its end within a few mm.
func tinyJob(r *rand.Rand) string {
	var b strings.Builder
	foam := []string{"pe-30, thickness: 12.7", "pe-30, thickness: 25.4", "pe-45, thickness: 6.35", "xpe-33, thickness: 10", "eva-90, thickness: 6"}[r.IntN(5)]
	fmt.Fprintf(&b, "machine: bench-laser\nunits: mm\ntrays:\n  - id: a\n    size: [120, 110]\n    corner: %.2f\n    wall: 2\n    edge: 10\n    layers: [{foam: %s}]\n    pockets:\n", 3*r.Float64(), foam)
	for i := range 12 {
		x, y := 14+24*float64(i%4)+2*r.Float64(), 14+24*float64(i/4)+2*r.Float64()
		a, c := 2.05+3*r.Float64()*r.Float64(), 2.05+8*r.Float64()*r.Float64()
		shape := []string{fmt.Sprintf("size: [%.3f, %.3f]", a, c), fmt.Sprintf("round: %.3f", a), fmt.Sprintf("slot: [%.3f, %.3f]", a+c, min(a, c)), fmt.Sprintf("size: [%.3f, %.3f], turn: %.1f", a, c, 90*r.Float64()),
			fmt.Sprintf("size: [%.3f, %.3f], relief: dogbone", a+2, c+2)}[r.IntN(5)]
		fmt.Fprintf(&b, "      - {for: p%d, at: [%.3f, %.3f], %s, depth: through}\n", i, x, y, shape)
	}
	if r.IntN(2) == 0 {
		fmt.Fprintf(&b, "    labels: [{text: %q, at: [20, 88], height: %.1f, font: go-bold, make: through}]\n", []string{"WX", "AB8", "MEG", "K"}[r.IntN(4)], 3+4*r.Float64())
	}
	return b.String()
}

// What cut says of a beam's heat, dryrun says of the same program, however tiny its corners are.
func TestTinyCornersAreCutAndTriedAlike(t *testing.T) {
	jobs := *anyJobs
	if testing.Short() {
		jobs = min(jobs, 3)
	}
	cut := 0
	for n := range uint64(jobs) {
		text := tinyJob(rand.New(rand.NewPCG(*firstAny+n, 15)))
		q := requestOf(t, text)
		rules := safety.Rules{}
		for _, f := range anyFoams["bench-laser"] {
			rules.Permits = append(rules.Permits, safety.Permit{Foam: f.foam, Process: "laser", When: "lid closed"})
		}
		q.Rules = []safety.Rules{rules}
		result, err := Cut(context.Background(), q, Options{})
		require.NoError(t, err)
		if result.Report.Findings.Failed() {
			for _, f := range result.Report.Findings {
				assert.NotContains(t, []string{"beam-too-hot", "dry-run", "heat-gathers"}, f.Rule, "job %d: %v\n%s", n, f, text)
			}
			continue
		}
		for _, f := range result.Files {
			if !strings.HasSuffix(f.Path, ".ngc") {
				continue
			}
			cut++
			tried, found := Try(Trial{Name: f.Path, Text: f.Data, Rules: q.Rules}, q.Catalog, result.Plan)
			assert.True(t, tried.OK && !found.Failed(), "job %d: %v %v\n%s", n, found, tried.Findings, text)
		}
	}
	t.Logf("%d programs of %d jobs", cut, jobs)
	assert.Positive(t, cut)
}
