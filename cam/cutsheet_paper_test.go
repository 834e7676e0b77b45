package cam_test

import (
	"bytes"
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/safety"
)

// laserRequest is the demonstration for the laser with the owner's word, which
// its shop rules file gives.
func laserRequest(t *testing.T) cam.Request {
	r := demoRequest(t, "laser.yaml")
	r.Rules = []safety.Rules{{File: "shop-rules.yaml", Requires: []safety.Require{{What: "a second person in the room", Line: 3}}, Permits: []safety.Permit{
		{Foam: "pe-30", Process: "laser", When: "extraction running", Line: 1},
		{Foam: "pe-45", Process: "laser", When: "extraction running", Line: 2},
	}}}
	return r
}

func TestCutWritesPDFs(t *testing.T) {
	result, err := cam.Cut(context.Background(), laserRequest(t), cam.Options{})
	require.NoError(t, err)
	require.NotEmpty(t, result.Files, "%v", result.Report.Findings)
	for _, name := range []string{"cut-sheet.pdf", "templates.pdf"} {
		i := slices.IndexFunc(result.Files, func(f cam.File) bool { return f.Path == name })
		require.NotEqual(t, -1, i, name)
		assert.True(t, bytes.HasPrefix(result.Files[i].Data, []byte("%PDF-")), name)
		i = slices.IndexFunc(result.Report.Files, func(f cam.FileReport) bool { return f.Path == name })
		require.NotEqual(t, -1, i, name)
		assert.Equal(t, "pdf", result.Report.Files[i].Kind, name)
	}
}
