package cam_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/safety"
)

const roundJob = `machine: MACHINE
tray_defaults: {layers: [{foam: pe-30, thickness: 1 in}]}
trays:
  - id: crew
    size: [180, 120]
    corner: 8
    pockets:
      - {at: [12, 12], round: 40, depth: through}
      - {at: [70, 12], size: [60, 40], corner: 5, depth: through}
      - {at: [12, 70], slot: [70, 22], depth: through}
`

// scaledRequest cuts round things on a machine that makes x and y mm of a
// programmed one.
func scaledRequest(t testing.TB, machine, x, y string) cam.Request {
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(strings.Replace(roundJob, "MACHINE", machine, 1))}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c := catalog(t)
	if x != "" {
		row := "scales:\n  - {machine: " + machine + ", source: test, scale_x: " + x + ", scale_y: " + y + "}\n"
		require.NoError(t, c.Add(fstest.MapFS{"scales.yaml": {Data: []byte(row)}}))
	}
	return cam.Request{Job: j, Catalog: c, Rules: laserRules(t)}
}

// A machine that is off is told so much more or less that the foam comes out
// true: arcs too, with one scale or with two.
func TestMeasuredScaleIsTakenBack(t *testing.T) {
	for _, machine := range []string{"bench-router", "bench-laser"} {
		plain, err := cam.Cut(context.Background(), scaledRequest(t, machine, "", ""), cam.Options{})
		require.NoError(t, err)
		for _, s := range []struct{ x, y string }{{"0.997", "0.997"}, {"0.997", "1.004"}, {"1.05", "0.93"}} {
			request := scaledRequest(t, machine, s.x, s.y)
			result, err := cam.Cut(context.Background(), request, cam.Options{})
			require.NoError(t, err)
			require.NotEmpty(t, result.Files, "%v", result.Report.Findings)
			for _, run := range result.Report.DryRun {
				assert.True(t, run.OK)
				assert.Less(t, math.Max(run.WorstOvercutMM, run.WorstUndercutMM), 0.003, "%s x%s y%s", machine, s.x, s.y)
			}
			program := textOf(t, result, ".ngc")
			assert.Contains(t, program, "(scale: X "+s.x+" Y "+s.y)
			assert.NotEqual(t, textOf(t, plain, ".ngc"), program)
			assert.NotEqual(t, textOf(t, plain, ".dxf"), textOf(t, result, ".dxf"))

			// The program alone says what it was corrected for.
			tried, found := cam.Try(cam.Trial{Name: "p.ngc", Text: []byte(program), Rules: laserRules(t)}, catalog(t), nil)
			found = slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Rule == "permitted" }) // the owner's word, under the laser
			require.Len(t, found, 2)
			assert.Equal(t, []string{"not-judged", "other-profiles"}, []string{found[0].Rule, found[1].Rule})
			assert.Equal(t, []finding.Severity{finding.Note, finding.Warning}, []finding.Severity{found[0].Severity, found[1].Severity})
			assert.True(t, tried.OK, "%v", tried.Findings)
			// A machine that is not off would cut it wrong, and the dry run says so.
			request.Catalog = catalog(t)
			p := cam.Check(request).Plan
			_, found = cam.Try(cam.Trial{Name: "crew/crew-1-pe-30-25.4mm.ngc", Text: []byte(program), Rules: request.Rules}, request.Catalog, p)
			require.Len(t, found, 1)
			assert.Equal(t, "other-profiles", found[0].Rule)
			wrong, _ := cam.Try(cam.Trial{Name: "crew/crew-1-pe-30-25.4mm.ngc", Text: []byte(program), Rules: request.Rules}, request.Catalog, p)
			assert.False(t, wrong.OK)
			assert.Greater(t, math.Max(wrong.WorstOvercutMM, wrong.WorstUndercutMM), 0.2)
		}
	}
}

// A scale of 1, measured, is the program without one.
func TestScaleOfOneChangesNothing(t *testing.T) {
	plain, err := cam.Cut(context.Background(), scaledRequest(t, "bench-laser", "", ""), cam.Options{})
	require.NoError(t, err)
	one, err := cam.Cut(context.Background(), scaledRequest(t, "bench-laser", "1", "1"), cam.Options{})
	require.NoError(t, err)
	assert.Equal(t, plain.Files, one.Files)
}

func textOf(t *testing.T, r cam.Result, ending string) string {
	for _, f := range r.Files {
		if strings.HasSuffix(f.Path, ending) {
			return string(f.Data)
		}
	}
	t.Fatal("no file " + ending)
	return ""
}

func laserRules(t testing.TB) []safety.Rules {
	rules, err := safety.ReadRules("rules.yaml", []byte("owner: Quayside workshop\npermits: [{foam: pe-30, process: laser, when: \"extraction running\"}]\n"))
	require.NoError(t, err)
	return []safety.Rules{rules}
}
