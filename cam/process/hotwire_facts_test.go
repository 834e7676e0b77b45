package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
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
	for p, want := range map[float64]float64{0.5: 0.2087, 0.945: 0.3500, 2: 0.4411, 5: 0.4759} {
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

// Nichrome 80/20 of 1.08e-6 ohm m (its maker): 13.43 ohm/m at 0.32 mm and 22.00 at 0.25, and so 31.4 W/m with 1.53 A
// and 29.1 with 1.15 A (facts I, derived).
func TestHeatOfAWire(t *testing.T) {
	ohmPerM := func(mm float64) float64 { return 1.08e-6 / (math.Pi * mm * mm / 4 * 1e-6) }
	assert.InDelta(t, 13.43, ohmPerM(0.32), 5e-3)
	assert.InDelta(t, 22.00, ohmPerM(0.25), 5e-3)
	assert.InDelta(t, 31.4, 1.53*1.53*ohmPerM(0.32), 0.05)
	assert.InDelta(t, 29.1, 1.15*1.15*ohmPerM(0.25), 0.05)
}

// The kerf of that wire in EPS, by the moving source and not by k = C/v: 0.6995 mm at 4 mm/s, 1.399 at 2; at 11.2 mm/s it
// is as wide as the wire of 0.25 mm, which beyond that pushes (facts I, checked by superposed sources).
func TestKerfGoesWithTheInverseOfTheSpeed(t *testing.T) {
	const conducts, heats, melts, wattsPerM = 0.035, 20 * 1300.0, 140.0, 29.1 // W/mK, J/m3K, K
	kerf := func(mmPerS float64) float64 {
		diffuses := conducts / heats * 1e6 // mm2/s
		return 2 * diffuses / mmPerS * meltWidth(wattsPerM/(2*math.Pi*conducts*melts))
	}
	assert.InDelta(t, 0.6995, kerf(4), 1e-3)
	assert.InDelta(t, 1.399, kerf(2), 2e-3)
	assert.InDelta(t, 0.25, kerf(11.2), 1e-3)
}

// Braking into a corner from 4 mm/s to 0.491 at 10 mm/s2 takes 0.308 s longer, in which 29.1 W/m melt up to 2.5 mm2 of
// EPS; at 100 mm/s2, where a corner is gone through as much faster as the root of that, 0.015 s (facts I, derived).
func TestWhatACornerMelts(t *testing.T) {
	slow := SlowdownS(4, 0.491, 10)
	assert.InDelta(t, 0.308, slow, 1e-3)
	assert.InDelta(t, 2.5, 29.1*slow/(20*1300*140)*1e6, 0.05)
	assert.InDelta(t, 0.015, SlowdownS(4, 0.491*math.Sqrt(10), 100), 1e-3)
}

// 2.352 mm more wire between fixed ends 600 mm apart: the parabola of that length sags 23.04 mm, the formula says 23.0
// (facts I).
func TestAParabolaThatIsLongerSags(t *testing.T) {
	long := func(sag float64) (mm float64) {
		const n = 100_000
		for i := range n {
			slope := 8 * sag / 600 * ((float64(i)+0.5)/n - 0.5)
			mm += math.Hypot(1, slope) * 600 / n
		}
		return mm
	}
	low, high := 0.0, 100.0
	for high-low > 1e-6 {
		if sag := (low + high) / 2; long(sag) < 602.352 {
			low = sag
		} else {
			high = sag
		}
	}
	assert.InDelta(t, 23.04, low, 5e-3)
	assert.InDelta(t, low, SagMM(600, 2.352), 0.05)
}

// Three pockets and the rim: three slits leave the tray in one piece, four in two, five in three (facts I, flood fill; here the
// foam that is left). Three upright slits are 75 mm long in all and the way 450 (the least are in TestLeastSlitsByHand); a
// branch off a slit could save 13.4 % at most (from memory: the Gilbert-Pollak ratio).
func TestWhatSlitsLeaveOfATray(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) geometry.Region {
		return geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x0, Y: y0}, Max: geometry.Point{X: x1, Y: y1}}, 0))
	}
	open := []geometry.Region{box(20, 25, 40, 55), box(50, 25, 70, 55), box(80, 25, 100, 55)}
	for i, slit := range []geometry.Region{box(-1, 39.8, 21, 40.2), box(39, 39.8, 51, 40.2), box(69, 39.8, 81, 40.2), box(99, 39.8, 121, 40.2), box(59.8, 54, 60.2, 81)} {
		open = append(open, slit)
		cut, err := geometry.Union(1e-6, open...)
		require.NoError(t, err)
		left, err := geometry.Difference(box(0, 0, 120, 80), cut, 1e-6)
		require.NoError(t, err)
		assert.Len(t, left.Pieces(), max(1, i+1-3+1), "%d slits", i+1)
	}
	assert.InDelta(t, 450, 3*100.0+2*(3*25), 1e-12)
	assert.InDelta(t, 0.134, 1-math.Sqrt(3)/2, 5e-5)
}
