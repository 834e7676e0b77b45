package kerf_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/kerf"
	"traywright/geometry/units"
)

// Each step of a ladder is cut with its own setting and no other's.
func TestLadderSettingsReachTheProgram(t *testing.T) {
	cases := []struct {
		machine string
		ladder  kerf.CouponLadder
		words   []string // one for each step, in its squares alone
	}{
		{"bench-laser", kerf.CouponLadder{Key: "feed", Values: []float64{610, 910, 1210}}, []string{"F610", "F910", "F1210"}},
		{"bench-laser", kerf.CouponLadder{Key: "power", Values: []float64{31, 61}}, []string{"S310", "S610"}},
		{"bench-router", kerf.CouponLadder{Key: "feed", Values: []float64{1010, 1510}}, []string{"F1010", "F1510"}},
		{"bench-router", kerf.CouponLadder{Key: "stepdown", Values: []float64{6, 13}}, []string{"Z-19.2800", "Z-12.0500\n"}},
	}
	for _, c := range cases {
		result := cut(t, c.machine, permit, kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), Ladder: c.ladder})
		require.Empty(t, rulesOf(result.Report.Findings))
		ops := operations(file(t, result.Files, "coupon.ngc"))
		for i, word := range c.words {
			for k := range c.words {
				text := ops[fmt.Sprintf("square %c 40", 'A'+k)] + ops[fmt.Sprintf("square %c 20", 'A'+k)]
				require.NotEmpty(t, text)
				assert.Equal(t, i == k, strings.Contains(text, word), "%s, step %d, %s", c.machine, k, word)
			}
		}
	}
}

func operations(program []byte) map[string]string {
	ops := map[string]string{}
	for _, part := range strings.Split(string(program), "(op: ")[1:] {
		name, text, _ := strings.Cut(part, ")")
		ops[name] = text
	}
	return ops
}

func TestLadderOfPasses(t *testing.T) {
	result := cut(t, "bench-laser", permit, kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), Ladder: kerf.CouponLadder{Key: "passes", Values: []float64{1, 2, 4}}})
	require.Empty(t, rulesOf(result.Report.Findings))
	ops := operations(file(t, result.Files, "coupon.ngc"))
	for letter, passes := range map[string]int{"A": 1, "B": 2, "C": 4} {
		assert.Equal(t, passes, strings.Count(ops["square "+letter+" 40"], "M3"), letter)
	}
}

func TestParseLadder(t *testing.T) {
	cases := []struct {
		text string
		bare units.Unit
		want []float64
		err  string
	}{
		{"feed=600,900", units.Millimetre, []float64{600, 900}, ""},
		{" Feed = 600 mm/min , 900", units.Millimetre, []float64{600, 900}, ""},
		{"power=30 %,45%", units.Millimetre, []float64{30, 45}, ""},
		{"passes=1,2,3", units.Inch, []float64{1, 2, 3}, ""},
		{"stepdown=4,1/4 in", units.Millimetre, []float64{4, 6.35}, ""},
		{"stepdown=1/4,1/2", units.Inch, []float64{6.35, 12.7}, ""},
		{"feed=-5,900", units.Millimetre, []float64{-5, 900}, ""}, // wrong in meaning: Design says so
		{"feed", units.Millimetre, nil, "is no ladder"},
		{"", units.Millimetre, nil, "is no ladder"},
		{"fed=600", units.Millimetre, nil, "did you mean feed?"},
		{"colour=1", units.Millimetre, nil, "known are feed, power, passes, stepdown"},
		{"feed=", units.Millimetre, nil, "is not a number of mm/min"},
		{"feed=600,,900", units.Millimetre, nil, "is not a number of mm/min"},
		{"feed=NaN", units.Millimetre, nil, "is not a number"},
		{"feed=Inf", units.Millimetre, nil, "is not a number"},
		{"feed=1e400", units.Millimetre, nil, "is not a number"},
		{"feed=0x10", units.Millimetre, nil, "is not a number"},
		{"feed=600;900", units.Millimetre, nil, "is not a number"},
		{"power=30 mm", units.Millimetre, nil, "is not a number of %"},
		{"stepdown=four", units.Millimetre, nil, "is not a length"},
	}
	for _, c := range cases {
		l, found := kerf.ParseLadder(c.text, c.bare)
		if c.err != "" {
			require.Len(t, found, 1, c.text)
			assert.Contains(t, found[0].Message+"; "+found[0].Hint, c.err, c.text)
			continue
		}
		require.Empty(t, found, c.text)
		assert.Equal(t, c.want, l.Values, c.text)
	}
}

func FuzzParseLadder(f *testing.F) {
	for _, s := range []string{"feed=600,900,1200", "power=30 %,45", "stepdown=1/4 in", "passes=", "=", "feed=1e3,NaN"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, found := kerf.ParseLadder(s, units.Millimetre)
		if found != nil {
			return
		}
		require.NotEmpty(t, l.Values)
		for _, v := range l.Values {
			require.False(t, v != v || v > 1e300 || v < -1e300, s)
		}
	})
}
