package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// A sheet that lies turned by a right angle about the place where the machine starts is cut in
// the same order and as far: nothing in a program depends on which way X points. Sizes are
// odd, so that no two ways are equally long.
func TestASheetTurnedIsCutTheSame(t *testing.T) {
	turn := geometry.Rotate(math.Pi/2, geometry.Point{})
	rapid.Check(t, func(t *rapid.T) {
		odd := func(low, high float64, what string) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
		machine, through := benchRouter(), rapid.Bool().Draw(t, "through")
		build := routerSheet
		if rapid.Bool().Draw(t, "laser") {
			machine, through = benchLaser(), true
			build = func(_ float64, cuts ...plan.Cut) plan.Sheet { return laserSheet(cuts...) }
		}
		var cuts []plan.Cut
		for i := range rapid.IntRange(1, 5).Draw(t, "n") {
			x, y := 12+60*float64(i%3)+odd(0, 3, "x"), 12+60*float64(i/3)+odd(0, 3, "y")
			c := plan.Cut{Name: string(rune('a' + i)), DepthMM: odd(2, 20, "depth"), Through: through}
			switch rapid.IntRange(0, 2).Draw(t, "shape") {
			case 0:
				c.Shape = rectangle(x, y, odd(8, 50, "length"), odd(8, 50, "width"), odd(1.7, 3.9, "corner"))
			case 1:
				c.Shape = round(x+22, y+22, odd(8, 44, "diameter"))
			case 2:
				l, w := odd(15, 50, "length"), odd(8, 14, "width")
				c.Shape = geometry.NewRegion(geometry.Slot(geometry.Point{X: x + w, Y: y + w}, geometry.Point{X: x + l - w/2, Y: y + w}, w))
			}
			cuts = append(cuts, c)
		}
		sheet := build(25.4, cuts...)
		first, err := made(sheet, machine, tol)
		require.NoError(t, err)
		turned := sheet
		turned.Cuts = append([]plan.Cut(nil), sheet.Cuts...)
		for i := range turned.Cuts {
			turned.Cuts[i].Shape = turned.Cuts[i].Shape.Transform(turn)
		}
		turned.Edge.Shape = turned.Edge.Shape.Transform(turn)
		second, err := made(turned, machine, tol)
		require.NoError(t, err)
		require.Len(t, second.Ops, len(first.Ops))
		for i, op := range first.Ops {
			other := second.Ops[i]
			require.Equal(t, op.Name, other.Name)
			require.Equal(t, op.Passes, other.Passes)
			long := Measure(Program{Ops: []Op{op}}).CutLengthMM
			share := 0.06 // where a pocket is alike on two sides, a cutter may come in by either
			if machine.Process == profiles.Laser {
				share = 1e-6
				require.Len(t, other.Moves, len(op.Moves), op.Name)
			}
			require.InDelta(t, long, Measure(Program{Ops: []Op{other}}).CutLengthMM, share*long, op.Name)
		}
	})
}
