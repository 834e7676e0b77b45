package cam

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/profiles"
)

// measuredRouter is the shipped router whose kerfs were measured in foam of two or three thicknesses, by chance
// up to 0.3 mm apart.
func measuredRouter(t *testing.T, r *rand.Rand) (*profiles.Catalog, profiles.Machine) {
	t.Helper()
	c, err := profiles.Shipped()
	require.NoError(t, err)
	m, _ := c.Machine("bench-router")
	thick := [][]float64{{6.35, 25.4}, {12.7, 25.4}, {6.35, 12.7, 25.4}}[r.IntN(3)]
	var b strings.Builder
	for _, tool := range []string{"flat-3", "flat-6"} {
		for _, foam := range []string{"pe-30", "pe-45"} {
			recipe, ok := c.Recipe(foam, m.ID, tool)
			require.True(t, ok)
			recipe.MeasuredIn = nil
			var in strings.Builder
			for _, mm := range thick {
				k := recipe.KerfMM.Value + 0.3*r.Float64() - 0.15
				fmt.Fprintf(&in, "          - {thickness_mm: %g, kerf_mm: %.4f, kerf_interval_mm: 0.02}\n", mm, k)
				recipe.KerfMM.Value = k
			}
			fmt.Fprintf(&b, "  - machine: bench-router\n    tool: %s\n    source: coupons\n    foams:\n      %s:\n        kerf_mm: %.4f\n        kerf_interval_mm: 0.02\n", tool, foam, recipe.KerfMM.Value)
			fmt.Fprintf(&b, "        feed_mm_per_min: %g\n        plunge_mm_per_min: %g\n        stepdown_mm: %g\n        stepover: %g\n        rpm: %g\n        finish_mm: %g\n        breakthrough_mm: %g\n        skin_mm: %g\n        ramp_degrees: %g\n        mark_depth_mm: %g\n        measured_in:\n%s",
				recipe.FeedMMPerMin.Value, recipe.PlungeMMPerMin.Value, recipe.StepdownMM.Value, recipe.Stepover.Value, recipe.RPM.Value, recipe.FinishMM.Value, recipe.BreakthroughMM.Value, recipe.SkinMM.Value, recipe.RampDegrees.Value, recipe.MarkDepthMM.Value, in.String())
		}
	}
	require.NoError(t, c.Add(fstest.MapFS{"kerf.yaml": {Data: []byte("measured:\n" + b.String())}}))
	m, _ = c.Machine("bench-router")
	return c, m
}

var opLine = regexp.MustCompile(`(?m)^\(op: .*\n`)

// A tool whose kerf hangs on how deep it cuts leaves the planned foam with every cut, and a cut that was made
// with another's kerf is refused, whatever the program says of itself.
func TestEachCutIsJudgedWithTheKerfOfItsDepth(t *testing.T) {
	several, refused := 0, 0
	for n := range uint64(9) {
		r := rand.New(rand.NewPCG(n, 3011))
		c, m := measuredRouter(t, r)
		text := roughJob(r)
		if n%3 == 1 {
			text = plugJob(r)
		}
		right, wrong := sheetsIn(t, text, c, m), sheetsIn(t, text, c, m)
		for i, w := range right {
			altered := -1
			for k := range w.sheet.Cuts {
				cut := &wrong[i].sheet.Cuts[k]
				own := w.ownKerf(*cut, m)
				if own == nil {
					continue
				}
				several++
				for _, other := range w.sheet.CutOn(m) {
					if altered < 0 && !cut.Rough && other.Tool.Number == cut.Tool.Number && math.Abs(other.KerfMM[0]-cut.KerfMM[0]) > 0.05 {
						cut.KerfMM, altered = other.KerfMM, k
					}
				}
			}
			for _, one := range w.programs() {
				for _, body := range [][]byte{one.body, opLine.ReplaceAll(one.body, nil)} {
					run := proof.Run(one.path(), body, one.setup(m), one.wanted(m))
					assert.True(t, run.OK, "job %d, %s\n%v\n%s", n, one.path(), run.Findings, text)
				}
			}
			if altered < 0 {
				continue
			}
			refused++
			ok := true
			require.NoError(t, wrong[i].lay(&plan.Plan{Machine: m.Proving()}))
			for k, one := range wrong[i].programs() {
				judge := w.programs()[k]
				ok = ok && proof.Run(one.path(), one.body, judge.setup(m), judge.wanted(m)).OK
			}
			assert.False(t, ok, "job %d: %s made with another's kerf\n%s", n, w.sheet.Cuts[altered].Name, text)
		}
	}
	assert.Greater(t, several, 20)
	assert.Greater(t, refused, 2)
}
