package proof_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

// A lap along a wall at full depth, after laps at each level that leave some foam on it, is let through
// where the plan has one and what is left is no more than it says, a square corner's in it: whatever
// has more is a lap in solid foam. By hand: pockets of 30 x 40 mm, 12 mm deep, of which a pass may take 5.
func TestALapAtFullDepthTakesNoSolidFoam(t *testing.T) {
	for _, c := range []struct {
		name       string
		left, wall float64 // on the wall, and by the plan
		rule       string
	}{
		{"0.4 mm, as planned", 0.4, 0.4 * 1.4142136, ""},
		{"0.4 mm, and the plan has a lap at each level", 0.4, 0, "bite-too-deep"},
		{"1.5 mm for 0.4", 1.5, 0.4 * 1.4142136, "bite-too-deep"},
		{"all of it", cutterMM, 0.4 * 1.4142136, "bite-too-deep"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, want := routerTray()
			pocket := box(10, 10, 30, 40)
			var rings []geometry.Contour
			for inset := 14.9; inset > cutterMM/2+c.left; inset -= 1.2 {
				rings = append(rings, geometry.Rectangle(pocket.Grow(-inset), 0))
			}
			rings = append(rings, geometry.Rectangle(pocket.Grow(-cutterMM/2-c.left), 0))
			op := routed("pocket 1 (logbook)", rings, 12, 5)
			up := len(op.Moves) - 1
			way := geometry.Rectangle(pocket.Grow(-cutterMM/2), 0)
			lap := append([]process.Move{{Kind: process.Line, To: process.Point{Point: start(way), Z: -12}, FeedMMPerMin: 1200}}, follow(way, -12, 1200, 0)...)
			op.Moves = append(append(op.Moves[:up:up], lap...), process.Move{To: process.Point{Point: start(way), Z: 5}})
			p.Ops[0], want.Cuts[0].Limits[0].WallMM = op, c.wall
			result := proof.Run("a.ngc", text(t, p, routerMachine()), routerSetup(), &want)
			if c.rule == "" {
				assert.True(t, result.OK, result.Findings)
				return
			}
			assert.Contains(t, rulesOf(result), c.rule)
		})
	}
}
