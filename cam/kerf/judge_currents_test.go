package kerf

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// wireTable is a filled-in table of a wire whose kerf is 0.42 + 14.5 I2 / feed mm, read to 0.01 mm.
func wireTable(settings ...[2]float64) string {
	text := "foam,thickness,machine,axis,size,hole,plug,feed,current\n"
	for _, s := range settings {
		k := 0.42 + 14.5*s[1]*s[1]/s[0]
		for i, size := range []float64{20, 40, 20, 40} {
			off := 0.01 * float64(i%2)
			text += fmt.Sprintf("xps-32,20,bench-hotwire,%c,%g,%.2f,%.2f,%g,%g\n", "xxyy"[i], size, size+k+off, size-k+0.01-off, s[0], s[1])
		}
	}
	return text
}

// The kerfs of all speeds and currents are kept with each of them, and what lies between currents is said.
func TestKerfBySpeedAndCurrent(t *testing.T) {
	fits, found := analyse(t, wireTable([2]float64{60, 1.8}, [2]float64{80, 1.8}, [2]float64{105, 1.8}, [2]float64{70, 2}, [2]float64{100, 2}, [2]float64{130, 2}))
	require.False(t, found.Failed(), "%v", found)
	require.Len(t, fits, 6)
	for _, f := range fits {
		require.Len(t, f.Tested, 6)
		assert.Contains(t, f.Tested, f.asTested())
	}
	assert.Equal(t, []float64{1.8, 2}, fits[0].Tested.Currents())
	judged := JudgeCurrents("w.csv", fits)
	require.Len(t, judged, 1)
	assert.Equal(t, finding.Note, judged[0].Severity)
	assert.Contains(t, judged[0].Message, "between 1.8 and 2 A the kerf is known from 70 to 105 mm/min: 1.0")
	k, why := fits[0].Tested.At(90, 1.9)
	require.Empty(t, why)
	assert.InDelta(t, 0.42+14.5*1.9*1.9/90, k.KerfMM, 0.01)

	r := fits[4].measured("")
	assert.Equal(t, []float64{100, 2}, []float64{r.FeedMMPerMin.Value, r.CurrentA.Value})
	assert.Len(t, r.Tested, 6)
	ladders := Ladders(fits)
	require.Len(t, ladders, 2)
	assert.Equal(t, "xps-32, 20 mm, on bench-hotwire with wire, 1.8 A, ladder of feed", ladders[0].String())
}

func TestCurrentsThatSayNothingBetween(t *testing.T) {
	for _, c := range []struct {
		settings [][2]float64
		why      string
	}{
		{[][2]float64{{50, 1.8}, {55, 1.8}, {60, 1.8}, {70, 2}, {100, 2}, {130, 2}}, "between 1.8 and 2 A nobody can say the kerf: no feed was tested at both"},
		{[][2]float64{{60, 1.8}, {90, 1.8}, {60, 2}, {90, 2}, {120, 2}}, "between 1.8 and 2 A nobody can say the kerf: at 1.8 A only 60 to 90 mm/min were tested"},
	} {
		fits, found := analyse(t, wireTable(c.settings...))
		require.False(t, found.Failed(), "%v", found)
		judged := JudgeCurrents("w.csv", fits)
		require.Len(t, judged, 1)
		assert.Equal(t, finding.Warning, judged[0].Severity)
		assert.Contains(t, judged[0].Message, c.why)
	}
	fits, _ := analyse(t, wireTable([2]float64{60, 1.8}, [2]float64{80, 1.8}))
	assert.Empty(t, JudgeCurrents("w.csv", fits), "one current is between none")
	row := strings.ReplaceAll(wireTable([2]float64{60, 1.8}), ",feed,current", "")
	row = strings.ReplaceAll(row, ",60,1.8", "")
	fits, _ = analyse(t, row)
	require.Len(t, fits[0].Tested, 1)
	assert.Equal(t, []float64{100, 2}, []float64{fits[0].Tested[0].FeedMMPerMin, fits[0].Tested[0].CurrentA}, "where a table does not say, they are the recipe's")
}

func TestParseCurrents(t *testing.T) {
	list, found := ParseCurrents("2, 1.6 A,1.85")
	require.Empty(t, found)
	assert.Equal(t, []float64{1.6, 1.85, 2}, list)
	list, found = ParseCurrents("")
	assert.Empty(t, list)
	assert.Empty(t, found)
	for text, want := range map[string]string{
		"1,2,3,4": "4 currents are more than 3", "2,2": "2 A stands there twice", "0": "is no current", "-1": "is no current", "x": "is no current", "1.855": "finer than a supply", "1.6,1.600000000001": "1.600000000001 A is finer than a supply", "0.000000001": "finer than a supply", "NaN": "is no current", "1e9,Inf": "is no current", ",": "is no current",
	} {
		_, found = ParseCurrents(text)
		require.True(t, found.Failed(), text)
		assert.Contains(t, found[0].Message, want)
	}
	_, found = ParseLadder("current=1.6,2", units.Millimetre)
	require.True(t, found.Failed())
	assert.Equal(t, "add --current 1.6,2: a piece and a program for each", found[0].Hint)
}

// Each piece has letters of its own, and the table all of them, each row with its current.
func TestPiecesOfACoupon(t *testing.T) {
	var pieces []*Coupon
	for i, a := range []float64{1.8, 2} {
		spec := CouponSpec{Foam: "xps-32", Thickness: 20 * mm, CurrentA: a, Piece: i + 1, Of: 2}
		c := catalog(t)
		m, _ := c.Machine("bench-hotwire")
		piece, found := DesignCoupon(CouponInput{CouponSpec: spec, Catalog: c, Machine: m, Recipe: func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := c.Recipe(foam, m.ID, tool)
			return r.AtCurrent(m.Tools[0], a), ok
		}})
		require.False(t, found.Failed(), "%v", found)
		pieces = append(pieces, piece)
	}
	assert.Equal(t, []string{"coupon-1.8a", "coupon-2a"}, []string{pieces[0].Name(), pieces[1].Name()})
	table := string(pieces[0].Table(pieces[1]))
	assert.Contains(t, table, "foam,thickness,machine,axis,size,hole,plug,tool,note,feed,current\n")
	for _, row := range []string{"xps-32,20 mm,bench-hotwire,x,40,,,wire,square A 40,57,1.8\n", "xps-32,20 mm,bench-hotwire,y,20,,,wire,square F 20,130,2\n"} {
		assert.Contains(t, table, row)
	}
	assert.Contains(t, pieces[1].notes(), "piece 2 of 2, for 2 A: set the wire's supply to that")
	settings := pieces[0].Report(pieces[1]).Settings
	require.Len(t, settings, 6)
	assert.Equal(t, []any{"D", 2.0}, []any{settings[3].Letter, settings[3].CurrentA})
	_, found := designed(t, "bench-router", CouponSpec{Foam: "pe-30", Thickness: 20 * mm, CurrentA: 2}, nil)
	assert.Len(t, of(found, "no-current"), 1)
	_, found = designed(t, "bench-hotwire", CouponSpec{Foam: "xps-32", Thickness: 20 * mm, Ladder: CouponLadder{"feed", []float64{100, 200}}}, nil)
	assert.Len(t, of(found, "ladder-cold"), 1)
}
