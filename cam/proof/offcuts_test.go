package proof_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/proof"
	"traywright/geometry"
)

// A tray with an offcut that begins where the outline's cut ends, by the width of the cutter, is whole; a
// groove that somebody has added in the waste beside it is too, and one that reaches into the offcut is told
// by how far: the groove's middle, and half the cutter, beyond the offcut's edge.
func TestAnOffcutStays(t *testing.T) {
	p, w := routerTray()
	w.Offcuts = []proof.Offcut{{Box: box(90+cutterMM, -20, 60, 110), Name: "rest"}}
	r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
	assert.Empty(t, r.Findings)
	for _, into := range []float64{-0.5, -0.01, 0.03, 0.5, 3, 20} {
		x := 90 + cutterMM + into - cutterMM/2
		p, w := routerTray()
		w.Offcuts = []proof.Offcut{{Box: box(90+cutterMM, -20, 60, 110), Name: "rest"}}
		p.Ops = append(p.Ops, routed("more", []geometry.Contour{geometry.Slot(geometry.Point{X: x, Y: 20}, geometry.Point{X: x, Y: 40}, 1e-3)}, 3, 3))
		r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
		if into < 0.02 {
			assert.NotContains(t, rulesOf(r), "offcut-cut", "%v", into)
			continue
		}
		require.Contains(t, rulesOf(r), "offcut-cut", "%v", into)
		assert.False(t, r.OK)
		assert.InDelta(t, into, r.WorstOvercutMM, 2e-3)
	}
}

// A scratch in its face is a cut into it.
func TestAnOffcutIsNotScratched(t *testing.T) {
	p, w := routerTray()
	w.Offcuts = []proof.Offcut{{Box: box(90+cutterMM, -20, 60, 110), Name: "rest"}}
	p.Ops = append(p.Ops, routed("more", []geometry.Contour{geometry.Slot(geometry.Point{X: 96, Y: 20}, geometry.Point{X: 96, Y: 40}, 1e-3)}, 0.005, 3))
	assert.Contains(t, rulesOf(proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)), "offcut-cut")
}

// The same for grooves that a seed draws, lines and arcs: how far one reaches into the offcut is by sampling, how
// far each of its places lies in it.
func TestHowFarAnOffcutIsCut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		p, w := routerTray()
		keep := box(94+20*r.Float64(), -20+40*r.Float64(), 20+60*r.Float64(), 20+60*r.Float64())
		w.Offcuts = []proof.Offcut{{Box: keep}}
		way := geometry.Circle(geometry.Point{X: 96 + 30*r.Float64(), Y: 90 * r.Float64()}, 1+15*r.Float64())
		if r.IntN(2) == 0 {
			way = geometry.Slot(geometry.Point{X: 96 + 30*r.Float64(), Y: 90 * r.Float64()}, geometry.Point{X: 96 + 30*r.Float64(), Y: 90 * r.Float64()}, 0.5)
		}
		p.Ops = append(p.Ops, routed("more", []geometry.Contour{way}, 3, 3))
		most := math.Inf(-1)
		for s := range way.Segments() {
			n := math.Ceil(s.Length() / 0.002)
			for i := range int(n) + 1 {
				at := s.At(float64(i) / n)
				x, y := max(keep.Min.X-at.X, at.X-keep.Max.X), max(keep.Min.Y-at.Y, at.Y-keep.Max.Y)
				out := math.Hypot(max(x, 0), max(y, 0))
				if x < 0 && y < 0 {
					out = max(x, y)
				}
				most = max(most, cutterMM/2-out)
			}
		}
		found := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
		if most < 0.015 {
			assert.NotContains(rt, rulesOf(found), "offcut-cut")
		} else if most > 0.025 {
			require.Contains(rt, rulesOf(found), "offcut-cut")
			assert.GreaterOrEqual(rt, found.WorstOvercutMM, most-3e-3)
		}
	})
}

// A beam that goes into it is told as well.
func TestABeamInAnOffcut(t *testing.T) {
	p, w := laserTray()
	w.Offcuts = []proof.Offcut{{Box: box(92, 0, 60, 70)}}
	r := proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)
	assert.NotContains(t, rulesOf(r), "offcut-cut")
	p.Ops = append(p.Ops, burned("more", p.Ops[0].Kind, geometry.Polygon(geometry.Point{X: 91, Y: 10}, geometry.Point{X: 95, Y: 10}), geometry.Point{X: 91, Y: 10}, 2))
	r = proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)
	assert.Contains(t, rulesOf(r), "offcut-cut")
}

// What is to stay is part of what the plan's seal counts.
func TestASealKnowsTheOffcuts(t *testing.T) {
	_, w := routerTray()
	before := proof.PlanSeal(routerSetup(), &w)
	w.Offcuts = []proof.Offcut{{Box: box(100, 0, 60, 70)}}
	with := proof.PlanSeal(routerSetup(), &w)
	w.Offcuts[0].Max.X++
	assert.NotEqual(t, before, with)
	assert.NotEqual(t, with, proof.PlanSeal(routerSetup(), &w))
}
