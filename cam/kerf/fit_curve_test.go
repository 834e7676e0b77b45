package kerf

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/profiles"
)

// curveOf is a curve through points.
func curveOf(densities, kerfs []float64) *Curve {
	c := &Curve{Kind: "pe"}
	for i := range densities {
		c.Nodes = append(c.Nodes, Node{DensityKgM3: densities[i], KerfMM: Estimate{kerfs[i], 0.02}})
	}
	c.fit()
	return c
}

// The curve goes through every point, stays between the two that it is between,
// and rises or falls with them; its band is never narrower than the narrower of
// their intervals.
func TestCurveIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		densities := rapid.SliceOfNDistinct(rapid.Float64Range(5, 300), 2, 9, func(v float64) float64 { return math.Round(v) }).Draw(t, "densities")
		slices.Sort(densities)
		kerfs := rapid.SliceOfN(rapid.Float64Range(0.05, 4), len(densities), len(densities)).Draw(t, "kerfs")
		c := curveOf(densities, kerfs)
		for i := range densities {
			e, ok := c.At(densities[i], false)
			require.True(t, ok)
			require.Equal(t, Estimate{kerfs[i], 0.02}, e)
			if i == 0 {
				continue
			}
			low, high := min(kerfs[i-1], kerfs[i]), max(kerfs[i-1], kerfs[i])
			last := kerfs[i-1]
			for share := 0.02; share < 1; share += 0.02 {
				e, ok := c.At(densities[i-1]+share*(densities[i]-densities[i-1]), false)
				require.True(t, ok)
				require.True(t, e.Value >= low-1e-9 && e.Value <= high+1e-9)
				require.GreaterOrEqual(t, (e.Value-last)*(kerfs[i]-kerfs[i-1]), -1e-9)
				require.GreaterOrEqual(t, e.HalfWidth, 0.02-1e-12)
				last = e.Value
			}
		}
	})
}

// Beyond the range it refuses, and when told to go on it stays level and says
// less and less.
func TestBeyondTheRange(t *testing.T) {
	c := curveOf([]float64{24, 31, 45}, []float64{0.5, 0.4, 0.3})
	for _, d := range []float64{23.9, 45.1, math.NaN(), -1} {
		_, ok := c.At(d, false)
		assert.False(t, ok, d)
	}
	a, ok := c.At(50, true)
	require.True(t, ok)
	b, ok := c.At(60, true)
	require.True(t, ok)
	assert.Equal(t, 0.3, a.Value)
	assert.Equal(t, 0.3, b.Value)
	assert.Greater(t, a.HalfWidth, 0.02)
	assert.Greater(t, b.HalfWidth, a.HalfWidth)
	// A kerf that goes with one over the density is still inside.
	assert.GreaterOrEqual(t, b.HalfWidth, 0.3-0.3*45/60)
	for _, d := range []float64{1e6, 1.9, 601, math.NaN()} {
		_, ok = c.At(d, true)
		assert.False(t, ok, d)
	}
}

// A curve is of one kind, machine, tool, thickness and setting.
func TestCurvesNeverMix(t *testing.T) {
	rows := func(foam, thickness, density string, kerf float64) string {
		text := ""
		for _, size := range []float64{20, 30, 40} {
			text += fmt.Sprintf("%s,%s,bench-laser,x,%g,%.3f,%.3f,%s\n", foam, thickness, size, size+kerf, size-kerf, density)
		}
		return text
	}
	table := strings.TrimSpace(head) + ",density\n"
	fits, found := analyse(t, table+rows("pe-30", "25.4", "28", 0.4)+rows("pe-30", "12.7", "45", 0.3)+rows("xpe-33", "25.4", "33", 0.35))
	require.False(t, found.Failed(), "%v", found)
	assert.Empty(t, Curves(fits))

	fits, _ = analyse(t, table+rows("pe-30", "25.4", "28", 0.4)+rows("pe-45", "25.4", "44", 0.3)+rows("xpe-33", "25.4", "33", 0.35))
	curves := Curves(fits)
	require.Len(t, curves, 1)
	assert.Equal(t, "pe", curves[0].Kind)
	known := catalog(t)
	p, found := Predict(fits, Wanted{Foam: "xpe-33", DensityKgM3: 33, Beyond: true}, known, "")
	assert.Nil(t, p)
	assert.Contains(t, found[0].Hint, "never carried across kinds")

	p, found = Predict(fits, Wanted{Foam: "pe-30", DensityKgM3: 36}, known, "2026-03-01")
	require.Empty(t, found)
	assert.InDelta(t, 0.35, p.Report.KerfMM.Value, 1e-3)
	assert.Contains(t, string(p.File.Data), "interpolated between measured kerfs of pe foam, 25.4 mm, on bench-laser with beam at 28, 44 kg/m3")
	p, found = Predict(fits, Wanted{Foam: "pe-30", DensityKgM3: 60}, known, "")
	assert.Nil(t, p)
	assert.Contains(t, found[0].Message, "60 kg/m3 is beyond what was measured, 28 to 44 kg/m3")
	p, found = Predict(fits, Wanted{Foam: "pe-30", DensityKgM3: 60, Beyond: true}, known, "")
	require.Len(t, found, 1)
	assert.Equal(t, finding.Warning, found[0].Severity)
	assert.Contains(t, string(p.File.Data), "BEYOND WHAT WAS MEASURED")
	require.NoError(t, known.Add(folder([]ProfileFile{p.File})))
}

// Two batches of one density are one point, known better than either.
func TestSameDensityIsJoined(t *testing.T) {
	c := &Curve{}
	f := Fit{Subject: Subject{DensityKgM3: 30}, KerfMM: Estimate{0.4, 0.03}, DOF: 4}
	c.add(f)
	f.KerfMM = Estimate{0.5, 0.03}
	c.add(f)
	require.Len(t, c.Nodes, 1)
	assert.InDelta(t, 0.45, c.Nodes[0].KerfMM.Value, 1e-12)
	assert.InDelta(t, 0.03/math.Sqrt2, c.Nodes[0].KerfMM.HalfWidth, 1e-12)
}

// Fritsch and Butland by hand, for 10, 20 and 30 kg/m3 at 1.0, 0.6 and 0.5 mm: the
// chords fall by 0.04 and 0.01 a kg/m3. Inside, the slope is their harmonic mean,
// -2 (0.04 0.01)/0.05 = -0.016; at the ends the parabola's, (3 (-0.04) + 0.01)/2 =
// -0.055, and (3 (-0.01) + 0.04)/2 = 0.005, which is the wrong way and so 0. Half
// way, a cubic is the mean and an eighth of the step times the slopes' difference.
func TestCurveByHand(t *testing.T) {
	c := curveOf([]float64{10, 20, 30}, []float64{1, 0.6, 0.5})
	for density, want := range map[float64]Estimate{
		15: {0.8 + 10./8*(-0.055+0.016), 0.02 + 10./8*(0.055-0.016)},
		25: {0.55 + 10./8*(-0.016), 0.02 + 10./8*0.016},
	} {
		e, ok := c.At(density, false)
		require.True(t, ok)
		assert.InDelta(t, want.Value, e.Value, 1e-12)
		assert.InDelta(t, want.HalfWidth, e.HalfWidth, 1e-12, "as much more as it strays from the chord")
	}
	// Beyond: level, and as much wider as the slope or melting would make it.
	e, _ := c.At(40, true)
	assert.Equal(t, 0.5, e.Value)
	assert.InDelta(t, 0.02+0.5*(1-30./40), e.HalfWidth, 1e-12)
	e, _ = c.At(8, true)
	assert.Equal(t, 1., e.Value)
	assert.InDelta(t, 0.02+1*(10./8-1), e.HalfWidth, 1e-12)
	steep := curveOf([]float64{10, 20}, []float64{1, 0.1})
	e, _ = steep.At(9, true)
	assert.InDelta(t, 0.02+1./9, e.HalfWidth, 1e-12, "melting makes 1/9 of it, the chord's slope 0.09")
	steep = curveOf([]float64{100, 101}, []float64{1, 0.5})
	e, _ = steep.At(99, true)
	assert.InDelta(t, 0.02+0.5, e.HalfWidth, 1e-9, "the slope makes 0.5 of it, melting 0.01")
}

// Two estimates of one density, each weighed by the inverse square of its
// half-width: 0.4 +- 0.01 and 0.5 +- 0.02 are (4 0.4 + 0.5)/5.
func TestJoinedByWeight(t *testing.T) {
	c := &Curve{}
	c.add(Fit{Subject: Subject{DensityKgM3: 30}, KerfMM: Estimate{0.4, 0.01}})
	c.add(Fit{Subject: Subject{DensityKgM3: 30}, KerfMM: Estimate{0.5, 0.02}})
	require.Len(t, c.Nodes, 1)
	assert.InDelta(t, 0.42, c.Nodes[0].KerfMM.Value, 1e-12)
	assert.InDelta(t, 0.02/math.Sqrt(5), c.Nodes[0].KerfMM.HalfWidth, 1e-12)
	assert.True(t, c.Nodes[0].Weighed)
	c.add(Fit{Foam: profiles.Foam{DensityKgM3: profiles.Number{Value: 45}}, KerfMM: Estimate{0.3, 0.01}})
	assert.False(t, c.Nodes[1].Weighed)
	assert.Equal(t, 45.0, c.Nodes[1].DensityKgM3)
}
