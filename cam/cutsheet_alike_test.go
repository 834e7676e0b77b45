package cam_test

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

var (
	// a program's page, and of how many more
	alikePage = regexp.MustCompile(`(?m)^## (sheets/\S+\.ngc)(?: and (\d+) alike)?: (\d+) to make`)
	alikeRow  = regexp.MustCompile(`(?m)^- \[ \] (sheets/\S+\.ngc) on (\S+?)(?:, labelled "[^"]*")?(?: \(panel \d+ of [^)]*\))?: (part .*)$`)
	comments  = regexp.MustCompile(`\([^)]*\)`)
)

// Every program of sheets of the stock has one page, or one row on one: with the first's very moves, its own panel and its own
// parts. A panel's page says again what another's of the same size, moves and tool says only where more than names differ.
func TestSetupsAlikeShareAPage(t *testing.T) {
	result, err := cam.Cut(t.Context(), demoRequest(t, "stock.yaml"), cam.Options{})
	require.NoError(t, err)
	assert.Positive(t, sharedPages(t, result))
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 17))
		text := "machine: " + []string{"bench-router", "bench-laser"}[seed%2] + "\ntrays:\n  - {id: t, layers: [{foam: pe-30, thickness: 1/2 in}], pockets: [{at: [15, 15], size: [30, 25], corner: 3, depth: 1/2 in}]}\n" +
			fmt.Sprintf("cases:\n  - {name: c, inside: [%d, %d, 12.7], copies: %d, stack: [t]}\n", 220+r.IntN(60), 170+r.IntN(40), 4+r.IntN(5)) +
			"stock:\n  sheets:\n    - {foam: pe-30, thickness: 1/2 in, size: [1000, 500]}\n    - {name: rest, foam: pe-30, thickness: 1/2 in, size: [300, 260]}\n"
		result, err := cam.Cut(t.Context(), stockRequest(t, t, text), cam.Options{})
		require.NoError(t, err)
		require.False(t, result.Report.Findings.Failed(), "%v\n%s", result.Report.Findings, text)
		t.Logf("%d of %d setups have no page of their own", sharedPages(t, result), len(result.Report.Setups))
	}
	for _, text := range []string{ // the first of four has its first tool in already, and not its second; offcuts of equal places
		"machine: bench-router\ncase: {inside: [250, 190, 36]}\ntray_defaults: {layers: [{foam: pe-30, thickness: 30}, {foam: pe-45, thickness: 6}]}\n" +
			"trays: [{id: a, pockets: [{for: x, at: [20, 20], size: [60, 50]}, {for: y, at: [100, 20], size: [80, 60], corner: 3, depth: 20, notch: n}, {for: z, at: [20, 130], size: [80, 40], corner: 3, depth: 12}]}]\n" +
			"cases: [{name: One, stack: [a]}, {name: Two, stack: [a]}, {name: Three, stack: [a]}, {name: Four, stack: [a]}]\n" +
			"stock: {margin: 5, sheets: [{foam: pe-30, thickness: 30, size: [1000, 495], price: 5}, {foam: pe-45, thickness: 6, size: [615, 490], price: 3}]}\n",
		"machine: bench-knife\ntrays: [{id: a, size: [120, 80], layers: [{foam: pe-45, thickness: 6}]}]\ncases: [{name: One, inside: [120, 80, 6], copies: 6, stack: [a]}]\n" +
			"stock: {sheets: [{foam: pe-45, thickness: 6, size: [300, 200]}]}\n",
	} {
		result, err := cam.Cut(t.Context(), stockRequest(t, t, text), cam.Options{})
		require.NoError(t, err)
		require.False(t, result.Report.Findings.Failed(), "%v\n%s", result.Report.Findings, text)
		assert.Positive(t, sharedPages(t, result), text)
	}
}

// sharedPages is how many programs have no page of their own.
func sharedPages(t *testing.T, result cam.Result) (shared int) {
	moves := func(program string) string { return comments.ReplaceAllString(textOf(t, result, program), "") }
	programs := map[string]string{} // what lies on a setup and where it is cut, of a program
	for _, s := range result.Report.Setups {
		var parts []string
		for i, p := range s.Parts {
			parts = append(parts, fmt.Sprintf("part %d is %s", i+1, p.Tray))
		}
		programs[s.Sheet] = strings.Join(parts, ", ")
	}
	told, pageOf, sheetsOn := map[string]bool{}, map[string]int{}, map[int][]string{}
	sheet := textOf(t, result, "cut-sheet.md")
	pages := alikePage.FindAllStringSubmatchIndex(sheet, -1)
	for i, at := range pages {
		text := sheet[at[0]:]
		if i+1 < len(pages) {
			text = sheet[at[0]:pages[i+1][0]]
		}
		head := alikePage.FindStringSubmatch(text)
		rows := alikeRow.FindAllStringSubmatch(text, -1)
		if head[2] == "" {
			assert.Empty(t, rows)
			assert.Equal(t, "1", head[3])
			assert.False(t, told[head[1]], head[1])
			told[head[1]], pageOf[head[1]] = true, i
			continue
		}
		assert.Equal(t, fmt.Sprint(len(rows)), head[3])
		assert.Equal(t, fmt.Sprint(len(rows)-1), head[2])
		assert.Equal(t, head[1], rows[0][1], "the page is written for the first")
		shared += len(rows) - 1
		for _, row := range rows {
			assert.False(t, told[row[1]], row[1])
			told[row[1]], pageOf[row[1]], sheetsOn[i] = true, i, append(sheetsOn[i], row[2])
			assert.Equal(t, moves(head[1]), moves(row[1]), row[1])
			assert.True(t, strings.HasPrefix(row[1], "sheets/"+row[2]+"-"), "%s on %s", row[1], row[2])
			for i, part := range strings.Split(programs[row[2]], ", ") {
				assert.Contains(t, row[3], part, "part %d of %s", i+1, row[2])
			}
		}
	}
	before := map[string]string{} // the program before on the same sheet
	for _, f := range result.Report.Files {
		if f.Kind != "gcode" {
			continue
		}
		assert.True(t, told[f.Path], "%s has no page", f.Path)
		if last, ok := before[f.Sheet]; ok {
			assert.Equal(t, pageOf[last]+1, pageOf[f.Path], "the pages of a sheet's programs follow each other")
			assert.Equal(t, sheetsOn[pageOf[last]], sheetsOn[pageOf[f.Path]], "and are for the same sheets")
		}
		before[f.Sheet] = f.Path
	}
	for _, s := range result.Report.Setups {
		for _, o := range s.Offcuts {
			assert.Contains(t, sheet, fmt.Sprintf("%q", o.Name), "an offcut of %s", s.Sheet)
		}
	}
	return shared
}

// Trays may be called what their foams are: the same moves in another foam still have a page of their own, which says it.
func TestNoPageIsForTwoFoams(t *testing.T) {
	text := "machine: bench-router\ntrays:\n"
	for _, foam := range []string{"pe-30", "xpe-33"} {
		text += fmt.Sprintf("  - {id: %s, layers: [{foam: %[1]s, thickness: 1/2 in}], pockets: [{at: [15, 15], size: [30, 25], corner: 3, depth: 1/2 in}]}\n", foam)
	}
	text += "cases:\n  - {name: c, inside: [220, 170, 12.7], stack: [pe-30]}\n  - {name: d, inside: [220, 170, 12.7], stack: [xpe-33]}\n" +
		"stock:\n  sheets:\n    - {foam: pe-30, thickness: 1/2 in, size: [300, 250]}\n    - {foam: xpe-33, thickness: 1/2 in, size: [300, 250]}\n"
	result, err := cam.Cut(t.Context(), stockRequest(t, t, text), cam.Options{})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	assert.Zero(t, sharedPages(t, result))
	for _, foam := range []string{"pe-30", "xpe-33"} {
		assert.Contains(t, textOf(t, result, "cut-sheet.md"), "- Foam: "+foam+", 12.7 mm thick")
	}
}
