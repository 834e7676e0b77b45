package cam

import (
	"context"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

// randomJob draws trays of few kinds, so that many of their layers are one, with ids
// that run into each other.
func randomJob(r *rapid.T) string {
	var b strings.Builder
	b.WriteString("machine: bench-router\ntrays:\n")
	ids := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"a", "a-1", "a-1-pe", "b", "crew", "crew-2", "block"}), 1, 5, rapid.ID).Draw(r, "ids")
	for _, id := range ids {
		layers := rapid.SliceOfN(rapid.SampledFrom([]string{
			"{foam: pe-30, thickness: 1 in}", "{foam: pe-45, thickness: 1/4 in}", "{foam: pe-45, thickness: 12}",
		}), 1, 3).Draw(r, "layers")
		fmt.Fprintf(&b, "  - id: %s\n    layers: [%s]\n", id, strings.Join(layers, ", "))
		if rapid.Bool().Draw(r, "block") {
			b.WriteString("    cut: block\n")
		}
		if rapid.Bool().Draw(r, "pocket") {
			fmt.Fprintf(&b, "    pockets: [{for: %s, at: [30, 30], round: 25, depth: %s}]\n",
				rapid.SampledFrom([]string{"x", "y"}).Draw(r, "for"), rapid.SampledFrom([]string{"5", "through"}).Draw(r, "depth"))
		}
	}
	fmt.Fprintf(&b, "cases:\n  - {name: one, inside: [120, 90, 500], copies: %d, stack: [%s]}\n", rapid.IntRange(1, 3).Draw(r, "copies"), strings.Join(ids, ", "))
	return b.String()
}

// No two programs of a job have one name, whatever the folder; every layer of every
// tray is cut as often as the tray is made; and what is one has one program.
func TestNamesOfRandomJobs(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	shared := 0
	rapid.Check(t, func(r *rapid.T) {
		text := randomJob(r)
		j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
		require.NoError(r, err)
		require.False(r, found.Failed(), "%s\n%v", text, found)
		p, _ := decide(Request{Job: j, Catalog: c, Unit: j.Units})
		works := sheetsOf(p)
		require.NoError(r, forEach(context.Background(), works, func(w *sheetWork) error { return w.lay(p) }))
		all := len(works)
		works = alike(works, p.Machine)
		shared += all - len(works)

		names, cut := map[string]bool{}, map[*plan.Sheet]int{}
		for _, w := range works {
			folder, name := path.Split(w.programPath(0))
			assert.False(r, names[name], "%s\n%s twice", text, name)
			names[name] = true
			assert.True(r, strings.HasPrefix(name, path.Base(folder)+"-"), name)
			assert.Equal(r, w.tray.ID, path.Base(folder))
			for _, part := range w.makes {
				cut[part.Sheet]++
				assert.InDelta(r, w.sheet.ThicknessMM(), part.Sheet.ThicknessMM(), 1e-9)
				assert.Equal(r, w.sheet.Edge.Shape, part.Sheet.Edge.Shape)
				require.Len(r, part.Sheet.Cuts, len(w.sheet.Cuts))
				for i, k := range part.Sheet.Cuts {
					assert.Equal(r, w.sheet.Cuts[i].Shape, k.Shape)
					assert.Equal(r, w.sheet.Cuts[i].Name, k.Name)
				}
			}
		}
		for i := range p.Trays {
			for k := range p.Trays[i].Sheets {
				assert.Equal(r, 1, cut[&p.Trays[i].Sheets[k]], "%s\n%s", text, p.Trays[i].ID)
			}
		}
	})
	assert.Positive(t, shared, "the trays are of few kinds")
}

// The overview's hours are those of every program of a sheet, as often as it is run.
func TestTheOverviewSumsEveryProgram(t *testing.T) {
	p := &plan.Plan{Job: &job.Job{}, Trays: []plan.Tray{{ID: "a", Copies: 2, Sheets: []plan.Sheet{{}}}, {ID: "b", Copies: 3, Sheets: []plan.Sheet{{}}}}}
	var works []*sheetWork
	for _, w := range []struct {
		tray    int
		seconds float64
	}{{0, 100}, {0, 10}, {1, 7}} { // the first tray's sheet takes two programs
		tray := &p.Trays[w.tray]
		works = append(works, &sheetWork{makes: []page.Part{{Tray: tray, Sheet: &tray.Sheets[0]}}, run: proof.Result{Seconds: w.seconds}})
	}
	assert.Equal(t, 2*100.0+2*10+3*7, overviewOptions(Request{}, p, works, works).Seconds)
}

func TestNames(t *testing.T) {
	foam := func(id string) plan.Layer { return plan.Layer{Foam: profiles.Foam{ID: id}, Thickness: 6_350_000} }
	sheet := func(n int, id string) plan.Sheet { return plan.Sheet{Number: n, Layers: []plan.Layer{foam(id)}} }
	machine := profiles.Machine{Controller: profiles.Controllers()[0]}
	stores := newSheetWork(&plan.Tray{ID: "stores"}, &plan.Sheet{Number: 2, Layers: []plan.Layer{foam("pe-45")}}, machine, units.Millimetre)
	assert.Equal(t, "stores/stores-2-pe-45-6.35mm.ngc", stores.programPath(0))
	assert.Equal(t, "stores/stores-2-pe-45-6.35mm-t2.ngc", stores.programPath(2))
	block := newSheetWork(&plan.Tray{ID: "b"}, &plan.Sheet{}, machine, units.Millimetre)
	assert.Equal(t, "b/b-block.ngc", block.programPath(0))
	inches := newSheetWork(&plan.Tray{ID: "stores"}, &plan.Sheet{Number: 2, Layers: []plan.Layer{foam("pe-45")}}, machine, units.Inch)
	assert.Equal(t, "stores/stores-2-pe-45-0.25in.ngc", inches.programPath(0))

	for name, want := range map[string]bool{
		"stores-2-pe-45-6.35mm.ngc": true, `E:\jobs\stores-2-pe-45-6.35mm-t1.nc`: true, "out/stores/stores-2-pe-45-6.35mm.ngc": true,
		"2-pe-45-6.35mm.ngc": false, "stores-2-pe-45-6.35mm-tx.ngc": false, "stores-2-pe-45-6.35mm-2.ngc": false, "": false,
	} {
		assert.Equal(t, want, stores.isNamed(name), name)
	}

	// Tray a, layer 1 of foam 1-pe, and tray a-1, layer 1 of foam pe: a-1-1-pe twice.
	p := &plan.Plan{Job: &job.Job{}, Trays: []plan.Tray{
		{ID: "a", Sheets: []plan.Sheet{sheet(1, "1-pe")}}, {ID: "a-1", Sheets: []plan.Sheet{sheet(1, "pe")}}, {ID: "c", Sheets: []plan.Sheet{sheet(1, "pe")}},
	}}
	found := sharedNames(p)
	require.Len(t, found, 1)
	assert.Equal(t, "the files of tray a, layer 1 and of tray a-1, layer 1 would both be called a-1-1-pe-6.35mm", found[0].Message)
}

// The demonstration's bases are one program; every tray still has its glue-up and its
// packing list on a page, one whose sheets are all another's too.
func TestSharedLayersOnTheCutSheet(t *testing.T) {
	r, p, _ := demoWorks(t, "job.yaml", nil, 0)
	full, found := decide(r)
	require.False(t, found.Failed())
	p.Trays = full.Trays
	twin := p.Trays[2]
	twin.ID, twin.Sheets = "twin", slices.Clone(twin.Sheets)
	p.Trays = append(p.Trays, twin)
	works := sheetsOf(p)
	require.NoError(t, forEach(context.Background(), works, func(w *sheetWork) error { return w.lay(p) }))
	works = alike(works, p.Machine)
	require.Len(t, works, 9)
	assert.Equal(t, "stores/stores-2-pe-45-6mm.ngc", works[2].programPath(0))
	assert.Equal(t, 9+1, works[2].made()) // three of the stores, one of each of six, and the twin
	assert.Len(t, works[2].trays(), 8)

	var text strings.Builder
	require.NoError(t, cutSheet(r, p, works, nil).Markdown(&text))
	assert.Contains(t, text.String(), "## stores/stores-2-pe-45-6mm.ngc: 10 to make\n")
	assert.Contains(t, text.String(), "\nMade 10 times: 3 for stores layer 2, 1 for gull-crew layer 2,")
	assert.Contains(t, text.String(), "\nMade 3 times, for stores layer 1: [ ] [ ] [ ]\n")
	assert.Contains(t, text.String(), "\n### Packing list of twin\n")
	assert.Contains(t, text.String(), "\n### Glue-up of twin, top to bottom\n")
	assert.Contains(t, text.String(), "| pe-45 | 6 mm | 10 |")
}

func TestMadeText(t *testing.T) {
	two := []plan.Layer{{Thickness: units.Length(1)}, {Thickness: units.Length(1)}}
	stores, crew := &plan.Tray{ID: "stores", Copies: 3, Layers: two}, &plan.Tray{ID: "crew", Copies: 1, Layers: two}
	base, block := &plan.Sheet{Number: 2}, &plan.Sheet{}
	assert.Empty(t, page.MadeText([]page.Part{{Tray: crew, Sheet: base}}))
	assert.Equal(t, "3 times, for stores layer 2", page.MadeText([]page.Part{{Tray: stores, Sheet: base}}))
	assert.Equal(t, "3 times, for stores", page.MadeText([]page.Part{{Tray: stores, Sheet: block}}))
	assert.Equal(t, "4 times: 3 for stores layer 2, 1 for crew layer 2", page.MadeText([]page.Part{{Tray: stores, Sheet: base}, {Tray: crew, Sheet: base}}))

	twice := []page.Part{{Tray: stores, Sheet: base}, {Tray: stores, Sheet: &plan.Sheet{Number: 3}}}
	r := Request{Job: &job.Job{}}
	assert.Equal(t, []string{"made 6 times"}, (&sheetWork{tray: &plan.Tray{}, makes: twice}).caption(r))
	assert.Equal(t, []string{"made 4 times, for 2 trays"}, (&sheetWork{tray: &plan.Tray{}, makes: []page.Part{twice[0], {Tray: crew, Sheet: base}}}).caption(r))
}

// Two sheets that a beam cuts alike are one program made twice, though the pocket ends in the
// lower one; how far its piece may stand proud is held all the same.
func TestLayersThatAPocketGoesThroughAreOne(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	j, found, err := job.Load(fstest.MapFS{
		"job.yaml": {Data: []byte(`machine: bench-laser
roster: roster.csv
trays:
  - id: a
    size: [100, 80]
    layers: [{foam: pe-30, thickness: 1/2 in}, {foam: pe-30, thickness: 1/2 in}, {foam: pe-45, thickness: 1/4 in}]
    pockets: [{for: crab, at: [20, 20], depth: 1 in}]
`)},
		"roster.csv": {Data: []byte("id,count,length,width,height\ncrab,1,40,30,24\n")},
	}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	rules := []safety.Rules{{Permits: []safety.Permit{{Foam: "pe-30", Process: profiles.Laser, When: "lid closed"}, {Foam: "pe-45", Process: profiles.Laser, When: "lid closed"}}}}
	p, found := decide(Request{Job: j, Catalog: c, Unit: j.Units, Rules: rules})
	require.False(t, found.Failed(), "%v", found)
	works := sheetsOf(p)
	for _, w := range works {
		require.NoError(t, w.lay(p))
	}
	lower := works[1].seats(0)[0].HigherMM
	require.False(t, math.IsInf(lower, 1))
	require.True(t, math.IsInf(works[0].seats(0)[0].HigherMM, 1))
	works = alike(works, p.Machine)
	require.Len(t, works, 2)
	assert.Equal(t, 2, works[0].made())
	assert.Equal(t, lower, works[0].seats(0)[0].HigherMM)
}

// What a run may take away again is called as one calls its files; a person's files are not.
func TestOurNames(t *testing.T) {
	for _, ours := range []string{"report.json", "cut-sheet.pdf", "a/a-1-pe-30-25.4mm.ngc", "a/a-block-t2.dxf", "a/a-2-my foam-6mm-finished.svg", "sheets/s1-pe-30-25.4mm-t1.gcode",
		"coupon.csv", "trial-1-moves.ngc", "trial.md", "fit-1.png", "001-a.png", "012-a-section.png", "001-a/0060.png", "roster.csv", "check.png", "check-2.png", "side-check.png", "outlines/piece-3.dxf"} {
		assert.True(t, IsOurName(ours), ours)
	}
	for _, theirs := range []string{"thesis.txt", "a/thesis.txt", "a.ngc", "../a/a-block.ngc", "a/b-block.ngc", "photo.png", "a/a-letter.odt", "x/a/a-block.ngc", "kerf.csv", "my-roster.csv", "checks.png", "outlines/photo.png", "outlines/a/b.dxf", "/-block.ngc"} {
		assert.False(t, IsOurName(theirs), theirs)
	}
}
