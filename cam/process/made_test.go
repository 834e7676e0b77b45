package process_test

import (
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

var writeMade = flag.Bool("made", false, "take the moves of jobs as they are now for those that were looked at")

// planned is the plan of a job that stands with others of its process.
func planned(t *testing.T, folder, name string) *plan.Plan {
	t.Helper()
	files := os.DirFS(folder)
	j, found, err := job.Load(files, name+".yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	r := cam.Request{Job: j, Catalog: c, Unit: units.Millimetre}
	if j.ShopRules != "" {
		text, err := fs.ReadFile(files, j.ShopRules)
		require.NoError(t, err)
		rules, err := safety.ReadRules(j.ShopRules, text)
		require.NoError(t, err)
		r.Rules = []safety.Rules{rules}
	}
	p := cam.Check(r)
	require.False(t, p.Report.Findings.Failed(), "%v", p.Report.Findings)
	return p.Plan
}

// counted is an operation in numbers: which moves, how far and how deep, how fast and how strong.
func counted(op process.Op) string {
	var kinds [4]int
	var at process.Point
	down, cut, fast, power, wait, turned := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
	low, high := process.Point{Z: math.Inf(1)}, process.Point{Z: math.Inf(-1)}
	low.X, low.Y, high.X, high.Y = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for i, m := range op.Moves {
		kinds[m.Kind]++
		if i > 0 {
			way := math.Hypot(m.To.DistanceTo(at.Point), m.To.Z-at.Z)
			if m.FeedMMPerMin > 0 {
				cut, fast, power = cut+way, fast+way*m.FeedMMPerMin, power+way*m.PowerPercent
			}
			down += max(0, at.Z-m.To.Z)
		}
		low.X, low.Y, low.Z = min(low.X, m.To.X), min(low.Y, m.To.Y), min(low.Z, m.To.Z)
		high.X, high.Y, high.Z = max(high.X, m.To.X), max(high.Y, m.To.Y), max(high.Z, m.To.Z)
		at, wait, turned = m.To, wait+m.WaitS, max(turned, math.Abs(m.Heading))
	}
	mean := func(sum float64) float64 { return sum / max(cut, 1e-9) }
	return fmt.Sprintf("  %s, T%d %.0f rpm, kerf %.3f: moves %v, %.1f mm cut, %.1f mm down, feed %.0f, power %.2f, waits %.2f s, turned %.2f, X %.2f to %.2f, Y %.2f to %.2f, Z %.2f to %.2f\n",
		op.Name, op.Tool.Number, op.RPM, op.KerfMM, kinds, cut, down, mean(fast), mean(power), wait, turned, low.X, high.X, low.Y, high.Y, low.Z, high.Z)
}

// The operations of jobs of every process in numbers, as they were looked at: feeds are the recipes', depths the
// passes', places the pockets' less half a kerf. A change of the paths is looked at again: write them with -made.
func TestMovesOfJobsAsLookedAt(t *testing.T) {
	var said strings.Builder
	for _, j := range [][2]string{
		{"../page/testdata/jobs", "router"}, {"../page/testdata/jobs", "laser"}, {"../page/testdata/jobs", "dowels"}, {"../../.ci/outside", "wire"},
		{"../../.ci/outside", "blade"}, {"../../.ci/outside", "chord"}, {"../../.ci/outside", "tight"}, {"../../.ci/outside", "hand"},
	} {
		p := planned(t, j[0], j[1])
		for _, tray := range p.Trays {
			for _, s := range tray.Sheets {
				program, err := process.Make(s, p.Machine, 1e-6)
				require.NoError(t, err)
				stats := process.Measure(program)
				fmt.Fprintf(&said, "%s: %s layer %d: %.1f mm cut, passes %d, clear at %.2f, %.2f below, skin %.2f, %d bridges of %.2f, left %d of %.2f, drawn %d, finished %d, at least %.1f s\n", j[1], tray.ID, s.Number,
					stats.CutLengthMM, stats.Passes, program.ClearZ, program.BreakthroughMM, program.SkinMM, program.Bridges, program.BridgeMM, program.Left, program.LeftMM, len(program.Drawn), len(program.Finished),
					process.LeastSeconds(program, p.Machine))
				for _, op := range program.Ops {
					said.WriteString(counted(op))
				}
				for _, d := range program.Drawn {
					b := d.Contour.Bounds()
					if d.Contour.Area() == 0 {
						fmt.Fprintf(&said, "  drawn %s: a way of %.2f mm\n", d.Name, d.Path.Length())
						continue
					}
					fmt.Fprintf(&said, "  drawn %s: %.2f mm2, X %.2f to %.2f, Y %.2f to %.2f, slit %.2f mm\n", d.Name, d.Contour.Area(), b.Min.X, b.Max.X, b.Min.Y, b.Max.Y, d.Slit.Length())
				}
			}
		}
	}
	const file = "testdata/moves-looked-at.txt"
	if *writeMade {
		require.NoError(t, os.WriteFile(file, []byte(said.String()), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), said.String())
}
