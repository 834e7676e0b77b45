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
	left := []Unplaced{{"cover", "raft", "Raft", 3, 60, 30, false}, {"", "buoy", "Buoy", 1, 40, 40, true}, {"elsewhere", "wreck", "Wreck", 2, 900, 300, false}}
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

// The word does not hide what the key explains: it stands beside the only row of pockets, wherever that is; with nothing in
// its way in the middle, and within the tray.
func TestRefusedHidesNoName(t *testing.T) {
	set, err := newTypesetter(nil)
	require.NoError(t, err)
	for _, row := range []float64{10, 60, 85, 110, 160, -1} {
		var list []cutout
		for i := range 8 {
			if row >= 0 {
				list = append(list, cutout{name: "coin", x: 10 + 20*float64(i), y: row, w: 10, h: 10, depth: 5})
			}
		}
		p := demoPlan(t)
		p.Trays = []plan.Tray{planTray(t, "crew", 25.4, list)}
		v := newOverview(set, p, OverviewOptions{Refused: true}, false)
		box := rect{100, 200, fixtureLength * v.scale, fixtureWidth * v.scale}
		middle := rect{box.x, box.y + box.h/2 - bandPX/2, box.w, bandPX}
		band := v.besideNames(0, box, middle)
		assert.GreaterOrEqual(t, band.y, box.y)
		assert.LessOrEqual(t, band.bottom(), box.bottom())
		if row < 0 {
			assert.Equal(t, middle, band)
			continue
		}
		at := box.bottom() - (row+5)*v.scale
		assert.False(t, band.y < at && at < band.bottom(), "row at %v: %v over %v", row, band, at)
	}
}

// A piece without a place is called by its id where the letters lack its name, as it is where it has one.
func TestPiecesWithoutAPlaceAreCalledAsOthersAre(t *testing.T) {
	v := &overview{typesetter: setter(t), cell: 500}
	assert.Equal(t, "2 × anchor", v.leftText(Unplaced{ID: "anchor", Name: "עוגן", Count: 2})[0])
	assert.Equal(t, "2 × Raft", v.leftText(Unplaced{ID: "raft", Name: "Raft", Count: 2})[0])
}
