package profiles

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By hand: from 0.30 ± 0.03 mm in 10 mm of foam to 0.42 ± 0.04 in 30 mm, halfway is 0.36, the half-widths' halves
// 0.015 and 0.02 add in squares to 0.025, and a quarter of the step, 0.03, is added.
func TestKerfBetweenThicknesses(t *testing.T) {
	two := KerfsIn{{ThicknessMM: 10, KerfMM: 0.30, IntervalMM: 0.03}, {ThicknessMM: 30, KerfMM: 0.42, IntervalMM: 0.04}}
	for _, c := range []struct {
		list      KerfsIn
		mm        float64
		stops     bool
		kerf, off float64
		why       string
	}{
		{two, 10, false, 0.30, 0.03, ""},
		{two, 10.4, false, 0.30, 0.03, ""}, // one sort of sheet
		{two, 20, false, 0.36, 0.025 + 0.03, ""},
		{two, 15, false, 0.33, math.Hypot(0.75*0.03, 0.25*0.04) + 0.1875*0.12, ""},
		{two, 9, false, 0, 0, "measured in foam of 10 to 30 mm, and 9 mm are cut"},
		{two, 40, false, 0, 0, "10 to 30 mm, and 40 mm"},
		{two[:1], 20, false, 0, 0, "foam of 10 mm, and 20 mm"},
		{two, 2, true, 0.30, 0.03, ""}, // a cutter that stops
		{two, 20, true, 0.42, 0.04, ""},
		{two, 31.5, true, 0.42, 0.04, ""}, // 4.8 % more than 30
		{two, 31.7, true, 0, 0, "and 31.7 mm are cut"},
		{two, 33, true, 0, 0, "and 33 mm are cut"},
	} {
		k, why := c.list.At(c.mm, c.stops)
		assert.InDelta(t, c.kerf, k.KerfMM, 1e-12, "%+v", c)
		assert.InDelta(t, c.off, k.IntervalMM, 1e-12, "%+v", c)
		assert.Contains(t, why, c.why)
		assert.Equal(t, c.why == "", why == "", "%+v: %s", c, why)
	}
}

// Where kerf goes straight with thickness, 93 to 97 of 100 intervals between two hold the truth: with no step,
// for what a step adds covers more, and is judged.
func TestKerfBetweenThicknessesCovers(t *testing.T) {
	random := rand.New(rand.NewPCG(20, 3))
	for _, mm := range []float64{12, 20, 27} {
		held := 0
		const benches = 20000
		for range benches {
			list := KerfsIn{{ThicknessMM: 10, KerfMM: 0.3 + 0.01*random.NormFloat64(), IntervalMM: 1.96 * 0.01}, {ThicknessMM: 30, KerfMM: 0.3 + 0.02*random.NormFloat64(), IntervalMM: 1.96 * 0.02}}
			step := math.Abs(list[1].KerfMM - list[0].KerfMM)
			k, why := list.At(mm, false)
			require.Empty(t, why)
			share := (mm - 10) / 20
			if math.Abs(k.KerfMM-0.3) <= k.IntervalMM-share*(1-share)*step {
				held++
			}
		}
		t.Logf("%g mm: %.3f", mm, float64(held)/benches)
		assert.InDelta(t, 0.95, float64(held)/benches, 0.02)
	}
}

var thickCoupons = []KerfReading{{"pe-30, 30 mm, beam 2026-03-01", 0.4, 0.015, 0.02, 0.06, 13, 16}, {"pe-30, 30 mm, beam 2026-03-02", 0.44, 0.0150001, 0, 0.06, 12.5, 16}}

// thickRow is a shipped recipe with kerfs in two thicknesses.
func thickRow(t *testing.T) string {
	c, err := Shipped()
	require.NoError(t, err)
	r, ok := c.Recipe("pe-30", "bench-laser", "beam")
	require.True(t, ok)
	r.KerfMM, r.KerfIntervalMM = Number{0.3, "mine"}, Number{0.03, "mine"}
	r.MeasuredIn = KerfsIn{{ThicknessMM: 30, KerfMM: 0.42, IntervalMM: 0.04, RestsOn: thickCoupons}, {ThicknessMM: 10, KerfMM: 0.3, IntervalMM: 0.03}}
	return string(MeasuredRow(r))
}

// A recipe with thicknesses is read, written and read again; one that contradicts itself is refused.
func TestMeasuredInIsReadAndWritten(t *testing.T) {
	c, err := Shipped()
	require.NoError(t, err)
	require.NoError(t, c.Add(fstest.MapFS{"a.yaml": {Data: []byte(thickRow(t))}}))
	r, ok := c.Recipe("pe-30", "bench-laser", "beam")
	require.True(t, ok)
	assert.Equal(t, KerfsIn{{ThicknessMM: 10, KerfMM: 0.3, IntervalMM: 0.03}, {ThicknessMM: 30, KerfMM: 0.42, IntervalMM: 0.04, RestsOn: thickCoupons}}, r.MeasuredIn)
	again, err := Shipped()
	require.NoError(t, err)
	require.NoError(t, again.Add(fstest.MapFS{"a.yaml": {Data: MeasuredRow(r)}}))
	back, _ := again.Recipe("pe-30", "bench-laser", "beam")
	assert.Equal(t, r.MeasuredIn, back.MeasuredIn)

	in, why := r.In(30, false)
	assert.Empty(t, why)
	assert.Equal(t, 0.42, in.KerfMM.Value)
	assert.Equal(t, "measured in foam of 30 mm, by 2 coupons", in.KerfMM.Source)
	assert.Equal(t, 2, in.Coupons)
	in, why = r.In(20, false)
	assert.Empty(t, why)
	assert.Contains(t, in.KerfMM.Source, "between kerfs that were measured")
	in, why = r.In(50, false)
	assert.NotEmpty(t, why)
	assert.False(t, in.Measured(), "its interval holds there no more")
	assert.InDelta(t, math.Max(r.KerfOffMM.Value, 0.04+0.12), in.KerfOff().Value, 1e-12)

	for wrong, says := range map[string]string{
		strings.Replace(thickRow(t), "thickness_mm: 10\n            kerf_mm: 0.3\n", "thickness_mm: 10\n            kerf_mm: 0.31\n", 1): "none of them",
		strings.Replace(thickRow(t), "beam 2026-03-02", "beam 2026-03-01", 1):                                                            `the coupon "pe-30, 30 mm, beam 2026-03-01" is there twice, and would count twice`,
		strings.Replace(thickRow(t), "standard_error_mm: 0.015,", "standard_error_mm: 0,", 1):                                            "standard_error_mm",
		strings.Replace(thickRow(t), "thickness_mm: 30", "thickness_mm: 10.3", 1):                                                        "there twice",
		strings.Replace(thickRow(t), "thickness_mm: 30", "thickness_mm: 0", 1):                                                           "thickness_mm",
	} {
		again, err := Shipped()
		require.NoError(t, err)
		require.ErrorContains(t, again.Add(fstest.MapFS{"a.yaml": {Data: []byte(wrong)}}), says)
	}
}

// By hand: a cutter of 6 mm takes 5 to 7, a wire of 0.5 mm no less than itself, a blade of 0.6 mm no more than 1.6 and a
// spot of 0.2 mm no more than 2. The recipe's own kerf is right here, and that of another thickness is not.
func TestMeasuredInIsOfTheTool(t *testing.T) {
	c, err := Shipped()
	require.NoError(t, err)
	for _, of := range []struct {
		foam, machine, tool string
		kerf, off           float64 // in thicker foam, in diameters
		says                string
	}{
		{"pe-30", "bench-router", "flat-6", 5.0 / 6, 0, ""},
		{"pe-30", "bench-router", "flat-6", 0.83, 0, "is not the work of a cutter of 6 mm"},
		{"pe-30", "bench-router", "flat-6", 1.17, 0, "is not the work of a cutter of 6 mm"},
		{"eps-20", "bench-hotwire", "wire", 0.9, 0.11, ""},
		{"eps-20", "bench-hotwire", "wire", 0.9, 0.09, "melts more than its own width"},
		{"pe-30", "bench-knife", "blade", 2.66, 0, ""},
		{"pe-30", "bench-knife", "blade", 2.67, 0, "is more than 1 mm wider than the blade of 0.6 mm"},
		{"pe-30", "bench-laser", "beam", 10, 0, ""},
		{"pe-30", "bench-laser", "beam", 10.1, 0, "is more than 10 times the spot of 0.2 mm"},
	} {
		r, ok := c.Recipe(of.foam, of.machine, of.tool)
		require.True(t, ok, of)
		m, _ := c.Machine(of.machine)
		tool, _ := m.Tool(of.tool)
		d := tool.DiameterMM.Value
		r.KerfMM, r.KerfIntervalMM, r.Tested = Number{d + 0.3, "mine"}, Number{0.03, "mine"}, nil
		r.MeasuredIn = KerfsIn{{ThicknessMM: 10, KerfMM: d + 0.3, IntervalMM: 0.03}, {ThicknessMM: 30, KerfMM: of.kerf * d, IntervalMM: of.off * d}}
		again, err := Shipped()
		require.NoError(t, err)
		err = again.Add(fstest.MapFS{"a.yaml": {Data: MeasuredRow(r)}})
		if of.says == "" {
			assert.NoError(t, err, of)
		} else {
			assert.ErrorContains(t, err, of.says, of)
		}
	}
}
