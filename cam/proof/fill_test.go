package proof

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// Edges that lie on a row of cells to the last digit once left a row with an
// odd number of crossings, and the fill ran out of the region.
func TestFillStaysInTheRegion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenth := func(name string) float64 { return float64(rapid.IntRange(0, 400).Draw(t, name)) / 10 }
		f := Field{CellMM: 0.2, Columns: 260, Rows: 260}
		f.Origin.X, f.Origin.Y = -5+tenth("ox")/100, -5+tenth("oy")/100
		// An L of two overlapping steps, corners on tenths of a millimetre.
		x, y := tenth("x")/4, tenth("y")/4
		a, b, c, d := 2+tenth("a")/4, 2+tenth("b")/4, 1+tenth("c")/4, 1+tenth("d")/4
		p := func(px, py float64) geometry.Point { return geometry.Point{X: x + px, Y: y + py} }
		r := geometry.NewRegion(geometry.Polygon(p(0, 0), p(a+c, 0), p(a+c, b), p(a, b), p(a, b+d), p(0, b+d)))
		box := r.Bounds()
		cells := 0
		fillRegion(&f, r, func(row, c0, c1 int) {
			cells += c1 - c0
			require.GreaterOrEqual(t, f.center(c0, row).X, box.Min.X-1e-9)
			require.LessOrEqual(t, f.center(c1-1, row).X, box.Max.X+1e-9)
			require.GreaterOrEqual(t, f.center(c0, row).Y, box.Min.Y-1e-9)
			require.LessOrEqual(t, f.center(c0, row).Y, box.Max.Y+1e-9)
		})
		// A cell a side may fall in or out along the boundary.
		require.InDelta(t, r.Area(), float64(cells)*f.CellMM*f.CellMM, r.Length()*f.CellMM)
	})
}
