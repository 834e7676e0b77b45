package draw

import (
	"bytes"
	"fmt"
	"image"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/dryrun"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

func mm(t testing.TB, v float64) units.Length {
	t.Helper()
	l, err := units.FromMM(v)
	require.NoError(t, err)
	return l
}

// planTray is a tray of the fixture's pockets on a base.
func planTray(t testing.TB, id string, pad float64, cutouts []cutout) plan.Tray {
	pe, base := profiles.Foam{ID: "pe-30"}, profiles.Foam{ID: "pe-45"}
	layers := []plan.Layer{
		{Foam: pe, Thickness: mm(t, pad)},
		{Foam: base, Thickness: mm(t, 6.35), Top: mm(t, pad)},
	}
	tray := plan.Tray{
		ID: id, Label: "Tidewrack " + id, Length: mm(t, fixtureLength), Width: mm(t, fixtureWidth), Layers: layers, Copies: 1,
		Outline: geometry.Rectangle(geometry.Box{Max: geometry.Point{X: fixtureLength, Y: fixtureWidth}}, 8),
		Sheets:  []plan.Sheet{{Number: 1, Layers: layers[:1]}, {Number: 2, Layers: layers[1:]}},
		FoamG:   61, PiecesG: 388,
	}
	for i, k := range cutouts {
		p := plan.Pocket{
			For: k.name, Name: fmt.Sprintf("pocket %d (%s)", i+1, k.name), Design: k.shape(), Depth: mm(t, min(k.depth, pad)),
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
		k.Inside = job.Inside{Length: mm(t, 250), Width: mm(t, 190), Height: mm(t, 127-float64(i)*7)}
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

func TestOverviews(t *testing.T) {
	p := demoPlan(t)
	r, _ := trayResult()
	base := dryrun.Result{Field: newField(-4, -4, 258, 198, 0.5)}
	drawOverview(t, "overview", p, OverviewOptions{Results: map[string][]dryrun.Result{"stores": {r, base}}})
	drawOverview(t, "overview-inch", p, OverviewOptions{Unit: units.Inch})

	one := &plan.Plan{Trays: p.Trays[7:8]}
	drawOverview(t, "overview-one", one, OverviewOptions{Title: "One tray"})

	many := &plan.Plan{}
	for i := range 20 {
		many.Trays = append(many.Trays, p.Trays[i%8])
	}
	drawOverview(t, "overview-twenty", many, OverviewOptions{Title: "Twenty"})
	drawOverview(t, "overview-empty", nil, OverviewOptions{})
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
