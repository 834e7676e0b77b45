package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
)

// What the report has of times, weights, kerfs and waste stands in the same figures on the
// terminal, in each program's comments, on the cut sheet and in look.html, of both demos.
func TestOneFigureEverywhere(t *testing.T) {
	for _, name := range []string{"job.yaml", "laser.yaml"} {
		out := filepath.Join(t.TempDir(), "out")
		code, printed, talk := typed("cut", "../../testdata/tidewrack/"+name, "--out", out)
		require.Equal(t, exitDone, code, talk)
		read := func(path string) string {
			data, err := os.ReadFile(filepath.Join(out, path))
			require.NoError(t, err)
			return string(data)
		}
		var r struct {
			Files []struct {
				Path, Kind, Foam, Tool string
				KerfMM                 float64 `json:"kerf_mm"`
				Seconds                float64
			}
			DryRun []struct {
				Path  string
				Bound float64 `json:"lower_bound_seconds"`
			} `json:"dry_run"`
			Trays []struct {
				ID     string
				Weight float64 `json:"weight_g"`
			}
			Totals struct {
				Seconds float64
				Waste   float64 `json:"waste_share"`
			}
		}
		require.NoError(t, json.Unmarshal([]byte(read("report.json")), &r))
		sheet, look := read("cut-sheet.md"), read("look.html")
		has := func(where, text, figure string) {
			assert.True(t, strings.Contains(text, figure), "%s: %s: no %q", name, where, figure)
		}
		least := map[string]float64{}
		for _, d := range r.DryRun {
			least[d.Path] = d.Bound
		}
		for _, f := range r.Files {
			if f.Kind != "gcode" {
				continue
			}
			time := finding.Duration(f.Seconds)
			has(f.Path, read(f.Path), fmt.Sprintf("(time: %s estimated, not less than %s at", time, finding.Duration(least[f.Path])))
			assert.Regexp(t, `(?m)^\| \[ \] \| `+regexp.QuoteMeta(f.Path)+` \|.*\| `+time+` \|$`, sheet)
			kerf := strconv.FormatFloat(f.KerfMM, 'f', -1, 64) + " mm"
			assert.Regexp(t, `(?m)^\(kerf: (T\d+ )?`+kerf+`\)`, read(f.Path), f.Path)
			_, own, _ := strings.Cut(sheet, "\n## "+f.Path)
			own, _, _ = strings.Cut(own, "\n## ")
			has("cut sheet", own, "Time: about "+time+",")
			assert.Regexp(t, `(?m)`+f.Foam+`:.* kerf `+kerf, own, f.Path)
			has("look.html", look, `"`+time+`"`)
		}
		has("cut sheet", sheet, "In all: "+finding.Duration(r.Totals.Seconds)+" of programs, ")
		has("look.html", look, finding.Duration(r.Totals.Seconds))
		has("cut sheet", sheet, fmt.Sprintf("%.0f %% is left over", 100*r.Totals.Waste))
		for _, tray := range r.Trays {
			weight := finding.Grams(tray.Weight)
			assert.Regexp(t, `(?m)^`+tray.ID+` .* `+weight+` `, strings.ReplaceAll(printed, "\u00a0", " "))
			assert.Regexp(t, `(?m)^- `+tray.ID+` .* `+weight+` packed`, sheet)
			has("look.html", look, `"`+weight+`"`)
		}
		for _, m := range regexp.MustCompile(`(?m)^together .*left +(\d+ g)$`).FindAllStringSubmatch(printed, -1) {
			has("cut sheet", sheet, "left | "+m[1]+" |")
			has("look.html", look, `"`+m[1]+`"`)
		}
	}
}
