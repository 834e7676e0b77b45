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
		before, stays, pages := "", 0, strings.Split(textOf(t, result, "cut-sheet.md"), "\n## ")
		for _, page := range pages {
			title := regexp.MustCompile(`^(\S+\.ngc): (\d+) to make`).FindStringSubmatch(page)
			if title == nil {
				continue
			}
			tools := regexp.MustCompile(`\(tool: (T\d+) `).FindAllStringSubmatch(textOf(t, result, title[1]), -1)
			require.Len(t, tools, 1, title[1])
			byTurns := title[2] != "1" && regexp.MustCompile(`-t\d+\.ngc`).MatchString(title[1])
			if before == tools[0][1] && !byTurns {
				stays++
				assert.Regexp(t, "so that the machine keeps its zero. "+before+", .* stays in from .*: look that it is the one", page)
				assert.NotContains(t, page, "Fit T")
			} else {
				assert.Contains(t, page, "keeps its zero. Fit "+tools[0][1]+", ", title[1])
				assert.NotContains(t, page, "stays in")
			}
			before = tools[0][1]
		}
		assert.Positive(t, stays, name)
	}
}
