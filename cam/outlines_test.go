package cam_test

import (
	"context"
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
)

// A disc of 30 mm with a square of 10 mm beside it, joined: SVG at true size.
const keyholeSVG = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<circle cx="20" cy="20" r="15"/></svg>`

func outlineJob(t *testing.T, fsys fstest.MapFS, file string) *job.Job {
	t.Helper()
	fsys["job.yaml"] = &fstest.MapFile{Data: []byte("machine: bench-router\ntrays:\n  - id: a\n    size: [120, 90]\n" +
		"    layers: [{foam: pe-30, thickness: 1 in}]\n    pockets: [{for: buoy, at: [20, 25], outline: " + file + "}]\n")}
	j, found, err := job.Load(fsys, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	return j
}

// The pocket is the drawing's own shape at true size, its box's lower-left
// corner at `at`. Area of the disc: pi 15^2.
func TestOutlinePocket(t *testing.T) {
	fsys := fstest.MapFS{"buoy.svg": {Data: []byte(keyholeSVG)}}
	j := outlineJob(t, fsys, "buoy.svg")
	outlines, found, err := cam.ReadOutlines(context.Background(), fsys, j)
	require.NoError(t, err)
	require.Empty(t, found)
	result := cam.Check(cam.Request{Job: j, Catalog: catalog(t), Outlines: outlines})
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	pocket := result.Plan.Trays[0].Pockets[0]
	assert.InDelta(t, math.Pi*225, pocket.Design.Area(), 0.01)
	assert.InDelta(t, 20, pocket.Box.Min.X, 1e-6)
	assert.InDelta(t, 25, pocket.Box.Min.Y, 1e-6)
	assert.Equal(t, "outline", pocket.ShapeName)
}

func TestOutlinesThatCannotBeRead(t *testing.T) {
	cases := []struct{ file, text, message string }{
		{"gone.svg", "", "cannot be read"},
		{"a.txt", "x", "neither .dxf nor .svg"},
		{"a.svg", "<svg", "a.svg"},
		{"b.svg", `<svg xmlns="http://www.w3.org/2000/svg"><circle r="5"/></svg>`, "how large it is"},
		{"a.dxf", "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n10\n0\n20\n0\n40\n5\n0\nENDSEC\n0\nEOF\n", "unit"},
	}
	for _, c := range cases {
		fsys := fstest.MapFS{}
		if c.text != "" {
			fsys[c.file] = &fstest.MapFile{Data: []byte(c.text)}
		}
		_, found, err := cam.ReadOutlines(context.Background(), fsys, outlineJob(t, fsys, c.file))
		require.NoError(t, err)
		require.Len(t, found, 1, c.file)
		assert.Contains(t, found[0].Where+" "+found[0].Message, c.message, c.file)
		assert.Contains(t, found[0].Message, "job.yaml:6:", c.file)
	}
}
