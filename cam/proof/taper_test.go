package proof_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
)

// A beam that leans by 0.5 degrees a side reaches 20 mm tan(0.5 degrees) =
// 0.17454 mm farther at the face than at the underside of 20 mm of foam.
func TestTaperedBeam(t *testing.T) {
	p, w := laserTray()
	s := laserSetup()
	s.TaperDegrees = 0.5
	r := proof.Run("", text(t, p, laserMachine()), s, &w)
	assert.True(t, r.OK, "the underside is as planned: %v", r.Findings)
	assert.Less(t, max(r.WorstOvercutMM, r.WorstUndercutMM), 3e-4)
	require.Equal(t, []string{"tapered-walls"}, rulesOf(r))
	// The thinnest planned wall is above the token: 70 - 62.875 = 7.125 mm, less
	// the flare on both sides.
	assert.Contains(t, r.Findings[0].Message, "at the foam's face every hole is 0.175 mm wider a side")
	assert.Contains(t, r.Findings[0].Message, "between pocket 2 (token) and the outline, is 6.776 mm there and not 7.125 mm")
}

// A wall that the flare takes from both sides is gone at the face.
func TestTaperTakesAWall(t *testing.T) {
	a, b := box(10, 10, 20, 20), box(30.3, 10, 20, 20)
	var w proof.Wanted
	p, _ := laserTray()
	p.Ops = nil
	for i, hole := range []geometry.Box{a, b} {
		name := []string{"left", "right"}[i]
		p.Ops = append(p.Ops, burned(name, 1, geometry.Rectangle(hole.Grow(-kerfMM/2), 1), hole.Min.Add(hole.Max).Scale(0.5), 2))
		w.Cuts = append(w.Cuts, proof.WantedCut{Name: name, Shape: geometry.NewRegion(geometry.Rectangle(hole, 1+kerfMM/2)), DepthMM: thickMM, Through: true})
	}
	s := laserSetup()
	assert.Empty(t, rulesOf(proof.Run("", text(t, p, laserMachine()), s, &w)))
	s.TaperDegrees = 0.5
	r := proof.Run("", text(t, p, laserMachine()), s, &w)
	require.Equal(t, []string{"tapered-walls"}, rulesOf(r))
	assert.False(t, r.OK)
	assert.Contains(t, r.Findings[0].Message, "nothing is left there of the wall of 0.3 mm between left and right")
}

// The volume of a tapered slit, by hand: a line of length l removes
// l (kerf + flare) T in the middle, and at its ends together a cone's frustum of
// radii kerf/2 and kerf/2 + flare.
func TestTaperInTheField(t *testing.T) {
	s := laserSetup()
	s.TaperDegrees, s.CellMM, s.Passes = 3, 0.05, 1
	program := "G21 G90\nG0 X5 Y5\nM3 S600\nG1 X45 F900\nM5\nM2\n"
	r := proof.Run("", []byte(program), s, nil)
	flare := thickMM * math.Tan(3*math.Pi/180)
	low, high := kerfMM/2, kerfMM/2+flare
	want := thickMM * (40*(low+high) + math.Pi/3*(low*low+low*high+high*high))
	assert.InEpsilon(t, want, r.RemovedMM3, 0.002)
	// Halfway out on the flank it is cut half through.
	assert.InDelta(t, thickMM/2, depthAt(r.Field, geometry.Point{X: 25, Y: 5 + low + flare/2}), thickMM*0.025/flare+0.1)
}
