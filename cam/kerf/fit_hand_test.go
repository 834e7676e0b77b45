package kerf

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Points of Student's t, two-sided 95 %, as every table has them (NIST/SEMATECH
// e-Handbook 1.3.6.7.2).
var student95 = map[int]float64{1: 12.7062, 2: 4.3027, 3: 3.1824, 4: 2.7764, 5: 2.5706, 6: 2.4469, 7: 2.3646, 8: 2.3060, 9: 2.2622, 10: 2.2281, 11: 2.2010, 12: 2.1788, 13: 2.1604}

// read is one square's readings, in mm.
type read struct{ size, hole, plug float64 }

func tableOf(axes map[Axis][]read) string {
	var b strings.Builder
	b.WriteString(head)
	for _, axis := range []Axis{axisX, axisY} {
		for _, r := range axes[axis] {
			fmt.Fprintf(&b, "pe-30,25.4,bench-laser,%s,%g,%.6f,%.6f\n", axis, r.size, r.hole, r.plug)
		}
	}
	return b.String()
}

// byHand is an axis fitted with nothing but sums. The columns of the model, size
// for the scale and ±1 for the kerf, are orthogonal when each hole has its plug:
// scale = sum(size (hole + plug)) / (2 sum(size²)), kerf = mean((hole - plug)/2),
// their variances s²/(2 sum(size²)) and s²/(2 n), with 2n - 2 degrees of freedom.
func byHand(list []read) (kerf, scale, s float64, kerfHalf, scaleHalf float64) {
	n, sizes := float64(len(list)), 0.0
	for _, r := range list {
		kerf += (r.hole - r.plug) / 2 / n
		sizes += r.size * r.size
	}
	for _, r := range list {
		scale += r.size * (r.hole + r.plug) / (2 * sizes)
	}
	sum := 0.0
	for _, r := range list {
		sum += math.Pow(r.hole-scale*r.size-kerf, 2) + math.Pow(r.plug-scale*r.size+kerf, 2)
	}
	s = math.Sqrt(sum / (2*n - 2))
	t := student95[2*len(list)-2]
	return kerf, scale, s, t * s / math.Sqrt(2*n), t * s / math.Sqrt(2*sizes)
}

// What the fit says of any squares is what sums by hand say of them, the last
// digit's step being far below their scatter.
func TestFitByHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axes := map[Axis][]read{}
		for _, axis := range []Axis{axisX, axisY} {
			for i := range rapid.IntRange(2, 6).Draw(t, "squares") {
				noise := func() float64 { return float64(rapid.IntRange(-60, 60).Draw(t, "noise"))/1000 + 0.001*float64(i) }
				size := float64(10 + 9*i + rapid.IntRange(0, 8).Draw(t, "size"))
				axes[axis] = append(axes[axis], read{size, math.Round(1e6*(size*1.001+0.4+noise())) / 1e6, math.Round(1e6*(size*1.001-0.4+noise())) / 1e6})
			}
		}
		r, _, err := Read("m.csv", []byte(tableOf(axes)), 0)
		require.NoError(t, err)
		fits, _ := Analyse(r, catalog(t), nil)
		require.Len(t, fits, 1)
		for i, axis := range []Axis{axisX, axisY} {
			kerf, scale, s, kerfHalf, scaleHalf := byHand(axes[axis])
			if s < 1e-4 {
				t.Skip("readings that agree to their last digits")
			}
			a := fits[0].Axes[i]
			require.Equal(t, axis, a.Axis)
			require.Equal(t, 2*len(axes[axis])-2, a.DOF)
			require.InDelta(t, kerf, a.KerfMM.Value, 1e-9)
			require.InDelta(t, scale, a.Scale.Value, 1e-9)
			require.InDelta(t, s, a.DeviationMM, 1e-9)
			require.InEpsilon(t, kerfHalf, a.KerfMM.HalfWidth, 1e-4)
			require.InEpsilon(t, scaleHalf, a.Scale.HalfWidth, 1e-4)
			for _, p := range a.Points {
				require.InDelta(t, p.ReadMM-scale*p.SizeMM-p.Part.sign()*kerf, p.ResidualMM, 1e-9)
				require.InDelta(t, p.ReadMM, p.FittedMM+p.ResidualMM, 1e-9)
			}
		}
		x, y := axes[axisX], axes[axisY]
		sum := 0.0
		for _, r := range append(append([]read{}, x...), y...) {
			sum += (r.hole - r.plug) / 2
		}
		require.InDelta(t, sum/float64(len(x)+len(y)), fits[0].KerfMM.Value, 1e-9, "one kerf for both axes: the mean of all squares")
		require.Equal(t, 2*len(x)+2*len(y)-3, fits[0].DOF)
		require.Equal(t, 2*len(x)+2*len(y), fits[0].Readings())
	})
}

// Readings of one size, holes alone or plugs alone, or too few, are told apart
// by what is missing.
func TestWhatCannotBeTold(t *testing.T) {
	const row = "pe-30,25.4,bench-laser,x,"
	for _, c := range []struct{ rows, rule, says string }{
		{row + "20,20.4,\n", "one-reading", "in line 2"},
		{row + "20,,19.6\n", "one-reading", "in line 2"},
		{row + "20,20.4,\n" + row + "20,20.5,\n", "one-size", "only holes of a single size, 20 mm"},
		{row + "20,,19.5\n" + row + "20,,19.6\n", "one-size", "only plugs of a single size, 20 mm"},
		{strings.Replace(row, ",x,", ",y,", 1) + "20,,19.5\n", "one-reading", "along y"},
	} {
		fits, found := analyse(t, head+c.rows)
		assert.Empty(t, fits)
		require.Len(t, of(found, c.rule), 1, "%v", found)
		assert.Contains(t, of(found, c.rule)[0].Message, c.says)
	}
	// Hole and plug of one size tell kerf and scale, without an interval.
	fits, found := analyse(t, head+row+"20,20.4,19.6\n")
	require.Len(t, fits, 1)
	assert.InDelta(t, 0.4, fits[0].KerfMM.Value, 1e-12)
	assert.True(t, math.IsInf(fits[0].KerfMM.HalfWidth, 1))
	assert.True(t, math.IsInf(fits[0].DeviationMM, 1))
	assert.Len(t, of(found, "no-interval"), 1)
	for _, p := range fits[0].Axes[0].Points {
		assert.False(t, p.Outlier)
	}
}

// Both faces: the same sizes on each, so the taper's variance is that of two
// means, and the rest falls out: s²/(2n) for each kerf, s²/n for their difference.
func TestTaperByHand(t *testing.T) {
	top := []read{{20, 20.52, 19.61}, {40, 40.50, 39.58}, {60, 60.47, 59.60}}
	bottom := []read{{20, 20.31, 19.80}, {40, 40.28, 39.77}, {60, 60.33, 59.79}}
	text := strings.TrimSpace(head) + ",face\n"
	for i := range top {
		text += fmt.Sprintf("pe-30,10,bench-laser,x,%g,%g,%g,top\npe-30,10,bench-laser,x,%g,%g,%g,bottom\n",
			top[i].size, top[i].hole, top[i].plug, bottom[i].size, bottom[i].hole, bottom[i].plug)
	}
	fits, found := analyse(t, text)
	require.Empty(t, errorsOf(found))
	k1, _, _, _, _ := byHand(top)
	k2, _, _, _, _ := byHand(bottom)
	scale, sizes, sum := 0.0, 2*(400.0+1600+3600), 0.0
	for i := range top {
		scale += top[i].size * (top[i].hole + top[i].plug + bottom[i].hole + bottom[i].plug) / (2 * sizes)
	}
	for i := range top {
		sum += math.Pow(top[i].hole-scale*top[i].size-k1, 2) + math.Pow(top[i].plug-scale*top[i].size+k1, 2) +
			math.Pow(bottom[i].hole-scale*bottom[i].size-k2, 2) + math.Pow(bottom[i].plug-scale*bottom[i].size+k2, 2)
	}
	s := math.Sqrt(sum / (12 - 3))
	f := fits[0]
	assert.InDelta(t, k1, f.TopMM.Value, 1e-9)
	assert.InDelta(t, k2, f.BottomMM.Value, 1e-9)
	assert.InDelta(t, s, f.DeviationMM, 1e-9)
	assert.InEpsilon(t, student95[9]*s/math.Sqrt(6), f.TopMM.HalfWidth, 1e-4)
	assert.InDelta(t, 180/math.Pi*math.Atan((k1-k2)/20), f.TaperDegrees.Value, 1e-9)
	half := student95[9] * s / math.Sqrt(3)
	upper := 180 / math.Pi * math.Atan((k1-k2+half)/20)
	assert.InDelta(t, upper-f.TaperDegrees.Value, f.TaperDegrees.HalfWidth, 2e-4, "to first order")
	assert.Equal(t, *f.BottomMM, f.KerfMM, "the narrower one holds the piece")
}

// The largest of n studentized deleted residuals is held against Student's t for
// one degree of freedom less than the fit has, 5 % shared among n. One degree is
// Cauchy's distribution, tan(pi (p - 1/2)); two have
// (2p-1) sqrt(2 / (1-(2p-1)²)).
func TestOutlierPoint(t *testing.T) {
	for _, n := range []int{3, 8, 20} {
		p := 1 - 0.05/(2*float64(n))
		assert.InEpsilon(t, math.Tan(math.Pi*(p-0.5)), outlierPoint(n, 2), 1e-6)
		q := 2*p - 1
		assert.InEpsilon(t, q*math.Sqrt(2/(1-q*q)), outlierPoint(n, 3), 1e-6)
	}
	// n = 10 of 2 unknowns: t(0.9975; 7) = 4.029, as tables have it.
	assert.InDelta(t, 4.029, outlierPoint(10, 8), 0.0005)
	assert.True(t, math.IsInf(outlierPoint(3, 1), 1))
}

// A reading is an outlier from the point on where the test says so: the wrong one
// is moved until its deleted residual is just below, and just above.
func TestOutlierAtItsPoint(t *testing.T) {
	noise := []float64{0.021, -0.033, 0.012, -0.018, 0.027, -0.009, -0.024, 0.030}
	outlier := func(off float64) (deleted float64, named bool) {
		var list []read
		for i, size := range []float64{20, 30, 45, 60} {
			list = append(list, read{size, size + 0.4 + noise[2*i], size - 0.4 + noise[2*i+1]})
		}
		list[2].hole += off
		fits, _ := analyse(t, tableOf(map[Axis][]read{axisX: list}))
		p := fits[0].Axes[0].Points[4]
		return p.Deleted, p.Outlier
	}
	// 8 readings, 6 degrees of freedom: t(1 - 0.05/16; 5) = 4.5257 (bisected on the
	// distribution's closed form for five degrees of freedom).
	limit := quantileOfFive(1 - 0.05/16)
	low, high := 0.0, 1.0
	for range 60 {
		middle := (low + high) / 2
		if d, _ := outlier(middle); d < limit {
			low = middle
		} else {
			high = middle
		}
	}
	_, named := outlier(low - 1e-3)
	assert.False(t, named)
	_, named = outlier(high + 1e-3)
	assert.True(t, named)
}

// quantileOfFive is Student's t for five degrees of freedom: with a = atan(t/√5),
// P = 1/2 + (a + sin a cos a (1 + 2/3 cos² a))/pi (Abramowitz and Stegun 26.7.3,
// from memory).
func quantileOfFive(p float64) float64 {
	low, high := 0.0, 100.0
	for range 200 {
		t := (low + high) / 2
		a := math.Atan(t / math.Sqrt(5))
		c := math.Cos(a)
		if 0.5+(a+math.Sin(a)*c*(1+2./3*c*c))/math.Pi < p {
			low = t
		} else {
			high = t
		}
	}
	return low
}

// A reading that is far out widens the scatter behind which a second one hides: both are
// named, and no third.
func TestASecondOutlierDoesNotHide(t *testing.T) {
	noise := []float64{0.021, -0.033, 0.012, -0.018, 0.027, -0.009, -0.024, 0.030, 0.015, -0.020, 0.008, -0.027}
	var list []read
	for i, size := range []float64{15, 20, 30, 45, 60, 75} {
		list = append(list, read{size, size + 0.4 + noise[2*i], size - 0.4 + noise[2*i+1]})
	}
	list[2].hole += 2
	list[4].plug += 0.35
	fits, _ := analyse(t, tableOf(map[Axis][]read{axisX: list}))
	var named []float64
	for _, p := range fits[0].Axes[0].Points {
		if p.Outlier {
			named = append(named, p.SizeMM)
		}
	}
	assert.Equal(t, []float64{30, 60}, named)
}
