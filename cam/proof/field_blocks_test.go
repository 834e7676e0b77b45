package proof

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// What is known of blocks changes nothing: cells are as deep as the deepest span over each.
func TestBlocksAreAsDeepAsTheirCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Field{CellMM: 1}
		f.cover(geometry.Box{Max: geometry.Point{X: float64(rapid.IntRange(1, 70).Draw(t, "columns")), Y: 3}}, maxCells)
		want := make([]float32, len(f.DepthMM))
		for range 60 {
			row, c0 := rapid.IntRange(0, f.Rows-1).Draw(t, "row"), rapid.IntRange(0, f.Columns-1).Draw(t, "from")
			c1, depth := rapid.IntRange(c0+1, f.Columns).Draw(t, "to"), float32(rapid.IntRange(0, 5).Draw(t, "depth"))
			most := float32(0)
			for c := c0; c < c1; c++ {
				most = max(most, depth-want[row*f.Columns+c])
				want[row*f.Columns+c] = max(want[row*f.Columns+c], depth)
			}
			require.Equal(t, most, f.deepen(row, c0, c1, depth))
		}
		require.Equal(t, want, f.DepthMM)
	})
}
