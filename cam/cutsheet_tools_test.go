package cam_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// A page says to fit a tool where the program before it, as the programs themselves name them, ended with another, or where a
// sheet's programs are run more than once by turns; else it says that the tool stays.
func TestToolThatStaysIsNotFitted(t *testing.T) {
	for _, name := range []string{"job.yaml", "stock.yaml"} {
		result, err := cam.Cut(t.Context(), demoRequest(t, name), cam.Options{})
		require.NoError(t, err)
		tools, before := toolsBefore(t, result)
		stays := 0
		for _, page := range strings.Split(textOf(t, result, "cut-sheet.md"), "\n## ") {
			title := regexp.MustCompile(`^(\S+\.ngc)(?: and \d+ alike)?: (\d+) to make`).FindStringSubmatch(page)
			if title == nil {
				continue
			}
			of := title[1]
			page, _, _ := strings.Cut(page, "### Run so") // the first's own; the others' boxes say where it stays in from
			byTurns := title[2] != "1" && name != "stock.yaml" && regexp.MustCompile(`-t\d+\.ngc`).MatchString(of)
			if before[of] == tools[of] && !byTurns {
				stays++
				assert.Regexp(t, "so that the machine keeps its zero. "+tools[of]+", .* stays in from .*: look that it is the one", page)
				assert.NotContains(t, page, "Fit T")
			} else {
				assert.Contains(t, page, "keeps its zero. Fit "+tools[of]+", ", of)
				assert.NotContains(t, page, "stays in")
			}
		}
		assert.Positive(t, stays, name)
	}
}

// toolsBefore is the tool that each program names, and the one that the program before it does.
func toolsBefore(t *testing.T, result cam.Result) (own, before map[string]string) {
	own, before = map[string]string{}, map[string]string{}
	last := ""
	for _, f := range result.Report.Files {
		if f.Kind != "gcode" {
			continue
		}
		named := regexp.MustCompile(`\(tool: (T\d+) `).FindAllStringSubmatch(textOf(t, result, f.Path), -1)
		require.Len(t, named, 1, f.Path)
		own[f.Path], before[f.Path] = named[0][1], last
		last = own[f.Path]
	}
	return own, before
}
