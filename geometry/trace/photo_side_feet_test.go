package trace

import (
	"math"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// oneBlock is a photograph from the side of a block of 30 x 20 x 40 mm, its front on the card's line, by a lens 30 mm above
// the table, 500 mm away and straight before it: no side of it is seen.
func oneBlock(t *testing.T) (*Side, Piece) {
	s := &shelf{setup: plainSetup(geometry.Region{}), soft: 1, eye: vector{-30, 30, 500}}
	s.w, s.h, s.focal, s.aim = 1000, 750, 2, geometry.Point{X: 20, Y: 30}
	o := solid{kind: aBlock, x: -30, z: -10, wide: 30, high: 40, deep: 20, colour: [3]float64{0.3, 0.1, 0.1}}
	s.solids = []solid{o}
	side, err := MeasureSide(s.render(t), SideOptions{CameraMM: s.eye[2], WithinMM: 100})
	require.NoError(t, err)
	require.Len(t, side.Standing, 1)
	return side, o.above()
}

// A foot that is seen about a millimetre lower or higher than the card's is named; what the ground takes from the height, or gives
// to it, is within what that may be off by.
func TestFeetLowerOrHigherThanTheCards(t *testing.T) {
	side, piece := oneBlock(t)
	level, why := side.Height(0, piece)
	require.Nil(t, why)
	assert.InDelta(t, 40, level.MM, level.Off)
	assert.Zero(t, level.LowMM)
	for foot, named := range map[float64]bool{-8: true, -3: true, -1.2: true, -0.5: false, 0.3: false, 1.2: true, 3: true, 8: true} {
		side.Standing[0].foot = foot
		h, why := side.Height(0, piece)
		require.Nil(t, why)
		assert.Equal(t, named, h.LowMM != 0, "%g mm", foot)
		assert.LessOrEqual(t, h.MM-h.Off, 40-max(0, foot), "%g mm: it may stand on higher ground", foot)
		assert.GreaterOrEqual(t, h.MM+h.Off, 40-min(0, foot), "%g mm: or on lower", foot)
		if named {
			assert.Equal(t, -foot, h.LowMM)
			assert.Greater(t, h.Off, level.Off+0.4*math.Abs(foot))
		}
	}
}

// A height is taken up to what it may be off by, and not beyond; then what is said of it has no height.
func TestRefusedHeightsAreNotPrinted(t *testing.T) {
	side, piece := oneBlock(t)
	h, why := side.Height(0, piece)
	require.Nil(t, why)
	side.table.within = h.Off + 1e-9
	_, why = side.Height(0, piece)
	require.Nil(t, why)
	side.table.within = h.Off - 1e-9
	for _, foot := range []float64{0, -3, 3} {
		side.Standing[0].foot = foot
		h, why := side.Height(0, piece)
		require.NotNil(t, why)
		for _, number := range regexp.MustCompile(`[\d.]*\d`).FindAllString(why.Message, -1) {
			assert.NotRegexp(t, `^(3[5-9]|4[0-5])`, number, "%s: the height is %.2f", why.Message, h.MM)
		}
	}
}

// A width that no piece on the line would be seen by says that it stands nearer or farther away, and its height may be off by as much.
func TestWidthsThatNoPieceOnTheLineHas(t *testing.T) {
	side, piece := oneBlock(t)
	st := &side.Standing[0]
	st.foot, piece.LengthOff, piece.WidthOff = 0, 0, 0
	level, why := side.Height(0, piece)
	require.Nil(t, why)
	assert.Zero(t, level.NearMM)
	st.Width = 30 * 500 / 460.0 // its front 40 mm nearer
	near, why := side.Height(0, piece)
	require.Nil(t, why)
	assert.InDelta(t, 40, near.NearMM, 12)
	st.Width = 30 * 500 / 560.0 // and 60 mm farther away
	far, why := side.Height(0, piece)
	require.Nil(t, why)
	assert.InDelta(t, -60, far.NearMM, 12)
	for _, h := range []Height{near, far} {
		assert.Positive(t, h.PerMM)
		// Half of a range that reaches from the line to there, 10 mm above the lens.
		assert.Greater(t, h.Off, level.Off+10*(math.Abs(h.NearMM)-12)/500/2)
	}
	// A piece that is turned on the line by two degrees is no wider than 30 cos 2 + 20 sin 2, 30.7 mm, and that is on it.
	st.Width = 30.7
	turned, why := side.Height(0, piece)
	require.Nil(t, why)
	assert.Zero(t, turned.NearMM)
}
