package kerf

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
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
			e, err := c.At(densities[i], false)
			require.NoError(t, err)
			require.Equal(t, Estimate{kerfs[i], 0.02}, e)
			if i == 0 {
				continue
			}
			low, high := min(kerfs[i-1], kerfs[i]), max(kerfs[i-1], kerfs[i])
			last := kerfs[i-1]
			for share := 0.02; share < 1; share += 0.02 {
				e, err := c.At(densities[i-1]+share*(densities[i]-densities[i-1]), false)
				require.NoError(t, err)
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
		_, err := c.At(d, false)
		assert.True(t, errors.Is(err, ErrBeyond), d)
	}
	a, err := c.At(50, true)
	require.NoError(t, err)
	b, err := c.At(60, true)
	require.NoError(t, err)
	assert.Equal(t, 0.3, a.Value)
	assert.Equal(t, 0.3, b.Value)
	assert.Greater(t, a.HalfWidth, 0.02)
	assert.Greater(t, b.HalfWidth, a.HalfWidth)
	// A kerf that goes with one over the density is still inside.
	assert.GreaterOrEqual(t, b.HalfWidth, 0.3-0.3*45/60)
	_, err = c.At(1e6, true)
	assert.ErrorIs(t, err, ErrBeyond)
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
	xpe, _ := known.Foam("xpe-33")
	_, _, err := curves[0].Profile(xpe, 33, known, true, "")
	assert.ErrorContains(t, err, "never carried across kinds")

	pe, _ := known.Foam("pe-30")
	file, e, err := curves[0].Profile(pe, 36, known, false, "2026-03-01")
	require.NoError(t, err)
	assert.InDelta(t, 0.35, e.Value, 1e-3)
	assert.Contains(t, string(file.Data), "interpolated between measured kerfs of pe foam, 25.4 mm, on bench-laser with beam at 28, 44 kg/m3")
	file, _, err = curves[0].Profile(pe, 60, known, true, "")
	require.NoError(t, err)
	assert.Contains(t, string(file.Data), "BEYOND WHAT WAS MEASURED")
	require.NoError(t, known.Add(folder([]ProfileFile{file})))
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
