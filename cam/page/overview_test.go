package page

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// planTray is a tray of the fixture's pockets on a base.
func planTray(t testing.TB, id string, pad float64, cutouts []cutout) plan.Tray {
	pe, base := profiles.Foam{ID: "pe-30"}, profiles.Foam{ID: "pe-45"}
	layers := []plan.Layer{
		{Foam: pe, Thickness: mm(pad)},
		{Foam: base, Thickness: mm(6.35), Top: mm(pad)},
	}
	tray := plan.Tray{
		ID: id, Label: "Tidewrack " + id, Length: mm(fixtureLength), Width: mm(fixtureWidth), Layers: layers, Copies: 1,
		Outline: geometry.Rectangle(geometry.Box{Max: geometry.Point{X: fixtureLength, Y: fixtureWidth}}, 8),
		Sheets:  []plan.Sheet{{Number: 1, Layers: layers[:1]}, {Number: 2, Layers: layers[1:]}},
		FoamG:   61, PiecesG: 388,
	}
	tray.Rim = tray.Outline // no ease
	for i, k := range cutouts {
		p := plan.Pocket{
			For: k.name, Name: fmt.Sprintf("pocket %d (%s)", i+1, k.name), Design: k.shape(), Depth: mm(min(k.depth, pad)),
			Box: geometry.Box{Min: geometry.Point{X: k.x, Y: k.y}, Max: geometry.Point{X: k.x + k.w, Y: k.y + k.h}},
		}
		tray.Pockets = append(tray.Pockets, p)
	}
	return tray
}

// rows is an evenly filled tray.
func rows(name string, columns, rows int, depth float64) []cutout {
	var list []cutout
	w, h := (fixtureLength-20-6*float64(columns-1))/float64(columns), (fixtureWidth-20-6*float64(rows-1))/float64(rows)
	for r := range rows {
		for c := range columns {
			list = append(list, cutout{name: fmt.Sprintf("%s %c", name, 'A'+r), x: 10 + float64(c)*(w+6), y: 10 + float64(r)*(h+6), w: w, h: h, depth: depth, round: c%3 == 2})
		}
	}
	return list
}

func demoPlan(t testing.TB) *plan.Plan {
	p := &plan.Plan{Job: &job.Job{File: "job.yaml", Game: "Tidewrack"}, Machine: fixtureMachine()}
	cover := planTray(t, "cover", 6.35, nil)
	cover.Layers, cover.Sheets, cover.Copies = cover.Layers[:1], cover.Sheets[:1], 3
	p.Trays = append(p.Trays, cover)
	for i, id := range []string{"gulls", "reefs", "tides"} {
		p.Trays = append(p.Trays, planTray(t, id+"-crew", 25.4, rows("deckhand", 7, 4, 22)), planTray(t, id+"-riders", 38.1, rows("rider", 3+i, 2+i%2, 30)))
	}
	stores := planTray(t, "stores", 25.4, trayCutouts())
	stores.Copies = 3
	p.Trays = append(p.Trays, stores)
	for i, name := range []string{"Gull Watch", "Reef Watch", "Tide Watch"} {
		stack := []int{0, 1 + 2*i, 2 + 2*i, 7}
		k := plan.Case{Name: name, Copies: 1, Stack: stack, WeightG: 1890}
		for _, s := range stack {
			k.Height += p.Trays[s].Thickness()
		}
		k.Inside = job.Inside{Length: mm(250), Width: mm(190), Height: mm(127 - float64(i)*7)}
		k.Room = k.Inside.Height - k.Height
		p.Cases = append(p.Cases, k)
	}
	return p
}

func drawOverview(t *testing.T, name string, p *plan.Plan, o OverviewOptions) image.Image {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Overview(&b, p, o))
	return show(t, name, b.Bytes())
}

func TestOverviewPictures(t *testing.T) {
	p := demoPlan(t)
	drawOverview(t, "overview-inch", p, OverviewOptions{Unit: units.Inch})
	drawOverview(t, "overview-one", &plan.Plan{Trays: p.Trays[7:8]}, OverviewOptions{Title: "One tray"})
	many := &plan.Plan{}
	for i := range 20 {
		many.Trays = append(many.Trays, p.Trays[i%8])
	}
	im := drawOverview(t, "overview-twenty", many, OverviewOptions{Title: "Twenty"}).Bounds()
	assert.Greater(t, im.Dx(), im.Dy(), "a wide page")
	drawOverview(t, "overview-empty", nil, OverviewOptions{})
}

// The base under the fixture's pad, not cut.
func plainBase() proof.Result { return proof.Result{Field: newField(-4, -4, 258, 198, 0.5)} }

// What the machine cut is what is shown, not what was planned: the notches of
// the fixture are in its dry run alone, and the pocket that is planned away is
// still there.
func TestTraysAreDrawnFromTheirDryRuns(t *testing.T) {
	p := demoPlan(t)
	p.Trays[7].Pockets = p.Trays[7].Pockets[1:]
	r, _ := trayResult()
	results := map[string][]proof.Result{"stores": {r, plainBase()}}
	drawOverview(t, "overview", p, OverviewOptions{Results: results})
	v := newOverview(setter(t), p, OverviewOptions{Results: results}, false)
	fromRun := v.foamOf(&p.Trays[7])
	assert.InDelta(t, 10, fromRun.at(50, 120), 0.01, "the logbook's pocket")
	assert.InDelta(t, 10, fromRun.at(9, 125), 0.01, "its notch")
	assert.InDelta(t, 25.4, fromRun.at(130, 90), 0.01, "through the pad, down to the base")
	assert.Zero(t, fromRun.at(97, 30))
	assert.Equal(t, float32(-1), fromRun.at(0.2, 0.2), "outside the rounded corner")

	v = newOverview(setter(t), p, OverviewOptions{}, false)
	planned := v.foamOf(&p.Trays[7])
	assert.Zero(t, planned.at(50, 120), "no longer planned")
	assert.InDelta(t, 20, planned.at(130, 150), 0.01)
}

func TestPlugsOfABeamAreGoneFromTheTray(t *testing.T) {
	p := demoPlan(t)
	r, _ := laserResult()
	v := newOverview(setter(t), p, OverviewOptions{Results: map[string][]proof.Result{"stores": {r, plainBase()}}}, false)
	f := v.foamOf(&p.Trays[7])
	assert.InDelta(t, 25.4, f.at(50, 120), 0.01, "the piece inside the cut fell out")
	assert.Zero(t, f.at(97, 30), "the tray did not")
}

func TestNamesTooLongForTheirPocketsGetLetters(t *testing.T) {
	p := demoPlan(t)
	v := newOverview(setter(t), p, OverviewOptions{}, false)
	codes := v.codes[1]
	assert.Equal(t, map[string]string{"deckhand A": "a", "deckhand B": "b", "deckhand C": "c", "deckhand D": "d"}, codes.of)
	assert.Contains(t, codes.rows[0], "a = deckhand A × 7")
}

// The demo's rows stand 6 mm apart and 10 mm from the edge, by construction.
func TestWallsOfATray(t *testing.T) {
	p := demoPlan(t)
	v := newOverview(setter(t), p, OverviewOptions{}, false)
	assert.Equal(t, "thinnest wall 6 mm, edge 10 mm: at the arrows", v.thinnest(2))
	assert.Equal(t, "", v.thinnest(0), "a cover has no walls")
	p.Trays[2].Outline = geometry.Rectangle(geometry.Box{Max: geometry.Point{X: fixtureLength, Y: fixtureWidth}}.Grow(1), 9)
	assert.Equal(t, "thinnest wall 6 mm, edge 10 mm: at the arrows", newOverview(setter(t), p, OverviewOptions{}, false).thinnest(2), "as the job counts it, without ease")
}

func TestCaseText(t *testing.T) {
	v := newOverview(setter(t), demoPlan(t), OverviewOptions{Unit: units.Inch}, false)
	assert.Equal(t, "stack 4 1/2 in, 1/2 in left, 1890 g", v.caseText(v.p.Cases[0]))
	assert.Equal(t, "stack 4 1/2 in, 0.051 in too high, 1890 g", v.caseText(v.p.Cases[2]))
	v.p.Cases[0].Room = 0
	assert.Equal(t, "stack 4 1/2 in, filled exactly, 1890 g", v.caseText(v.p.Cases[0]))
}

func TestHalvesStandSideBySide(t *testing.T) {
	p := demoPlan(t)
	half := p.Trays[7]
	half.Outline = geometry.Rectangle(geometry.Box{Max: geometry.Point{X: fixtureLength / 2, Y: fixtureWidth}}, 8)
	half.Rim = half.Outline
	half.ID = "stores-1"
	other := half
	other.ID = "stores-2"
	p.Trays = append(p.Trays[:7:7], half, other)
	v := newOverview(setter(t), p, OverviewOptions{}, false)
	assert.Equal(t, []int{7, 8}, v.sideBySide(p.Cases[0], 7))
	assert.Equal(t, []int{1}, v.sideBySide(p.Cases[0], 1))
	drawOverview(t, "overview-halves", p, OverviewOptions{})
}

func TestAwkwardPlansStillGiveAPicture(t *testing.T) {
	p := demoPlan(t)
	for name, q := range map[string]*plan.Plan{
		"no outline":    {Trays: []plan.Tray{{ID: "a", Pockets: p.Trays[7].Pockets}}},
		"nothing in it": {Trays: make([]plan.Tray, 3), Cases: make([]plan.Case, 2)},
		"wrong stack":   {Trays: p.Trays[:1], Cases: []plan.Case{{Name: strings.Repeat("帆", 400), Stack: []int{-1, 0, 99}}}},
		"below nothing": {Trays: p.Trays[:1], Cases: []plan.Case{{Height: -5, Room: -1 << 60, Stack: []int{0}}}},
	} {
		im := drawOverview(t, "awkward-"+name, q, OverviewOptions{Lines: make([]string, 9)}).Bounds()
		assert.LessOrEqual(t, im.Dx(), 3600, name)
	}
}

func TestOverviewSameBytesTwice(t *testing.T) {
	p := demoPlan(t)
	var first, second bytes.Buffer
	require.NoError(t, Overview(&first, p, OverviewOptions{}))
	require.NoError(t, Overview(&second, p, OverviewOptions{}))
	assert.True(t, bytes.Equal(first.Bytes(), second.Bytes()))
}

// A tray of 10,000 pockets, each with a name of its own.
func crowdedPlan(b testing.TB, n int) *plan.Plan {
	side := int(math.Sqrt(float64(n)))
	var list []cutout
	for i := range n {
		list = append(list, cutout{
			name: fmt.Sprintf("piece %d", i), x: 10 + 6*float64(i%side), y: 10 + 6*float64(i/side), w: 4, h: 4, depth: 10, round: i%2 == 0,
		})
	}
	tray := planTray(b, "crowd", 25.4, list)
	tray.Outline = geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 20 + 6*float64(side), Y: 20 + 6*float64(side)}}, 8)
	return &plan.Plan{Trays: []plan.Tray{tray}}
}

func BenchmarkOverviewOfPockets(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		p := crowdedPlan(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if err := Overview(io.Discard, p, OverviewOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkOverview(b *testing.B) {
	p := demoPlan(b)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := Overview(&out, p, OverviewOptions{}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(out.Len())/1024, "KiB")
}

// What a hand lifts out after the program is gone from the tray as it is packed, in the tool's round
// corners; an island that was asked for stands.
func TestPlugsThatAHandLiftsAreGoneFromTheTray(t *testing.T) {
	p := demoPlan(t)
	rect := func(x0, y0, x1, y1 float64) geometry.Contour {
		return geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x0, Y: y0}, Max: geometry.Point{X: x1, Y: y1}}, 0)
	}
	island := rect(88, 28, 92, 32).Reverse()
	p.Trays[7].Sheets[0].Cuts = []plan.Cut{{Plug: true, Through: true, Design: geometry.NewRegion(rect(60, 20, 100, 60), island),
		Shape: geometry.NewRegion(rect(61, 21, 99, 59), rect(64, 24, 96, 56).Reverse())}}
	r := plainBase()
	v := newOverview(setter(t), p, OverviewOptions{Results: map[string][]proof.Result{"stores": {r, plainBase()}}}, false)
	f := v.foamOf(&p.Trays[7])
	assert.InDelta(t, 25.4, f.at(75, 45), 0.01, "the plug")
	assert.InDelta(t, 25.4, f.at(62, 22), 0.01, "the groove")
	assert.Zero(t, f.at(60.4, 40), "where the tool does not come")
	assert.Zero(t, f.at(90, 30), "the island")
}
