package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// Boxes are put into few cells, wherever they lie: each cell is counted from the lowest
// corner of them all, so that none has a number below 0 and all lie within the square.
func TestCellsBeginAtTheLowestCorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		far := rapid.SampledFrom([]float64{0, -500, 3000}).Draw(t, "far")
		boxes := make([]geometry.Box, rapid.IntRange(1, 60).Draw(t, "count"))
		for i := range boxes {
			x, y := far+rapid.Float64Range(0, 200).Draw(t, "x"), far+rapid.Float64Range(0, 200).Draw(t, "y")
			boxes[i] = geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + 5, Y: y + 5}}
		}
		g := newCells(boxes)
		most := 0
		for most*most < len(boxes) {
			most++
		}
		for _, b := range boxes {
			visited := 0
			g.each(b, func(c [2]int) {
				visited++
				require.True(t, c[0] >= 0 && c[1] >= 0 && c[0] <= most && c[1] <= most, "%v of %d boxes", c, len(boxes))
			})
			require.Positive(t, visited)
		}
	})
}
