package trace

import (
	"flag"
	"fmt"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	shelves     = flag.Int("shelves", 2, "rendered photographs from the side to measure")
	raisedCards = flag.Int("raised-cards", 2, "photographs from the side of a card that stands where the pieces do not")
	firstShelf  = flag.Uint64("first-shelf", 1, "the number of the first")
)

// What stands far off the line is seen to by its foot, and its height is within what is printed, or refused.
func TestHeightsBesideTheLine(t *testing.T) {
	for seed, away := range map[uint64]float64{3: 40, 7: -60} {
		s := randomShelf(seed, 1200, 900, away)
		s.solids = s.solids[:1]
		s.solids[0].kind = aBlock
		s.eye[1] = 75
		side, err := MeasureSide(s.render(t), SideOptions{CameraMM: s.eye[2], WithinMM: 100})
		require.NoError(t, err)
		require.Len(t, side.Standing, 1)
		h, why := side.Height(0, s.solids[0].above())
		require.Nil(t, why)
		front := s.solids[0].z + s.solids[0].deep/2
		t.Logf("front %.1f, seen %.1f; high %.2f, have %.2f ± %.2f", front, h.NearMM, s.solids[0].high, h.MM, h.Off)
		assert.InDelta(t, front, h.NearMM, 12)
		assert.Greater(t, h.PerMM, 0.0)
		assert.LessOrEqual(t, math.Abs(h.MM-s.solids[0].high), h.Off)
		assert.Greater(t, h.Off, math.Abs(away)/2*h.PerMM)
	}
}

// above is what a photograph from above says of it.
func (o solid) above() Piece {
	return Piece{Length: o.wide, Width: o.deep, LengthOff: 0.2, WidthOff: 0.2}
}

// A card that stands higher or lower than the pieces, or nearer or farther away, makes no height that is farther off than is
// printed: where it is not small, the height is refused, and the foot or the width says so.
func TestCardNotWhereThePiecesStand(t *testing.T) {
	taken, refused := 0, 0
	for k := range uint64(*raisedCards) {
		seed := *firstShelf + k
		r := rand.New(rand.NewPCG(seed, 26))
		s := randomShelf(seed, 1200, 900, 0)
		for i := range s.solids { // what says most: fronts that go up to their tops
			s.solids[i].kind = aBlock
		}
		s.dark = 0 // the card's own shadow would lie on the table, away from it
		raised := [...]float64{4, -4, 1.5, 0, 0}[k%5]
		s.raised, s.before = raised, [...]float64{0, 0, 0, 40, -40}[k%5]*(0.7+0.6*r.Float64())
		side, err := MeasureSide(s.render(t), SideOptions{CameraMM: s.eye[2] - s.before})
		if err != nil {
			t.Logf("scene %d: %v", seed, err)
			continue
		}
		slices.Reverse(s.solids)
		require.Len(t, side.Standing, len(s.solids))
		for i, o := range s.solids {
			h, why := side.Height(i, o.above())
			t.Logf("scene %d: raised %+.1f, before %+.1f (eye %.0f of %.0f): high %.2f, have %.2f ± %.2f; foot %.2f, near %.0f, low %.1f: %v", seed, raised, s.before, s.eye[1], s.eye[2], o.high, h.MM, h.Off, side.Standing[i].foot, h.NearMM, h.LowMM, why)
			if why == nil {
				taken++
				assert.LessOrEqual(t, math.Abs(h.MM-o.high), h.Off, "scene %d", seed)
				continue
			}
			refused++
			if math.Abs(raised) == 4 && side.Standing[i].Why == nil {
				assert.Contains(t, why.Message, "its foot is seen")
			}
		}
	}
	t.Logf("%d taken, %d refused", taken, refused)
	assert.NotZero(t, refused)
}

// Every height that is taken is within its printed uncertainty of the truth; what stands there is told from
// left to right, measured or not.
func TestHeightsOfRenderedShelves(t *testing.T) {
	assert.Equal(t, []float64{3, 1, 0.2, 0.05}, []float64{lineMM, uprightDegrees, levelMM, saidShare}, "README says what the bound holds for")
	measured, all, refused, half := 0, 0, 0, 0
	worst := 0.0
	seeds := []uint64{139} // a card that leans back hides that the lens stands above a block's top
	for seed := *firstShelf; seed < *firstShelf+uint64(*shelves); seed++ {
		seeds = append(seeds, seed)
	}
	for _, seed := range seeds {
		s := randomShelf(seed, 1600, 1200, 0)
		img := s.render(t)
		if *sceneFile != "" {
			f, err := os.Create(fmt.Sprintf("%s/side-%d.png", *sceneFile, seed))
			require.NoError(t, err)
			require.NoError(t, png.Encode(f, img))
			f.Close()
		}
		camera := s.eye[2] * (1 + 0.08*(rand.New(rand.NewPCG(seed, 22)).Float64()-0.5))
		all += len(s.solids)
		side, err := MeasureSide(img, SideOptions{CameraMM: camera})
		if err != nil {
			refused++
			t.Logf("scene %d: %v", seed, err)
			continue
		}
		slices.Reverse(s.solids)
		if !assert.Equal(t, len(s.solids), len(side.Standing), "scene %d", seed) {
			continue
		}
		for k, o := range s.solids {
			h, why := side.Height(k, o.above())
			if why != nil {
				t.Logf("scene %d: kind %d high %.2f: %v", seed, o.kind, o.high, why)
				continue
			}
			measured++
			off := h.MM - o.high
			worst = max(worst, math.Abs(off)/h.Off)
			if math.Abs(off) < h.Off/2 {
				half++
			}
			assert.LessOrEqual(t, math.Abs(off), h.Off, "scene %d: kind %d, high %.3f, have %.3f ± %.3f (eye %.0f of %.0f, bend %.3f, block %v)", seed, o.kind, o.high, h.MM, h.Off, s.eye[1], s.eye[2], s.bend, side.Standing[k].block)
		}
	}
	t.Logf("%d of %d measured, %d photographs refused, within half of it %d, worst error over its uncertainty %.2f", measured, all, refused, half, worst)
	assert.NotZero(t, measured)
}
