package cam_test

import (
	"context"
	"fmt"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/safety"
	"traywright/profiles"
)

// demoRequest reads the demonstration's job.
func demoRequest(t testing.TB, name string) cam.Request {
	t.Helper()
	j, found, err := job.Load(os.DirFS("../testdata/tidewrack"), name)
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	art, found, err := cam.ReadArt(context.Background(), os.DirFS("../testdata/tidewrack"), j)
	require.NoError(t, err)
	require.Empty(t, found)
	return cam.Request{Job: j, Catalog: catalog(t), Unit: j.Units, Art: art}
}

func catalog(t testing.TB) *profiles.Catalog {
	t.Helper()
	c, err := profiles.Shipped()
	require.NoError(t, err)
	return c
}

// BenchmarkCutDemo is the whole of `cut` but for reading and writing files. The
// goal is 2 s on two cores.
func BenchmarkCutDemo(b *testing.B) {
	request := demoRequest(b, "job.yaml")
	for b.Loop() {
		result, err := cam.Cut(context.Background(), request, cam.Options{})
		require.NoError(b, err)
		require.NotEmpty(b, result.Files)
	}
}

// BenchmarkHours reports how long the trays of hours.yaml take on the machine, copies included, and
// by how much the worst program is over its bound: DEVELOPERS.md has the goals.
func BenchmarkHours(b *testing.B) {
	for name, copies := range map[string]map[string]int{"hours.yaml": {"cover": 3, "stores": 3}, "hours-laser.yaml": nil} {
		b.Run(name, func(b *testing.B) {
			request := demoRequest(b, name)
			text, err := os.ReadFile("../testdata/tidewrack/shop-rules.yaml")
			require.NoError(b, err)
			rules, err := safety.ReadRules("shop-rules.yaml", text)
			require.NoError(b, err)
			request.Rules = []safety.Rules{rules}
			seconds, worst := 0.0, 0.0
			for b.Loop() {
				result, err := cam.Cut(context.Background(), request, cam.Options{})
				require.NoError(b, err)
				require.NotEmpty(b, result.Files, "%v", result.Report.Findings)
				seconds, worst = 0, 0
				for _, f := range result.Report.Files {
					if f.Kind == "gcode" {
						seconds += f.Seconds * float64(f.Made+max(1, copies[f.Tray])-1)
						worst = max(worst, f.Seconds/f.BoundSeconds)
					}
				}
			}
			b.ReportMetric(seconds/60, "min")
			b.ReportMetric(worst, "worst-over-bound")
		})
	}
}

// BenchmarkCutPockets cuts n pockets on one sheet of a large machine: the time
// per pocket shows how the pipeline grows. The goal is no worse than n log n.
func BenchmarkCutPockets(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			request := manyPockets(b, n)
			for b.Loop() {
				result, err := cam.Cut(context.Background(), request, cam.Options{})
				require.NoError(b, err)
				require.NotEmpty(b, result.Files, "%v", result.Report.Findings)
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*n), "us/pocket")
		})
	}
}

// manyPockets is a job of n round pockets in ten grids, on a router as large as
// it takes.
func manyPockets(t testing.TB, n int) cam.Request {
	t.Helper()
	columns := 10
	for columns*columns < n {
		columns += 10
	}
	rows := (n + columns - 1) / columns
	side := columns*20 + 40
	var pockets strings.Builder
	for i := range 10 {
		fmt.Fprintf(&pockets, "      - {for: p%d, at: [%d, 20], round: 10, depth: 6, grid: [%d, %d], pitch: [20, 20]}\n", i, 20+i*columns/10*20, columns/10, rows)
	}
	text := fmt.Sprintf("machine: hall-router\ntrays:\n  - id: many\n    size: [%d, %d]\n    layers: [{foam: pe-30, thickness: 1/2 in}]\n    pockets:\n%s", side, rows*20+40, pockets.String())
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c := catalog(t)
	require.NoError(t, c.Add(fstest.MapFS{"hall.yaml": {Data: []byte(hallRouter)}}))
	return cam.Request{Job: j, Catalog: c}
}

const hallRouter = `
machines:
  - id: hall-router
    name: router of a workshop hall
    process: router
    travel_mm: [4000, 4000, 80]
    rapid_mm_per_min: 20000
    max_feed_mm_per_min: 10000
    acceleration_mm_per_s2: 1000
    corner_mm: 0.02
    clearance_mm: 5
    z_zero: top
    max_rpm: 24000
    controller: pc
    tools: [{id: flat-6, number: 1, name: 6 mm cutter, diameter_mm: 6, reach_mm: 60, flutes: 1}]
    source: invented for this test
recipes:
  - machine: hall-router
    tool: flat-6
    source: invented for this test
    common: {kerf_mm: 6, feed_mm_per_min: 4000, plunge_mm_per_min: 500, stepover: 0.6, rpm: 16000, finish_mm: 0.5, breakthrough_mm: 0.5, skin_mm: 0.8, ramp_degrees: 8}
    foams: {pe-30: {stepdown_mm: 13}}
`
