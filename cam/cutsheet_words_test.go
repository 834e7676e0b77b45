package cam

import (
	"context"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/safety"
	"traywright/cam/stock"
	"traywright/profiles"
)

// demoWorks are the sheets of a demonstration job, cut; of its first trays only.
func demoWorks(t testing.TB, name string, rules []safety.Rules, trays int) (Request, *plan.Plan, []*sheetWork) {
	t.Helper()
	j, found, err := job.Load(os.DirFS("../testdata/tidewrack"), name)
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	art, found, err := ReadArt(context.Background(), os.DirFS("../testdata/tidewrack"), j)
	require.NoError(t, err)
	require.Empty(t, found)
	r := Request{Job: j, Catalog: c, Unit: j.Units, Rules: rules, Art: art}
	p, found := decide(r)
	require.False(t, found.Failed(), "%v", found)
	p.Trays = p.Trays[:trays]
	_, works, err := cutSheets(context.Background(), r, p, stock.Layout{}, Options{})
	require.NoError(t, err)
	return r, p, works
}

// demoPages are the values that the pages of a demonstration job's first two
// trays are made from.
func demoPages(t *testing.T, name string, rules []safety.Rules) page.CutSheet {
	t.Helper()
	r, p, works := demoWorks(t, name, rules, 2)
	return cutSheet(r, p, works, nil)
}

// Trays of one size ask for foam of one size: at its outline a beam gets in from another side on each, by facts of the recipe
// 1.5 mm or less, and below that side as below all others there is as much.
func TestEqualTraysAskForEqualFoam(t *testing.T) {
	permits := []safety.Rules{{File: "rules.yaml", Permits: []safety.Permit{
		{Foam: "pe-30", Process: profiles.Laser, When: "lid closed", Line: 1}, {Foam: "pe-45", Process: profiles.Laser, When: "lid closed", Line: 2}}}}
	r, p, works := demoWorks(t, "laser.yaml", permits, 3)
	sides := map[float64]bool{}
	for _, w := range works {
		edge, b := w.sheet.Edge.Shape.Bounds(), w.inFoam(p.Machine)
		cut := w.trueBox(w.swept.Min.Point, w.swept.Max.Point, p.Machine).Grow(w.kerf().Value / 2)
		assert.Equal(t, b, b.Union(cut), "%s: all of the cut is in it", w.name)
		for _, beside := range []float64{edge.Min.X - b.Min.X, edge.Min.Y - b.Min.Y, b.Max.X - edge.Max.X, b.Max.Y - edge.Max.Y} {
			assert.InDelta(t, edge.Min.X-b.Min.X, beside, 1e-9, w.name)
		}
		blank, _ := w.laid(p.Machine, r.Unit)
		sides[blank[0]] = true
	}
	assert.Len(t, sides, 1)
}

// Extraction off before extinguishing: universities' laser rules, as cam/safety
// has them.
func TestLaserPagesSayWhatToDoInAFire(t *testing.T) {
	rules := []safety.Rules{{File: "rules.yaml", Requires: []safety.Require{{What: "a second person", Line: 3}}, Permits: []safety.Permit{
		{Foam: "pe-30", Process: profiles.Laser, When: "lid closed", Line: 1}, {Foam: "pe-45", Process: profiles.Laser, When: "lid closed", Line: 2},
	}}}
	pages := demoPages(t, "laser.yaml", rules)
	assert.Equal(t, safety.IfItBurns(profiles.Laser), pages.Burns)
	assert.Equal(t, []string{"a second person (rules.yaml:3)"}, pages.Owner)
	for _, s := range pages.Sheets {
		assert.Contains(t, strings.Join(s.Cautions, " "), "lid closed", s.Name)
		assert.Equal(t, []string{"a second person (rules.yaml:3)"}, s.Owner, s.Name)
	}
}

func TestRouterPages(t *testing.T) {
	pages := sheetPages(t, "job.yaml", nil)
	require.Len(t, pages, 5) // the cover and the stores' base, both with one tool, and the stores' first layer, roughed with the other, finished with that one, and its outline with the other
	assert.Contains(t, pages[2], strings.Join([]string{
		"- [ ] 1: Lay the foam on the bed: pe-30, 50 mm thick, at least 310 × 250 mm. Good face up.",
		"- [ ] 2: Hold it down: double-sided tape or vacuum under its whole area, outline too, and clamps on the rim, on all four sides. An up-cut edge lifts the foam, and clamps alone let its middle rise. Clamps take the outer 13 mm of the foam and no more, because the nut above the tool passes by the rest. They stand less than 3.8 mm above it, because the tool comes and goes over them. A taller one: write its place and height under clamps in the machine's profile and cut the job again, so that the paths go round it.",
		"- [ ] 3: Spindle off and isolated: unplugged where it has a plug, the spindle alone, so that the machine keeps its zero. Fit T2, 6 mm single-flute cutter, long, flat end. Let it stand 55 mm out of the collet, not less, for the nut passes over clamps.",
		// 1 mm of ease, 6 mm of cutter, 15 mm under a clamp, half of what a nut of 19 mm is wider than the thinner cutter: 29.9, and 267.9 and 207.9 beyond
		"- [ ] 4: Set the zero point and mark where X0 Y0 is, from which the 3 programs of this sheet count: X0 Y0 lies 30 mm from the foam's left edge and 30 mm from its front edge. For Z0 the tip must not press the foam in: lay a flat thin plate of known thickness on it, touch that with the spindle off, and take its thickness off, for Z0 lies that much below the plate's top.",
		"- [ ] 5: Look: the tool stands over the foam near X0 Y0, and nothing else is below it. The program's first move goes straight to Z 5 mm, down where the tool stands higher.",
		"- [ ] 6: Switch on the dust extraction, and a spindle that has a switch of its own, plugged in again, its dial at 16000 rpm. Hands away.",
		"- [ ] 7: Run stores/stores-1-pe-30-50mm-t1.ngc: 7 roughings, 2 pockets.",
		"- [ ] 8: Switch the spindle off, by its own switch where it has one, and wait until it stands still. Raise the tool and move it aside; X0 Y0 stays.",
		"- [ ] 9: Leave the foam clamped: 2 more to run on it, before any other foam is laid.",
		"",
	}, "\n"))
	assert.Contains(t, pages[2], "![what all programs of the sheet leave together](stores/stores-1-pe-30-50mm.png)")
	assert.NotContains(t, pages[2], "### Packing list", "it is not done yet")
	assert.Contains(t, pages[2], "- Roughing: T2 takes most of the foam out of 7 pockets, and the tool that fits them makes their corners and all of their wall: the fit is that tool's. Without it the job would take about 28 min more")
	assert.Contains(t, pages[2], "- 7: Logbook (A7), roughed, 20 mm\n")
	assert.Contains(t, pages[3], "Run stores/stores-1-pe-30-50mm-t2.ngc: 7 roughed pockets.")
	assert.NotContains(t, pages[3], "Roughing")
	assert.Contains(t, pages[3], "- Roughed: T2 has taken most of the foam out of 7 pockets, in an earlier program on the same foam: this one makes their corners and all of their wall, so that the fit is its tool's. It does not clear them alone: until that one has run, do not start it\n")
	assert.NotContains(t, pages[2]+pages[4], "- Roughed: ")
	assert.Contains(t, pages[4], strings.Join([]string{
		"- [ ] 1: Program 3 of 3: the foam stays as the one before has left it, clamped and in its place.",
		"- [ ] 2: Spindle off and isolated: unplugged where it has a plug, the spindle alone, so that the machine keeps its zero. Fit T2, 6 mm single-flute cutter, long, flat end. Let it stand 55 mm out of the collet, not less, for the nut passes over clamps.",
		"- [ ] 3: Zero check: X0 Y0 stays. Set Z0 again with T2, then bring its tip over the mark of X0 Y0 and look that it is there: X0 Y0 lies 30 mm from the foam's left edge and 30 mm from its front edge. For Z0 the tip must not press the foam in: lay a flat thin plate of known thickness on it, touch that with the spindle off, and take its thickness off, for Z0 lies that much below the plate's top.",
		"- [ ] 4: Look: the tool stands over the foam near X0 Y0, and nothing else is below it. The program's first move goes straight to Z 5 mm, down where the tool stands higher.",
		"- [ ] 5: Switch on the dust extraction, and a spindle that has a switch of its own, plugged in again, its dial at 16000 rpm. Hands away.",
		"- [ ] 6: Run stores/stores-1-pe-30-50mm-t3.ngc: the outline last.",
		"- [ ] 7: Switch the spindle off, by its own switch where it has one, and wait until it stands still. Raise the tool and move it aside; X0 Y0 stays.",
		"- [ ] 8: Take the sheet off, clamps and tape too, and lay it on a mat that may be cut into.",
		"- [ ] 9: 2 plugs stand in their pockets on a skin of 1.3 mm, 48.7 mm down: cut it with a long blade held against the pocket's wall, not the plug's, and lift the plug out, which is spare foam. No ledge may stay at the wall: a piece would stand on it, too high. The hole's edge underneath goes onto the layer below and is not seen.",
		"- [ ] 10: A skin of 1.3 mm is left under the outline: cut it with a knife.",
		"- [ ] 11: Try a piece in its pocket before the next sheet is cut.",
		"",
	}, "\n"))
	assert.Contains(t, pages[4], "### Packing list of stores\n\n- [ ] 2 x Logbook (A7) · logbook, in one pocket: as measured, 9 mm high, out by the notch\n", "pieces, not pockets")
	assert.Contains(t, pages[4], "- [ ] 10 x Doubloon · doubloon, in 2 pockets: as measured, 2.2 mm high, ")
	assert.Contains(t, pages[4], "- [ ] 1 x Young kraken · kraken: as measured, 46 mm high, out by the notch\n")
	assert.Contains(t, pages[0], "Run cover/cover-1-pe-45-10mm.ngc: 1 mark, 12 label or emblem holes, the outline last.")
	assert.NotContains(t, pages[0], "Try a piece", "the cover has no pocket")
	assert.Contains(t, pages[0], "- [ ] The label reads \"Tidewrack\"\n- [ ] Every name is spelt right\n\n### If it burns")
	assert.NotContains(t, pages[2], "spelt right", "no name is in it")
	for _, line := range safety.IfItBurns(profiles.Router) {
		assert.Contains(t, pages[2], "- **"+line+"**")
	}
}

// sheetPages are the parts of cut-sheet.md that are about one sheet each.
func sheetPages(t *testing.T, name string, rules []safety.Rules) []string {
	t.Helper()
	r, p, works := demoWorks(t, name, rules, 2)
	var text strings.Builder
	require.NoError(t, cutSheet(r, p, works, nil).Markdown(&text))
	pages := strings.Split(text.String(), "\n---\n")
	require.Len(t, pages[1:], len(works))
	for i, work := range works {
		assert.Contains(t, pages[i+1], "## "+work.path()+": ")
		assert.Contains(t, pages[i+1], "]("+work.name+".png)")
	}
	return pages[1:]
}

// A sheet's page has everything that its person at the machine needs.
func TestEveryPageIsWhole(t *testing.T) {
	rules := []safety.Rules{{File: "rules.yaml", Owner: "Quay", Requires: []safety.Require{{What: "a second person", Line: 3}}, Permits: []safety.Permit{
		{Foam: "pe-30", Process: profiles.Laser, When: "lid closed", Line: 1}, {Foam: "pe-45", Process: profiles.Laser, When: "lid closed", Line: 2},
	}, Limits: []safety.Limits{{FeedMMPerMin: 500, Line: 9}}}}
	for _, name := range []string{"job.yaml", "laser.yaml"} {
		pages := sheetPages(t, name, rules)
		for i, page := range pages {
			foam, glued := "1: Lay the foam", !strings.Contains(page, "more to run on it")
			if strings.Contains(page, "1: Program ") {
				foam = "the foam stays as the one before has left it"
			}
			for _, part := range []string{
				"### Before you start", "- [ ] a second person (rules.yaml:3 of Quay)", "- [ ] Stay with the machine", "### If it burns", "call the fire service",
				"### Settings", "feed 500 mm/min", "by rules.yaml:9 of Quay", "### Zero point", "X0 Y0 is", "Z0 is", "### Order of work", foam,
			} {
				assert.Contains(t, page, part, "%s %d", name, i)
			}
			assert.Equal(t, strings.Contains(page, "- [ ] The label reads"), strings.Contains(page, "- [ ] Every name"), "%s %d", name, i)
			assert.Equal(t, glued && i > 0, strings.Contains(page, "### Glue-up"), "%s %d: the cover has one layer", name, i)
			assert.Equal(t, glued, strings.Contains(page, "\n|###"), "%s %d", name, i)
			assert.Equal(t, i == len(pages)-1, strings.Contains(page, "### Packing list of stores"), "%s %d: once, when all of the tray is cut", name, i)
			assert.Equal(t, i > 0 && glued, strings.Contains(page, "|  glue"), "%s %d", name, i)
			assert.Equal(t, name == "laser.yaml", strings.Contains(page, "EN 207"), name)
			assert.Equal(t, name == "laser.yaml", strings.Contains(page, "lid closed"), name)
			assert.Equal(t, name == "job.yaml", strings.Contains(page, "hearing"), name)
			assert.Equal(t, name == "laser.yaml", strings.Contains(page, "Good face up, raised on pins") && strings.Contains(page, "Watch for loose pieces"), name)
			assert.Equal(t, strings.Contains(page, "engraving,"), regexp.MustCompile(`engraving, 1 pass, [0-9.]+ %.*\n- power: enough to darken`).MatchString(page), "what it cuts with is not said of what it engraves")
			assert.Equal(t, name == "job.yaml", strings.Contains(page, "out of the collet, not less, for the nut passes over clamps") && strings.Contains(page, "\n- Board: "), name)
			assert.NotContains(t, page, "olystyrene", "there is none in it")
		}
	}
}

// BenchmarkPaper is what both PDFs of the whole demonstration cost, their pictures
// with them.
func BenchmarkPaper(b *testing.B) {
	r, p, works := demoWorks(b, "job.yaml", nil, 8)
	size, _ := page.PaperNamed("a4")
	for b.Loop() {
		pages := cutSheet(r, p, works, nil)
		require.NoError(b, pages.Paper(io.Discard, size))
		require.NoError(b, pages.Templates(io.Discard, size))
	}
}

// A block is glued before it is cut, and the paper says so where the work is; of what
// the program cuts nothing is left out, for the deepest comes last.
func TestPagesSayAllThatIsDone(t *testing.T) {
	_, p, works := demoWorks(t, "job.yaml", nil, 2)
	var text strings.Builder
	require.NoError(t, cutSheet(Request{Job: p.Job, Unit: p.Job.Units}, p, works, nil).Markdown(&text))
	assert.Contains(t, text.String(), "### Order of cutting\n\n- 1–2: Doubloon, 12 mm\n")
	assert.Contains(t, text.String(), ": Young kraken, plug, 48.7 mm\n")
	assert.Contains(t, text.String(), ": outline, 48.7 mm\n", "on the same skin, and no plug")
	assert.NotContains(t, text.String(), "First glue")

	block := *works[1].sheet
	block.Number, block.Layers = 0, p.Trays[1].Layers
	works[1].sheet = &block
	text.Reset()
	require.NoError(t, cutSheet(Request{Job: p.Job, Unit: p.Job.Units}, p, works, nil).Markdown(&text))
	assert.Contains(t, text.String(), "- [ ] 1: First glue the layers into one block, in the order shown under Glue-up, and let the glue cure.\n- [ ] 2: Lay the foam on ")
	assert.Contains(t, text.String(), " Layer 1 up.\n")
}

// Each bridge takes four of its lengths of the edge: one of 3 mm and a kerf of 0.4 mm 13.6 mm. So a coin of 5 mm, 15.7 mm
// round, has room for one of two, and a crumb of 3 mm, 9.4 mm round, for none (arithmetic): both are told, and stand on the cut sheet.
func TestBridgesWithoutRoomAreTold(t *testing.T) {
	text := "units: mm\nmachine: mine\ntrays:\n  - id: a\n    size: [80, 50]\n    layers: [{foam: pe-30, thickness: 12.7}]\n    pockets:\n" +
		"      - {for: coin, at: [15, 20], round: 5, depth: through}\n      - {for: crumb, at: [40, 20], round: 3, depth: through}\n      - {for: bar, at: [60, 15], size: [8, 20], depth: through}\n"
	j, _, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	like, _ := c.Machine("bench-laser")
	own := regexp.MustCompile(`(?m)^( +)power_percent:`).ReplaceAll(c.MachineFile(like, "mine"), []byte("${1}tab_width_mm: 3\n${0}"))
	require.NoError(t, c.Add(fstest.MapFS{"a.yaml": {Data: own}}))
	rules := []safety.Rules{{Permits: []safety.Permit{{Foam: "pe-30", Process: profiles.Laser, When: "lid closed"}}}}
	result, err := Cut(context.Background(), Request{Job: j, Catalog: c, Unit: j.Units, Rules: rules}, Options{})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	told := map[string]finding.Severity{}
	for _, f := range result.Report.Findings {
		if f.Rule == "few-bridges" || f.Rule == "no-bridges" {
			told[f.Rule+" "+f.Message] = f.Severity
		}
	}
	assert.Equal(t, map[string]finding.Severity{
		"few-bridges is held by 1 of 2 bridges: there is no room for more":                                                           finding.Note,
		"no-bridges has a piece that is narrower than the foam is thick, too small for any bridge: it may tip up and catch the head": finding.Warning,
	}, told)
	sheet := slices.IndexFunc(result.Files, func(f File) bool { return f.Path == "cut-sheet.md" })
	require.GreaterOrEqual(t, sheet, 0)
	assert.Regexp(t, `no bridge holds it: [^.]*crumb[^.]*\. Watch these too, which have room for fewer bridges than they should: [^.]*coin[^.]* \(1 of 2\)\.`, string(result.Files[sheet].Data))
}
