package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry/trace"
)

func sized(form trace.Form, length, width, off float64) trace.Piece {
	return trace.Piece{Form: form, Length: length, Width: width, LengthOff: off, WidthOff: off}
}

func numberedPieces(pieces ...trace.Piece) (list []measuredPiece) {
	for i, p := range pieces {
		list = append(list, measuredPiece{Piece: p, number: i + 1})
	}
	return list
}

// A kind is pieces that are all as good as equal to each other: no chain of small steps
// joins what differs, and no box is a disc.
func TestKindsOfPieces(t *testing.T) {
	kinds := kindsOf(numberedPieces(sized(trace.Box, 30, 20, 0.2), sized(trace.Box, 30.2, 20, 0.2), sized(trace.Box, 30.4, 20, 0.2),
		sized(trace.Box, 30, 20.5, 0.2), sized(trace.Disc, 30, 30, 0.2), sized(trace.Box, 30, 30, 0.2)))
	var counts []int
	for _, k := range kinds {
		counts = append(counts, len(k.pieces))
	}
	assert.Equal(t, []int{2, 1, 1, 1, 1}, counts)
	assert.InDelta(t, 30.1, kinds[0].length, 1e-9)
	assert.Equal(t, "piece-1", kinds[0].id())
	assert.Equal(t, "piece-3", kinds[1].id())
}

// Two photographs of a set: a piece is the nearest of its size in the other; as many may be
// missing as were given up there, and one more is told.
func TestPhotographsTogether(t *testing.T) {
	photo := func(given int, pieces ...trace.Piece) Measured {
		return Measured{Photo: "p", Pieces: &trace.Pieces{Measured: pieces, Given: make([]trace.GivenUp, given)}}
	}
	coin, box, tall := sized(trace.Disc, 22, 22, 0.1), sized(trace.Box, 30, 16, 0.1), sized(trace.Box, 30.15, 16, 0.2)
	set, found := MeasureRequest{Photos: []Measured{photo(0, coin, box), photo(0, tall, coin)}}.together()
	assert.Empty(t, found)
	assert.Len(t, set.pieces, 2)
	assert.Equal(t, [][]string{{"1", "2"}, {"2", "1"}}, set.labels)
	assert.InDelta(t, 30+0.15/5, set.pieces[1].Length, 1e-9, "the surer one counts four times as much")
	assert.Equal(t, 0.1, set.pieces[1].LengthOff)
	assert.Zero(t, set.left)

	set, found = MeasureRequest{Photos: []Measured{photo(0, coin, box), photo(1, coin)}}.together()
	assert.Empty(t, found)
	assert.Len(t, set.pieces, 2)
	assert.Zero(t, set.left)

	set, found = MeasureRequest{Photos: []Measured{photo(1, coin), photo(1, box)}}.together()
	assert.Empty(t, found, "what one gave up the other measured")
	assert.Len(t, set.pieces, 2)

	_, found = MeasureRequest{Photos: []Measured{photo(0, coin, box), photo(0, coin)}}.together()
	assert.True(t, found.Failed())
	_, found = MeasureRequest{Photos: []Measured{photo(0, coin), photo(0, coin, box)}}.together()
	assert.True(t, found.Failed())
	_, found = MeasureRequest{Photos: []Measured{photo(0, coin, box), photo(0, coin, sized(trace.Box, 30.5, 16, 0.1))}}.together()
	assert.True(t, found.Failed())
}
