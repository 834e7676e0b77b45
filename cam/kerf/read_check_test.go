package kerf

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/profiles"
)

// A square read as inches and written as mm, or the other way, is about 25.4
// times off: from 0.7 to 1.4 of that, so that a kerf as wide as a third of the
// square is not taken for it.
func TestWrongUnits(t *testing.T) {
	for _, c := range []struct {
		size, hole, plug string
		wrong            bool
	}{
		{"20", "0.80", "0.77", true}, {"20 mm", "508 mm", "490 mm", true}, {"1 in", "1.02", "0.98", true},
		{"20", "20.4", "19.6", false}, {"20", "1.12", "1.11", true}, {"20", "1.14", "1.12", false},
		{"20", "0.57", "0.56", true}, {"20", "0.562", "0.561", false}, {"20", "26", "14", false},
		{"20", "0.8", "", true}, {"20", "", "0.8", true}, {"20", "", "", false},
	} {
		_, found := analyse(t, head+fmt.Sprintf("pe-30,25.4,bench-laser,x,%s,%s,%s\n", c.size, c.hole, c.plug))
		assert.Equal(t, c.wrong, len(of(found, "wrong-units")) == 1, "%+v %v", c, found)
	}
}

// A piece is smaller than its hole: as large is too large.
func TestPlugAsLargeAsItsHole(t *testing.T) {
	for plug, bad := range map[string]bool{"20.39": false, "20.4": true, "20.6": true} {
		_, found := analyse(t, head+"pe-30,25.4,bench-laser,x,20,20.4,"+plug+"\npe-30,25.4,bench-laser,x,40,40.4,39.6\n")
		assert.Equal(t, bad, len(of(found, "plug-larger-than-hole")) == 1, plug)
		if bad {
			assert.Equal(t, "m.csv:2:34", of(found, "plug-larger-than-hole")[0].Where)
		}
	}
	_, found := analyse(t, head+"pe-30,25.4,bench-laser,x,20,20.4,20.8\n")
	assert.Contains(t, of(found, "plug-larger-than-hole")[0].Message, "the kerf would be -0.2 mm")
}

// Foam is read to 0.05 mm below 10 mm, to 0.1 up to 100, to 0.5 beyond (ISO 1923,
// through its identical adoption GB/T 6342): digits finer than half of that are
// noise, and coarser than twice are one digit short.
func TestWhatFoamCanBeReadTo(t *testing.T) {
	for size, want := range map[float64]float64{5: 0.05, 9.999: 0.05, 10: 0.1, 100: 0.1, 100.1: 0.5} {
		assert.Equal(t, want, profiles.ReadSoftMM(size), size)
	}
	for _, c := range []struct{ size, hole, plug, rule string }{
		{"20", "20.41", "19.63", "finer-than-foam"}, {"20", "20.4", "19.6", ""}, {"200", "200.5", "199.5", "finer-than-foam"},
		{"200", "201", "199", ""}, {"20", "21", "19", "coarser-than-foam"}, {"20", "20 13/32", "19 5/8", ""}, {"20", "21", "19.6", ""},
	} {
		_, found := analyse(t, head+"pe-30,25.4,bench-laser,x,"+c.size+","+c.hole+","+c.plug+"\n")
		for _, rule := range []string{"finer-than-foam", "coarser-than-foam"} {
			assert.Equal(t, rule == c.rule, len(of(found, rule)) == 1, "%+v", c)
		}
	}
}

// A row without a tool is the work of the only one with a recipe, else of that
// whose diameter is nearest to what was lost.
func TestLikelyTool(t *testing.T) {
	for _, c := range []struct{ hole, plug, tool string }{
		{"23.2", "16.8", "flat-3"}, {"26", "14", "flat-6"}, {"23.2", "", "flat-3"}, {"", "14", "flat-6"},
		{"24.5", "15.4", "flat-3"}, {"24.7", "15.4", "flat-6"}, // half way is 4.5875
	} {
		r, _, err := Read("m.csv", []byte(head+"pe-30,25.4,bench-router,x,20,"+c.hole+","+c.plug+"\n"), 0)
		require.NoError(t, err)
		rows, found := check(&Readings{File: "m.csv"}, r.Rows, catalog(t))
		require.Len(t, rows, 1)
		assert.Equal(t, c.tool, rows[0].Tool, "%+v", c)
		require.Len(t, of(found, "tool-assumed"), 1)
		assert.Contains(t, of(found, "tool-assumed")[0].Message, "it was cut with "+c.tool)
	}
	_, found := analyse(t, plain().table(nil))
	assert.Empty(t, of(found, "tool-assumed"), "a laser has but one")
	_, found = analyse(t, strings.TrimSpace(head)+",tool\npe-30,25.4,bench-laser,x,20,20.4,19.6,flat-3\n")
	require.Len(t, of(found, "unknown-tool"), 1)
	assert.Contains(t, of(found, "unknown-tool")[0].Hint, "beam")
}

// What is dropped is gone, the rest of its row is not, and every drop is told.
func TestDropped(t *testing.T) {
	table := head + "pe-30,25.4,bench-laser,x,20,20.4,19.6\npe-30,25.4,bench-laser,x,40,40.4,39.6\npe-30,25.4,bench-laser,x,60,60.4,59.6\n"
	for _, c := range []struct {
		drop     Drop
		readings int
		said     string
	}{
		{Drop{3, ""}, 4, "left out, as you asked"}, {Drop{3, HolePart}, 5, "hole left out, as you asked"}, {Drop{3, PlugPart}, 5, "plug left out, as you asked"},
	} {
		fits, found := analyse(t, table, c.drop)
		require.Len(t, fits, 1)
		assert.Equal(t, c.readings, fits[0].Readings())
		require.Len(t, of(found, "dropped"), 1)
		assert.Equal(t, c.said, of(found, "dropped")[0].Message)
		assert.Equal(t, "m.csv:3:1", of(found, "dropped")[0].Where)
		for _, p := range fits[0].Axes[0].Points {
			assert.False(t, p.Line == 3 && (c.drop.Part == "" || c.drop.Part == p.Part))
		}
	}
	_, found := analyse(t, table, Drop{1, ""})
	assert.Len(t, of(found, "no-such-reading"), 1, "the row of names is none")
}

// Nothing filled in is an error, save where something worse was told.
func TestNothingFilledIn(t *testing.T) {
	empty := head + "pe-30,25.4,bench-laser,x,20,,\npe-30,25.4,bench-laser,x,40,,\n"
	_, found := analyse(t, empty)
	assert.Len(t, of(found, "no-readings"), 1)
	assert.Empty(t, of(found, "not-measured"))
	_, found = analyse(t, empty+"pe-30,25.4,bench-lasre,x,60,,\n")
	assert.Empty(t, of(found, "no-readings"))
	_, found = analyse(t, empty+"pe-30,25.4,bench-laser,x,60,60.4,\n")
	require.Len(t, of(found, "not-measured"), 1)
	assert.Contains(t, of(found, "not-measured")[0].Message, "2 of 3 rows")
	assert.Equal(t, finding.Note, of(found, "not-measured")[0].Severity)
}

// A few numbers with and without their unit, at the ends of what is allowed.
func TestNumbersAtTheirEnds(t *testing.T) {
	for _, c := range []struct {
		column, text string
		ok           bool
	}{
		{"feed", "1", true}, {"feed", "0.99", false}, {"feed", "100000 mm/min", true}, {"feed", "100001", false},
		{"power", "0.1 %", true}, {"power", "0.09", false}, {"power", "100", true}, {"power", "100.1", false},
		{"passes", "100", true}, {"passes", "101", false}, {"passes", "1", true}, {"passes", "0", false},
		{"defocus", "0", true}, {"defocus", "100", true}, {"defocus", "100.5", false},
		{"density", "2", true}, {"density", "1.99", false}, {"density", "600 kg/m3", true}, {"density", "601", false},
		{"note", strings.Repeat("a", 200), true}, {"note", strings.Repeat("a", 201), false}, {"tool", strings.Repeat("a", 40), true}, {"tool", strings.Repeat("a", 41), false},
		{"date", "2026-12-31", true}, {"date", "2026-13-01", false}, {"date", "2026-12", true}, {"date", "2026-12-32", false},
		{"stepdown", "2000 mm", true}, {"stepdown", "2000.1 mm", false},
	} {
		_, _, err := Read("m.csv", []byte(strings.TrimSpace(head)+","+c.column+"\npe-30,25.4,bench-laser,x,20,20.35,19.6,"+c.text+"\n"), 0)
		assert.Equal(t, c.ok, err == nil, "%+v %v", c, err)
	}
	for scale, ok := range map[string]bool{"X 0.9 Y 1.1": true, "X 0.89 Y 1": false, "X 1 Y 1.11": false, "x 1 y 1": true} {
		_, _, err := Read("m.csv", []byte("# scale: "+scale+"\n"+plain().table(nil)), 0)
		assert.Equal(t, ok, err == nil, scale)
	}
	_, found, err := Read("m.csv", []byte(head+strings.Repeat("pe-30,25.4,bench-laser,x,20,20.35,19.6\n", mostRows)), 0)
	require.NoError(t, err)
	assert.Empty(t, of(found, "too-many"))
	r, found, err := Read("m.csv", []byte(head+strings.Repeat("pe-30,25.4,bench-laser,x,20,20.35,19.6\n", mostRows+1)), 0)
	require.NoError(t, err)
	assert.Len(t, of(found, "too-many"), 1)
	assert.Len(t, r.Rows, mostRows)
}

// What a mass is written to: 6.0 g to a tenth, 12 to a whole gram.
func TestMassStep(t *testing.T) {
	for text, want := range map[string]float64{"6.0 g": 0.1, "6.05": 0.01, "12": 1, "12 g": 1, "six": 1} {
		assert.InDelta(t, want, massStep(text), 1e-12, text)
	}
}

// A text is cut where it is longer than it may be, and is as long as it may be then.
func TestLongTextsAreCut(t *testing.T) {
	for text, want := range map[string]string{"": "", "abcdefg": "abcdefg", "abcdefgh": "abcdefgh", "abcdefghi": "abcde...", "äöüäöüäöüä": "äöüäö..."} {
		assert.Equal(t, want, cut(text, 8))
	}
}

// What a coupon is called by what is on it.
func TestTitlesOfCoupons(t *testing.T) {
	for _, c := range []struct {
		coupon Coupon
		want   string
	}{
		{Coupon{Squares: make([]Square, 1)}, "kerf"}, {Coupon{Slots: make([]Slot, 1)}, "comb"}, {Coupon{Trials: make([]Trial, 1)}, "fit strip"},
		{Coupon{Squares: make([]Square, 4), Slots: make([]Slot, 2)}, "kerf"},
	} {
		title := c.coupon.title()
		assert.Contains(t, title, c.want)
		assert.Equal(t, len(c.coupon.Squares) > 0, strings.Contains(title, "kerf"), title)
		assert.Equal(t, len(c.coupon.Slots) > 0, strings.Contains(title, "comb"), title)
		assert.Equal(t, len(c.coupon.Trials) > 0, strings.Contains(title, "fit strip"), title)
	}
}
