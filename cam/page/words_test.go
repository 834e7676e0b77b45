package page

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// An inch is 25.4 mm exactly; a fraction is written where a length is one.
func TestLengthsInWords(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		unit units.Unit
		want string
	}{
		{12.7, units.Millimetre, "12.7 mm"}, {3.175, units.Millimetre, "3.18 mm"}, {-0.004, units.Millimetre, "0 mm"},
		{12.7, units.Inch, "1/2 in"}, {3.175, units.Inch, "1/8 in"}, {10, units.Inch, "0.394 in"}, {25.4 / 64, units.Inch, "1/64 in"}, {25.4 / 128, units.Inch, "0.008 in"},
		{math.NaN(), units.Inch, "not known"}, {math.Inf(1), units.Millimetre, "not known"},
	} {
		assert.Equal(t, c.want, Length(c.mm, c.unit), "%g", c.mm)
	}
	assert.Equal(t, "250 × 190 mm", size(250, 190, units.Millimetre))
	assert.Equal(t, "10 × 7 1/2 in", size(254, 190.5, units.Inch))
	assert.Equal(t, "-4 to 254 mm", span(-4, 254, units.Millimetre))
	assert.Equal(t, []string{"0.050 mm", "0.002 in", "an unknown amount", "an unknown amount"}, []string{
		fine(0.05, units.Millimetre), fine(0.0508, units.Inch), fine(math.NaN(), units.Inch), fine(math.Inf(-1), units.Millimetre),
	})
}

func TestAlphabetic(t *testing.T) {
	var list []string
	for _, n := range []int{0, 25, 26, 51, 52, 701, 702} {
		list = append(list, alphabetic(n, 'a'))
	}
	assert.Equal(t, []string{"a", "z", "aa", "az", "ba", "zz", "aaa"}, list)
}

// A measure stays on one line, and what is none may be parted.
func TestMeasuresStayTogether(t *testing.T) {
	f := monospaced()
	for text, want := range map[string][]string{
		"at least 250 × 190 mm": {"at least", "250 × 190 mm"},
		"a board of 1 1/4 in":   {"a board of", "1 1/4 in"},
		"moves about X -4 to":   {"moves about", "X -4 to"},
		"six kegs = 12 kg":      {"six", "kegs = 12 kg"},
		"twelve 3 four five":    {"twelve 3 four", "five"},
		"it ends 12 min, then":  {"it ends", "12 min, then"},
	} {
		assert.Equal(t, want, f.wrap(text, style{size: 1}, 13, 0), text)
	}
	assert.Equal(t, []string{"1234567 ×", "7654321"}, f.wrap("1234567 × 7654321", style{size: 1}, 10, 0), "wider than a line")
}

// What a header says of the kerf, in the user's unit; what it says otherwise stays.
func TestKerfText(t *testing.T) {
	assert.Equal(t, "T1 3.175 mm; T2 6 mm", kerfText("T1 3.175 mm\nT2 6 mm", units.Millimetre))
	assert.Equal(t, "T1 1/8 in", kerfText("T1 3.175 mm", units.Inch))
	assert.Equal(t, "T1 0 mm", kerfText("T1 0 mm", units.Millimetre))
	for _, text := range []string{"", "T1", "as measured", "T1 -3 mm", "T1 1000 mm"} {
		assert.Equal(t, text, kerfText(text, units.Inch))
	}
	assert.Equal(t, 25.4, headerThickness("25.4 mm"))
	for _, text := range []string{"", "thick", "-3 mm", "0 mm", "1e9 mm"} {
		assert.Zero(t, headerThickness(text), text)
	}
}

func TestLayersInWords(t *testing.T) {
	layer := func(id string, mm float64) plan.Layer {
		l, _ := units.FromMM(mm)
		return plan.Layer{Foam: profiles.Foam{ID: id}, Thickness: l}
	}
	v := newOverview(setter(t), &plan.Plan{}, OverviewOptions{}, false)
	for want, layers := range map[string][]plan.Layer{
		"":                                   nil,
		"pe-30 25.4 mm":                      {layer("pe-30", 25.4)},
		"2 × pe-30 12.7 mm on pe-45 6.35 mm": {layer("pe-30", 12.7), layer("pe-30", 12.7), layer("pe-45", 6.35)},
		"pe-30 12.7 mm on pe-30 25.4 mm on pe-30 12.7 mm": {layer("pe-30", 12.7), layer("pe-30", 25.4), layer("pe-30", 12.7)},
	} {
		assert.Equal(t, want, v.layersText(&plan.Tray{Layers: layers}))
	}
	v.o.Unit = units.Inch
	assert.Equal(t, "pe-30 1 in on pe-45 6 mm", v.layersText(&plan.Tray{Layers: []plan.Layer{layer("pe-30", 25.4), layer("pe-45", 6)}}))
}

// The largest figure of an overview: the time of all programs where it is known; else a size.
func TestFigureOfAnOverview(t *testing.T) {
	p := demoPlan(t)
	v := newOverview(setter(t), p, OverviewOptions{}, false)
	assert.Equal(t, size(p.Cases[0].Inside.Length.MM(), p.Cases[0].Inside.Width.MM(), units.Millimetre), v.figure())
	v.p = &plan.Plan{Trays: p.Trays[7:8]}
	assert.Equal(t, "250 × 190 mm", v.figure())
	v.p = &plan.Plan{}
	assert.Equal(t, "", v.figure())
	v.p, v.o.Seconds = p, 300
	assert.Equal(t, finding.Duration(300), v.figure())
}

// The names of pockets are written whole or stand for a letter, never cut off.
func TestNoNameIsCutOff(t *testing.T) {
	p := demoPlan(t)
	for _, onPaper := range []bool{false, true} {
		set, all := watch(t)
		v := newOverview(set, p, OverviewOptions{}, onPaper)
		for _, rows := range v.parts() {
			v.draw(rows, true)
		}
		whole := map[string]bool{}
		for i, tray := range p.Trays {
			for _, k := range tray.Pockets {
				whole[k.For], whole[v.codes[i].of[k.For]] = true, true
			}
		}
		for _, w := range *all {
			if w.st != smallType || !strings.HasSuffix(w.text, "…") {
				continue
			}
			for name := range whole {
				assert.False(t, len(w.text) > 6 && strings.HasPrefix(name, strings.TrimSuffix(w.text, "…")), "%q", w.text)
			}
		}
	}
}

func TestOrderHasAsManyColumnsAsThereIsRoomFor(t *testing.T) {
	for width, want := range map[float64]int{0: 1, orderPX: 1, 2*orderPX + gapPX - 1: 1, 2*orderPX + gapPX: 2, 1500: 3} {
		assert.Equal(t, want, orderColumns(width), width)
	}
	s := newSheet(setter(t), crowded(12), PictureOptions{ThicknessMM: 30})
	b := s.order(1500, 100)
	assert.Equal(t, (len(s.groups)+2)/3, len(b.rows), "no more lines than the list needs")
	assert.Empty(t, s.order(1500, 0).rows)
}

func TestWorthNamesThePlace(t *testing.T) {
	assert.Equal(t, []string{"tray a: too thin (and 2 more like it)", "no place"}, worth(finding.List{
		{Severity: finding.Note, Message: "no place"}, {Severity: finding.Warning, Where: "tray a", Message: "too thin", More: 2},
	}))
}
