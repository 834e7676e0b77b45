package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// A page of a test piece has its offcut, each piece a frame with its number where it lies, this one's zero and how far in it is; a page
// of anything else has none of it.
func TestAPieceIsShownOnItsOffcut(t *testing.T) {
	r, wanted := trayResult()
	o := routerOptions(wanted)
	set, all := watch(t)
	shown := func() []panelRow {
		s := newSheet(set, r, o)
		s.c = newCanvas(set, 700, 400)
		for _, b := range s.blocks(600, s.everything()) {
			if b.title == "On its offcut" {
				y := 10.0
				for _, row := range b.rows {
					row.draw(s.c, 10, y)
					y += row.h
				}
				im := s.c.im // 1 pixel a mm: 200 mm are 200 pixels high, from x 26 and down to y 218
				assert.Equal(t, foamColour, im.RGBAAt(26+370, 218-30), "this piece")
				assert.Equal(t, mix(paper, hairline, 0.35), im.RGBAAt(26+170, 218-30), "another's foam")
				assert.Equal(t, ink, im.RGBAAt(26+230, 218-20-8), "the rim of the zero's sign")
				return b.rows
			}
		}
		return nil
	}
	assert.Nil(t, shown())
	o.Offcut = &Offcut{Number: 2, Of: 3, Piece: 1, SizeMM: [2]float64{400, 200}, ZeroMM: [2]float64{230, 20}, Cuts: []geometry.Box{
		{Min: geometry.Point{X: 20, Y: 20}, Max: geometry.Point{X: 180, Y: 180}}, {Min: geometry.Point{X: 220, Y: 20}, Max: geometry.Point{X: 380, Y: 120}},
	}}
	*all = nil
	require.NotNil(t, shown())
	said := ""
	middles := map[string]geometry.Point{}
	for _, w := range *all {
		said += w.text + " "
		middles[w.text] = geometry.Point{X: w.box.x + w.box.w/2, Y: w.box.y + w.box.h/2}
	}
	assert.Contains(t, said, "Offcut 2 of 3, at least 400 × 200 mm; X0 Y0 of this piece 230 mm from its left and 20 mm from its front edge")
	for number, at := range map[string]geometry.Point{"1": {X: 26 + 100, Y: 218 - 100}, "2": {X: 26 + 300, Y: 218 - 70}} {
		assert.Less(t, at.DistanceTo(middles[number]), 2.0, "%s: %v", number, middles[number])
	}
}
