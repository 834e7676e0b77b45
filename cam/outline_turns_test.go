package cam_test

import (
	"context"
	"fmt"
	"os"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
)

// A drawing with sharp corners and narrow places, at any turn, becomes a program
// that the dry run passes: beside a corner, the way in to a wall must not come
// down where the other wall still stands.
func TestDrawnPocketsAreCutAtAnyTurn(t *testing.T) {
	lantern, err := os.ReadFile("../testdata/tidewrack/lantern.svg")
	require.NoError(t, err)
	for turn := 0; turn < 90; turn += 15 {
		fsys := fstest.MapFS{"lantern.svg": {Data: lantern}, "job.yaml": {Data: fmt.Appendf(nil,
			"machine: bench-router\ntrays:\n  - id: a\n    size: [170, 170]\n    layers: [{foam: pe-30, thickness: 1 in}]\n"+
				"    pockets: [{for: lantern, at: [20, 20], outline: lantern.svg, depth: 20, turn: %d}]\n", turn)}}
		j, found, err := job.Load(fsys, "job.yaml")
		require.NoError(t, err)
		require.False(t, found.Failed(), "%v", found)
		outlines, found, err := cam.ReadOutlines(context.Background(), fsys, j)
		require.NoError(t, err)
		require.Empty(t, found)
		result, err := cam.Cut(context.Background(), cam.Request{Job: j, Catalog: catalog(t), Outlines: outlines}, cam.Options{})
		require.NoError(t, err)
		assert.False(t, result.Report.Findings.Failed(), "turned by %d: %v", turn, result.Report.Findings)
	}
}
