package cam

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// By hand, from the minutes that README names: a sheet with a plug 49 mm down, a skin under its outline
// of 200 x 100 mm and a second program, two trays with a joint and two ears each, and a sheet of the stock parted in four.
func TestHandsByHand(t *testing.T) {
	box := func(x, y, length, width float64) geometry.Contour {
		return geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + length, Y: y + width}}, 0)
	}
	foam := plan.Layer{Thickness: units.Length(31_750_000)}
	sheet := &plan.Sheet{Number: 1, Layers: []plan.Layer{foam},
		Cuts: []plan.Cut{{Plug: true, DepthMM: 49, Along: box(20, 20, 60, 40), Shape: geometry.NewRegion(box(18, 18, 64, 44))}},
		Edge: plan.Cut{Name: plan.OutlineName, Shape: geometry.NewRegion(box(0, 0, 200, 100)), Hold: plan.Hold{SkinMM: 1.3}}}
	tray := &plan.Tray{Copies: 2, Layers: []plan.Layer{foam, foam}, Ears: make([]geometry.Box, 2)}
	p := &plan.Plan{Job: &job.Job{}, Machine: profiles.Machine{Process: profiles.Router}, Trays: []plan.Tray{*tray}}
	setup := &stock.Setup{SizeMM: [2]float64{300, 200}}
	made := []page.Part{{Tray: &plan.Tray{Copies: 1}}}
	first := &sheetWork{tray: tray, sheet: sheet, laidOn: setup, makes: made, k: 1, of: 2}
	again := &sheetWork{tray: tray, sheet: sheet, laidOn: setup, makes: made, k: 2, of: 2}
	var h hands
	h.sheets(p, []*sheetWork{first, again})
	h.parted([]stock.Parted{{SizeMM: [2]float64{1000, 500}, Layer: 50, Panels: []stock.Rect{{LengthMM: 500, WidthMM: 250}, {YMM: 250, LengthMM: 500, WidthMM: 250}, {XMM: 500, LengthMM: 500, WidthMM: 250}, {XMM: 500, YMM: 250, LengthMM: 500, WidthMM: 250}}}})
	var total TotalsReport
	total.ToolChanges = 2
	total.byHand(h)
	got := map[string]float64{}
	for _, w := range total.Hands {
		got[w.Work] = w.Seconds
		assert.NotEmpty(t, w.Basis)
	}
	minutes := func(n float64) float64 { return 60 * n }
	assert.Equal(t, map[string]float64{
		"parting blanks":           minutes(6), // 3 cuts, 3 min; 0.5 m and 1 m, twice through 25.4 mm each, 3 min
		"laying sheets":            minutes(4),
		"loading further programs": minutes(1),
		"freeing layers":           minutes(1), // 20 s and 0.6 m of skin, 36 s
		"lifting plugs":            minutes(2), // 15 s, 49 s and 0.2 m of skin, 12 s
		"gluing joints":            minutes(8), // of two trays
		"cutting off ears":         minutes(2), // four of 30 s
	}, got)
	assert.Equal(t, minutes(24), total.HandSeconds)
	assert.Equal(t, 360.0, total.ChangeSeconds)
	assert.Equal(t, 1, total.Setups)
}

// Three trays of four tabs each: 3 x (20 + 40) s, and the words name both numbers; of two bridges likewise.
func TestHandsSayWhatHoldsAPart(t *testing.T) {
	edge := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 200, Y: 100}}, 0))
	for words, hold := range map[string]plan.Hold{
		"freeing 3 layers 3 min (20 s, 10 s a tab)":    {Tabs: 4},
		"freeing 3 layers 2 min (20 s, 10 s a bridge)": {Bridges: make([]geometry.Point, 2)},
		"freeing 3 layers 1 min (20 s)":                {},
	} {
		sheet := &plan.Sheet{Layers: []plan.Layer{{Thickness: units.Length(25_400_000)}}, Edge: plan.Cut{Name: plan.OutlineName, Shape: edge, KerfMM: []float64{3}, Hold: hold}}
		work := &sheetWork{tray: &plan.Tray{Copies: 3}, sheet: sheet, makes: []page.Part{{Tray: &plan.Tray{Copies: 3}}}}
		var h hands
		h.sheets(&plan.Plan{Job: &job.Job{}, Machine: profiles.Machine{Process: profiles.Router}}, []*sheetWork{work})
		total := TotalsReport{Seconds: 1}
		total.byHand(h)
		assert.Contains(t, total.Words(units.Millimetre), words)
	}
}

// The words of each kind of work begin with what one of it is reckoned at.
func TestHandsAreReckonedAsTheySay(t *testing.T) {
	says := regexp.MustCompile(`^(\d+) (s|min)`)
	for _, w := range handWorks {
		if w.one == 0 {
			continue
		}
		for _, text := range []string{w.each, w.Basis} {
			found := says.FindStringSubmatch(text)
			require.NotNil(t, found, text)
			n, err := strconv.ParseFloat(found[1], 64)
			require.NoError(t, err)
			assert.Equal(t, w.one, n*map[string]float64{"s": 1, "min": 60}[found[2]], text)
		}
	}
}

// What a kind of work takes stands in feet and inches where lengths do, and is the same to a second.
func TestHandsInFeet(t *testing.T) {
	perFoot, perInch := 60*0.3048, 1*25.4
	for work, want := range map[int]string{
		toPart: fmt.Sprintf("1 min a cut, %.0f s a foot", perFoot), toCut: fmt.Sprintf("20 s, %.0f s a foot", 2*perFoot),
		toLift: fmt.Sprintf("15 s, %.0f s an inch deep, %.0f s a foot", perInch, perFoot),
	} {
		assert.Equal(t, want, inFeet.Replace(handWorks[work].each))
	}
	for _, w := range handWorks {
		assert.NotRegexp(t, `metre|\bmm\b`, inFeet.Replace(w.each))
	}
	skin := TotalsReport{Seconds: 1, Hands: []HandReport{{Count: 1, Seconds: 60, doing: "freeing", thing: "layer", each: "20 s, 1 min a metre of skin"}}}
	assert.Contains(t, skin.Words(units.Inch), "20 s, 18 s a foot of skin")
	assert.Contains(t, skin.Words(units.Millimetre), "20 s, 1 min a metre of skin")
	assert.Empty(t, TotalsReport{}.Words(units.Inch))
	byHand := TotalsReport{CutMM: 5439.75, ToolChanges: 1, ChangeSeconds: 180, HandSeconds: 480, Hands: []HandReport{{Count: 2, Seconds: 480, doing: "gluing", thing: "joint", each: "4 min"}}}
	assert.Equal(t, "5.4 m to cut by hand, which nobody has timed, 1 tool change of about 3 min; all else by hand about 8 min, judged, no source: gluing 2 joints 8 min (4 min)", byHand.Words(units.Millimetre))
}

// A block is glued up of a blank for each of its layers, each as thick as it is.
func TestHandsPartABlanksLayers(t *testing.T) {
	edge := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 200, Y: 100}}, 0))
	block := &plan.Sheet{Layers: []plan.Layer{{Thickness: units.Length(25_400_000)}, {Thickness: units.Length(6_350_000)}, {Thickness: units.Length(31_750_000)}}, Edge: plan.Cut{Name: plan.OutlineName, Shape: edge, KerfMM: []float64{3}}}
	work := &sheetWork{tray: &plan.Tray{Copies: 2}, sheet: block, makes: []page.Part{{Tray: &plan.Tray{Copies: 2}}}}
	var h hands
	h.sheets(&plan.Plan{Job: &job.Job{}, Machine: profiles.Machine{Process: profiles.Router}}, []*sheetWork{work})
	size, _ := work.laid(profiles.Machine{Process: profiles.Router}, units.Millimetre)
	assert.Equal(t, 6, h.count[toPart])
	assert.InDelta(t, 6*120+2*0.06*(size[0]+size[1])*(1+1+2), h.seconds[toPart], 1e-6)
}
