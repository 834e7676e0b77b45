package proof

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Until when each cell is held, against flooding the grid from its edge once for every
// moment: a cell is held at a moment when the flood of what still stands then reaches it.
func TestHeldUntilIsWhatFloodsSay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		columns, rows := rapid.IntRange(3, 9).Draw(t, "columns"), rapid.IntRange(3, 9).Draw(t, "rows")
		g := &standing{Field: Field{CellMM: 1, Columns: columns, Rows: rows}, gone: make([]int32, columns*rows)}
		edge := func(cell int) bool {
			c, r := cell%columns, cell/columns
			return c == 0 || r == 0 || c == columns-1 || r == rows-1
		}
		const last = 6
		for cell := range g.gone {
			g.gone[cell] = never
			if !edge(cell) && rapid.IntRange(0, 2).Draw(t, "cut") > 0 {
				g.gone[cell] = rapid.Int32Range(1, last).Draw(t, "when")
			}
		}
		want := make([]int32, len(g.gone))
		for _, moment := range []int32{1, 2, 3, 4, 5, 6, never} { // later floods overwrite earlier ones
			seen := make([]bool, len(g.gone))
			var flood func(cell int)
			flood = func(cell int) {
				if cell < 0 || cell >= len(seen) || seen[cell] || g.gone[cell] < moment {
					return
				}
				seen[cell], want[cell] = true, moment
				if cell%columns > 0 {
					flood(cell - 1)
				}
				if cell%columns < columns-1 {
					flood(cell + 1)
				}
				flood(cell - columns)
				flood(cell + columns)
			}
			for cell := range g.gone {
				if edge(cell) {
					flood(cell)
				}
			}
		}
		require.Equal(t, want, g.heldUntil())
	})
}
