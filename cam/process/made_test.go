package process_test

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

// planned is the plan of a job that stands with others of its process.
func planned(t *testing.T, folder, name string) *plan.Plan {
	t.Helper()
	j, c, rules := lookedat.Job(t, os.DirFS(folder), name)
	p := cam.Check(cam.Request{Job: j, Catalog: c, Rules: rules, Unit: units.Millimetre})
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
// passes', places the pockets' less half a kerf. A change of the paths is looked at again: write them with -looked-at.
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
	lookedat.Text(t, "moves.txt", said.String())
}
