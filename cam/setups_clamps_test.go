package cam_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/geometry"
)

// clampedRequest is a job of that text on a machine with these clamps.
func clampedRequest(t require.TestingT, c *testing.T, text, clamps string) cam.Request {
	r := stockRequest(t, c, text)
	m, ok := r.Catalog.Machine(r.Job.Machine)
	require.True(t, ok)
	row := strings.Replace(string(r.Catalog.MachineFile(m, m.ID)), "    tools:\n", "    clamps: ["+clamps+"]\n    tools:\n", 1)
	require.NoError(t, r.Catalog.Add(fstest.MapFS{"clamped.yaml": {Data: []byte(row)}}))
	return r
}

// What check takes of a job on stock is cut: whatever clamps stand in the machine's profile, on a rim or far in the
// foam, the dry run says nothing, and no part lies on one, by the clamp's own place from X0 Y0.
func TestPartsKeepOffClamps(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		if rapid.IntRange(0, 9).Draw(rt, "one in ten") > 0 {
			return // a job takes seconds
		}
		text := randomStockJob(rt)
		if machine := rapid.SampledFrom([]string{"", "", "bench-hotwire", "bench-drag-knife"}).Draw(rt, "another"); machine != "" {
			foam := map[string]string{"bench-hotwire": "xps-32", "bench-drag-knife": "pe-30"}[machine]
			text = strings.NewReplacer("machine: bench-router", "machine: "+machine, "machine: bench-laser", "machine: "+machine, "pe-30, thickness: 1/2 in", foam+", thickness: 5 mm",
				"pe-45, thickness: 1/4 in", foam+", thickness: 3 mm", "depth: 1/2 in", "depth: 5 mm", ", 12.7]", ", 5]", ", 19.05]", ", 8]").Replace(text)
		}
		var clamps []string
		for i := range rapid.IntRange(1, 3).Draw(rt, "clamps") {
			x, y := rapid.IntRange(-60, 360).Draw(rt, "x"), rapid.IntRange(-60, 260).Draw(rt, "y")
			switch rapid.IntRange(0, 2).Draw(rt, "rim") {
			case 0:
				x = -20
			case 1:
				y = -20
			}
			clamps = append(clamps, fmt.Sprintf("{name: k%d, x_mm: %d, y_mm: %d, length_mm: %d, width_mm: %d, height_mm: %d}", i, x, y, rapid.IntRange(5, 60).Draw(rt, "long"), rapid.IntRange(5, 60).Draw(rt, "wide"), rapid.IntRange(13, 30).Draw(rt, "high")))
		}
		held := strings.Join(clamps, ", ")
		result := cam.Check(clampedRequest(rt, t, text, held))
		if result.Report.Findings.Failed() {
			require.Empty(rt, result.Layout.Setups)
			followed(rt, t, result, text)
			return
		}
		cut, err := cam.Cut(t.Context(), clampedRequest(rt, t, text, held), cam.Options{})
		require.NoError(rt, err)
		require.False(rt, cut.Report.Findings.Failed(), "%v\n%s\n%s", cut.Report.Findings, held, text)
		for _, run := range cut.Report.DryRun {
			said := slices.DeleteFunc(slices.Clone(run.Findings), func(f cam.LineFinding) bool { return f.Rule == "falls-loose" }) // which a wire's tray always does
			require.True(rt, run.OK && len(said) == 0, "%+v\n%s\n%s", run, held, text)
		}
		for _, s := range cut.Layout.Setups {
			for _, p := range s.Tray.Sheets[0].Edge.Shape.Contours() {
				for _, k := range cut.Plan.Machine.Clamps {
					low := geometry.Point{X: k.XMM, Y: k.YMM}
					assert.GreaterOrEqual(rt, apart(p.Bounds(), geometry.Box{Min: low, Max: low.Add(geometry.Point{X: k.LengthMM, Y: k.WidthMM})}), s.Tray.Sheets[0].Edge.WidestMM()+2)
				}
			}
		}
	})
}

// A clamp on the rim, off the cut of an offcut of which the job needs all between its margins, is no reason to buy the large sheet,
// on which X0 Y0, and the clamp with it, may lie farther in.
func TestAnOffcutIsTakenBesideAClamp(t *testing.T) {
	const text = "machine: bench-router\ntrays:\n  - {id: a, size: [150, 100], layers: [{foam: pe-30, thickness: 1/2 in}]}\nstock:\n  margin: 40\n  sheets:\n" +
		"    - {foam: pe-30, thickness: 1/2 in, size: [1000, 500]}\n    - {name: rest, foam: pe-30, thickness: 1/2 in, size: [230, 180], count: 1}\n"
	for right, taken := range map[int]bool{15: true, 35: false} {
		layout := cam.Check(clampedRequest(t, t, text, fmt.Sprintf("{name: k, x_mm: %d, y_mm: 60, length_mm: 30, width_mm: 20, height_mm: 15}", right-30))).Layout
		require.Len(t, layout.Setups, 1)
		assert.Equal(t, taken, layout.Setups[0].From.AtHand)
	}
}

// followed moves the clamps that a refusal names to where its hint has them, and everything is laid.
func followed(t require.TestingT, c *testing.T, refused cam.Result, text string) {
	var all []finding.Finding
	for _, f := range refused.Report.Findings {
		if f.Severity == finding.Error {
			all = append(all, f)
		}
	}
	require.Len(t, all, 1, "%v", all)
	var clamps []string
	for _, k := range refused.Plan.Machine.Clamps {
		var near, far float64
		_, at, _ := strings.Cut(all[0].Hint, "`clamps`: ")
		if !strings.Contains(all[0].Where+",", " "+k.Name+",") {
		} else if _, err := fmt.Sscanf(at, "x_mm + length_mm %g", &near); err == nil {
			k.XMM = near - k.LengthMM
		} else if _, err := fmt.Sscanf(at, "x_mm %g", &far); err == nil {
			k.XMM = far
		}
		clamps = append(clamps, fmt.Sprintf("{name: %s, x_mm: %g, y_mm: %g, length_mm: %g, width_mm: %g, height_mm: %g}", k.Name, k.XMM, k.YMM, k.LengthMM, k.WidthMM, k.HeightMM))
	}
	again := cam.Check(clampedRequest(t, c, text, strings.Join(clamps, ", ")))
	require.False(t, again.Report.Findings.Failed(), "%v\n%v\n%v\n%s", all, clamps, again.Report.Findings, text)
}

// How far from a rim pins may stand under a laser leaves 2 mm beside every end of a cut that the program has,
// half a kerf of 0.4 mm taken off, on each of the four sides; and no more than that is kept.
func TestPinsKeepOffTheBeam(t *testing.T) {
	text := "machine: bench-laser\ntrays:\n  - {id: a, size: [150, 100], layers: [{foam: pe-30, thickness: 1/2 in}]}\n  - {id: b, size: [90, 120], layers: [{foam: pe-30, thickness: 1/2 in}]}\nstock:\n  sheets:\n    - {foam: pe-30, thickness: 1/2 in, size: [270, 170]}\n"
	result, err := cam.Cut(t.Context(), stockRequest(t, t, text), cam.Options{})
	require.NoError(t, err)
	require.Len(t, result.Layout.Setups, 1)
	s := result.Layout.Setups[0]
	m := regexp.MustCompile(`pins or weights on the outer rim of the foam and no more \((.*?) mm on the left, (.*?) mm on the right, (.*?) mm in front, (.*?) mm at the back\), lower than the nozzle`).FindStringSubmatch(string(fileOf(result, "cut-sheet.md")))
	require.NotNil(t, m)
	cut := geometry.EmptyBox()
	for _, f := range result.Report.Files {
		if f.Kind != "gcode" {
			continue
		}
		at := map[string]float64{}
		for _, w := range regexp.MustCompile(`(?m)\b([XY])(-?[0-9.]+)|^M2`).FindAllStringSubmatch(regexp.MustCompile(`\(.*\)`).ReplaceAllString(textOf(t, result, f.Path), ""), -1) {
			if w[1] != "" {
				at[w[1]], err = strconv.ParseFloat(w[2], 64)
				require.NoError(t, err)
			}
			if len(at) == 2 {
				cut = cut.Union(geometry.Box{Min: geometry.Point{X: at["X"], Y: at["Y"]}, Max: geometry.Point{X: at["X"], Y: at["Y"]}})
			}
		}
	}
	cut = moved(cut.Grow(0.2), s.ZeroMM)
	for i, gap := range []float64{cut.Min.X, s.SizeMM[0] - cut.Max.X, cut.Min.Y, s.SizeMM[1] - cut.Max.Y} {
		said, err := strconv.ParseFloat(m[i+1], 64)
		require.NoError(t, err)
		assert.InDelta(t, gap-2-0.05, said, 0.051, "side %d of %v", i, m)
	}
}

func moved(b geometry.Box, by [2]float64) geometry.Box {
	d := geometry.Point{X: by[0], Y: by[1]}
	return geometry.Box{Min: b.Min.Add(d), Max: b.Max.Add(d)}
}
