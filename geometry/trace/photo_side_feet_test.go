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
func oneBlock(t *testing.T) (*Side, Piece) { return blockBeside(t, -30, -30, 0) }

// blockBeside is the block at a place with the lens at another, its front so much nearer to the lens than the card's line.
func blockBeside(t *testing.T, block, x, near float64) (*Side, Piece) {
	s := &shelf{setup: plainSetup(geometry.Region{}), soft: 1, eye: vector{x, 30, 500}}
	s.w, s.h, s.focal, s.aim = 1000, 750, 2, geometry.Point{X: 20, Y: 30}
	o := solid{kind: aBlock, x: block, z: near - 10, wide: 30, high: 40, deep: 20, colour: [3]float64{0.3, 0.1, 0.1}}
	s.solids = []solid{o}
	side, err := MeasureSide(s.render(t), SideOptions{CameraMM: s.eye[2], WithinMM: 100})
	require.NoError(t, err)
	require.Len(t, side.Standing, 1)
	return side, o.above()
}

// Of a piece that stands aside of the lens a part of its short side is seen too. By hand: 500 mm away, its near edge 155 mm
// aside, 20 mm deep, 155 x 20 / 520 = 6.0 mm. On the line it is told to stand there, and its height is as sure as straight
// before the lens; where it stands nearer, it is told by how much.
func TestAPieceAsideOfTheLens(t *testing.T) {
	straight, piece := oneBlock(t)
	level, why := straight.Height(0, piece)
	require.Nil(t, why)
	for _, x := range []float64{100, -200} {
		side, piece := blockBeside(t, -70, x, 0)
		wider := 20.0 / 520 * (math.Abs(x+70) - 15)
		assert.InDelta(t, 30+wider, side.Standing[0].Width, 0.3)
		assert.InDelta(t, wider, side.Besides(0, piece), 0.8)
		h, why := side.Height(0, piece)
		require.Nil(t, why)
		assert.Zero(t, h.NearMM, "%g mm aside", x+70)
		assert.InDelta(t, 40, h.MM, h.Off)
		assert.Less(t, h.Off, level.Off+0.1)
		for _, near := range []float64{40, -60} {
			if x < 0 {
				continue
			}
			side, piece := blockBeside(t, -70, x, near)
			h, why := side.Height(0, piece)
			require.Nil(t, why)
			t.Logf("%g mm aside, front %g mm: seen %.1f, high %.2f ± %.2f", x+70, near, h.NearMM, h.MM, h.Off)
			assert.InDelta(t, near, h.NearMM, 15)
			assert.InDelta(t, 40, h.MM, h.Off)
		}
	}
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
