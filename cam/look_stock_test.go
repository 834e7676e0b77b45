package cam_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// sheetOnLook is a sheet of the stock as the page has it.
type sheetOnLook struct {
	Head   string
	SizeMM [2]float64 `json:"size_mm"`
	Parts  []laidOnLook
	Kept   []laidOnLook
	Cuts   []struct{ From, To [2]float64 }
	Zero   *[2]float64
	Says   []string
}

type laidOnLook struct {
	Name   string
	Box    [4]float64
	Corner *[2]float64
}

// The page of a job with stock has every parted sheet with its cuts, every setup with its parts and every offcut with its
// name, where the report has them: while the job is edited, and when its programs are there. A part's own front left corner
// is the tray's 0, 0 behind its turn, which a rectangle's is at the right when it lies a quarter turn to the left.
func TestTheLookShowsSheetsAsTheReportHasThem(t *testing.T) {
	r := stockRequest(t, t, `machine: bench-router
tray_defaults: {layers: [{foam: pe-30, thickness: 1/2 in}, {foam: pe-45, thickness: 1/4 in}]}
trays:
  - {id: wide, pockets: [{at: [15, 15], size: [30, 25], corner: 3, depth: 1/2 in}]}
  - {id: slim, pockets: [{at: [15, 15], size: [20, 90], corner: 3, depth: 1/2 in}]}
cases:
  - {name: a, inside: [210, 150, 19.05], copies: 2, stack: [wide]}
  - {name: b, inside: [60, 180, 19.05], copies: 3, stack: [slim]}
stock:
  sheets:
    - {name: "last one", foam: pe-30, thickness: 1/2 in, size: [300, 230], count: 1}
    - {foam: pe-30, thickness: 1/2 in, size: [1000, 500], price: 9}
    - {foam: pe-45, thickness: 1/4 in, size: [1000, 500], price: 4}
`)
	planned, err := cam.Look(context.Background(), r, false)
	require.NoError(t, err)
	cut, err := cam.Look(context.Background(), r, true)
	require.NoError(t, err)
	shown := func(result cam.Result) (scene struct{ Stock []sheetOnLook }) {
		require.NotEmpty(t, result.Files, "%v", result.Report.Findings)
		require.NoError(t, json.Unmarshal([]byte(embedded(t, fileNamed(t, result, "look.html"), "scene")), &scene))
		return scene
	}
	scene, turned := shown(planned), 0
	assert.Equal(t, scene, shown(cut))
	report := cut.Report
	require.Len(t, scene.Stock, len(report.Parted)+len(report.Setups))
	for i, p := range report.Parted {
		s := scene.Stock[i]
		assert.Equal(t, p.SizeMM, s.SizeMM)
		sameBoxes(t, p.Panels, s.Parts)
		sameBoxes(t, p.Offcuts, s.Kept)
		for _, panel := range p.Panels { // each side that is none of the sheet's has a cut along it
			for axis, at := range [2]float64{panel.XMM + panel.LengthMM, panel.YMM + panel.WidthMM} {
				found := at == p.SizeMM[axis]
				for _, c := range s.Cuts {
					found = found || c.From[axis] == c.To[axis] && math.Abs(c.From[axis]-at) < 1e-3
				}
				assert.True(t, found, "%s: nothing parts panel %+v", p.Sheet, panel)
			}
		}
	}
	for i, setup := range report.Setups {
		s := scene.Stock[len(report.Parted)+i]
		assert.Equal(t, setup.ZeroMM, *s.Zero)
		sameBoxes(t, setup.Offcuts, s.Kept)
		require.Len(t, s.Parts, len(setup.Parts))
		for k, p := range setup.Parts {
			box, size := s.Parts[k].Box, map[string][2]float64{"wide": {210, 150}, "slim": {60, 180}}[p.Tray]
			corner := [2]float64{p.XMM, p.YMM}
			if p.Turn == 90 {
				size[0], size[1], corner[0], turned = size[1], size[0], p.XMM+size[1], turned+1
			}
			assert.InDeltaSlice(t, []float64{p.XMM, p.YMM, p.XMM + size[0], p.YMM + size[1]}, box[:], 1e-3)
			assert.InDeltaSlice(t, corner[:], s.Parts[k].Corner[:], 1e-3)
			assert.Equal(t, fmt.Sprintf("%s layer %d copy %d", p.Tray, p.Layer, p.Copy), s.Parts[k].Name)
		}
	}
	assert.NotZero(t, turned, "some part is turned")
	assert.NotEmpty(t, report.Parted)
}

func sameBoxes(t *testing.T, want []cam.OffcutReport, have []laidOnLook) {
	require.Len(t, have, len(want))
	for i, o := range want {
		assert.InDeltaSlice(t, []float64{o.XMM, o.YMM, o.XMM + o.LengthMM, o.YMM + o.WidthMM}, have[i].Box[:], 2e-3)
		if o.Name != "" {
			assert.Equal(t, o.Name, have[i].Name)
		}
	}
}
