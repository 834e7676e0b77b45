package kerf

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// ISO/IEC Guide 98-3, the example of G.4.1: relative uncertainties of 0.25 %, 0.57 %
// and 0.82 % from 10, 5 and 15 readings have 19.0 effective degrees of freedom.
// NIST/SEMATECH e-Handbook 1.3.5.3: miles per gallon of 249 and 79 cars with
// deviations of 6.41470 and 6.10771 have 136.8750 where variances are not taken
// for equal. Both from memory; that they agree shows that they were remembered
// right.
func TestEffectiveDOFOfTextbooks(t *testing.T) {
	assert.InDelta(t, 19.0, effectiveDOF([]float64{0.25 * 0.25, 0.57 * 0.57, 0.82 * 0.82}, []float64{9, 4, 14}), 0.05)
	assert.InDelta(t, 136.8750, effectiveDOF([]float64{6.41470 * 6.41470 / 249, 6.10771 * 6.10771 / 79}, []float64{248, 78}), 0.0005)
	assert.Zero(t, effectiveDOF(nil, nil))
	assert.InDelta(t, 7, effectiveDOF([]float64{0.3}, []float64{7}), 1e-12)
}

// Two coupons of two days by hand. Squares of 20 and 40 mm, both parts: information is
// 2 (400 + 1600) = 4000 mm2, four lengths. Of 30 and 60 mm: 2 (900 + 3600) = 9000.
// What is 0.05 mm off in all four moves the scale by at most 0.05 √(4/4000), and 2/3 of that.
func TestPoolByHand(t *testing.T) {
	a := profiles.ScaleReading{Coupon: "a 2026-03-01", Scale: 0.9970, DeviationMM: 0.04, StandardError: 0.04 / math.Sqrt(4000), DegreesOfFreedom: 2, Lengths: 4}
	b := profiles.ScaleReading{Coupon: "b 2026-03-02", Scale: 0.9983, DeviationMM: 0.06, StandardError: 0.06 / math.Sqrt(9000), DegreesOfFreedom: 2, Lengths: 4}
	p := pool([]profiles.ScaleReading{a, b})
	assert.InDelta(t, (4*0.9970+9*0.9983)/13, p.value, 1e-12)
	// Variances of the two parts of the sum: (4/13)² 0.0016/4000 and (9/13)² 0.0036/9000.
	va, vb := 16./169*0.0016/4000, 81./169*0.0036/9000
	ua, ub := 16./169*0.0025/1000, 81./169*0.0025/2250
	assert.InEpsilon(t, math.Sqrt(va+vb+ua+ub), p.standardError, 1e-9)
	assert.InEpsilon(t, (va+vb+ua+ub)*(va+vb+ua+ub)/(va*va/2+vb*vb/2), p.dof, 1e-9)
	assert.Equal(t, p, pool([]profiles.ScaleReading{b, a}), "in any order")
	// On one day both are off alike: the shared parts add up whole.
	b.Coupon = "b 2026-03-01"
	p = pool([]profiles.ScaleReading{a, b})
	u := 4./13*0.05*math.Sqrt(4./4000) + 9./13*0.05*math.Sqrt(4./9000)
	assert.InEpsilon(t, math.Sqrt(va+vb+u*u), p.standardError, 1e-9)

	one := oneCoupon([]profiles.ScaleReading{a, b}) // as two steps of one ladder: one deviation
	s := math.Sqrt((2*0.0016 + 2*0.0036) / 4)
	assert.InDelta(t, (4*0.9970+9*0.9983)/13, one.Scale, 1e-7)
	assert.InDelta(t, s, one.DeviationMM, 1e-5)
	assert.InDelta(t, s/math.Sqrt(13000), one.StandardError, 1e-7)
	assert.Equal(t, 4.0, one.DegreesOfFreedom)
}

// Coupons of one day are one, so are those whose days may be one; what has no date is of any.
func TestDaysOfCoupons(t *testing.T) {
	for _, c := range []struct {
		coupons []string
		days    int
	}{
		{nil, 0},
		{[]string{"pe-30, 25.4 mm, flat-3 2026-03-01", "pe-45, 6.35 mm, flat-6 2026-03-01"}, 1},
		{[]string{"pe-30, 25.4 mm, flat-3 2026-03-01", "pe-30, 25.4 mm, flat-3 2026-03-02"}, 2},
		{[]string{"a 2026-03-02", "a 2026-03-04", "a 2026-03-01 to 2026-03-03"}, 2},
		{[]string{"a 2026-03", "b 2026-03-31", "c 2026-04"}, 2},
		{[]string{"a, 25.4 mm, beam", "b 2026-03-01", "c 2026-03-02"}, 1},
		{[]string{"a", "b"}, 1},
	} {
		var list []profiles.ScaleReading
		for _, name := range c.coupons {
			list = append(list, profiles.ScaleReading{Coupon: name})
		}
		assert.Len(t, daysOf(list), c.days, "%v", c.coupons)
	}
}

// benchOf is a made-up machine and the coupons that are cut on it.
type benchOf struct {
	scale    [2]float64
	coupons  int
	pieces   int     // of one coupon, cut and measured on one day
	noise    float64 // deviation of a reading, mm; each piece's own is within a factor of two
	zeroMM   float64 // deviation of what all readings of a day are off by
	warm     float64 // deviation of what all sizes of a day are off by, a share
	decimals int
}

// tables are the coupons' tables, one a day: other foams, thicknesses, tools, kerfs and sizes.
func (b benchOf) tables(random *rand.Rand) (list []string) {
	for day := range b.coupons {
		var t strings.Builder
		fmt.Fprintf(&t, "foam,thickness,machine,axis,size,hole,plug,tool,date\n")
		zero, warm := b.zeroMM*random.NormFloat64(), [2]float64{b.warm * random.NormFloat64(), b.warm * random.NormFloat64()}
		for piece := range max(b.pieces, 1) {
			tool := []string{"flat-3", "flat-6"}[random.IntN(2)]
			kerf := map[string]float64{"flat-3": 3.1, "flat-6": 5.9}[tool] + 0.2*random.Float64()
			foam := []string{"pe-30", "pe-45", "eva-90"}[random.IntN(3)]
			sizes := [][]float64{{60, 45, 30, 20}, {40, 20}, {80, 50, 25}, {60, 40, 30}}[random.IntN(4)]
			noise := b.noise * math.Exp2(2*random.Float64()-1)
			for axis, name := range []string{"x", "y"} {
				for _, size := range sizes {
					read := func(sign float64) float64 {
						return (b.scale[axis]+warm[axis])*size + sign*kerf + zero + noise*random.NormFloat64()
					}
					fmt.Fprintf(&t, "%s,%d,bench-router,%s,%g,%.*f,%.*f,%s,2026-03-%02d\n", foam, 10+20*day+piece, name, size, b.decimals, read(1), b.decimals, read(-1), tool, day+1)
				}
			}
		}
		list = append(list, t.String())
	}
	return list
}

// measureBench reads a bench's tables one after another, each adding to what was saved
// before, and is what the last one makes of the machine.
func measureBench(t *testing.T, known *profiles.Catalog, tables []string) []Scale {
	saved := map[string][]profiles.ScaleReading{}
	var scales []Scale
	for _, text := range tables {
		r, _, err := Read("m.csv", []byte(text), units.Millimetre)
		require.NoError(t, err)
		fits, _ := Analyse(r, known, nil)
		scales = Scales(fits, saved, "")
		saved = map[string][]profiles.ScaleReading{}
		for _, s := range scales {
			saved[s.Machine] = append(saved[s.Machine], s.RestsOn...)
		}
	}
	return scales
}

// Of benches whose machines are true, with one to four coupons each, read to the
// hundredth or to the tenth: fewer than one in a hundred is corrected; of those
// with a single coupon, none to speak of. So it is where a coupon is up to eight pieces
// whose readings are all off by what they share, the jaws' zero and the foam's warmth.
func TestATrueMachineIsNotCorrected(t *testing.T) {
	benches := 1000
	if testing.Short() {
		benches = 200
	}
	known := catalog(t)
	for name, days := range map[string]benchOf{
		"pieces on their own": {},
		"days that share":     {pieces: 8, zeroMM: sharedMM, warm: 0.0003},
	} {
		random := rand.New(rand.NewPCG(20, 2026))
		corrected, single := 0, 0
		for i := range benches {
			b := days
			b.scale, b.coupons, b.noise, b.decimals = [2]float64{1, 1}, 1+i%4, []float64{0.03, 0.06, 0.1}[i%3], 1+i%2
			if b.pieces > 0 {
				b.pieces = 1 + random.IntN(b.pieces)
			}
			wrong := 0
			for _, s := range measureBench(t, known, b.tables(random)) {
				if s.Applied || s.Next != 1 {
					wrong = 1
				}
			}
			corrected += wrong
			if b.coupons == 1 {
				single += wrong
			}
		}
		t.Logf("%s: %d of %d benches corrected, %d of them with a single coupon", name, corrected, benches, single)
		assert.Less(t, corrected, benches/100, name)
		assert.LessOrEqual(t, single, 1, name)
	}
}

// A machine that is off by what is worth correcting is corrected when a second
// coupon says the same, and the correction is what it should be.
func TestAMachineThatIsOffIsCorrected(t *testing.T) {
	benches := 200
	if testing.Short() {
		benches = 40
	}
	known := catalog(t)
	random := rand.New(rand.NewPCG(21, 2026))
	corrected := 0
	for range benches {
		scales := measureBench(t, known, benchOf{scale: [2]float64{0.996, 1}, coupons: 3, noise: 0.05, zeroMM: sharedMM, warm: 0.0003, decimals: 2}.tables(random))
		if scales[0].Applied {
			corrected++
			assert.InDelta(t, 0.996, scales[0].Next, 0.003)
			assert.InDelta(t, 400*(scales[0].Next-1), scales[0].MovesMM, 1e-9)
		}
	}
	t.Logf("%d of %d", corrected, benches)
	assert.Greater(t, float64(corrected)/float64(benches), 0.8)
}

// The printed interval of a pooled scale holds the true one 95 times in a hundred,
// whatever the coupons.
func TestPooledCoverage(t *testing.T) {
	runs := 3000
	if testing.Short() {
		runs = 800
	}
	known := catalog(t)
	random := rand.New(rand.NewPCG(22, 2026))
	for coupons := 1; coupons <= 4; coupons++ {
		hits, n := 0, 0
		for range runs / coupons {
			truth := [2]float64{0.997, 1.002}
			for i, s := range measureBench(t, known, benchOf{scale: truth, coupons: coupons, pieces: 3, noise: 0.06, zeroMM: sharedMM, warm: 0.0003, decimals: 3}.tables(random)) {
				n++
				if math.Abs(s.Pooled.Value-truth[i]) <= s.Pooled.HalfWidth {
					hits++
				}
			}
		}
		share := float64(hits) / float64(n)
		t.Logf("%d coupons: %.2f %% of %d", coupons, 100*share, n)
		slack := 0.02
		if testing.Short() {
			slack = 0.03 // three deviations of so few
		}
		assert.InDelta(t, 0.95, share, slack, coupons)
	}
}

// couponTable is a plain coupon of a scale along x, with a scatter that is the
// same each time: one that a single coupon leaves in doubt.
func couponTable(scale float64, date string) string {
	text := "# date: " + date + "\n" + head
	for i, size := range []float64{60, 45, 30, 20} {
		wobble := 0.05 * float64(1-2*(i%2))
		text += fmt.Sprintf("pe-30,25.4,bench-laser,x,%g,%.4f,%.4f\n", size, scale*size+0.4+wobble, scale*size-0.4+wobble/2)
	}
	return text
}

// scalesOf analyses a table over what was saved.
func scalesOf(t *testing.T, text string, known *profiles.Catalog) ([]Scale, finding.List) {
	r, _, err := Read("m.csv", []byte(text), units.Millimetre)
	require.NoError(t, err)
	fits, _ := Analyse(r, known, nil)
	scales := Scales(fits, nil, "")
	found := JudgeScales("m.csv", scales)
	files, more := Profiles(fits, scales, "")
	require.Empty(t, more)
	require.NoError(t, known.Add(folder(files)))
	return scales, found
}

// A later coupon adds to the earlier ones, the same coupon again takes its own
// place, and what is saved says so and is read back.
func TestCouponsAdd(t *testing.T) {
	known := catalog(t)
	first, found := scalesOf(t, couponTable(0.9960, "2026-03-01"), known)
	assert.False(t, first[0].Applied, "a single coupon's chance")
	assert.Equal(t, 0.9999, first[0].Confidence)
	require.Len(t, of(found, "scale-not-applied"), 1)
	assert.Contains(t, of(found, "scale-not-applied")[0].Hint, "coupons of one day need 99.99 %, those of several 99.75 %")
	m, _ := known.Machine("bench-laser")
	assert.Zero(t, m.ScaleX)
	require.Len(t, m.ScaleReadings, 1)
	assert.Equal(t, first[0].RestsOn, m.ScaleReadings, "read back as it was")
	assert.Equal(t, "pe-30, 25.4 mm, beam 2026-03-01", m.ScaleReadings[0].Coupon)

	again, found := scalesOf(t, couponTable(0.9961, "2026-03-01"), known)
	assert.Len(t, again[0].RestsOn, 1, "the same coupon, measured again")
	assert.Len(t, of(found, "coupon-again"), 1)
	_, found = scalesOf(t, couponTable(0.9961, "2026-03-01"), known)
	assert.Empty(t, of(found, "coupon-again"), "nothing new")

	second, found := scalesOf(t, couponTable(0.9962, "2026-03-02"), known)
	require.Len(t, second[0].RestsOn, 2)
	assert.Equal(t, 0.9975, second[0].Confidence)
	assert.True(t, second[0].Applied)
	require.Len(t, of(found, "scale-applied"), 1)
	assert.Regexp(t, `by 2 coupons of 2 days a programmed mm comes out as 0\.996\d+ ± 0\.00\d+ mm \(99\.75 %\): the largest part, 600 mm, would be 2\.\d\d mm too short`, of(found, "scale-applied")[0].Message)
	m, _ = known.Machine("bench-laser")
	assert.InDelta(t, second[0].Next, m.ScaleX.Value, 1e-4)
	assert.Contains(t, m.ScaleX.Source, "(99.75 %), 2 coupons of 2 days, n = 16")
	assert.Len(t, m.ScaleReadings, 2)

	// Two pieces of one day are one day's, whatever they say.
	twin := strings.Replace(couponTable(0.9960, "2026-03-01"), "pe-30,25.4", "pe-30,12.7", -1)
	sameDay := catalog(t)
	scalesOf(t, couponTable(0.9960, "2026-03-01"), sameDay)
	pair, _ := scalesOf(t, twin, sameDay)
	require.Len(t, pair[0].RestsOn, 2)
	assert.Equal(t, 1, pair[0].Days)
	assert.False(t, pair[0].Applied)

	// The next program is corrected; a coupon of it reads true, and says the same of
	// the machine.
	third, _ := scalesOf(t, couponTable(0.9961/m.ScaleX.Value, "2026-03-03"), known)
	assert.Len(t, third[0].RestsOn, 3)
	assert.InDelta(t, 0.9962, third[0].RestsOn[2].Scale, 2e-4)
	assert.InDelta(t, 1, third[0].Measured.Value, third[0].Measured.HalfWidth)
	assert.Less(t, third[0].Pooled.HalfWidth, second[0].Pooled.HalfWidth)
}

// Coupons that contradict each other correct nothing, and the odd one is named.
func TestCouponsThatDiffer(t *testing.T) {
	known := catalog(t)
	for day, scale := range []float64{0.9960, 0.9961, 0.9962} {
		scalesOf(t, couponTable(scale, fmt.Sprintf("2026-03-%02d", day+1)), known)
	}
	m, _ := known.Machine("bench-laser")
	before := m.ScaleX
	require.NotZero(t, before)
	drifted, found := scalesOf(t, couponTable(1.008/before.Value, "2026-04-01"), known)
	assert.False(t, drifted[0].Applied)
	require.Len(t, of(found, "coupons-differ"), 1)
	assert.Equal(t, finding.Warning, of(found, "coupons-differ")[0].Severity)
	assert.Contains(t, of(found, "coupons-differ")[0].Message, "pe-30, 25.4 mm, beam 2026-04-01: this does not go with the other days' coupons")
	m, _ = known.Machine("bench-laser")
	assert.InDelta(t, before.Value, m.ScaleX.Value, 1e-7, "what was in force stays")
	assert.Equal(t, "as it was in force: "+before.Source, m.ScaleX.Source)
	scalesOf(t, couponTable(1.008/before.Value, "2026-04-02"), known)
	m, _ = known.Machine("bench-laser")
	assert.Equal(t, 1, strings.Count(m.ScaleX.Source, "as it was in force"), "it does not grow")
}

// A scale that is in force by chance is taken back when coupons leave it out and
// hold 1.
func TestAScaleIsTakenBack(t *testing.T) {
	known := catalog(t)
	require.NoError(t, known.Add(folder([]ProfileFile{{Name: "old.yaml", Data: []byte("scales:\n  - {machine: bench-laser, scale_x: {value: 0.99, source: one coupon}}\n")}})))
	scales, found := scalesOf(t, couponTable(1/0.99, "2026-03-01"), known)
	assert.Equal(t, 0.99, scales[0].InForce)
	assert.False(t, scales[0].Applied)
	assert.Equal(t, 1.0, scales[0].Next)
	require.Len(t, of(found, "scale-taken-back"), 1)
	assert.Contains(t, of(found, "scale-taken-back")[0].Message, "and 0.99 was in force")
}

// Fractions that agree to nothing at all are still not known to better than a
// micrometre, and a fit without an interval says nothing.
func TestCouponsAtTheEdge(t *testing.T) {
	fits, _ := analyse(t, head+"pe-30,1 in,bench-laser,x,1 in,1 1/64 in,63/64 in\npe-30,1 in,bench-laser,x,2 in,2 1/64 in,1 63/64 in\n")
	scales := Scales(fits, nil, "")
	require.Len(t, scales[0].RestsOn, 1)
	assert.Equal(t, 0.001, scales[0].RestsOn[0].DeviationMM)
	assert.Greater(t, scales[0].RestsOn[0].StandardError, 1e-6)
	fits, _ = analyse(t, head+"pe-30,1 in,bench-laser,x,20,20.4,19.6\n")
	scales = Scales(fits, nil, "")
	assert.Empty(t, scales[0].RestsOn)
	assert.Equal(t, Estimate{1, math.Inf(1)}, scales[0].Pooled)
	assert.Equal(t, 1.0, scales[0].Next)
	assert.Empty(t, JudgeScales("m.csv", scales))
	assert.Empty(t, Scales(nil, nil, ""))
}

// A coupon that is given once without its date and once with it is one coupon, whichever
// came first; another with a date of its own is a second.
func TestACouponWithAndWithoutItsDateIsOne(t *testing.T) {
	for _, dates := range [][2]string{{"", "2026-03-01"}, {"2026-03-01", ""}} {
		known := catalog(t)
		scalesOf(t, strings.Replace(couponTable(0.9975, dates[0]), "# date: \n", "", 1), known)
		again, _ := scalesOf(t, strings.Replace(couponTable(0.9975, dates[1]), "# date: \n", "", 1), known)
		assert.Len(t, again[0].RestsOn, 1, "%v", dates)
		second, _ := scalesOf(t, couponTable(0.9978, "2026-03-02"), known)
		assert.Len(t, second[0].RestsOn, 2, "%v", dates)
	}
}
