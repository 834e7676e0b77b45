package kerf

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// NIST/SEMATECH e-Handbook 1.3.5.3 (AUTO83B): miles per gallon of 249 and 79 cars, means 20.14458 and 30.48101,
// deviations 6.41470 and 6.10771; where variances are not taken for equal T is -12.94627 with 136.8750 degrees of
// freedom. From memory; exact fractions in another language give the same, and of all 328 cars the mean 22.634147
// with a standard error of 0.3501849 and 325.548665 degrees of freedom.
func TestPooledKerfOfNIST(t *testing.T) {
	of := func(coupon string, n int, mean, deviation float64) profiles.KerfReading {
		return profiles.KerfReading{Coupon: coupon, KerfMM: mean, StandardErrorMM: deviation / math.Sqrt(float64(n)), DeviationMM: deviation, DegreesOfFreedom: float64(n - 1), Lengths: n}
	}
	a, b := of("a 2026-03-01", 249, 20.14458, 6.41470), of("b 2026-03-02", 79, 30.48101, 6.10771)
	p := poolKerfs([]profiles.KerfReading{a, b})
	assert.InDelta(t, 22.634146981707318, p.value, 1e-9)
	assert.InDelta(t, 0.35018493935430084, p.standardError, 1e-12)
	assert.InDelta(t, 325.54866596417713, p.dof, 1e-8)
	variances := []float64{square(a.StandardErrorMM), square(b.StandardErrorMM)}
	assert.InDelta(t, -12.94627, (a.KerfMM-b.KerfMM)/rootOf(variances), 5e-6)
	assert.InDelta(t, 136.8750, effectiveDOF(variances, []float64{248, 78}), 5e-5)
	assert.True(t, apart([]profiles.KerfReading{a, b}))
}

// J. R. Taylor, An Introduction to Error Analysis, 7.2 (from memory): 11 ± 1, 12 ± 1 and 10 ± 3 ohms make 11.42 ± 0.69.
// And by exact fractions: kerfs of 0.400, 0.440 and 0.410 mm from 16, 8 and 32 lengths that scatter by 0.06, 0.03 and
// 0.09 mm make 72/175 mm, with a standard error of 0.0101645 mm and 40.652257 degrees of freedom.
func TestPooledKerfOfATextbook(t *testing.T) {
	of := func(k, deviation, lengths, dof float64) profiles.KerfReading {
		return profiles.KerfReading{Coupon: fmt.Sprint(k), KerfMM: k, StandardErrorMM: deviation / math.Sqrt(lengths), DeviationMM: deviation, DegreesOfFreedom: dof}
	}
	p := poolKerfs([]profiles.KerfReading{of(11, 1, 1, 99), of(12, 1, 1, 99), of(10, 1, 1./9, 99)})
	assert.InDelta(t, 11.42, p.value, 0.005)
	assert.InDelta(t, 0.69, p.standardError, 0.005)
	p = poolKerfs([]profiles.KerfReading{of(0.4, 0.06, 16, 13), of(0.44, 0.03, 8, 5), of(0.41, 0.09, 32, 29)})
	assert.InDelta(t, 72./175, p.value, 1e-12)
	assert.InDelta(t, 0.010164463907684076, p.standardError, 1e-12)
	assert.InDelta(t, 40.65225726061536, p.dof, 1e-9)
}

// kerfBench is a made-up kerf and the coupons that are cut of it.
type kerfBench struct {
	kerf     float64
	coupons  int
	noise    float64 // deviation of a reading, mm; each coupon's own is within a factor of two
	decimals int
}

// tables are the coupons' tables, one a day.
func (b kerfBench) tables(random *rand.Rand) (list []string) {
	for day := range b.coupons {
		noise := b.noise * math.Exp2(2*random.Float64()-1)
		sizes := [][]float64{{60, 45, 30, 20}, {40, 20}, {80, 50, 25}, {60, 40, 30}}[random.IntN(4)]
		text := fmt.Sprintf("# date: 2026-03-%02d\n", day+1) + head
		for _, axis := range []string{"x", "y"} {
			for _, size := range sizes {
				text += fmt.Sprintf("pe-30,25.4,bench-laser,%s,%g,%.*f,%.*f\n", axis, size, b.decimals, size+b.kerf+noise*random.NormFloat64(), b.decimals, size-b.kerf+noise*random.NormFloat64())
			}
		}
		list = append(list, text)
	}
	return list
}

// saveTable does what `kerf --save` does, into a folder that the catalog has.
func saveTable(t require.TestingT, text string, known *profiles.Catalog, afresh bool) ([]Fit, finding.List) {
	r, _, err := Read("m.csv", []byte(text), units.Millimetre)
	require.NoError(t, err)
	fits, _ := Analyse(r, known, nil)
	PoolKerfs(fits, known, "", afresh)
	files, found := Profiles(fits, Scales(fits, nil, ""), "")
	if found.Failed() {
		return fits, append(found, JudgeKerfs("m.csv", fits, true)...)
	}
	found = append(found, KeepSaved(files, known, units.Millimetre, afresh)...)
	require.NoError(t, known.Add(folder(files)))
	return fits, append(found, JudgeKerfs("m.csv", fits, true)...)
}

func savedKerf(known *profiles.Catalog) profiles.KerfsIn {
	r, _ := known.Recipe("pe-30", "bench-laser", "beam")
	return r.MeasuredIn
}

// Of benches with one to five coupons each the printed interval of the pooled kerf holds the true one 93 to 97 times in
// a hundred, and coupons of one truth are refused as too far apart hardly ever.
func TestPooledKerfsCover(t *testing.T) {
	benches := 2000
	if testing.Short() {
		benches = 600
	}
	random := rand.New(rand.NewPCG(23, 2026))
	known := catalog(t)
	for _, coupons := range []int{1, 2, 3, 5} {
		held, apart, pooled, width := 0, 0, 0, 0.0
		for range benches {
			var saved []profiles.KerfIn
			var p KerfPool
			refused := false
			for _, text := range (kerfBench{0.37, coupons, 0.05, 3}).tables(random) {
				fits, _ := Analyse(must(t, text), known, nil)
				p = fits[0].pool(saved, "")
				saved = []profiles.KerfIn{{ThicknessMM: 25.4, RestsOn: p.RestsOn}}
				refused = refused || p.Apart
			}
			if refused {
				apart++
				continue
			}
			pooled++
			require.Len(t, p.RestsOn, coupons)
			kerf, off := recipeKerf(p.KerfMM) // as it is printed and saved
			width += off
			if math.Abs(kerf-0.37) <= off {
				held++
			}
		}
		share := float64(held) / float64(pooled)
		t.Logf("%d coupons: %.2f %% of %d hold, ± %.4f mm in the mean; %d of %d benches refused", coupons, 100*share, pooled, width/float64(pooled), apart, benches)
		slack := 0.02
		if testing.Short() {
			slack = 0.03
		}
		assert.InDelta(t, 0.95, share, slack, coupons)
		assert.LessOrEqual(t, float64(apart)/float64(benches), 0.03, coupons)
	}
}

// The same readings in any order, and any of them saved again, under its own date or another, make the same kerf. Of one truth
// hardly any are refused, and those for nothing but that they lie apart: which do hangs on those before them.
func TestKerfsPoolInAnyOrder(t *testing.T) {
	pooled, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		tables := kerfBench{kerf: 0.37, coupons: rapid.IntRange(1, 4).Draw(t, "coupons"), noise: 0.04, decimals: 3}.tables(rand.New(rand.NewPCG(seed, 1)))
		var others []string // the same, under another date and under none
		for _, text := range tables {
			others = append(others, strings.Replace(text, "# date: 2026-03-", "# date: 2026-04-", 1), strings.SplitN(text, "\n", 2)[1])
		}
		save := func(list []string) (string, bool) {
			known := catalog(t)
			for _, text := range list {
				if _, found := saveTable(t, text, known, false); found.Failed() {
					require.Equal(t, "kerfs-differ", found[0].Rule)
					refused++
					return "", false
				}
			}
			r, _ := known.Recipe("pe-30", "bench-laser", "beam")
			return fmt.Sprintf("%v %v %v %v", r.KerfMM, r.KerfIntervalMM, r.Source, r.MeasuredIn), true
		}
		want, ok := save(tables)
		mixed := rapid.Permutation(append(append([]string{}, tables...), rapid.SliceOfN(rapid.SampledFrom(append(tables, others...)), 0, 4).Draw(t, "again")...)).Draw(t, "order")
		got, okMixed := save(mixed)
		if ok && okMixed {
			pooled++
			assert.Equal(t, want, got)
		}
	})
	t.Logf("%d pooled, %d times refused", pooled, refused)
	assert.Less(t, 10*refused, pooled)
}

// Coupons that lie farther apart than chance explains are not pooled; told to begin afresh, the last stands alone, and
// what was measured of another thickness stays.
func TestKerfsThatLieApart(t *testing.T) {
	table := func(date, thickness string, kerf float64) string {
		text := "# date: " + date + "\n" + head
		for i, size := range []float64{60, 45, 30, 20} {
			wobble := 0.02 * float64(1-2*(i%2))
			text += fmt.Sprintf("pe-30,%s,bench-laser,x,%g,%.3f,%.3f\n", thickness, size, size+kerf+wobble, size-kerf+wobble/2)
		}
		return text
	}
	known := catalog(t)
	for _, text := range []string{table("2026-03-01", "25.4", 0.37), table("2026-03-02", "25.4", 0.375), table("2026-03-02", "12.7", 0.3)} {
		_, found := saveTable(t, text, known, false)
		require.Empty(t, found)
	}
	before := savedKerf(known)
	require.Len(t, before, 2)
	fits, found := saveTable(t, table("2026-03-03", "25.4", 0.45), known, false)
	require.Len(t, of(found, "kerfs-differ"), 1)
	assert.Equal(t, finding.Error, found[0].Severity)
	assert.Regexp(t, `^its coupons lie farther apart than chance explains \(99\.5 %\): 0\.370 ± 0\.0\d+ mm by pe-30, 25\.4 mm, beam 2026-03-01; 0\.375 ± 0\.0\d+ mm by .* 2026-03-02; 0\.450 ± .* 2026-03-03; they are not pooled$`, found[0].Message)
	assert.Contains(t, found[0].Hint, "`--afresh`")
	assert.Equal(t, before, savedKerf(known), "nothing was saved")
	assert.Equal(t, finding.Warning, JudgeKerfs("m.csv", fits, false)[0].Severity, "and where nothing is to be saved it is told all the same")

	_, found = saveTable(t, table("2026-03-03", "25.4", 0.45), known, true)
	require.False(t, found.Failed())
	require.Len(t, of(found, "kerf-replaced"), 1)
	after := savedKerf(known)
	require.Len(t, after, 2)
	assert.Equal(t, before[0], after[0], "of the other thickness")
	require.Len(t, after[1].RestsOn, 1)
	assert.InDelta(t, 0.45, after[1].KerfMM, 0.001)
}

// Whose coupons are one: by name, by days that lie within the other's, and by numbers that are all alike.
func TestWhichCouponsAreOne(t *testing.T) {
	for _, c := range []struct {
		a, b  string
		alike bool
		one   bool
	}{
		{"pe-30, 25.4 mm, beam", "pe-30, 25.4 mm, beam", false, true},
		{"pe-30, 25.4 mm, beam 2026-03-01", "pe-30, 25.4 mm, beam 2026-03-02", false, false},
		{"pe-30, 25.4 mm, beam 2026-03-01", "pe-30, 25.4 mm, beam 2026-03-02", true, true},
		{"pe-30, 25.4 mm, beam 2026-03-01", "pe-30, 25.4 mm, beam 2026-03-01 to 2026-03-03", false, true}, // its table went on
		{"pe-30, 25.4 mm, beam 2026-03-01 to 2026-03-03", "pe-30, 25.4 mm, beam 2026-03-02 to 2026-03-04", false, false},
		{"pe-30, 25.4 mm, beam 2026-03", "pe-30, 25.4 mm, beam 2026-03-07", false, true},
		{"pe-30, 25.4 mm, beam", "pe-30, 25.4 mm, beam 2026-03-01", false, false},
		{"pe-30, 25.4 mm, beam", "pe-30, 25.4 mm, beam 2026-03-01", true, true},
		{"pe-30, 25.4 mm, beam 2026-03-01", "pe-30, 12.7 mm, beam 2026-03-01", true, false},
	} {
		assert.Equal(t, c.one, sameCoupon(c.a, c.b, c.alike), "%+v", c)
		assert.Equal(t, c.one, sameCoupon(c.b, c.a, c.alike), "%+v", c)
	}
}

// A wire's kerf goes by feed and current, and its later coupon replaces the earlier one, as it says.
func TestWiresAreNotPooled(t *testing.T) {
	known := catalog(t)
	table := func(date string, kerf float64) string {
		text := "# date: " + date + "\nfoam,thickness,machine,axis,size,hole,plug,feed,current\n"
		for _, feed := range []int{300, 450, 600} {
			for i, size := range []float64{60, 40, 20} {
				wobble := 0.02 * float64(1-2*(i%2))
				text += fmt.Sprintf("eps-20,30,bench-hotwire,x,%g,%.3f,%.3f,%d,1.7\n", size, size+kerf+90/float64(feed)+wobble, size-kerf-90/float64(feed)+wobble/2, feed)
			}
		}
		return text
	}
	save := func(text string) finding.List {
		fits, _ := Analyse(must(t, text), known, nil)
		PoolKerfs(fits, known, "", false)
		require.Len(t, fits, 3)
		require.Len(t, fits[1].Pooled.RestsOn, 1)
		files, found := Profiles(fits[1:2], nil, "")
		require.False(t, found.Failed(), "%v", found)
		found = KeepSaved(files, known, units.Millimetre, false)
		require.NoError(t, known.Add(folder(files)))
		return found
	}
	require.Empty(t, save(table("2026-03-01", 0.9)))
	gone := of(save(table("2026-03-02", 0.91)), "kerf-replaced")
	require.Len(t, gone, 1)
	assert.Contains(t, gone[0].Message, "a wire's kerf goes by feed and current, which one table tells together: it is not pooled")
}

// What stays of coupons: one that was read again or changed by hand is told, one whose table went on is not.
func TestWhatStaysOfCoupons(t *testing.T) {
	reading := func(date string, kerf float64, lengths int) profiles.KerfReading {
		return profiles.KerfReading{Coupon: "pe-30, 25.4 mm, beam " + date, KerfMM: kerf, StandardErrorMM: 0.01, DeviationMM: 0.04, DegreesOfFreedom: float64(lengths - 3), Lengths: lengths}
	}
	in := func(list ...profiles.KerfReading) profiles.KerfIn {
		kerf, off := recipeKerf(poolKerfs(list).estimate(0.95))
		return profiles.KerfIn{ThicknessMM: 25.4, KerfMM: kerf, IntervalMM: off, RestsOn: list}
	}
	a, b := reading("2026-03-01", 0.37, 16), reading("2026-03-02", 0.38, 16)
	changed := in(a, b)
	changed.KerfMM += 0.02
	for name, c := range map[string]struct {
		now, old profiles.KerfIn
		says     string
	}{
		"the same":          {in(a, b), in(a, b), ""},
		"one more":          {in(a, b), in(a), ""},
		"another day":       {in(b), in(a), ", for that of this table"},
		"read again":        {in(reading("2026-03-01", 0.36, 16), b), in(a, b), "which is of the same coupon, pe-30, 25.4 mm, beam 2026-03-01: another has another --date"},
		"its table went on": {in(reading("2026-03-01 to 2026-03-02", 0.36, 32)), in(a, b), ""},
		"fewer":             {in(reading("2026-03-01 to 2026-03-02", 0.36, 12)), in(a), "which is of the same coupon"},
		"changed by hand":   {in(a, b), changed, ", which is not what its own readings give: somebody changed it"},
	} {
		why := notIn(c.now, c.old)
		assert.Contains(t, why, c.says, name)
		assert.Equal(t, c.says == "", why == "", "%s: %s", name, why)
	}
}

// Read to a tenth of a millimetre, as foam mostly is, and scattering by less, all holes are rounded alike: the intervals hold
// at least as often as they say, whatever the kerf, of one coupon and of several. By hand: readings that all agree are known to half
// of a digit, and 0.95 of it is the interval of what lies anywhere in it.
func TestKerfsReadToATenth(t *testing.T) {
	benches, least := 2000, 0.93
	if testing.Short() {
		benches, least = 500, 0.9
	}
	random := rand.New(rand.NewPCG(24, 2026))
	known := catalog(t)
	for _, noise := range []float64{0.005, 0.01, 0.02, 0.03, 0.06} {
		for _, coupons := range []int{1, 3} {
			held, pooled, apart := 0, 0, 0
			for range benches / coupons {
				truth := 0.3 + 0.2*random.Float64()
				var p KerfPool
				refused := false
				for _, text := range (kerfBench{truth, coupons, noise, 1}).tables(random) {
					fits, _ := Analyse(must(t, text), known, nil)
					p = fits[0].pool([]profiles.KerfIn{{ThicknessMM: 25.4, RestsOn: p.RestsOn}}, "")
					refused = refused || p.Apart
				}
				if refused {
					apart++
					continue
				}
				pooled++
				if kerf, off := recipeKerf(p.KerfMM); math.Abs(kerf-truth) <= off {
					held++
				}
			}
			t.Logf("scatter %g mm, %d coupons: %.1f %% of %d, %d refused", noise, coupons, 100*float64(held)/float64(pooled), pooled, apart)
			assert.Greater(t, float64(held)/float64(pooled), least)
		}
	}
	fits, _ := Analyse(must(t, head+"pe-30,25.4,bench-laser,x,20,20.4,19.6\npe-30,25.4,bench-laser,x,60,60.4,59.6\n"), known, nil)
	assert.InDelta(t, 0.0475, fits[0].RoundingMM, 1e-12)
	assert.InDelta(t, math.Hypot(0.0475, 4.3027*0.1/math.Sqrt(12)/2), fits[0].KerfMM.HalfWidth, 1e-5, "t of 2 degrees of freedom, 4 lengths that scatter by a rounded digit at least")
}
