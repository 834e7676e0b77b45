package kerf

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// digits is how many significant digits two numbers share: the LRE of B. D.
// McCullough (The American Statistician 52, 1998), from memory.
func digits(got, certified float64) float64 {
	if got == certified {
		return 15
	}
	return -math.Log10(math.Abs(got-certified) / math.Abs(certified))
}

// dataset is one of NIST's Statistical Reference Datasets for linear
// regression, with its certified values; public domain. Data and values were
// written down from memory: that they agree to so many digits shows that they
// were remembered right.
type dataset struct {
	name                         string
	rows                         [][]float64
	observed                     []float64
	coefficients, standardErrors []float64
	deviation                    float64
}

func norris() dataset {
	// y, x
	pairs := [][2]float64{
		{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3},
		{449.1, 448.6}, {778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0},
		{448.9, 447.5}, {10.8, 11.6}, {557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3},
		{0.6, 0.3}, {557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1}, {117.6, 118.3},
		{228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5},
	}
	d := dataset{
		name:           "Norris",
		coefficients:   []float64{-0.262323073774029, 1.00211681802045},
		standardErrors: []float64{0.232818234301152, 0.429796848199937e-03},
		deviation:      0.884796396144373,
	}
	for _, p := range pairs {
		d.rows, d.observed = append(d.rows, []float64{1, p[1]}), append(d.observed, p[0])
	}
	return d
}

func longley() dataset {
	d := dataset{
		name:     "Longley",
		observed: []float64{60323, 61122, 60171, 61187, 63221, 63639, 64989, 63761, 66019, 67857, 68169, 66513, 68655, 69564, 69331, 70551},
		coefficients: []float64{-3482258.63459582, 15.0618722713733, -0.358191792925910e-01, -2.02022980381683,
			-1.03322686717359, -0.511041056535807e-01, 1829.15146461355},
		standardErrors: []float64{890420.383607373, 84.9149257747669, 0.334910077722432e-01, 0.488399681651699,
			0.214274163161675, 0.226073200069370, 455.478499142212},
		deviation: 304.854073561965,
	}
	for _, x := range [][6]float64{
		{83.0, 234289, 2356, 1590, 107608, 1947}, {88.5, 259426, 2325, 1456, 108632, 1948}, {88.2, 258054, 3682, 1616, 109773, 1949},
		{89.5, 284599, 3351, 1650, 110929, 1950}, {96.2, 328975, 2099, 3099, 112075, 1951}, {98.1, 346999, 1932, 3594, 113270, 1952},
		{99.0, 365385, 1870, 3547, 115094, 1953}, {100.0, 363112, 3578, 3350, 116219, 1954}, {101.2, 397469, 2904, 3048, 117388, 1955},
		{104.6, 419180, 2822, 2857, 118734, 1956}, {108.4, 442769, 2936, 2798, 120445, 1957}, {110.8, 444546, 4681, 2637, 121950, 1958},
		{112.6, 482704, 3813, 2552, 123366, 1959}, {114.2, 502601, 3931, 2514, 125368, 1960}, {115.7, 518173, 4806, 2572, 127852, 1961},
		{116.9, 554894, 4007, 2827, 130081, 1962},
	} {
		d.rows = append(d.rows, append([]float64{1}, x[:]...))
	}
	return d
}

// noInt1 goes through the origin.
func noInt1() dataset {
	d := dataset{name: "NoInt1", coefficients: []float64{2.07438016528926}, standardErrors: []float64{0.165289256198347e-01}, deviation: 3.56753034006338}
	for i := range 11 {
		d.rows, d.observed = append(d.rows, []float64{60 + float64(i)}), append(d.observed, 130+float64(i))
	}
	return d
}

// Norris is of lower difficulty, NoInt1 of average, Longley of higher.
func TestNISTReferenceDatasets(t *testing.T) {
	for _, d := range []dataset{norris(), noInt1(), longley()} {
		t.Run(d.name, func(t *testing.T) {
			s, err := leastSquares(d.rows, d.observed)
			require.NoError(t, err)
			least := digits(s.deviation, d.deviation)
			weights := make([]float64, len(d.coefficients))
			for i, want := range d.coefficients {
				clear(weights)
				weights[i] = 1
				least = min(least, digits(s.coefficients[i], want), digits(s.standardError(s.deviation, weights...), d.standardErrors[i]))
			}
			t.Logf("%s: at least %.1f digits", d.name, least)
			assert.GreaterOrEqual(t, least, 9.0)
		})
	}
}

// Points of Student's t as every table has them (NIST/SEMATECH e-Handbook
// 1.3.6.7.2, to its three decimals), and the closed forms for one and two
// degrees of freedom: tan(pi (p - 1/2)), and (2p-1) sqrt(2 / (1-(2p-1)^2)).
func TestStudentPoints(t *testing.T) {
	for dof, want := range map[int]float64{1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 8: 2.306, 10: 2.228, 15: 2.131, 20: 2.086, 30: 2.042, 60: 2.000, 100: 1.984} {
		assert.InDelta(t, want, studentPoint(dof), 0.0005, dof)
	}
	assert.GreaterOrEqual(t, digits(studentPoint(1), math.Tan(0.475*math.Pi)), 9.0)
	assert.GreaterOrEqual(t, digits(studentPoint(2), 0.95*math.Sqrt(2/(1-0.95*0.95))), 9.0)
	assert.InDelta(t, normal95, studentPoint(1_000_000), 1e-5)
	assert.True(t, math.IsInf(studentPoint(0), 1))
}

// A deleted residual is the observation's distance from the fit without it,
// over that distance's own standard deviation.
func TestDeletedResiduals(t *testing.T) {
	rows := [][]float64{{1, 1}, {1, 2}, {1, 3}, {1, 4}, {1, 6}, {1, 9}}
	observed := []float64{1.1, 1.9, 3.2, 3.9, 6.4, 8.8}
	s, err := leastSquares(rows, observed)
	require.NoError(t, err)
	for i, got := range s.deleted() {
		var r [][]float64
		var o []float64
		for k := range rows {
			if k != i {
				r, o = append(r, rows[k]), append(o, observed[k])
			}
		}
		without, err := leastSquares(r, o)
		require.NoError(t, err)
		predicted := without.coefficients[0]*rows[i][0] + without.coefficients[1]*rows[i][1]
		own := math.Hypot(without.deviation, without.standardError(without.deviation, rows[i]...))
		assert.InDelta(t, (observed[i]-predicted)/own, got, 1e-9)
	}
}

func TestSingularModels(t *testing.T) {
	for _, rows := range [][][]float64{nil, {{1, 2}}, {{1, 2}, {2, 4}, {3, 6}}} {
		_, err := leastSquares(rows, make([]float64, len(rows)))
		assert.ErrorIs(t, err, errSingular)
	}
}
