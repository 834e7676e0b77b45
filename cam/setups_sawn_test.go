package cam_test

import (
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/stock"
	"traywright/geometry"
)

// Two rows of trays of 192 mm, a cutter of 6 mm and all the foam that holds them take just a sheet of 500 mm. Where the saw has taken 2 mm
// of a panel, a clamp that takes as much of its rim as the page says, and stands where the smaller panel ends, is still 2 mm beside
// half a nut of 19 mm around half a cutter, by the outline's own place.
func TestClampsHoldAPanelThatASawMadeSmaller(t *testing.T) {
	text := "machine: bench-router\ntrays:\n  - {id: a, size: [250, 192], tool: flat-6, layers: [{foam: pe-30, thickness: 1 in}]}\ncases:\n  - {name: c, inside: [250, 192, 101.6], stack: [a, a, a, a]}\nstock:\n  sheets:\n    - {foam: pe-30, thickness: 1 in, size: [1000, 500]}\n"
	result, err := cam.Cut(t.Context(), stockRequest(t, t, text), cam.Options{})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	outer := regexp.MustCompile(`(?s)\n## sheets/(sheet-[0-9]+-p[0-9]+)-.*?Clamps take the outer ([0-9.]+) mm`).FindAllStringSubmatch(string(fileOf(result, "cut-sheet.md")), -1)
	require.NotEmpty(t, outer)
	tight := false
	for _, m := range outer {
		s := result.Layout.Setups[slices.IndexFunc(result.Layout.Setups, func(s *stock.Setup) bool { return s.Name == m[1] })]
		room, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		edge, all := s.Tray.Sheets[0].Edge, geometry.EmptyBox()
		for _, c := range edge.Shape.Contours() {
			all = all.Union(moved(c.Bounds(), s.ZeroMM))
		}
		for axis, far := range [2]float64{all.Max.X, all.Max.Y} {
			require.Less(t, s.SizeMM[axis], s.From.SizeMM[axis], "parted along both")
			assert.LessOrEqual(t, far+edge.WidestMM()/2+19.0/2+2, s.SizeMM[axis]-2-room+1e-6, "%s, %v", s.Name, s.SizeMM)
		}
		tight = tight || room < 13
	}
	assert.True(t, tight, "some panel has nothing to spare")
}

// A clamp behind the sheet, by the laser's profile, holds every panel that is sawn of it: each reaches 5 mm under it.
func TestAPanelReachesUnderItsClamps(t *testing.T) {
	text := "machine: bench-laser\ntrays:\n  - {id: a, size: [150, 100], layers: [{foam: pe-30, thickness: 1/2 in}]}\n  - {id: b, size: [420, 100], layers: [{foam: pe-30, thickness: 1/2 in}]}\nstock:\n  sheets:\n    - {foam: pe-30, thickness: 1/2 in, size: [1200, 900]}\n"
	for _, clamps := range []string{"", "{name: back, x_mm: 20, y_mm: 250, length_mm: 60, width_mm: 40, height_mm: 20}"} {
		r := stockRequest(t, t, text)
		if clamps != "" {
			r = clampedRequest(t, t, text, clamps)
		}
		result, err := cam.Cut(t.Context(), r, cam.Options{})
		require.NoError(t, err)
		require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
		for _, s := range result.Layout.Setups {
			require.NotEmpty(t, s.From.Sheet)
			assert.Equal(t, clamps != "", s.SizeMM[1] >= 255, "%v", s.SizeMM)
		}
		assert.NotContains(t, string(fileOf(result, "cut-sheet.md")), "does not reach foam of that size")
	}
}
