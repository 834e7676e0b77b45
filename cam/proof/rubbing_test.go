package proof

import (
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// A drawing's points may lie closer together than the cells: a move between them cuts where the
// moves around it do. A long one, and small ones that all cut nothing, go by themselves.
func TestSmallMovesCutTogether(t *testing.T) {
	d := run{result: Result{Field: Field{CellMM: 0.1}}}
	at := 0.0
	move := func(mm float64, took bool) bool {
		from := at
		at += mm
		d.result.Motions = append(d.result.Motions, Motion{From: Point{Point: geometry.Point{X: from}}, To: Point{Point: geometry.Point{X: at}}})
		d.sweeps = append(d.sweeps, sweep{motion: len(d.sweeps)})
		return took
	}
	var took, want []bool
	for i := range 400 {
		took, want = append(took, move(0.005, i%20 == 7)), append(want, true)
	}
	took, want = append(took, move(30, false)), append(want, false)
	for range 400 {
		took, want = append(took, move(0.005, false)), append(want, false)
	}
	took, want = append(took, move(0.5, true)), append(want, true)
	took, want = append(took, move(0.5, false)), append(want, false)
	require.Equal(t, want, d.cutting(took))
}
