package profiles

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// threeCurrents are kerfs of 20 mm of a foam at three speeds under each of three currents.
func threeCurrents() TestedKerfs {
	return TestedKerfs{
		{45, 1.6, 1.248, 0.025}, {64, 1.6, 0.995, 0.019}, {83, 1.6, 0.878, 0.028},
		{105, 1.8, 0.864, 0.021}, {57, 1.8, 1.24, 0.017}, {81, 1.8, 1, 0.02}, // in no order
		{70, 2, 1.269, 0.015}, {100, 2, 0.993, 0.022}, {130, 2, 0.853, 0.021},
	}
}

// Numbers worked out beside it, in exact fractions: the weighted straight line of the kerf over 1 / feed
// is 0.42051 + 46.7456 / feed at 1.8 A and 0.36342 + 63.3463 / feed at 2 A; in proportion to the square
// 1.9 A is 0.48684 of the way.
func TestKerfBetweenTestedSpeedsAndCurrents(t *testing.T) {
	all := threeCurrents()
	for _, c := range []struct{ feed, amps, kerf, off float64 }{
		{81, 1.8, 1, 0.02}, // as tested
		{90, 1.8, 0.939904, 0.023385},
		{90, 2, 1.067269, 0.025884},
		{90, 1.9, 1.001910, 0.057703},
	} {
		k, why := all.At(c.feed, c.amps)
		require.Empty(t, why)
		assert.InDeltaSlice(t, []float64{c.feed, c.amps, c.kerf, c.off}, []float64{k.FeedMMPerMin, k.CurrentA, k.KerfMM, k.IntervalMM}, 1e-6)
	}
}

func TestNoKerfBeyondWhatWasTested(t *testing.T) {
	bent := threeCurrents()
	bent[5].KerfMM = 1.2 // at 81 mm/min and 1.8 A
	colder := threeCurrents()
	for i := range colder[:3] {
		colder[i].KerfMM += 0.7
	}
	odd := threeCurrents()
	for i := range odd[3:6] {
		odd[3+i].KerfMM += 0.2
	}
	for _, c := range []struct {
		list       TestedKerfs
		feed, amps float64
		why        string
	}{
		{threeCurrents(), 90, 2.05, "2.05 A lies outside the current that was tested, 1.6 to 2 A"},
		{threeCurrents(), 60, 1.59, "1.59 A lies outside the current that was tested, 1.6 to 2 A"},
		{threeCurrents(), 56, 1.8, "at 1.8 A 56 mm/min lies outside the feed that was tested, 57 to 105 mm/min"},
		{threeCurrents(), 131, 2, "at 2 A 131 mm/min lies outside the feed that was tested, 70 to 130 mm/min"},
		{threeCurrents(), 69, 1.9, "at 2 A 69 mm/min lies outside"}, // 1.8 A knows it, 2 A does not
		{threeCurrents(), 84, 1.7, "at 1.6 A 84 mm/min lies outside"},
		{threeCurrents()[:2], 50, 1.6, "only 45 to 64 mm/min were tested, and nothing between two feeds is known without a third"},
		{threeCurrents()[:1], 50, 1.6, "at 1.6 A 50 mm/min lies outside the feed that was tested, 45 mm/min"},
		{threeCurrents()[:3], 60, 1.7, "1.7 A lies outside the current that was tested, 1.6 A"},
		{bent, 90, 1.8, "mm off k0 + b / feed, farther than its interval"},
		{bent, 75, 1.7, "mm off k0 + b / feed, farther than its interval"},
		{colder, 70, 1.7, "the kerf falls from"},
		{odd, 75, 1.9, "at 75 mm/min the kerf at 1.8 A, 1.244 mm, is off the"},
	} {
		_, why := c.list.At(c.feed, c.amps)
		assert.Contains(t, why, c.why)
	}
	k, why := bent.At(57, 1.8)
	assert.Empty(t, why, "a speed that was tested has its own kerf, whatever the others say")
	assert.Equal(t, 1.24, k.KerfMM)
}

// A moving line source melts a width that is off the heat's own proportion by less than a fiftieth of the
// step to the double heat: the isotherm by K0, integrated here (facts of hot wires give its share of the
// heat as 0.2087, 0.3500, 0.4411 and 0.4759 for p of 0.5, 0.945, 2 and 5).
func TestWidthGoesWithTheHeat(t *testing.T) {
	k0 := func(x float64) (sum float64) {
		const steps = 800
		most := math.Acosh(60/x + 1)
		for i := range steps + 1 {
			weight := 1.
			if i == 0 || i == steps {
				weight = 0.5
			}
			sum += weight * math.Exp(-x*math.Cosh(most*float64(i)/steps))
		}
		return sum * most / steps
	}
	width := func(p float64) (widest float64) { // times speed over diffusivity
		for i := range 1200 {
			u := math.Pow(10, -3+4.5*float64(i)/1200)
			if c := (math.Log(p) + math.Log(k0(u))) / u; c >= -1 && c <= 1 {
				widest = max(widest, 4*u*math.Sqrt(1-c*c))
			}
		}
		return widest
	}
	for p, share := range map[float64]float64{0.5: 0.2087, 0.945: 0.35, 2: 0.4411, 5: 0.4759} {
		assert.InDelta(t, share, width(p)/(2*math.Pi*p), 3e-4)
	}
	for _, p := range []float64{0.5, 0.945, 2} {
		low, high := TestedKerf{60, 1, width(p), 0}, TestedKerf{60, math.Sqrt2, width(2 * p), 0}
		for _, heat := range []float64{1.25, 1.5, 1.75} {
			k := between(low, high, math.Sqrt(heat))
			assert.Less(t, math.Abs(k.KerfMM-width(heat*p)), (high.KerfMM-low.KerfMM)/50, "p %g, heat %g", p, heat)
			assert.Less(t, math.Abs(k.KerfMM-width(heat*p)), k.IntervalMM)
		}
	}
}

const testedText = `
measured:
  - machine: bench-hotwire
    tool: wire
    source: my coupon
    foams:
      xps-32:
        {kerf_mm: 1, kerf_interval_mm: 0.02, kerf_off_mm: 0.5, feed_mm_per_min: FEED, current_a: AMPS, lead_in_mm: 20, tested: [
          {feed_mm_per_min: 57, current_a: 1.8, kerf_mm: 1.24, kerf_interval_mm: 0.017},
          {feed_mm_per_min: 81, current_a: 1.8, kerf_mm: 1, kerf_interval_mm: 0.02},
          {feed_mm_per_min: 105, current_a: 1.8, kerf_mm: 0.864, kerf_interval_mm: 0.021}]}
`

func wireWith(t *testing.T, feed, amps string) Recipe {
	c := shippedCatalog(t)
	require.NoError(t, c.Add(fstest.MapFS{"mine.yaml": {Data: []byte(strings.NewReplacer("FEED", feed, "AMPS", amps).Replace(testedText))}}))
	r, ok := c.Recipe("xps-32", "bench-hotwire", "wire")
	require.True(t, ok)
	return r
}

// A recipe's kerf is that of the feed and current that it has now; where nobody tested them it is as
// unknown as one that nobody measured, and says so.
func TestRecipeTakesItsKerfFromTheTested(t *testing.T) {
	r := wireWith(t, "81", "1.8")
	assert.Equal(t, []Number{{1, "my coupon"}, {0.02, "my coupon"}}, []Number{r.KerfMM, r.KerfIntervalMM})
	r = wireWith(t, "90", "1.8")
	assert.Equal(t, []float64{0.9399, 0.0234}, []float64{r.KerfMM.Value, r.KerfIntervalMM.Value})
	assert.Equal(t, "between measured kerfs of this wire, at 90 mm/min and 1.8 A", r.KerfMM.Source)
	assert.True(t, strings.HasPrefix(r.Source, "kerf "+r.KerfMM.Source+"; else "), r.Source) // the program's opening has it
	r = wireWith(t, "105", "1.8")
	assert.Equal(t, Number{0.864, "measured for this wire at 105 mm/min and 1.8 A"}, r.KerfMM)
	assert.True(t, strings.HasPrefix(r.Source, "kerf "+r.KerfMM.Source+"; else "), r.Source)
	assert.True(t, r.Measured())
	for _, beyond := range [][2]string{{"106", "1.8"}, {"81", "2"}} {
		r = wireWith(t, beyond[0], beyond[1])
		assert.False(t, r.Measured())
		assert.Equal(t, 0.5, r.KerfOff().Value)
		_, why := r.AsTested()
		assert.Contains(t, why, "lies outside")
		assert.Contains(t, r.KerfMM.Source, why)
		assert.True(t, strings.HasPrefix(r.Source, "kerf not tested at this feed and current: "), r.Source)
		assert.Equal(t, 1, strings.Count(r.Source, "; else "), "read twice")
	}
	r.KerfOffMM = Number{}
	r, _ = r.AsTested()
	assert.InDelta(t, 0.257, r.KerfOff().Value, 1e-9, "0.24 to the widest, and its interval")
	back := shippedCatalog(t)
	r = wireWith(t, "90", "1.8")
	require.NoError(t, back.Add(fstest.MapFS{"m.yaml": {Data: MeasuredRow(r)}}))
	again, _ := back.Recipe("xps-32", "bench-hotwire", "wire")
	assert.Equal(t, r.Tested, again.Tested)
	m, _ := back.Machine("bench-hotwire")
	assert.Contains(t, string(back.MachineFile(m, "other")), "- {feed_mm_per_min: 57, current_a: 1.8, kerf_mm: 1.24, kerf_interval_mm: 0.017}")
}

func TestBadTested(t *testing.T) {
	text := strings.NewReplacer("FEED", "81", "AMPS", "1.8").Replace(testedText)
	for was, now := range map[string][2]string{
		"{kerf_mm: 1,":           {"{kerf_mm: 1.1,", "the recipe's kerf_mm of 1.1 is none of them"},
		"feed_mm_per_min: 57":    {"feed_mm_per_min: 81", "81 mm/min at 1.8 A is there twice"},
		"feed_mm_per_min: 105":   {"feed_mm_per_min: 81.00000000000001", "81 mm/min at 1.8 A is there twice"},
		"kerf_mm: 1.24,":         {"kerf_mm: 0.38,", "tested: kerf_mm of 0.38 at 57 mm/min and 1.8 A is less than the wire of 0.4049 mm"},
		"current_a: 1.8, kerf_m": {"current_a: 99, kerf_m", "99 is not from 0.01 to 50"},
	} {
		bad := strings.Replace(text, was, now[0], 1)
		require.NotEqual(t, text, bad)
		assert.ErrorContains(t, shippedCatalog(t).Add(fstest.MapFS{"mine.yaml": {Data: []byte(bad)}}), now[1])
	}
	assert.Contains(t, Recipe{Tested: threeCurrents()}.hotFaults(Knife)[0], "a recipe with tested is a hot wire's")
}

// At less current a wire goes slower, at more it does not go faster, and nobody has measured either.
func TestAtCurrent(t *testing.T) {
	r := Recipe{FeedMMPerMin: Number{100, "x"}, CurrentA: Number{2, "x"}, KerfMM: Number{1, "x"}, KerfIntervalMM: Number{0.1, "x"}}
	wire := Tool{DiameterMM: Number{0.405, "x"}}
	assert.Equal(t, r, r.AtCurrent(wire, 2))
	assert.Equal(t, []float64{64, 1.6}, []float64{r.AtCurrent(wire, 1.6).FeedMMPerMin.Value, r.AtCurrent(wire, 1.6).CurrentA.Value})
	assert.Equal(t, 100., r.AtCurrent(wire, 2.2).FeedMMPerMin.Value)
	assert.False(t, r.AtCurrent(wire, 2.2).Measured())
}
