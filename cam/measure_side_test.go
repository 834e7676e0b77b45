package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry/trace"
	"traywright/geometry/units"
)

// A piece off the card's line is told, and how much each mm counts.
func TestSideNotes(t *testing.T) {
	q := MeasureRequest{Side: &MeasuredSide{Photo: "side.jpg"}}
	near := q.asideNote(3, trace.Height{NearMM: 14.2, PerMM: 0.05})
	assert.Equal(t, "side.jpg: piece 3", near.Where)
	assert.Contains(t, near.Message, "it stands about 14 mm nearer than the card; each mm changes its height by 0.050 mm")
	assert.Contains(t, q.asideNote(3, trace.Height{NearMM: -14.2}).Message, "14 mm farther away than the card")
	assert.Equal(t, "its foot is seen 1.2 mm lower than the card's, which is in what that may be off by", q.asideNote(3, trace.Height{LowMM: 1.2}).Message)
	assert.Contains(t, q.asideNote(3, trace.Height{NearMM: 14, LowMM: -1.2}).Message, "; its foot is seen 1.2 mm higher than the card's")
	q.Unit = units.Inch
	assert.Contains(t, q.asideNote(3, trace.Height{NearMM: 12.7, PerMM: 0.05, LowMM: -1.27}).Message,
		"it stands about 0.500 in nearer than the card; each inch changes its height by 0.050 in; its foot is seen 0.050 in higher")
}

// Equal pieces have the height of those that stand there; two of a kind that stand there and are not as high are
// two kinds; a disc is seen narrower than it is, for it is widest behind its front.
func TestHeightsOfKinds(t *testing.T) {
	set := measuredSet{pieces: numberedPieces(sized(trace.Box, 30, 20, 0.2), sized(trace.Box, 30, 20, 0.2), sized(trace.Box, 30, 20, 0.2))}
	kinds := kindsOf(set.pieces)
	assert.Len(t, kinds, 1)
	set.pieces[1].height, set.pieces[1].heightOff = 12, 0.4
	shareHeights(&set, kinds)
	for _, p := range set.pieces {
		assert.Equal(t, 12.0, p.height)
	}
	set.pieces[2].height = 13
	kinds = kindsOf(set.pieces)
	assert.Len(t, kinds, 2)
	assert.Equal(t, 12.0, kinds[0].height)
	assert.Equal(t, 0.4, kinds[0].heightOff)

	q := MeasuredSide{Side: &trace.Side{CameraMM: 300}}
	coin := trace.Piece{Length: 60, Width: 60}
	assert.True(t, q.asLong(trace.Standing{Width: 54}, coin))
	assert.False(t, q.asLong(trace.Standing{Width: 45}, coin))
	assert.False(t, q.asLong(trace.Standing{Width: 64}, coin))
	assert.False(t, q.asLong(trace.Standing{Width: 24}, trace.Piece{Length: 30, Width: 20}), "its short side, or another piece")
}
