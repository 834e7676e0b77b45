package cam_test

import (
	"context"
	"path"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// A program whose comments are gone and whose file has another name is known by its moves, whichever
// of its sheet's tools it is for.
func TestAStrippedProgramIsKnownByItsMoves(t *testing.T) {
	bracket := regexp.MustCompile(`\([^)]*\)`)
	for _, name := range []string{"job.yaml", "laser.yaml"} {
		if testing.Short() && name != "job.yaml" {
			continue
		}
		r := demoRequest(t, name)
		result, err := cam.Cut(context.Background(), r, cam.Options{})
		require.NoError(t, err)
		second := 0
		for _, f := range result.Report.Files {
			assert.True(t, cam.IsOurName(f.Path), f.Path)
			if f.Kind != "gcode" {
				continue
			}
			text := bracket.ReplaceAll([]byte(textOf(t, result, f.Path)), nil)
			tried, found := cam.Try(cam.Trial{Name: "stick/x" + path.Ext(f.Path), Text: text, Rules: r.Rules}, r.Catalog, result.Plan)
			assert.True(t, tried.OK && !found.Failed(), "%s: %v %v", f.Path, found, tried.Findings)
			assert.True(t, tried.Compared(), f.Path)
			if regexp.MustCompile(`-t[2-9]\.`).MatchString(f.Path) {
				second++
				assert.Equal(t, f.Path, tried.Sheet)
			}
		}
		assert.Equal(t, name == "job.yaml", second > 0)
	}
}
