package proof_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

// Parts that lose their hold although no contour of the plan is cut: each is refused where
// work goes on in them, or where they come free with the cutter beside them.
func TestWhatNothingHoldsIsNotWorkedOn(t *testing.T) {
	sheet, through := box(0, 0, 90, 70), thickMM+throughMM/2
	lead := geometry.Circle(geometry.Point{X: -3, Y: -3}, 0.1)
	around := func(mm float64) process.Op {
		return routed("around", []geometry.Contour{lead, outlinePath(sheet.Grow(mm), cutterMM/2)}, through, 5)
	}
	wall := geometry.Rectangle(box(48, 10, 30, 20).Grow(-cutterMM/2), 0)
	first := func(op process.Op, ops []process.Op) []process.Op { return append([]process.Op{op}, ops...) }
	for _, c := range []struct {
		name  string
		spoil func([]process.Op) []process.Op
		bad   bool
	}{
		{"as it is", func(ops []process.Op) []process.Op { return ops }, false},
		{"cut out of its sheet first, near", func(ops []process.Op) []process.Op { return first(around(6), ops) }, true},
		{"cut out of its sheet first, farther", func(ops []process.Op) []process.Op { return first(around(9), ops) }, true},
		{"cut out of its sheet last", func(ops []process.Op) []process.Op { return append(ops, around(7)) }, true},
		{"the plug's wall first", func(ops []process.Op) []process.Op {
			return first(routed("wall", []geometry.Contour{geometry.Circle(geometry.Point{X: 55, Y: 20}, 0.1), wall}, through, 5), ops)
		}, true},
		{"the outline to half a mm above its skin first", func(ops []process.Op) []process.Op {
			return first(routed("outline", []geometry.Contour{lead, outlinePath(sheet, cutterMM/2)}, thickMM-1.5, 5), ops)
		}, true},
		{"the outline to where it still holds first", func(ops []process.Op) []process.Op {
			return first(routed("outline", []geometry.Contour{lead, outlinePath(sheet, cutterMM/2)}, 10, 5), ops)
		}, false},
	} {
		p, w := routerTray()
		p.Ops = c.spoil(p.Ops)
		r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
		assert.Equal(t, c.bad, slices.Contains(rulesOf(r), "loose-foam"), "%s: %v", c.name, rulesOf(r))
	}
}

// A beam that cuts the sheet away around the tray works on in what has dropped.
func TestATrayDropsWithWhatIsAroundIt(t *testing.T) {
	p, w := laserTray()
	sheet := box(0, 0, 90, 70)
	ring := burned("around", process.Outline, outlinePath(sheet.Grow(4), 0.1), geometry.Point{X: -6, Y: -6}, 2)
	good := proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)
	assert.True(t, good.OK, "%v", good.Findings)
	last := p
	last.Ops = append(append([]process.Op(nil), p.Ops...), ring)
	assert.NotContains(t, rulesOf(proof.Run("", text(t, last, laserMachine()), laserSetup(), &w)), "loose-tray")
	p.Ops = append([]process.Op{ring}, p.Ops...)
	assert.Contains(t, rulesOf(proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)), "loose-tray")
}

// An island that drops is a warning under a beam, and hides no tray that dropped before it.
func TestAnIslandHidesNoDroppedTray(t *testing.T) {
	p, w := laserTray()
	middle := geometry.Point{X: 62, Y: 50} // of the token's pocket
	island := geometry.Circle(middle, 4)
	shape, err := geometry.Difference(w.Cuts[1].Shape, geometry.NewRegion(island), 1e-6)
	require.NoError(t, err)
	w.Cuts[1].Shape = shape
	around := burned("island", process.Pocket, geometry.Circle(middle, 4+kerfMM/2), geometry.Point{X: 68, Y: 50}, 2)
	p.Ops = append([]process.Op{around}, p.Ops...)
	rules := rulesOf(proof.Run("", text(t, p, laserMachine()), laserSetup(), &w))
	assert.Contains(t, rules, "loose-island")
	assert.NotContains(t, rules, "loose-tray")
	ring := burned("around", process.Outline, outlinePath(box(0, 0, 90, 70).Grow(4), 0.1), geometry.Point{X: -6, Y: -6}, 2)
	p.Ops = append([]process.Op{ring}, p.Ops...)
	rules = rulesOf(proof.Run("", text(t, p, laserMachine()), laserSetup(), &w))
	assert.Contains(t, rules, "loose-island")
	assert.Contains(t, rules, "loose-tray")
}
