package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/profiles"
)

// A moving line source in foam of conductivity kf heats it by dT = P/(2 pi kf) exp(-v x / 2a) K0(v r / 2a),
// a = kf/(rho c) (after a secondary text); what is hotter than it melts at is cut. In units of 2a/v, with p = P/(2 pi
// kf dTm), that is all places where exp(-x) K0(r) > 1/p, and their width is that of the cut, k = 2a/v times it.
//
// The kerf is exactly as the inverse of the speed, and eta = k v rho c dTm / P, which is width(p) / (pi p).

// k0 is the modified Bessel function, by its integral of exp(-x cosh t).
func k0(x float64) (sum float64) {
	const step = 1e-3
	for t := step / 2; t < 12; t += step {
		sum += math.Exp(-x*math.Cosh(t)) * step
	}
	return sum
}

// meltWidth is the greatest width across of what melts. Where it is widest is found along y, for behind the
// source the sum of exp(-x) and K0 rises and falls once.
func meltWidth(p float64) float64 {
	hot := func(y float64) bool {
		best := 0.0
		for low, high := -400.0, 2.0; high-low > 1e-4; { // of x
			a, b := low+(high-low)/3, high-(high-low)/3
			at := func(x float64) float64 { r := math.Hypot(x, y); return -x + math.Log(k0(r)*math.Exp(r)) - r }
			if at(a) < at(b) {
				low = a
			} else {
				high = b
			}
			best = at((low + high) / 2)
		}
		return best > math.Log(1/p)
	}
	low, high := 0.0, 10*(1+p)
	for high-low > 1e-4*p {
		if y := (low + high) / 2; hot(y) {
			low = y
		} else {
			high = y
		}
	}
	return 2 * low
}

// The share of the heat that the cut itself takes: 0.2087, 0.3500, 0.4411, 0.4759 for p of 0.5, 0.945, 2, 5, and
// at most sqrt(2/(pi e)) = 0.4839 (facts I, checked by superposed sources). The recipes that ship take 0.45 of it.
func TestShareOfHeatThatCuts(t *testing.T) {
	for p, want := range map[float64]float64{0.5: 0.2087, 0.945: 0.3500, 2: 0.4411} {
		assert.InDelta(t, want, meltWidth(p)/(math.Pi*p), 1e-3, "%v", p)
	}
	assert.InDelta(t, 0.4839, math.Sqrt(2/(math.Pi*math.E)), 1e-4)
	// EPS with 29.1 W/m: kf 0.035, rho 20, c 1300, dTm 140: p 0.945, and k v = eta P / (rho c dTm) = 2.80 mm2/s.
	assert.InDelta(t, 0.945, 29.1/(2*math.Pi*0.035*140), 1e-3)
	assert.InDelta(t, 2.80, 0.3500*29.1/(20*1300*140)*1e6, 5e-3)
}

// The balance v = eta P / (k rho h), eta 1: 4.850, 2.771 and 1.293 mm/s for EPS 20, XPS 35 and PE 30 (facts I); with its
// own numbers no shipped feed is above 0.45 of that.
func TestEnergyBalanceOfAWire(t *testing.T) {
	balance := func(wattsPerM, kerfMM, density, mjPerKg float64) float64 {
		return wattsPerM / (kerfMM * 1e-3 * density * mjPerKg * 1e6) * 1e3
	}
	assert.InDelta(t, 4.850, balance(29.1, 1, 20, 0.3), 1e-3)
	assert.InDelta(t, 2.771, balance(29.1, 1, 35, 0.3), 1e-3)
	assert.InDelta(t, 1.293, balance(29.1, 1.5, 30, 0.5), 1e-3)
	catalog, err := profiles.Shipped()
	assert.NoError(t, err)
	melts := map[string]float64{"pe-30": 0.43, "pe-45": 0.43, "xpe-33": 0.43, "eva-90": 0.4, "xps-32": 0.182, "eps-20": 0.182, "epp-30": 0.375} // MJ/kg, as the recipes say
	wattsPerM := 2 * 2 * 8.388                                                                                                                  // 2 A through AWG 26
	looked := 0
	for _, r := range catalog.Recipes() {
		h, known := melts[r.Foam]
		if r.Machine != "bench-hotwire" || !known {
			continue
		}
		foam, _ := catalog.Foam(r.Foam)
		most := 0.45 * 60 * balance(wattsPerM, r.KerfMM.Value, foam.DensityKgM3.Value, h)
		assert.LessOrEqual(t, r.FeedMMPerMin.Value, most, r.Foam)
		looked++
	}
	assert.Equal(t, len(melts), looked)
}
