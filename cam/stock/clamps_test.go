package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry/pack"
	"traywright/profiles"
)

// A clamp on the left rim, by hand: 1.5 mm of half a kerf, 1 of a lead, 10 of half a nut and 2 beside it are 14.5 mm, to 19.5 mm inside
// a margin of 20. Of a sheet that the machine travels all over X0 Y0 is the corner, and all between the margins is free; of a longer one
// or a higher one, which may be turned to be parted, it may be 15 mm in as well, and the clamp with it. Each goes by its own size.
func TestClampsCountByTheSheetsOwnSize(t *testing.T) {
	l := endless()
	m := &l.Plan.Machine
	m.TravelMM[0], m.TravelMM[1], m.Tools = number(400), number(300), []profiles.Tool{{ColletMM: number(20)}}
	m.Clamps = []profiles.ClampZone{{XMM: -15, YMM: 40, LengthMM: 20, WidthMM: 20}}
	r := room{margin: 20, kerf: 3, tool: 3, lead: 1}
	beside := func(x, y float64) []pack.Panel {
		return []pack.Panel{{X: whole(-29.5), Y: whole(25.5), Length: whole(49 + x), Width: whole(49 + y)}}
	}
	small, long, high, large := sheetOf(200, 150), sheetOf(350, 150), sheetOf(150, 301), sheetOf(1000, 500)
	assert.Equal(t, beside(0, 0), l.clamped(small, r))
	assert.Equal(t, beside(0, 15), l.clamped(long, r), "turned, it is higher than the machine travels")
	assert.Equal(t, beside(0, 15), l.clamped(high, r))
	assert.Equal(t, beside(15, 15), l.clamped(large, r))
	assert.True(t, l.lies(small, [2]float64{160, 110}, r))
	assert.False(t, l.lies(small, [2]float64{160.1, 110}, r))
	assert.True(t, l.lies(high, [2]float64{110, 110}, r))
	m.Clamps[0].XMM = -14
	assert.False(t, l.lies(small, [2]float64{160, 110}, r))

	m.Process, m.Clamps[0].XMM = profiles.Laser, 34 // half a kerf, a lead, half a tool of 3 mm and 2: from X 28, or from Y 34 on, all is taken
	way := func(right float64) room { r.right = right; return r }
	assert.Equal(t, []float64{farMM, 28}, l.ways(r))
	assert.True(t, l.lies(small, [2]float64{160, 14}, way(farMM)))
	assert.False(t, l.lies(small, [2]float64{160, 14.1}, way(farMM)))
	assert.True(t, l.lies(small, [2]float64{8, 110}, way(28)))
	assert.False(t, l.lies(small, [2]float64{8.1, 110}, way(28)))
	m.Clamps[0].XMM = -30 // it ends 4 mm to the left of X0; 15 mm farther in it does not end to the left of a sheet's corner
	assert.True(t, l.lies(small, [2]float64{160, 110}, way(farMM)))
	assert.False(t, l.lies(large, [2]float64{160, 110}, way(farMM)))
	m.Clamps[0].XMM, m.Clamps[0].YMM = -5, -5 // it stands where the head comes from
	assert.False(t, l.lies(small, [2]float64{1, 1}, way(farMM)))
}
