package plan

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// lain is a piece of a size in mm.
func lain(length, width, height float64, pose job.Pose) job.Piece {
	return job.Piece{ID: "a", Length: mm(length), Width: mm(width), Height: mm(height), Pose: pose, Count: 1}
}

// Pockets of the fits in profiles/data/foams.yaml: easy adds 1.5 mm in pe-30.
func TestNeedsOf(t *testing.T) {
	for _, c := range []struct {
		piece job.Piece
		fit   float64
		want  []string // smallest first
	}{
		{lain(25, 24, 36, job.Lying), 1.5, []string{"lying 26.5 mm x 37.5 mm, 24.25 mm"}},
		{lain(25, 24, 36, job.Upright), 1.5, []string{"upright 26.5 mm x 25.5 mm, 36.25 mm"}},
		{lain(25, 24, 36, job.AnyPose), 1.5, []string{"upright 26.5 mm x 25.5 mm, 36.25 mm", "lying 26.5 mm x 37.5 mm, 24.25 mm"}},
		{lain(25, 36, 24, job.AnyPose), 1.5, []string{"lying 26.5 mm x 25.5 mm, 36.25 mm", "upright 26.5 mm x 37.5 mm, 24.25 mm"}},
		{lain(25.25, 24, 10, job.Upright), -1, []string{"upright 24.5 mm x 23 mm, 10.25 mm"}},
		{lain(25, 24, 10, job.Upright), 0, []string{"upright 25 mm x 24 mm, 10.25 mm"}},
	} {
		var got []string
		for _, n := range NeedsOf(&c.piece, c.fit, mm(0.25), Step(units.Millimetre)) {
			got = append(got, fmt.Sprintf("%s %s x %s, %s", n.Pose, n.Length, n.Width, n.Depth))
		}
		assert.Equal(t, c.want, got)
	}
	coin := lain(25.75, 25.75, 2.2, job.AnyPose)
	coin.Shape = job.Round
	n := NeedsOf(&coin, 1.5, 0, Step(units.Millimetre))
	assert.Equal(t, "lying", n[0].Pose, "on edge it takes less of the tray")
	assert.True(t, n[1].Round)
	assert.Equal(t, mm(27.5), n[1].Length)
}

func TestDepthFor(t *testing.T) {
	one := []job.Layer{layer("pe-30", inch)}
	padded := []job.Layer{layer("pe-30", inch), layer("pe-45", inch/4)}
	sheets := []job.Layer{{Foam: "pe-30", Thickness: inch / 2}, {Foam: "pe-30", Thickness: inch / 2}, {Foam: "pe-45", Thickness: inch / 4}}
	thin := []job.Layer{{Foam: "pe-30", Thickness: mm(12.95)}, {Foam: "pe-30", Thickness: inch / 2}, {Foam: "pe-45", Thickness: inch / 4}}
	for _, c := range []struct {
		least  float64
		layers []job.Layer
		router bool
		want   float64 // 0: does not go in
	}{
		{20.25, padded, true, 20.5},
		{23.25, padded, true, 25.4}, // 1.9 mm would be left: a skin
		{22.75, padded, true, 23},
		{25.25, padded, true, 25.4},
		{25.4, padded, true, 25.4},
		{25.5, padded, true, 0},
		{2.25, padded, false, 25.4},
		{12.7, sheets, false, 12.7},
		{12.8, sheets, false, 25.4},
		{12.8, sheets, true, 13},
		{25.5, sheets, false, 0},
		{12.96, thin, true, 13.05}, // 0.05 mm into the next layer are no cut
		{23.4, one, true, 23.4},    // the lowest 2 mm stay
		{21.5, []job.Layer{layer("pe-30", mm(24)), layer("pe-45", inch/4)}, true, 21.5},
		{22, []job.Layer{layer("pe-30", mm(24)), layer("pe-45", inch/4)}, true, 22}, // 2 mm are no skin
		{23.5, one, true, 0},
		{23.5, one, false, 25.4},
	} {
		got, ok := DepthFor(mm(c.least), c.layers, c.router, Step(units.Millimetre))
		assert.Equal(t, mm(c.want), got, "%+v", c)
		assert.Equal(t, c.want > 0, ok, "%+v", c)
	}
}

// A thickness of 0 in no layer holds nothing.
func TestNoLayersHoldNothing(t *testing.T) {
	_, ok := DepthFor(0, nil, false, Step(units.Millimetre))
	assert.False(t, ok)
}
