package cam_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/safety"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/profiles"
)

const laserWord = "owner: us\npermits:\n  - {foam: pe-30, process: laser, when: \"extraction running, lid closed\"}\n  - {foam: pe-45, process: laser, when: \"extraction running, lid closed\"}\n"

// stockRequest is a job of that text.
func stockRequest(t require.TestingT, c *testing.T, text string) cam.Request {
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err, text)
	require.False(t, found.Failed(), "%v", found)
	rules, err := safety.ReadRules("rules.yaml", []byte(laserWord))
	require.NoError(t, err)
	return cam.Request{Job: j, Catalog: catalog(c), Unit: j.Units, Rules: []safety.Rules{rules}}
}

// randomStockJob has trays of one or two layers, some of them several times, and sheets of every
// foam, larger and smaller than the machine.
func randomStockJob(t *rapid.T) string {
	var b, cases, rows strings.Builder
	fmt.Fprintf(&b, "machine: %s\ntrays:\n", rapid.SampledFrom([]string{"bench-router", "bench-laser"}).Draw(t, "machine"))
	for i := range rapid.IntRange(1, 4).Draw(t, "trays") {
		x, y := rapid.IntRange(60, 220).Draw(t, "length"), rapid.IntRange(60, 180).Draw(t, "width")
		layers := rapid.SampledFrom([]string{
			"[{foam: pe-30, thickness: 1/2 in}]", "[{foam: pe-30, thickness: 1/2 in}, {foam: pe-45, thickness: 1/4 in}]",
		}).Draw(t, "layers")
		fmt.Fprintf(&b, "  - {id: t%d, layers: %s, pockets: [{at: [15, 15], size: [30, 25], corner: 3, depth: 1/2 in}]}\n", i, layers)
		high := 12.7
		if strings.Contains(layers, "pe-45") {
			high = 19.05
		}
		fmt.Fprintf(&cases, "  - {name: c%d, inside: [%d, %d, %g], ease: %d, copies: %d, stack: [t%d]}\n", i, x, y, high, rapid.IntRange(0, 1).Draw(t, "ease"), rapid.IntRange(1, 4).Draw(t, "copies"), i)
	}
	for _, foam := range []string{"pe-30, thickness: 1/2 in", "pe-45, thickness: 1/4 in"} {
		for range rapid.IntRange(0, 2).Draw(t, "offcuts") {
			fmt.Fprintf(&rows, "    - {name: %s, foam: %s, size: [%d, %d], count: %d}\n", rapid.SampledFrom([]string{"Rest", "rest p1", "sheet-1", "Sheet 1 p1", "sheet-1 rest"}).Draw(t, "name"), foam, rapid.IntRange(80, 700).Draw(t, "long"), rapid.IntRange(80, 500).Draw(t, "wide"), rapid.IntRange(1, 2).Draw(t, "count"))
		}
		price := rapid.SampledFrom([]string{"", ", price: 12.5"}).Draw(t, "price")
		fmt.Fprintf(&rows, "    - {foam: %s, size: [1000, 500]%s}\n    - {foam: %s, size: [380, 290]%s}\n", foam, price, foam, strings.ReplaceAll(price, "12.5", "4"))
	}
	return b.String() + "cases:\n" + cases.String() + fmt.Sprintf("stock:\n  margin: %d\n  sheets:\n", rapid.IntRange(0, 30).Draw(t, "margin")) + rows.String()
}

// Every layer of every tray lies once for each copy, inside its sheet by the margin, apart from all
// others by two cuts and 6 mm; its outline and its pockets in the work order are the tray's, moved
// and turned: the areas by formula, the places by the tray's own corner.
func TestEveryLayerIsLaidOnce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := randomStockJob(rt)
		result := cam.Check(stockRequest(rt, t, text))
		require.False(rt, result.Report.Findings.Failed(), "%v\n%s", result.Report.Findings, text)
		times := map[string]int{}
		names := map[string]bool{}
		for _, s := range result.Layout.Setups {
			assert.False(rt, names[s.Name], s.Name)
			names[s.Name] = true
			laidInside(rt, s)
			comesTo(rt, s, result.Plan.Machine)
			for _, p := range s.Parts {
				times[fmt.Sprint(p.Tray.ID, p.Layer, p.Copy)]++
			}
		}
		rackOf(rt, result)
		layers := 0
		for _, tray := range result.Plan.Trays {
			for l := range tray.Layers {
				for c := range tray.Copies {
					layers++
					assert.Equal(rt, 1, times[fmt.Sprint(tray.ID, l+1, c+1)], "%s layer %d copy %d", tray.ID, l+1, c+1)
				}
			}
		}
		assert.Len(rt, times, layers)
		assert.GreaterOrEqual(rt, result.Layout.WasteShare, 0.0)
		assert.Less(rt, result.Layout.WasteShare, 1.0)
	})
}

// rackOf holds the rack that is left against the layout: every offcut of a setup and every rest of
// a parted sheet lies in it once, beside what is not cut up, and no two rows have one name.
func rackOf(t *rapid.T, r cam.Result) {
	rests, names := 0, map[string]bool{}
	for _, s := range r.Layout.Setups {
		rests += len(s.Offcuts)
	}
	for _, p := range r.Layout.Parted {
		rests += len(p.Rest)
	}
	for _, row := range r.Layout.Left {
		if row.Name != "" {
			assert.False(t, names[row.Name], "two rows are %s", row.Name)
			names[row.Name] = true
		}
		if row.Position != (finding.Position{}) {
			continue // of the job
		}
		rests--
	}
	assert.Zero(t, rests, "offcuts that are not in the rack, or are not there")
}

// comesTo holds the arrow and the middle of the cut around every part inside the machine's travel, which begins at X0 Y0; that lies
// in from the sheet's corner only where the travel would end, from there, before or within the tool's width of the last cut.
func comesTo(t *rapid.T, s *stock.Setup, m profiles.Machine) {
	sheet := s.Tray.Sheets[0]
	all := sheet.Edge.Shape.Bounds().Grow(sheet.Edge.WidestMM() / 2)
	last := [2]float64{all.Max.X, all.Max.Y}
	for _, path := range sheet.Marks {
		all = all.Union(path.Bounds())
	}
	for i, end := range [2]float64{all.Max.X, all.Max.Y} {
		assert.LessOrEqual(t, end, m.TravelMM[i].Value, "%s", s.Name)
		if s.ZeroMM[i] > 0 {
			assert.Greater(t, last[i]+s.ZeroMM[i]+sheet.Edge.Tool.DiameterMM.Value+sheet.Edge.Recipes[0].LeadInMM.Value, m.TravelMM[i].Value, "%s: X0 Y0 might lie at the corner", s.Name)
		}
	}
	assert.GreaterOrEqual(t, min(all.Min.X, all.Min.Y), 0.0)
}

func laidInside(t *rapid.T, s *stock.Setup) {
	sheet := s.Tray.Sheets[0]
	kerf := sheet.Edge.WidestMM()
	outlines := sheet.Edge.Shape.Contours()
	require.Len(t, outlines, len(s.Parts))
	pockets := 0
	for i, p := range s.Parts {
		own := p.Sheet.Edge.Shape
		assert.InDelta(t, own.Area(), outlines[i].Area(), 1e-6)
		box := outlines[i].Bounds()
		ease := (own.Bounds().Width() - p.Tray.Length.MM()) / 2
		assert.InDelta(t, p.AtMM[0]-ease-s.ZeroMM[0], box.Min.X, 1e-6)
		assert.InDelta(t, p.AtMM[1]-ease-s.ZeroMM[1], box.Min.Y, 1e-6)
		low := geometry.Box{Min: geometry.Point{X: s.MarginMM - s.ZeroMM[0], Y: s.MarginMM - s.ZeroMM[1]}, Max: geometry.Point{X: s.SizeMM[0] - s.MarginMM - s.ZeroMM[0], Y: s.SizeMM[1] - s.MarginMM - s.ZeroMM[1]}}
		assert.Equal(t, low, low.Union(box), "%s sticks out of %s", p.Label(), s.Name)
		assert.GreaterOrEqual(t, s.MarginMM, kerf)
		for k := range i {
			other := outlines[k].Bounds()
			apart := math.Max(math.Max(box.Min.X-other.Max.X, other.Min.X-box.Max.X), math.Max(box.Min.Y-other.Max.Y, other.Min.Y-box.Max.Y))
			assert.GreaterOrEqual(t, apart, 2*kerf+6-1e-6)
		}
		pockets += len(p.Sheet.Cuts)
		for _, c := range sheet.Cuts[pockets-len(p.Sheet.Cuts) : pockets] {
			hole, wide := c.Shape.Bounds(), [2]float64{30, 25}
			at := [2]float64{p.AtMM[0] + 15, p.AtMM[1] + 15}
			if p.Turn == 90 {
				wide[0], wide[1] = wide[1], wide[0]
				at[0] = p.AtMM[0] + p.Tray.Width.MM() - 15 - 25
			}
			assert.InDelta(t, at[0]-s.ZeroMM[0], hole.Min.X, 1e-6)
			assert.InDelta(t, at[1]-s.ZeroMM[1], hole.Min.Y, 1e-6)
			assert.InDelta(t, wide[0], hole.Width(), 1e-6)
			assert.InDelta(t, wide[1], hole.Height(), 1e-6)
		}
	}
	assert.Len(t, sheet.Cuts, pockets)
}

// The demonstration takes no more sheets of 1000 x 500 mm than its area and one for each foam and
// thickness: 3, 9, 6 and 3 layers of 252 x 192 mm, of which six lie on a sheet. The offcut saves none, and
// stays whole.
func TestDemoTakesFewSheets(t *testing.T) {
	result := cam.Check(demoRequest(t, "stock.yaml"))
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	bought := map[string]int{}
	for _, p := range result.Layout.Buy {
		bought[fmt.Sprint(p.Foam, p.ThicknessMM)] = p.Count
	}
	assert.Equal(t, map[string]int{"pe-4510": 1, "pe-456": 2, "pe-3030": 1, "pe-3050": 1}, bought)
	assert.Equal(t, 24.5+14.5+8.5+2*6.5, result.Layout.Cost)
	assert.False(t, slices.ContainsFunc(result.Layout.Setups, func(s *stock.Setup) bool { return s.From.AtHand }))
	saved := 0.0
	for _, setup := range result.Layout.Setups {
		sheet, roughed := setup.Tray.Sheets[0], 0.0
		for _, p := range setup.Parts {
			roughed += p.Sheet.Roughing.CutSeconds
		}
		assert.Equal(t, sheet.Roughed() > 0, sheet.Roughing.Tool.ID == "flat-6")
		assert.Equal(t, roughed, sheet.Roughing.CutSeconds)
		saved += sheet.Roughing.SavedSeconds
	}
	assert.InDelta(t, saved, result.Layout.RoughingSavesS, 1e-6, "the three have their changes of tools each for itself")
	assert.Equal(t, result.Report, cam.Check(demoRequest(t, "stock.yaml")).Report, "the same every time")
}

// The programs of random setups pass the dry run, which holds them against the work order, and
// `dryrun --job` finds each of them again.
func TestSetupsAreCut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		if rapid.IntRange(0, 19).Draw(rt, "one in twenty") > 0 {
			return // a job takes a second
		}
		r := stockRequest(rt, t, randomStockJob(rt))
		result, err := cam.Cut(context.Background(), r, cam.Options{})
		require.NoError(rt, err)
		require.False(rt, result.Report.Findings.Failed(), "%v", result.Report.Findings)
		programs := 0
		for _, f := range result.Report.Files {
			assert.True(rt, cam.IsOurName(f.Path), f.Path)
			if f.Kind != "gcode" {
				continue
			}
			programs++
			assert.True(rt, strings.HasPrefix(f.Path, "sheets/"+f.Sheet+"-"), f.Path)
			assert.Equal(rt, 1, f.Made)
			text := []byte(textOf(t, result, f.Path))
			tried, found := cam.Try(cam.Trial{Name: f.Path, Text: text}, r.Catalog, result.Plan)
			assert.False(rt, found.Failed(), "%s: %v", f.Path, found)
			assert.True(rt, tried.OK, f.Path)
			assert.Equal(rt, f.Path, tried.Sheet)
		}
		assert.Len(rt, result.Report.DryRun, programs)
		assert.Equal(rt, len(result.Layout.Setups), result.Report.Totals.Setups)
	})
}

// The arrow of a setup lies in waste: off every part by its cut and 2 mm of foam, out of every
// offcut, no nearer to the sheet's edge than outlines are cut; its tip is behind its foot. It is made
// by the tool that cuts first, and so costs no change.
func TestArrowLiesInWaste(t *testing.T) {
	had := 0
	rapid.Check(t, func(rt *rapid.T) {
		result := cam.Check(stockRequest(rt, t, randomStockJob(rt)))
		for _, s := range result.Layout.Setups {
			switch {
			case s.Arrow == nil:
			case s.Arrow.In == "":
				had++
				arrowInWaste(rt, s)
			default:
				arrowInPocket(rt, s)
			}
		}
	})
	assert.Positive(t, had)
}

// The pocket that it lies in takes all of it away, and no other cut of a part comes near it.
func arrowInPocket(t require.TestingT, s *stock.Setup) {
	sheet := s.Tray.Sheets[0]
	at := slices.IndexFunc(sheet.Cuts, func(c plan.Cut) bool { return c.Name == s.Arrow.In })
	require.GreaterOrEqual(t, at, 0)
	groove := sheet.Marking.KerfMM[0] / 2
	arrow := sheet.Marks[0].Bounds().Union(sheet.Marks[1].Bounds()).Grow(groove)
	hole := sheet.Cuts[at].Design.Bounds()
	assert.Equal(t, hole, hole.Union(arrow))
	assert.Greater(t, sheet.Cuts[at].DepthMM, sheet.Marking.DepthMM)
}

// Where a sheet is all tray and rim, the arrow lies in the foam of a pocket, goes first, and the programs pass their dry runs: in a
// plug, in what is milled away, and under a beam; the page says where and for how long.
func TestArrowInFoamThatComesOut(t *testing.T) {
	for name, c := range map[string]struct{ machine, depth, sheet, says string }{
		"plug":   {"bench-router", "through", "[258, 208]", "that comes out whole later, at X"},
		"milled": {"bench-router", "10", "[258, 208]", "that is milled away later, at X"},
		"beam":   {"bench-laser", "through", "[215, 165]", "that comes out whole later, at X"},
	} {
		text := "machine: " + c.machine + "\ntrays:\n  - {id: a, size: [200, 150], labels: [{text: Quay, at: [100, 20], align: center, height: 20}], layers: [{foam: pe-30, thickness: 1 in}], pockets: [{at: [15, 50], size: [60, 60], corner: 3, depth: " + c.depth + "}]}\nstock:\n  sheets:\n    - {foam: pe-30, thickness: 1 in, size: " + c.sheet + "}\n"
		result, err := cam.Cut(t.Context(), stockRequest(t, t, text), cam.Options{})
		require.NoError(t, err)
		require.False(t, result.Report.Findings.Failed(), "%s: %v", name, result.Report.Findings)
		s := result.Layout.Setups[0]
		require.NotNil(t, s.Arrow, name)
		assert.Equal(t, "pocket 1 of a", s.Arrow.In)
		assert.Equal(t, 2, s.Tray.Sheets[0].First)
		arrowInPocket(t, s)
		page := string(fileOf(result, "cut-sheet.md"))
		assert.Contains(t, page, c.says, name)
	}
}

func fileOf(r cam.Result, path string) []byte {
	for _, f := range r.Files {
		if f.Path == path {
			return f.Data
		}
	}
	return nil
}

// A clamp that stands where the arrow would be is no reason to refuse the job: the arrow goes elsewhere, under a
// laser, whose head is not lifted, to where neither it nor any way from it meets the clamp.
func TestArrowKeepsOffClamps(t *testing.T) {
	text := "trays:\n  - {id: a, size: [150, 100], layers: [{foam: pe-30, thickness: 1/2 in}]}\ncases:\n  - {name: c, inside: [150, 100, 12.7], stack: [a]}\nstock:\n  sheets:\n    - {foam: pe-30, thickness: 1/2 in, size: [250, 200]}\n"
	for _, machine := range []string{"bench-router", "bench-laser"} {
		text := "machine: " + machine + "\n" + text
		free := cam.Check(stockRequest(t, t, text)).Layout.Setups[0]
		require.NotNil(t, free.Arrow)
		clamp := fmt.Sprintf("{name: right, x_mm: %g, y_mm: %g, length_mm: 30, width_mm: 30, height_mm: 20}", free.Arrow.FootMM[0]+4-free.ZeroMM[0], free.Arrow.FootMM[1]-free.ZeroMM[1])
		result, err := cam.Cut(t.Context(), clampedRequest(t, t, text, clamp), cam.Options{})
		require.NoError(t, err)
		assert.False(t, result.Report.Findings.Failed(), "%s: %v", machine, result.Report.Findings)
		for _, run := range result.Report.DryRun {
			assert.True(t, run.OK && len(run.Findings) == 0, "%+v", run)
		}
		require.NotNil(t, result.Layout.Setups[0].Arrow)
		assert.NotEqual(t, free.Arrow, result.Layout.Setups[0].Arrow)
	}
}

func arrowInWaste(t *rapid.T, s *stock.Setup) {
	sheet := s.Tray.Sheets[0]
	require.Len(t, sheet.Marks, 2, "of trays without labels")
	first := sheet.Edge.Tool.Number
	if len(sheet.Turns) > 0 {
		first = sheet.Turns[0]
	}
	assert.Equal(t, first, sheet.Marking.Tool.Number)
	groove := sheet.Marking.KerfMM[0] / 2
	shaft := sheet.Marks[0].Vertices()
	assert.Equal(t, shaft[0].X, shaft[1].X)
	assert.GreaterOrEqual(t, shaft[1].Y, shaft[0].Y+20)
	assert.InDelta(t, s.Arrow.FootMM[1]-s.ZeroMM[1], shaft[0].Y, 1e-9)
	arrow := sheet.Marks[0].Bounds().Union(sheet.Marks[1].Bounds())
	kerf := sheet.Edge.WidestMM()
	for _, c := range sheet.Edge.Shape.Contours() {
		assert.GreaterOrEqual(t, apart(c.Bounds(), arrow), kerf+2+groove-1e-6)
	}
	edge := s.MarginMM - kerf/2 - 1e-6
	in := geometry.Box{Min: geometry.Point{X: edge - s.ZeroMM[0], Y: edge - s.ZeroMM[1]}, Max: geometry.Point{X: s.SizeMM[0] - edge - s.ZeroMM[0], Y: s.SizeMM[1] - edge - s.ZeroMM[1]}}
	assert.Equal(t, in, in.Union(arrow))
	for _, o := range s.Offcuts {
		low := geometry.Point{X: o.XMM - s.ZeroMM[0], Y: o.YMM - s.ZeroMM[1]}
		assert.GreaterOrEqual(t, apart(geometry.Box{Min: low, Max: low.Add(geometry.Point{X: o.LengthMM, Y: o.WidthMM})}, arrow), groove-1e-6, "an offcut")
	}
}

// apart is how far apart two boxes are along an axis, the larger of both.
func apart(a, b geometry.Box) float64 {
	return math.Max(math.Max(a.Min.X-b.Max.X, b.Min.X-a.Max.X), math.Max(a.Min.Y-b.Max.Y, b.Min.Y-a.Max.Y))
}

// A tray that is added as the last leaves the setups of a foam and thickness that it has no layer of
// as they are, to the byte of their places; and so does one that finds room of its own: what it
// leaves alone is counted here.
func TestAddedTrayLeavesOtherSetups(t *testing.T) {
	same, all := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		text := randomStockJob(rt)
		before := cam.Check(stockRequest(rt, t, text))
		more := strings.Replace(text, "cases:\n", "  - {id: last, size: [100, 80], layers: [{foam: pe-45, thickness: 1/4 in}]}\ncases:\n", 1)
		more = strings.Replace(more, "stock:\n", "  - {name: last, inside: [100, 80, 6.35], stack: [last]}\nstock:\n", 1)
		after := cam.Check(stockRequest(rt, t, more))
		if before.Report.Findings.Failed() || after.Report.Findings.Failed() {
			return
		}
		places := map[string]bool{}
		for _, s := range after.Layout.Setups {
			places[placesOf(s)] = true
		}
		for _, s := range before.Layout.Setups {
			there := places[placesOf(s)]
			if s.Foam == "pe-30" {
				assert.True(rt, there, "%s, of another foam, has changed", s.Name)
				continue
			}
			all++
			if there {
				same++
			}
		}
	})
	t.Logf("%d of %d setups of the added tray's own foam stay", same, all)
	if all > 50 {
		assert.Greater(t, 2*same, all)
	}
}

// placesOf is what lies where on a setup, whatever its name, but for the tray that is added.
func placesOf(s *stock.Setup) string {
	text := fmt.Sprint(s.Foam, s.SizeMM, s.ZeroMM)
	for _, p := range s.Parts {
		if p.Tray.ID != "last" {
			text += fmt.Sprint(";", p.Label(), p.AtMM, p.Turn)
		}
	}
	return text
}

// A sheet has one thickness: layers of one label that were measured otherwise lie on other sheets, others share
// the panels of one.
func TestSheetHasOneThickness(t *testing.T) {
	for _, c := range []struct {
		of     string
		sheets int
	}{{"measured: 29.6", 2}, {"z_zero: bed", 1}} {
		text := "machine: bench-router\ntrays:\n  - {id: a, size: [250, 190], layers: [{foam: pe-30, thickness: 30, " + c.of + "}]}\n" +
			"  - {id: b, size: [250, 190], layers: [{foam: pe-30, thickness: 30}]}\nstock:\n  sheets: [{foam: pe-30, thickness: 30, size: [1000, 500]}]\n"
		l := cam.Check(stockRequest(t, t, text)).Layout
		require.Len(t, l.Setups, 2)
		assert.Equal(t, c.sheets, l.Buy[0].Count, c.of)
		assert.Equal(t, c.sheets == 1, l.Setups[0].From.Sheet == l.Setups[1].From.Sheet, c.of)
	}
}

// A beam comes in from the waste: what it burns there is no offcut's.
func TestOffcutsKeepOffLeadIns(t *testing.T) {
	r := stockRequest(t, t, "machine: bench-laser\ntrays: [{id: a, size: [150, 100], layers: [{foam: pe-30, thickness: 1/2 in}]}]\n"+
		"stock:\n  sheets: [{foam: pe-30, thickness: 1/2 in, size: [400, 300]}]\n")
	s := cam.Check(r).Layout.Setups[0]
	part, edge := s.Parts[0], s.Parts[0].Sheet.Edge
	require.Positive(t, edge.Recipes[0].LeadInMM.Value)
	require.NotEmpty(t, s.Offcuts)
	for _, o := range s.Offcuts {
		beside := max(o.XMM-part.AtMM[0]-150, o.YMM-part.AtMM[1]-100)
		assert.GreaterOrEqual(t, beside+1e-9, edge.WidestMM()+edge.Recipes[0].LeadInMM.Value)
	}
}

// What stands between the cuts around two parts is under a cutter as thick as a wall of its height in 30 kg/m3, a
// fifth of it (see cam/plan/check_slender.go), and 6 mm or more.
func TestStripsBetweenPartsStand(t *testing.T) {
	for thick, strip := range map[string]float64{"50": 10, "25": 6} {
		text := "machine: bench-router\ntray_defaults: {size: [100, 80], layers: [{foam: pe-30, thickness: " + thick + "}]}\ntrays: [{id: a}, {id: b}]\nstock: {sheets: [{foam: pe-30, thickness: " + thick + ", size: [390, 160]}]}\n"
		s := cam.Check(stockRequest(t, t, text)).Layout.Setups[0]
		require.Len(t, s.Parts, 2)
		box := func(i int) geometry.Box { return s.Tray.Sheets[0].Edge.Shape.Contours()[i].Bounds() }
		assert.InDelta(t, 2*s.Tray.Sheets[0].Edge.WidestMM()+strip, apart(box(0), box(1)), 0.02, thick)
	}
}
