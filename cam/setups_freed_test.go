package cam_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/geometry"
)

// What a blade frees is called by its number on the sheet, its tray, layer and copy: where the line that frees it ends, by the
// program's own words, lies on the rim of just that part. Each part is to be labelled so before any is lifted out.
func TestWhatComesFreeIsNamed(t *testing.T) {
	text := "machine: bench-drag-knife\ncases: [{name: x, inside: [150, 100, 12], stack: [a]}, {name: y, inside: [150, 100, 12], stack: [a]}]\ntray_defaults: {layers: [{foam: pe-30, thickness: 6 mm}, {foam: pe-30, thickness: 6 mm}]}\n" +
		"trays:\n  - {id: a}\n  - {id: b, size: [90, 60], layers: [{foam: pe-30, thickness: 6 mm}], pockets: [{at: [20, 15], size: [40, 30], depth: through}]}\n" +
		"stock:\n  sheets:\n    - {foam: pe-30, thickness: 6 mm, size: [600, 400]}\n"
	result, err := cam.Cut(t.Context(), stockRequest(t, t, text), cam.Options{})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	require.Len(t, result.Layout.Setups, 1)
	s, page := result.Layout.Setups[0], string(fileOf(result, "cut-sheet.md"))
	var labels []string
	for i, p := range s.Parts {
		labels = append(labels, fmt.Sprintf("%d: %s", i+1, p.Label()))
	}
	assert.Contains(t, page, "Before you lift anything out, write what each part is on a bit of paper, and tape or pin that to it, numbers as on the picture: "+strings.Join(labels, "; ")+".")
	file := result.Report.Files[slices.IndexFunc(result.Report.Files, func(f cam.FileReport) bool { return f.Kind == "gcode" })]
	lines := strings.Split(textOf(t, result, file.Path), "\n")
	freed := regexp.MustCompile(`part (\d+), ([^,]*) after [^(]*\(line (\d+)\)`).FindAllStringSubmatch(page, -1)
	require.Len(t, freed, len(s.Parts))
	for _, m := range freed {
		n, _ := strconv.Atoi(m[1])
		assert.Equal(t, labels[n-1], m[1]+": "+m[2])
		line, _ := strconv.Atoi(m[3])
		at := geometry.Point{X: s.ZeroMM[0], Y: s.ZeroMM[1]}
		var is [2]bool
		for ; !is[0] || !is[1]; line-- {
			for i, to := range []*float64{&at.X, &at.Y} {
				if w := regexp.MustCompile(`[` + "XY"[i:i+1] + `](-?[0-9.]+)`).FindStringSubmatch(lines[line-1]); w != nil && !is[i] {
					mm, err := strconv.ParseFloat(w[1], 64)
					require.NoError(t, err)
					*to, is[i] = *to+mm, true
				}
			}
		}
		p := s.Parts[n-1]
		low := geometry.Point{X: p.AtMM[0], Y: p.AtMM[1]}
		high := low.Add(geometry.Point{X: p.Tray.Length.MM(), Y: p.Tray.Width.MM()})
		if p.Turn != 0 {
			high = low.Add(geometry.Point{X: p.Tray.Width.MM(), Y: p.Tray.Length.MM()})
		}
		part := geometry.Box{Min: low, Max: high}
		in := func(b geometry.Box) bool { return b.Union(geometry.Box{Min: at, Max: at}) == b }
		assert.True(t, in(part.Grow(2)) && !in(part.Grow(-2)), "%v at %v of %v", m, at, part)
	}
}
