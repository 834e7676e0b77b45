package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// A pocket made for a piece that lies turned by a quarter has that piece's play, whichever way round its sides come.
func TestTurnedPieceHasItsPlay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, width := rapid.IntRange(10, 60).Draw(t, "length"), rapid.IntRange(10, 60).Draw(t, "width")
		fit := float64(rapid.IntRange(0, 8).Draw(t, "fit")) / 4
		mm := func(v int) units.Length { return units.Length(v) * 1_000_000 }
		p := &job.Piece{ID: "a", Count: 1, Length: mm(length), Width: mm(width), Height: mm(20), Pose: job.Upright}
		along := form{name: "rect", length: float64(length) + fit, width: float64(width) + fit}
		across := form{name: "rect", length: along.width, width: along.length}
		for _, f := range []form{along, across} {
			s, ok := seatIn(p, f, 20, 1, 0, 1e-6)
			require.True(t, ok)
			require.InDelta(t, fit, s.playX, 1e-9)
			require.InDelta(t, fit, s.playY, 1e-9)
		}
	})
}
