package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/pack"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Everything here is worked out by hand.

func number(x float64) profiles.Number { return profiles.Number{Value: x} }

// A sheet of 1000 x 500 mm in two strips: of 400 mm with panels of 200 and 300 mm, which end at the back, and of 500 mm
// with one panel in front, behind which 200 mm stay.
func TestStripsOfAPartedSheet(t *testing.T) {
	p := Parted{SizeMM: [2]float64{1000, 500}, Panels: []Rect{{400, 0, 500, 300}, {0, 200, 400, 300}, {0, 0, 400, 200}}}
	assert.Equal(t, []Strip{
		{XMM: 0, LengthMM: 400, Panels: []int{3, 2}, CutsMM: []float64{200}},
		{XMM: 400, LengthMM: 500, Panels: []int{1}, CutsMM: []float64{300}},
	}, p.Strips())
	assert.Equal(t, []float64{400, 900}, p.CutsMM())
	p.SizeMM[0] = 900
	assert.Equal(t, []float64{400}, p.CutsMM(), "the sheet's own edge is not cut")
}

// A sheet of 48 x 24 in with its one cut in each direction at any eighth of an inch has no other, at its own edge, either.
func TestTheSheetsOwnEdgeIsNoCut(t *testing.T) {
	const long, wide = 48 * 25.4, 24 * 25.4
	for i := 1; i < 24*8; i++ {
		at := float64(i) * 635 / perMM
		rest := float64(wide*perMM-i*635) / perMM
		p := Parted{SizeMM: [2]float64{long, wide}, Panels: []Rect{{0, 0, long, at}, {0, at, long, rest}}}
		assert.Equal(t, []float64{at}, p.Strips()[0].CutsMM)
		p = Parted{SizeMM: [2]float64{wide, long}, Panels: []Rect{{0, 0, at, long}, {at, 0, rest, long}}}
		assert.Equal(t, []float64{at}, p.CutsMM())
	}
}

// 19 11/16 in, which are 500.0625 mm, and 11 13/16 in, 300.0375 mm, are no whole 200ths of a mm: what ends at such an edge is as long as
// its owner says, laid either way, and so is what a program and a knife leave at it.
func TestOwnEdgesAreAsTheyAre(t *testing.T) {
	l := endless()
	l.names, l.free = newNames(), map[int]int{0: 1}
	k := kind{sheet: job.StockSheet{Length: 500_062_500, Width: 300_037_500}, size: [2]int64{100013, 60008}, count: 1}
	for _, turned := range []bool{false, true} {
		o := l.opened(groupKey{}, k, nil, turned)
		long, wide := 500.0625, 300.0375
		if turned {
			long, wide = wide, long
		}
		assert.InDeltaSlice(t, []float64{long, wide}, []float64{o.sizeMM()[0], o.sizeMM()[1]}, 1e-9)
		o.panels = []pack.Panel{{Length: 40000, Width: o.size[1]}}
		same := func(want, have Rect) {
			assert.InDeltaSlice(t, []float64{want.XMM, want.YMM, want.LengthMM, want.WidthMM}, []float64{have.XMM, have.YMM, have.LengthMM, have.WidthMM}, 1e-9)
		}
		same(Rect{0, 0, 200, wide}, o.rect(o.panels[0]))
		same(Rect{200, 0, long - 200, wide}, o.rest()[0])
		same(Rect{0, 0, 200, 100}, o.rect(pack.Panel{Length: 40000, Width: 20000}))
	}
}

// The largest rectangle beside what lies there, then the largest beside that; none that is narrower than 60 mm or smaller
// than 15000 mm2 (leastOffcutMM, leastOffcutMM2: judged, no source).
func TestOffcutsAtTheirEdges(t *testing.T) {
	box := func(x, y, length, width float64) geometry.Box { return Rect{x, y, length, width}.box() }
	for name, c := range map[string]struct {
		size  [2]float64
		taken []geometry.Box
		want  []Rect
	}{
		"nothing lies there":     {[2]float64{300, 200}, nil, []Rect{{0, 0, 300, 200}}},
		"a corner":               {[2]float64{300, 300}, []geometry.Box{box(0, 0, 100, 80)}, []Rect{{0, 80, 300, 220}, {100, 0, 200, 80}}},
		"beyond the edge":        {[2]float64{300, 300}, []geometry.Box{box(-10, -10, 110, 400)}, []Rect{{100, 0, 200, 300}}},
		"in the middle":          {[2]float64{400, 400}, []geometry.Box{box(150, 150, 100, 100)}, []Rect{{0, 0, 150, 400}, {250, 0, 150, 400}, {150, 0, 100, 150}, {150, 250, 100, 150}}},
		"60 mm wide":             {[2]float64{250, 100}, []geometry.Box{box(0, 60, 250, 40)}, []Rect{{0, 0, 250, 60}}},
		"narrower":               {[2]float64{250, 100}, []geometry.Box{box(0, 59.9, 250, 40.1)}, nil},
		"too small":              {[2]float64{249, 100}, []geometry.Box{box(0, 60, 249, 40)}, nil},
		"two of one size, lower": {[2]float64{300, 300}, []geometry.Box{box(0, 100, 300, 100)}, []Rect{{0, 0, 300, 100}, {0, 200, 300, 100}}},
	} {
		assert.Equal(t, c.want, offcutsOf(c.size, c.taken), name)
	}
	s := Setup{ZeroMM: [2]float64{5, 10}, Offcuts: []Rect{{100, 20, 60, 300}}}
	assert.Equal(t, []geometry.Box{box(95, 10, 60, 300)}, s.Kept(), "as its program counts")
	assert.Equal(t, 18_000.0, areaOf(s.Offcuts))
}

// What a knife cuts out of 10.2 .. 99.9 mm is whole millimetres, or eighths of an inch, inside it; an edge of the sheet is none that it cuts.
func TestWholeRectangles(t *testing.T) {
	r, large := Rect{10.2, 20, 89.7, 30.5}, [2]float64{500, 500}
	same := func(want, have Rect) {
		assert.InDeltaSlice(t, []float64{want.XMM, want.YMM, want.LengthMM, want.WidthMM}, []float64{have.XMM, have.YMM, have.LengthMM, have.WidthMM}, 1e-9)
	}
	same(Rect{11, 20, 88, 30}, r.whole(large, 1))
	// 3.175 mm: from the 4th to the 31st, from the 7th to the 15th
	same(Rect{12.7, 22.225, 98.425 - 12.7, 47.625 - 22.225}, r.whole(large, units.InchMM/8))
	same(Rect{11, 20, 99.9 - 11, 30.5}, r.whole([2]float64{99.9, 50.5}, 1))
	same(Rect{0, 0, 60, 500}, Rect{0, 0, 60, 500}.whole([2]float64{60, 500}, units.InchMM/8))
	same(Rect{0, 219.86875, 340, 280 - 219.86875}, Rect{0, 219.265, 340, 60.735}.whole([2]float64{340, 280}, outMM(units.Inch))) // 277 of 0.79375 mm
	assert.Equal(t, 1.0, outMM(units.Millimetre))
}

// A tray of 40 x 20 mm, and one of its layers of which the outline stands over by 1 mm all around, at (10, 5).
func TestPartsAreLaid(t *testing.T) {
	tray := &plan.Tray{ID: "a", Length: mm(40), Width: mm(20), Layers: make([]plan.Layer, 2), Copies: 3}
	sheet := &plan.Sheet{Edge: plan.Cut{Shape: geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: -1, Y: -1}, Max: geometry.Point{X: 41, Y: 21}}, 0))}}
	part := Part{Tray: tray, Sheet: sheet, Layer: 2, Copy: 3}
	var s Setup
	s.place(part, [2]float64{10, 5}, false)
	s.place(part, [2]float64{10, 5}, true)
	assert.Equal(t, [2]float64{11, 6}, s.Parts[0].AtMM)
	assert.InDeltaSlice(t, []float64{11, 6}, s.Parts[1].AtMM[:], 1e-9)
	assert.Equal(t, []int{0, 90}, []int{s.Parts[0].Turn, s.Parts[1].Turn})
	assert.InDelta(t, 2*42*22, s.partsArea(), 1e-9)
	taken := s.taken(2, false)
	for i, want := range [][4]float64{{8, 3, 54, 29}, {8, 3, 34, 49}} {
		b := taken[i]
		assert.InDeltaSlice(t, want[:], []float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}, 1e-9)
	}
	wire := s.taken(2, true)
	assert.Len(t, wire, 1)
	assert.InDeltaSlice(t, []float64{0, 3, 54, 49}, []float64{wire[0].Min.X, wire[0].Min.Y, wire[0].Max.X, wire[0].Max.Y}, 1e-9, "it comes in from the left")
	assert.Equal(t, "a layer 2 copy 3", part.Label())
	tray.Layers, tray.Copies = tray.Layers[:1], 1
	assert.Equal(t, "a", part.Label())
}

func mm(x float64) units.Length { l, _ := units.FromMM(x); return l }

// Between two parts lie two cuts, the way in, and a strip that stands; at a sheet's edge a cut and the rim, or the
// margin that the job asks for.
func TestRoomBetweenParts(t *testing.T) {
	it := item{Part: Part{Sheet: &plan.Sheet{
		Layers: []plan.Layer{{Thickness: mm(20), Foam: profiles.Foam{Grain: true, LeastWallMM: number(4), DensityKgM3: number(30)}}},
		Edge:   plan.Cut{KerfMM: []float64{0.4}, Tool: profiles.Tool{DiameterMM: number(0.2), ChordMM: number(2)}, Recipes: []profiles.Recipe{{LeadInMM: number(3)}}},
	}}}
	l := endless()
	l.Plan.Machine.Process = profiles.Laser
	l.stock, l.RimMM = &job.Stock{}, func(plan.Sheet) float64 { return 5 }
	assert.Equal(t, room{gap: 0.8 + 6 + 3, margin: 5.4, kerf: 0.4, lead: 3, grain: true, tool: 0.4}, l.roomFor(it))
	it.Sheet.Layers[0].Foam.LeastWallMM, it.Sheet.Edge.Tool.ChordMM, it.Sheet.Edge.Tool.DiameterMM = number(7), number(4), number(0.6)
	l.stock.Margin = mm(8)
	assert.Equal(t, room{gap: 0.8 + 7 + 4, margin: 8, kerf: 0.4, lead: 4, grain: true, tool: 0.6}, l.roomFor(it))
	l.Plan.Machine.Process = profiles.Router
	it.Sheet.Layers[0].Thickness = mm(200)
	assert.InDelta(t, 0.8+plan.StandsMM(it.Sheet.Layers[0].Foam, 200)+4, l.roomFor(it).gap, 1e-9, "so high a strip stands only where it is thick")
}

// X0 Y0 lies in the corner of what the machine comes to, and 5 mm or more in from that of a larger sheet; a sheet's rim may
// lie beyond the travel, the tool's way not.
func TestWhereZeroLies(t *testing.T) {
	l := endless()
	assert.Equal(t, [2]float64{}, l.zero([2]float64{1e5, 1e5}, room{margin: 40}), "nobody has said how far it goes")
	l.Plan.Machine.TravelMM[0], l.Plan.Machine.TravelMM[1], l.Plan.Machine.ScaleY = number(400), number(300), number(1.01)
	r := room{margin: 20, tool: 3, lead: 1}
	assert.Equal(t, 15.0, l.zeroIn(r)) // of 16
	for size, want := range map[[2]float64][2]float64{{400, 303}: {}, {400.1, 303}: {15, 0}, {400, 303.1}: {0, 15}} {
		assert.Equal(t, want, l.zero(size, r), size)
	}
	reach := l.reach(r)
	assert.InDeltaSlice(t, []float64{400 + 15 + 20 - 4, 303 + 15 + 20 - 4}, reach[:], 1e-9)
	l.Plan.Machine.Process = profiles.HotWire
	reach = l.reach(r)
	assert.InDeltaSlice(t, []float64{400 + 20 - 4 - plan.BesideMM, 303 + 15 + 20 - 4}, reach[:], 1e-9, "it begins beside the sheet")
	assert.Zero(t, l.zeroIn(room{margin: 2, tool: 3}))
	assert.Equal(t, []float64{5, 6.35}, []float64{RoundMM(units.Millimetre), RoundMM(units.Inch)})
}

// Money goes before setups, and those before foam: a sheet of 1 m2 at hand costs 100, and its price in cents 10^8 each.
func TestCostsOfSheets(t *testing.T) {
	square := [2]int64{1000 * perMM, 1000 * perMM}
	cost := func(rows ...job.StockSheet) (list []int64) {
		var kinds []kind
		for _, r := range rows {
			kinds = append(kinds, kind{sheet: r, size: square})
		}
		setCosts(kinds)
		for _, k := range kinds {
			list = append(list, k.cost)
		}
		return list
	}
	hand := job.StockSheet{Name: "rest", Count: 1}
	assert.Equal(t, []int64{100, 250*money + 100}, cost(hand, job.StockSheet{Price: 2.5}))
	assert.Equal(t, []int64{100, 100*money + 100, 100*money + 100}, cost(hand, job.StockSheet{Price: 2.5}, job.StockSheet{}), "the fewest are bought where one has no price")
	assert.Equal(t, []int64{8_796_093*1e6 + 100}, cost(job.StockSheet{Price: 1e4}), "of a dear one sums are held")
}

// What costs less money is cheaper, and of two that cost the same that with fewer setups.
func TestWhatIsCheaper(t *testing.T) {
	l := func(setups int, cents ...float64) *layer {
		l := &layer{Layout: Layout{Setups: make([]*Setup, setups)}}
		for _, c := range cents {
			l.cut = append(l.cut, opened{kind: kind{cents: c}})
		}
		return l
	}
	for _, c := range []struct {
		a, b *layer
		want bool
	}{
		{l(9, 100), l(1, 101), true}, {l(1, 101), l(9, 100), false}, {l(2, 50, 50), l(3, 100), true}, {l(3, 50, 50), l(3, 100), false}, {l(4, 50, 50), l(3, 100), false},
	} {
		assert.Equal(t, c.want, c.a.cheaper(c.b))
	}
}

// Sheets at hand come before new ones, rows in their order, and of one row the one with the first layer.
func TestOrderOfSheets(t *testing.T) {
	kinds := []kind{{}, {sheet: job.StockSheet{Count: 1}}, {begun: 1}}
	for i := range kinds {
		kinds[i].sheet.Name = []string{"", "rest", ""}[i]
	}
	on := [][]int{{3}, {5}, {2}, nil, {4}, {0}}
	assert.Equal(t, []int{4, 1, 5, 2, 0}, inOrder(kinds, []int{0, 2, 0, 1, 1, 0}, on))
}

// A hint's row holds what it is asked for: a usual sheet, or one as large as it has to be.
func TestHintsForSheets(t *testing.T) {
	l := endless()
	l.stock = &job.Stock{}
	key, r := groupKey{foam: "pe-30", sold: mm(25.4)}, room{margin: 10}
	sized := func(x, y float64) []item { return []item{{size: [2]float64{100, 100}}, {size: [2]float64{x, y}}} }
	assert.Equal(t, "foam: pe-30, thickness: 25.4 mm, size: [1000 mm, 500 mm]", l.sheetFor(key, r, sized(980, 480)))
	assert.Equal(t, "foam: pe-30, thickness: 25.4 mm, size: [1000.1 mm, 500.0 mm]", l.sheetFor(key, room{margin: 10, grain: true}, sized(980.1, 480)))
	assert.Equal(t, "add a larger sheet to `sheets` of `stock`, such as {foam: pe-30, thickness: 25.4 mm, size: [320.0 mm, 120.0 mm]}", l.larger(key, r, [2]float64{300, 100}))
	l.stock.Margin = mm(10)
	assert.Contains(t, l.larger(key, r, [2]float64{300, 100}), "or give a smaller `margin`")
	kinds := []kind{{size: [2]int64{500 * perMM, 500 * perMM}}, {size: [2]int64{900 * perMM, 900 * perMM}, sheet: job.StockSheet{Count: 1}}}
	assert.Contains(t, l.unlimited(key, r, kinds, sized(600, 100)), "such as {foam: pe-30, thickness: 25.4 mm, size: [620.0 mm, 120.0 mm]}", "none that is bought holds that")

	it := item{Part: Part{Sheet: &plan.Sheet{}}}
	l.RimMM = func(s plan.Sheet) float64 { return float64(len(s.Cuts)) }
	l.Plan.Machine.Tools = []profiles.Tool{{DiameterMM: number(3)}, {DiameterMM: number(12)}}
	assert.Equal(t, r, l.asked(r, it))
	l.stock.Unfilled = true
	assert.Equal(t, 14.0, l.asked(r, it).margin, "the widest of the machine's tools, and a rim for both")
	assert.Equal(t, 20.0, l.asked(room{margin: 20}, it).margin)
}
