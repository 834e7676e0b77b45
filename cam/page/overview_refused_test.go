package page

import (
	"bytes"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
)

// What was refused has the word over every tray and case, and beside a tray what found no place: its stripes, and its
// crosses, are on no other picture. Of nothing at all there is the word.
func TestRefusedIsDrawn(t *testing.T) {
	count := func(p *plan.Plan, o OverviewOptions) (striped, crossed int) {
		var b bytes.Buffer
		require.NoError(t, Overview(&b, p, o))
		im, err := png.Decode(&b)
		require.NoError(t, err)
		for y := range im.Bounds().Dy() {
			for x := range im.Bounds().Dx() {
				switch r, g, bl, _ := im.At(x, y).RGBA(); {
				case r>>8 == uint32(yellow.R) && g>>8 == uint32(yellow.G) && bl>>8 == uint32(yellow.B):
					striped++
				case r>>8 == uint32(vermillion.R) && g>>8 == uint32(vermillion.G) && bl>>8 == uint32(vermillion.B):
					crossed++
				}
			}
		}
		return striped, crossed
	}
	left := []Unplaced{{"cover", "Raft", 3, 60, 30, false}, {"", "Buoy", 1, 40, 40, true}, {"elsewhere", "Wreck", 2, 900, 300, false}}
	striped, crossed := count(demoPlan(t), OverviewOptions{})
	assert.Zero(t, striped+crossed)
	striped, crossed = count(demoPlan(t), OverviewOptions{Refused: true})
	assert.Greater(t, striped, 5000)
	assert.Zero(t, crossed)
	_, crossed = count(demoPlan(t), OverviewOptions{Refused: true, Unplaced: left, Lines: []string{"refused: tray cover has no room for 3 of raft"}})
	assert.Greater(t, crossed, 300)
	_, crossed = count(nil, OverviewOptions{Refused: true, Unplaced: left})
	assert.Greater(t, crossed, 300)
}
