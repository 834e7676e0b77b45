package cam

import (
	"context"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/safety"
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
	art, found := ReadArt(os.DirFS("../testdata/tidewrack"), j)
	require.Empty(t, found)
	r := Request{Job: j, Catalog: c, Unit: j.Units, Rules: rules, Art: art}
	p, found := decide(r)
	require.False(t, found.Failed(), "%v", found)
	p.Trays = p.Trays[:trays]
	works, err := cutSheets(context.Background(), r, p, Options{})
	require.NoError(t, err)
	return r, p, works
}

// demoSheets are the pages of a demonstration job's first two trays.
func demoSheets(t *testing.T, name string, rules []safety.Rules) []page.Sheet {
	t.Helper()
	r, p, works := demoWorks(t, name, rules, 2)
	w := pageWriter{unit: r.Unit, plan: p, works: works}
	var sheets []page.Sheet
	for _, work := range works {
		sheets = append(sheets, w.paperSheet(work, r.Rules))
	}
	return sheets
}

// Extraction off before extinguishing: universities' laser rules, as cam/safety
// has them.
func TestLaserPagesSayWhatToDoInAFire(t *testing.T) {
	rules := []safety.Rules{{File: "rules.yaml", Requires: []safety.Require{{What: "a second person", Line: 3}}, Permits: []safety.Permit{
		{Foam: "pe-30", Process: profiles.Laser, When: "lid closed", Line: 1}, {Foam: "pe-45", Process: profiles.Laser, When: "lid closed", Line: 2},
	}}}
	for _, s := range demoSheets(t, "laser.yaml", rules) {
		assert.Equal(t, safety.IfItBurns(profiles.Laser), s.Burns, s.Head)
		assert.Contains(t, strings.Join(s.Cautions, " "), "lid closed", s.Head)
		assert.Equal(t, []string{"a second person (rules.yaml:3)"}, s.Owner, s.Head)
	}
}

func TestRouterPages(t *testing.T) {
	sheets := demoSheets(t, "job.yaml", nil)
	require.Len(t, sheets, 3) // the cover, and both layers of the stores
	assert.Equal(t, safety.IfItBurns(profiles.Router), sheets[1].Burns)
	assert.Equal(t, []string{
		"Lay the foam on the bed: pe-30, 50.8 mm thick, at least 264 mm x 204 mm.",
		"Fit T1, 3.175 mm single-flute cutter, flat end.",
		"Set the zero point: X0 Y0 at least 7 mm in from the foam's left edge and 7 mm from its front edge, not at its corner.", // ease 1 mm, and 6 mm of cutter beyond it
		"Run stores/1-pe-30-50.8mm.ngc: 9 pockets, the outline last.",
		"When it stops for T2, fit 6 mm single-flute cutter, flat end and set its Z zero.",
		"A skin of 0.8 mm is left under the outline: cut it with a knife when the machine has stopped.",
		"Try a piece in its pocket before the next sheet is cut.",
	}, sheets[1].Work)
	assert.Equal(t, page.PackingRow{Piece: "logbook, in one pocket", Count: 2}, sheets[1].Packing[0], "pieces, not pockets")
	assert.Contains(t, sheets[1].Packing, page.PackingRow{Piece: "doubloon, in 2 pockets", Count: 10})
	assert.Contains(t, sheets[1].Packing, page.PackingRow{Piece: "kraken", Count: 1})
	assert.Contains(t, sheets[0].Work, "Run cover/1-pe-45-6.35mm.ngc: 1 mark, 12 label or emblem holes, the outline last.")
	assert.NotContains(t, strings.Join(sheets[0].Work, " "), "Try a piece", "the cover has no pocket")
	assert.Equal(t, spelling, sheets[1].Cautions[len(sheets[1].Cautions)-1])
}

// sheetPages are the parts of cut-sheet.md that are about one sheet each.
func sheetPages(t *testing.T, name string, rules []safety.Rules) []string {
	t.Helper()
	r, p, works := demoWorks(t, name, rules, 2)
	text, err := cutSheet(r, p, works, nil)
	require.NoError(t, err)
	pages := strings.Split(string(text), "\n---\n")
	require.Len(t, pages[1:], len(works))
	for i, work := range works {
		assert.Contains(t, pages[i+1], "## "+work.name+".ngc: ")
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
		for i, page := range sheetPages(t, name, rules) {
			for _, part := range []string{
				"### Before you start", "- [ ] a second person (rules.yaml:3 of Quay)", "- [ ] Stay with the machine", "- [ ] Every name", "### If it burns", "call the fire service",
				"### Settings", "feed 500 mm/min", "by rules.yaml:9 of Quay", "### Zero point", "X0 Y0 is", "Z0 is", "### Order of work", "- [ ] 1: Lay the foam", "### Glue-up", "\n|###",
			} {
				assert.Contains(t, page, part, "%s %d", name, i)
			}
			assert.Equal(t, i > 0, strings.Contains(page, "### Packing list of stores"), "%s %d: the cover has no pockets", name, i)
			assert.Equal(t, i > 0, strings.Contains(page, "|  glue"), "%s %d", name, i)
			assert.Equal(t, name == "laser.yaml", strings.Contains(page, "EN 207"), name)
			assert.Equal(t, name == "laser.yaml", strings.Contains(page, "lid closed"), name)
			assert.Equal(t, name == "job.yaml", strings.Contains(page, "hearing"), name)
			assert.NotContains(t, page, "olystyrene", "there is none in it")
		}
	}
}

func TestSourcesOf(t *testing.T) {
	n := func(source string) profiles.Number { return profiles.Number{Value: 1, Source: source} }
	assert.Equal(t, "feed, kerf: measured. speed: a guess", sourcesOf(named{"feed", n("measured")}, named{"speed", n("a guess")}, named{"kerf", n("measured")}, named{"none", n("")}))
	assert.Empty(t, sourcesOf())
}

func TestBoxesAreTold(t *testing.T) {
	found := finding.List{{Rule: "required"}, {Rule: "permitted"}, {Rule: "caution"}}
	assert.Equal(t, finding.List{{Rule: "caution"}}, toldHere(found))
	assert.Len(t, found, 3, "the list itself is as it was")
}

func TestWorth(t *testing.T) {
	var found finding.List
	for range 10 {
		found = append(found, finding.Finding{Severity: finding.Note, Message: "a note"})
	}
	found = append(found, finding.Finding{Severity: finding.Warning, Where: "tray a", Message: "a warning"})
	list := worth(found)
	require.Len(t, list, mostFindings+1)
	assert.Equal(t, "tray a: a warning", list[0])
	assert.Equal(t, "And 3 more, in cut-sheet.md.", list[mostFindings])
}

// BenchmarkPaper is what both PDFs of the whole demonstration cost. The goal is
// less than 0.3 s.
func BenchmarkPaper(b *testing.B) {
	r, p, works := demoWorks(b, "job.yaml", nil, 8)
	for b.Loop() {
		_, err := paperCutSheet(r, p, works, nil, works[0].picture(), page.A4)
		require.NoError(b, err)
		_, err = paperTemplates(r, p, page.A4)
		require.NoError(b, err)
	}
}
