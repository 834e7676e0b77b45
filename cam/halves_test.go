package cam_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
)

// A tray in halves fills one level of its case with both, in every paper.
func TestHalvesLieSideBySide(t *testing.T) {
	text := "machine: bench-router\ncase: {inside: [200, 120, 2 1/2 in], corner: 4}\ntrays:\n" +
		"  - {id: top, layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}], cut: block}\n" +
		"  - {id: bottom, halves: 2, layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}]}\n" +
		"cases: [{name: Gull Watch, stack: [top, bottom]}]\n"
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	result, err := cam.Cut(context.Background(), cam.Request{Job: j, Catalog: catalog(t)}, cam.Options{})
	require.NoError(t, err)
	require.NotEmpty(t, result.Files, "%v", result.Report.Findings)

	c := result.Report.Cases[0]
	assert.Equal(t, []string{"top", "bottom-1", "bottom-2"}, c.Stack)
	var sum float64
	for _, tray := range result.Report.Trays {
		sum += tray.WeightG
	}
	assert.InDelta(t, c.WeightG, sum, 0.3)

	page := cutSheetOf(t, result)
	assert.Contains(t, page, "| bottom-1 + bottom-2 |")
	assert.Contains(t, page, "Before top is cut, glue its layers into one block")
	assert.Contains(t, page, "cut it with a knife")
}

func cutSheetOf(t *testing.T, r cam.Result) string {
	t.Helper()
	for _, f := range r.Files {
		if strings.HasSuffix(f.Path, "cut-sheet.md") {
			return string(f.Data)
		}
	}
	t.Fatal("there is no cut sheet")
	return ""
}
