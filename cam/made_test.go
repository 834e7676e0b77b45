package cam_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

func TestProgramsOfARouterAsLookedAt(t *testing.T) {
	programsAsLookedAt(t, "page/testdata/jobs", "router")
}
func TestProgramsOfALaserAsLookedAt(t *testing.T) {
	programsAsLookedAt(t, "page/testdata/jobs", "laser")
}
func TestProgramsWithDowelsAsLookedAt(t *testing.T) {
	programsAsLookedAt(t, "page/testdata/jobs", "dowels")
}
func TestProgramsOfAWireAsLookedAt(t *testing.T)  { programsAsLookedAt(t, "../.ci/outside", "wire") }
func TestProgramsOfABladeAsLookedAt(t *testing.T) { programsAsLookedAt(t, "../.ci/outside", "tight") }
func TestWorkOfAHandAsLookedAt(t *testing.T)      { programsAsLookedAt(t, "../.ci/outside", "hand") }

// A line for each program of jobs of every process, and one for each tray and file, as they were
// looked at. Sums of them are compared with what the report adds up.
func programsAsLookedAt(t *testing.T, folder, name string) {
	var said strings.Builder
	j, c, rules := lookedat.Job(t, os.DirFS(folder), name)
	result, err := cam.Cut(context.Background(), cam.Request{Job: j, Catalog: c, Rules: rules, Unit: units.Millimetre}, cam.Options{Finished: true})
	require.NoError(t, err)
	r := result.Report
	require.False(t, r.Findings.Failed(), "%v", r.Findings)
	for _, tray := range r.Trays {
		fmt.Fprintf(&said, "%s x %d, %.2f mm, %.2f g, %d pockets, labels %v, holes %.3f\n", tray.ID, tray.Copies, tray.SizeMM, tray.WeightG, len(tray.Pockets), tray.Labels, tray.Holes)
	}
	for _, d := range r.DryRun {
		corners := "none tried"
		if d.Corners != nil {
			corners = fmt.Sprintf("safe in %d of %d", d.Corners.Safe, d.Corners.Tried)
		}
		fmt.Fprintf(&said, "%s: %.1f s, at least %.1f, cutting %.1f, rapids %.1f, down %.1f, on %.1f, %.0f mm3, %.2f to %.2f, %s\n", d.Path, d.Seconds, d.LowerBound, d.CutSeconds, d.RapidSeconds, d.PlungeSeconds,
			d.OnSeconds, d.RemovedMM3, d.MinMM, d.MaxMM, corners)
		assert.GreaterOrEqual(t, d.Seconds, d.LowerBound)
		waits := d.Seconds - d.CutSeconds - d.RapidSeconds - d.PlungeSeconds
		assert.True(t, math.Abs(waits) < 0.2 || math.Abs(waits-3) < 0.2, "%s: all but the 3 s in which a spindle runs up", d.Path)
	}
	if r.Totals != nil {
		fmt.Fprintf(&said, "%+v\n", *r.Totals)
		sum := 0.0
		for _, f := range r.Files {
			if f.Kind == "gcode" {
				sum += f.Seconds * float64(f.Made)
			}
		}
		assert.InDelta(t, sum, r.Totals.Seconds, 0.01, name)
	}
	fmt.Fprintf(&said, "buy %v, dowels %v, proof %v\n", r.Buy, r.Dowels, r.Proof)
	lookedat.Text(t, name+".txt", said.String())
}
