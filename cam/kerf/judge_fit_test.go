package kerf

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// of is the findings of a rule.
func of(found finding.List, rule string) (list finding.List) {
	for _, f := range found {
		if f.Rule == rule {
			list = append(list, f)
		}
	}
	return list
}

// Of coupons without a wrong reading at most about one axis in twenty has one
// named (Bonferroni's inequality; the count's own deviation is 0.5 %), and a
// slip of half a millimetre is always named, and alone.
func TestOutliers(t *testing.T) {
	c := plain()
	c.noise, c.decimals = 0.03, 3
	random := rand.New(rand.NewPCG(1, 2))
	runs, slips := 1000, 100
	if testing.Short() {
		runs, slips = 300, 10
	}
	named := 0
	for range runs {
		_, found := analyse(t, c.table(random))
		seen := map[bool]bool{}
		for _, f := range of(found, "outlier") {
			seen[strings.Contains(f.Message, "along x")] = true
		}
		named += len(seen)
	}
	t.Logf("%d of %d axes", named, 2*runs)
	assert.Less(t, float64(named)/float64(2*runs), 0.065)
	for range slips {
		rows := strings.Split(c.table(random), "\n")
		fields := strings.Split(rows[3], ",")
		var read float64
		_, err := fmt.Sscan(fields[5], &read)
		require.NoError(t, err)
		fields[5] = fmt.Sprintf("%.3f", read+0.5)
		rows[3] = strings.Join(fields, ",")
		_, found := analyse(t, strings.Join(rows, "\n"))
		slipped := slices.DeleteFunc(of(found, "outlier"), func(f finding.Finding) bool { return f.Where != "m.csv:4" })
		require.Len(t, slipped, 1)
		assert.Contains(t, slipped[0].Hint, "--drop 4:hole")
		_, found = analyse(t, strings.Join(rows, "\n"), Drop{4, HolePart})
		assert.Empty(t, errorsOf(found))
		assert.Len(t, of(found, "dropped"), 1)
	}
}

// Readings that all agree have no outlier, however fine their digits.
func TestNoOutlierBelowTheLastDigit(t *testing.T) {
	c := plain()
	c.decimals = 1
	_, found := analyse(t, c.table(nil))
	assert.Empty(t, of(found, "outlier"))
	// The interval is never less than what reading to the last digit costs.
	fits, _ := analyse(t, head+"pe-30,25.4,bench-laser,x,20,20.4,19.6\npe-30,25.4,bench-laser,x,40,40.4,39.6\n")
	assert.Greater(t, fits[0].KerfMM.HalfWidth, 0.05)
}

func TestJudgement(t *testing.T) {
	row := func(machine, axis, face string, kerf float64, noise float64) string {
		text := ""
		for i, size := range []float64{20, 30, 40} {
			wobble := noise * float64(i%2)
			text += fmt.Sprintf("pe-30,25.4,%s,%s,%g,%.3f,%.3f,%s\n", machine, axis, size, size+kerf+wobble, size-kerf-wobble, face)
		}
		return text
	}
	table := strings.TrimSpace(head) + ",face\n"
	for _, c := range []struct{ name, rows, rule, message string }{
		{"one kerf for both axes", row("bench-laser", "x", "", 0.4, 0.02) + row("bench-laser", "y", "", 0.405, 0.02), "", ""},
		{"two kerfs", row("bench-laser", "x", "", 0.4, 0.01) + row("bench-laser", "y", "", 0.6, 0.01), "axes-differ", "farther apart than their intervals explain"},
		{"wider below", row("bench-laser", "x", "top", 0.4, 0.01) + row("bench-laser", "x", "bottom", 0.6, 0.01), "wider-below", "wider at the bottom"},
		{"below the wire", row("bench-hotwire", "x", "", 0.2, 0.01), "below-the-wire", "less than the wire of 0.405 mm"},
		{"a scale that cannot be", "pe-30,25.4,bench-laser,x,20,17.4,16.6,\npe-30,25.4,bench-laser,x,40,34.4,33.6,\n", "impossible-scale", "more than a tenth off"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, found := analyse(t, table+c.rows)
			if c.rule == "" {
				assert.Empty(t, found.Failed())
				assert.Empty(t, of(found, "axes-differ"))
				return
			}
			list := of(found, c.rule)
			require.Len(t, list, 1, "%v", found)
			assert.Contains(t, list[0].Message, c.message)
		})
	}
	// Where the axes differ the saved interval holds both kerfs.
	fits, _ := analyse(t, table+row("bench-laser", "x", "", 0.4, 0.01)+row("bench-laser", "y", "", 0.6, 0.01))
	assert.InDelta(t, 0.5, fits[0].KerfMM.Value, 0.02)
	assert.Greater(t, fits[0].KerfMM.HalfWidth, 0.1)
}

func TestNames(t *testing.T) {
	for _, c := range []struct{ row, rule, hint string }{
		{"pe-33,25.4,bench-laser,x,20,20.4,19.6", "unknown-foam", "did you mean pe-30?"},
		{"pe-30,25.4,bench-lasre,x,20,20.4,19.6", "unknown-machine", "did you mean bench-laser?"},
		{"pe-30,25.4,bench-router,x,20,23.2,16.8", "tool-assumed", "the machine has flat-3, flat-6"},
	} {
		_, found := analyse(t, head+c.row+"\n"+strings.Replace(c.row, ",20,", ",30,", 1)+"\n")
		require.Len(t, of(found, c.rule), 1, "said once, not for every row")
		assert.Contains(t, of(found, c.rule)[0].Hint, c.hint)
	}
}

func TestRows(t *testing.T) {
	good := plain().table(nil)
	_, found := analyse(t, good+"pe-30,25.4 mm,bench-laser,x,90,,,\n")
	assert.Contains(t, of(found, "not-measured")[0].Message, "1 of 11 rows")
	second := "pe-30,25.4 mm,bench-laser,x,10,10.3402,9.6001,\n"
	_, found = analyse(t, good+second)
	assert.Len(t, of(found, "second-reading"), 1)
	_, found = analyse(t, good+second+second)
	assert.Len(t, errorsOf(found), 1)
	assert.Equal(t, "duplicate-row", errorsOf(found)[0].Rule)
	_, found = analyse(t, good, Drop{Line: 400})
	assert.Equal(t, "no-such-reading", errorsOf(found)[0].Rule)
	_, found = analyse(t, head+"pe-30,25.4,bench-laser,x,20,21,19\npe-30,25.4,bench-laser,x,40,41,39\n")
	assert.Len(t, of(found, "coarser-than-foam"), 1, "ISO 1923 reads foam of these sizes to 0.1 mm")
}

func TestParseDrop(t *testing.T) {
	for text, want := range map[string]Drop{"12": {12, ""}, "12:hole": {12, HolePart}, "3:plug": {3, PlugPart}} {
		got, found := ParseDrop(text)
		require.Empty(t, found)
		assert.Equal(t, want, got)
	}
	for _, text := range []string{"", "0", "-1", "12:", "12:top", "x:hole", "1.5"} {
		_, found := ParseDrop(text)
		assert.True(t, found.Failed(), text)
	}
}

func TestSettingInWords(t *testing.T) {
	assert.Empty(t, Setting{}.String())
	assert.Equal(t, "900 mm/min, 45 %, 1.8 A, 2 passes, step-down 8 mm, 1 mm out of focus", Setting{900, 45, 2, 8, 1.8, 1}.String())
	assert.Equal(t, "1 pass", Setting{Passes: 1}.String())
}

// Two axes differ when their kerfs do by more than the root of the sum of the
// squares of their half-widths: 0.03 and 0.04 explain 0.05.
func TestAxesDiffer(t *testing.T) {
	of := func(kerf, half float64) AxisFit { return AxisFit{KerfMM: Estimate{kerf, half}} }
	assert.False(t, axesDiffer([]AxisFit{of(0.4, 0.03), of(0.4499, 0.04)}))
	assert.True(t, axesDiffer([]AxisFit{of(0.4, 0.03), of(0.4501, 0.04)}))
	assert.True(t, axesDiffer([]AxisFit{of(0.4501, 0.03), of(0.4, 0.04)}))
	assert.False(t, axesDiffer([]AxisFit{of(0.4, 0)}))
	f := Fit{Axes: []AxisFit{of(0.4, 0.03), of(0.6, 0.04)}}
	f.join(fittedOf(t, 0.5))
	assert.InDelta(t, 0.1+0.04, f.KerfMM.HalfWidth, 1e-9, "widened to hold both")
}

// fittedOf is a fit of all axes whose kerf is k and agrees to the last digit.
func fittedOf(t *testing.T, k float64) fitted {
	var list []sample
	for _, size := range []units.Length{20 * mm, 40 * mm} {
		row := Reading{Axis: axisX, Size: size}
		list = append(list, sample{row, HolePart, Measure{Length: size + length(k)}}, sample{row, PlugPart, Measure{Length: size - length(k)}})
	}
	f, err := fitSamples(list)
	require.NoError(t, err)
	return f
}

// What a kerf cannot be, at the edge of it: nothing and less, a scale more than a
// tenth off, a cutter's from half to twice its width, or that of another of the machine's, a wire's less than its own,
// a blade's a mm wider than it, a beam's ten times its spot: what no profile takes.
func TestWhatAKerfCannotBe(t *testing.T) {
	machine := func(p profiles.Process, mm float64) profiles.Machine {
		return profiles.Machine{Process: p, Tools: []profiles.Tool{{ID: "t", DiameterMM: profiles.Number{Value: mm}}}}
	}
	beside := func(mm, other float64) profiles.Machine { // exchanged readings have the other's kerf
		m := machine(profiles.Router, mm)
		m.Tools = append(m.Tools, profiles.Tool{ID: "other", DiameterMM: profiles.Number{Value: other}})
		return m
	}
	for _, c := range []struct {
		m           profiles.Machine
		kerf, scale float64
		rule        string
	}{
		{machine(profiles.Laser, 0.2), 0.001, 1, ""}, {machine(profiles.Laser, 0.2), 0, 1, "negative-kerf"},
		{machine(profiles.Laser, 0.2), 0.4, 1.1, ""}, {machine(profiles.Laser, 0.2), 0.4, 1.1001, "impossible-scale"},
		{machine(profiles.Laser, 0.2), 0.4, 0.8999, "impossible-scale"}, {machine(profiles.Laser, 0.2), 9, 1, "kerf-too-wide"},
		{machine(profiles.Router, 3), 2, 1, "kerf-far-from-cutter"}, {machine(profiles.Router, 3), 1.99, 1, "kerf-of-another-cutter"},
		{machine(profiles.Router, 1.2), 0.6, 1, "kerf-far-from-cutter"}, {machine(profiles.Router, 1.2), 0.59, 1, "kerf-of-another-cutter"}, {machine(profiles.Router, 3.175), 5.2, 1, "kerf-of-another-cutter"},
		{machine(profiles.Router, 3), 3.5, 1, ""}, {machine(profiles.Router, 3), 3.501, 1, "kerf-far-from-cutter"}, {beside(3, 6), 5.9, 1, "kerf-of-another-cutter"},
		{beside(6, 3), 3.2, 1, "kerf-of-another-cutter"}, {beside(3, 6), 4, 1, "kerf-far-from-cutter"}, {beside(3, 6), 4.5, 1, "kerf-of-another-cutter"}, {beside(3, 6), 3.1, 1, ""},
		{machine(profiles.Router, 3), 4, 1, "kerf-far-from-cutter"}, {machine(profiles.Router, 3), 4.01, 1, "kerf-of-another-cutter"}, {machine(profiles.Router, 0), 6.01, 1, ""},
		{machine(profiles.HotWire, 0.405), 0.385, 1, ""}, {machine(profiles.HotWire, 0.405), 0.384, 1, "below-the-wire"},
		{machine(profiles.Knife, 0.6), 1.6, 1, ""}, {machine(profiles.Knife, 0.6), 1.601, 1, "kerf-too-wide"}, {machine(profiles.Laser, 0.2), 2, 1, ""}, {machine(profiles.Laser, 0.2), 2.001, 1, "kerf-too-wide"},
		{machine(profiles.Laser, 0.405), 0.384, 1, ""}, {machine(profiles.HotWire, 0.405), 3, 1, ""},
	} {
		e := Estimate{c.kerf, 0.02}
		f := &Fit{Subject: Subject{Tool: "t"}, Machine: c.m, KerfMM: e, DOF: 4, Axes: []AxisFit{{Axis: axisX, Scale: Estimate{c.scale, 0.001}, KerfMM: e, Points: []Point{{Line: 2}}}}}
		var rules []string
		for _, found := range judge("m.csv", f) {
			rules = append(rules, found.Rule)
		}
		if c.rule == "" {
			assert.Empty(t, rules, "%+v", c)
		} else {
			assert.Equal(t, []string{c.rule}, rules, "%+v", c)
		}
	}
}

// A cut that is wider below is told where its interval leaves upright out.
func TestWiderBelow(t *testing.T) {
	for _, c := range []struct {
		taper Estimate
		told  bool
	}{{Estimate{-0.2, 0.19}, true}, {Estimate{-0.2, 0.21}, false}, {Estimate{0.2, 0.1}, false}} {
		f := &Fit{KerfMM: Estimate{0.4, 0.02}, DOF: 4, TaperDegrees: &c.taper}
		found := judge("m.csv", f)
		assert.Equal(t, c.told, len(found) == 1, "%+v", c)
		if c.told {
			assert.Equal(t, "wider-below", found[0].Rule)
			assert.Contains(t, found[0].Message, "lean 0.20 degrees")
		}
	}
}
