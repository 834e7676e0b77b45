package units_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry/units"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		bare units.Unit
		want units.Length
	}{
		{"31", units.Millimetre, 31_000_000},
		{"31", units.Inch, 787_400_000},
		{"31 mm", units.Inch, 31_000_000},
		{"31mm", units.Inch, 31_000_000},
		{"1.25 in", units.Millimetre, 31_750_000},
		{"1 1/4 in", units.Millimetre, 31_750_000},
		{"1 1/4in", units.Millimetre, 31_750_000},
		{`1-1/4"`, units.Millimetre, 31_750_000},
		{`1/4"`, units.Millimetre, 6_350_000},
		{"1/4", units.Inch, 6_350_000},
		{"1¼", units.Inch, 31_750_000},
		{"1 ¾ in.", units.Millimetre, 44_450_000},
		{"⅜ in", units.Millimetre, 9_525_000},
		{"1 3⁄8 in", units.Millimetre, 34_925_000},
		{"1 in.", units.Millimetre, 25_400_000},
		{"1 / 4 in", units.Millimetre, 6_350_000},
		{`2"`, units.Millimetre, 50_800_000},
		{"2″", units.Millimetre, 50_800_000},
		{"0.5 in", units.Millimetre, 12_700_000},
		{"1/64 in", units.Millimetre, 396_875},
		{"3 cm", units.Inch, 30_000_000},
		{"0.02 m", units.Inch, 20_000_000},
		{"2 Inches", units.Millimetre, 50_800_000},
		{"2 MM", units.Inch, 2_000_000},
		{"-1 1/2 in", units.Millimetre, -38_100_000},
		{"−3", units.Millimetre, -3_000_000},
		{"+3", units.Millimetre, 3_000_000},
		{"  31\u00a0mm\t", units.Inch, 31_000_000},
		{".5", units.Millimetre, 500_000},
		{"5.", units.Millimetre, 5_000_000},
		{"010", units.Millimetre, 10_000_000},
		{"0", units.Millimetre, 0},
		{"-0", units.Millimetre, 0},
		{"100 m", units.Millimetre, units.Longest},
		{"-100 m", units.Millimetre, -units.Longest},
		// Finer than a nanometre: the nearest, halves away from zero.
		{"0.0000004", units.Millimetre, 0},
		{"0.0000005", units.Millimetre, 1},
		{"-0.0000005", units.Millimetre, -1},
		{"1/3", units.Millimetre, 333_333},
		{"2/3", units.Millimetre, 666_667},
		// A float64 makes 0.30000000000000004 of this sum; here a tenth is a tenth.
		{"0.1", units.Millimetre, 100_000},
	} {
		got, err := units.Parse(c.text, c.bare)
		if assert.NoError(t, err, c.text) {
			assert.Equal(t, c.want, got, c.text)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, part string }{
		{"", "missing"},
		{"  ", "missing"},
		{"31,5", "decimal point"},
		{"1,000.5 mm", "decimal point"},
		{"1e308", "exponent"},
		{"1E3 mm", "exponent"},
		{"2.5e-3", "exponent"},
		{"NaN", "no length"},
		{"Inf", "no length"},
		{"-.inf", "no length"},
		{"0x1F", "no length"},
		{"1_000", "no length"},
		{"1/0", "divides by zero"},
		{"1 1/0 in", "divides by zero"},
		{"3 furlong", `unknown unit "furlong": write mm, cm, m, in or "`},
		{"3 ft", "unknown unit"},
		{"3-Aug", "looks like a date: a spreadsheet makes one of a fraction, here probably of 3/8; type it again as 3/8 in, or set its column to text first"},
		{"May-32", "here probably of 5/32; type it again as 5/32 in, or"},
		{"03/08/26", "of 3/8;"},
		{"08.03.2026", "of 3/8;"},
		{"3/8/2026", "of 3/8;"},
		{"2026-03-08", "of 3/8;"},
		{"2026-03-08 00:00:00", "of 3/8;"},
		{"46089", "of 3/8;"}, // 8 March 2026, the number that a spreadsheet keeps of it (from memory)
		{"46024", "is typed wrong, or is the number that a spreadsheet keeps for a date: it makes one of a fraction, here probably of 1/2; type the size again, with its unit, or set its column to text first"},
		{"50000", "is typed wrong, or is the number that a spreadsheet keeps for a date: it makes one of a fraction such as 3/8; type the size again, with its unit, or"},
		{"01. Feb", "of 1/2;"},
		{"1. Mär", "such as 3/8;"},
		{"7. Aug 2026", "of 7/8;"},
		{"Okt-16", "of 10/16;"},
		{"Mar-26", "such as 3/8;"},
		{"4-Mar", "looks like a date"},
		{"3 august", "looks like a date"},
		{"3 mm 4", "no length"},
		{"1 2 3", "no length"},
		{"1.5 1/4", "no length"},
		{"1/2/3", "no length"},
		{"1--1/4", "no length"},
		{"mm", "no length"},
		{"--3", "no length"},
		{"3 -", "unknown unit"},
		{"½½ in", "no length"},
		{"100.000001 m", "longer than 100 m"},
		{"-101 m", "longer than 100 m"},
		{strings.Repeat("9", 64), "longer than 100 m"},
		{strings.Repeat("9", 65), "at most 64"},
		{"3\x00mm", "unknown unit"},
	} {
		_, err := units.Parse(c.text, units.Millimetre)
		if assert.ErrorContains(t, err, c.part, c.text) {
			assert.NotContains(t, err.Error(), "\n")
			assert.NotContains(t, err.Error(), "\x00")
		}
	}
}

// Pads 2, 1 and 1 in, each on a glued-on base of 1/4 in, under a cover of
// 1/4 in fill a room of 5 in (common practice, no source).
func TestStackIsExact(t *testing.T) {
	var sum units.Length
	for _, text := range []string{"1/4 in", "1 in", "1/4 in", "1 in", "1/4 in", "2 in", "1/4 in"} {
		l, err := units.Parse(text, units.Millimetre)
		require.NoError(t, err)
		sum += l
	}
	assert.Equal(t, units.Length(127_000_000), sum)
	assert.Equal(t, "5 in", sum.Format(units.Inch))
	assert.Equal(t, "127 mm", sum.String())
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		l        units.Length
		mm, inch string
	}{
		{0, "0 mm", "0 in"},
		{1, "0.000001 mm", "0 in"},
		{-1, "-0.000001 mm", "0 in"},
		{25_400_000, "25.4 mm", "1 in"},
		{6_350_000, "6.35 mm", "1/4 in"},
		{-31_750_000, "-31.75 mm", "-1 1/4 in"},
		{396_875, "0.396875 mm", "1/64 in"},
		{1_000_000, "1 mm", "0.039 in"},
		{100_000_000, "100 mm", "3.937 in"},
		{25_399_999, "25.399999 mm", "1 in"},
		{units.Longest, "100000 mm", "3937.008 in"},
		{math.MinInt64, "-9223372036854.775808 mm", "-363124883340.739 in"},
	} {
		assert.Equal(t, c.mm, c.l.Format(units.Millimetre))
		assert.Equal(t, c.inch, c.l.Format(units.Inch))
	}
}

// Without its unit a length is in the unit that is asked for; with one, a fraction is no date to a spreadsheet.
func TestBareLengths(t *testing.T) {
	for _, c := range []struct {
		l              units.Length
		mm, inch, cell string
	}{
		{6_350_000, "6.35", "1/4", "1/4 in"},
		{25_400_000, "25.4", "1", "1"},
		{3_000_000, "3", "3 mm", "3 mm"},
		{-31_750_000, "-31.75", "-1 1/4", "-1 1/4 in"},
	} {
		assert.Equal(t, c.mm, c.l.Bare(units.Millimetre))
		assert.Equal(t, c.mm, c.l.Cell(units.Millimetre))
		assert.Equal(t, c.inch, c.l.Bare(units.Inch))
		assert.Equal(t, c.cell, c.l.Cell(units.Inch))
	}
}

// What is sold in sixteenths of an inch has a name of its own, and what is measured has at most three decimals.
func TestInName(t *testing.T) {
	seen := map[string]bool{}
	for n := range 16 * 8 {
		name := units.Length((n + 1) * 25_400_000 / 16).InName(units.Inch)
		assert.Regexp(t, `^\d+(\.\d{1,3})?in$`, name)
		assert.False(t, seen[name], name)
		seen[name] = true
	}
	for l, want := range map[units.Length]string{25_400_000: "1in", 31_750_000: "1.25in", 7_937_500: "0.313in", 6_000_000: "6mm"} {
		assert.Equal(t, want, l.InName(units.Inch))
	}
	assert.Equal(t, "25.4mm", units.Length(25_400_000).InName(units.Millimetre))
}

func TestFromMM(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		want units.Length
	}{{25.4, 25_400_000}, {0.1 + 0.2, 300_000}, {-1.0000005, -1_000_001}, {1e5, units.Longest}} {
		got, err := units.FromMM(c.mm)
		require.NoError(t, err)
		assert.Equal(t, c.want, got)
	}
	for _, mm := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e308, -100_000.001} {
		_, err := units.FromMM(mm)
		assert.Error(t, err, mm)
	}
}

func anyLength(t *rapid.T) units.Length {
	return units.Length(rapid.Int64Range(int64(-units.Longest), int64(units.Longest)).Draw(t, "length"))
}

func TestMillimetresRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLength(t)
		got, err := units.Parse(l.Format(units.Millimetre), units.Inch)
		require.NoError(t, err)
		require.Equal(t, l, got)
		back, err := units.FromMM(l.MM())
		require.NoError(t, err)
		require.Equal(t, l, back)
	})
}

// Inches are exact in sixty-fourths, and else within half of the last decimal.
func TestInchesRoundTrip(t *testing.T) {
	const part = 396_875
	rapid.Check(t, func(t *rapid.T) {
		n := units.Length(rapid.Int64Range(-200_000, 200_000).Draw(t, "sixty-fourths"))
		got, err := units.Parse((n * part).Format(units.Inch), units.Millimetre)
		require.NoError(t, err)
		require.Equal(t, n*part, got)

		l := anyLength(t) / 2
		got, err = units.Parse(l.Format(units.Inch), units.Millimetre)
		require.NoError(t, err)
		require.InDelta(t, int64(l), int64(got), 12_700)
	})
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"31", "31 mm", "1.25 in", "1 1/4 in", `1/4"`, `1-1/4"`, "1e308", "NaN", "1/0", "3 furlong", "31,5", "-100 m", "0.0000005"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, bare := range []units.Unit{units.Millimetre, units.Inch} {
			l, err := units.Parse(text, bare)
			if err != nil {
				assert.NotEmpty(t, err.Error())
				continue
			}
			assert.LessOrEqual(t, l, units.Longest)
			assert.GreaterOrEqual(t, l, -units.Longest)
			again, err := units.Parse(l.String(), bare)
			assert.NoError(t, err)
			assert.Equal(t, l, again)
		}
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := units.Parse("1 1/4 in", units.Millimetre); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleParse() {
	for _, text := range []string{"31", `1 1/4"`, "31,5"} {
		l, err := units.Parse(text, units.Millimetre)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(l, "=", l.Format(units.Inch))
	}
	// Output:
	// 31 mm = 1.22 in
	// 31.75 mm = 1 1/4 in
	// "31,5" has a comma: write a decimal point, and nothing between thousands
}

func ExampleFromMM() {
	l, err := units.FromMM(25.4)
	fmt.Println(l.Format(units.Inch), err)
	// Output: 1 in <nil>
}

// What sums of floats leave of 64ths of an inch is those; what is no such sum stays what it is.
func TestReckoned(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		text string
	}{
		{25.4*3/64 + 9e-5, "3/64 in"}, {25.4*3/64 - 9e-5, "3/64 in"}, {25.4*3/64 + 2e-4, "0.047 in"}, {-25.4 - 9e-5, "-1 in"}, {12.34, "0.486 in"},
	} {
		l, err := units.Reckoned(c.mm)
		require.NoError(t, err)
		require.Equal(t, c.text, l.Format(units.Inch))
	}
	for _, mm := range []float64{math.NaN(), math.Inf(1), 100_001} {
		_, err := units.Reckoned(mm)
		require.Error(t, err)
	}
}

// No step of a thousandth of a millimetre passes for a 64th of an inch.
func TestReckonedMillimetres(t *testing.T) {
	for n := range int64(40_000) {
		l, err := units.Reckoned(float64(n) / 1000)
		require.NoError(t, err)
		require.Equal(t, units.Length(n*1000), l)
	}
}

// Down and Up go to a whole number of steps, below and above 0 alike.
func TestWholeSteps(t *testing.T) {
	for _, c := range []struct{ l, down, up units.Length }{{10, 9, 12}, {9, 9, 9}, {0, 0, 0}, {-10, -12, -9}, {-9, -9, -9}, {1, 0, 3}, {-1, -3, 0}} {
		assert.Equal(t, []units.Length{c.down, c.up}, []units.Length{c.l.Down(3), c.l.Up(3)}, c.l)
	}
}
