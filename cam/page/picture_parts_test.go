package page

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/proof"
	"traywright/geometry"
)

// The part of a line in a box, held against a thousand places along it.
func TestClip(t *testing.T) {
	b := rect{10, 20, 100, 50}
	inside := func(x, y float64) bool { return x >= b.x && x <= b.right() && y >= b.y && y <= b.bottom() }
	rapid.Check(t, func(r *rapid.T) {
		at := func(name string) float64 { return float64(rapid.IntRange(-40, 160).Draw(r, name)) }
		x, y := at("x"), at("y")
		dx, dy := at("to x")-x, at("to y")-y
		t0, t1, ok := clip(x, y, dx, dy, b)
		for i := range 1001 {
			s := float64(i) / 1000
			if near := ok && math.Min(math.Abs(s-t0), math.Abs(s-t1)) < 2e-3; !near {
				require.Equal(r, ok && s > t0 && s < t1, inside(x+s*dx, y+s*dy) && ok, "at %g of %g to %g", s, t0, t1)
			}
			if !ok {
				require.False(r, inside(x+s*dx, y+s*dy), "at %g", s)
			}
		}
	})
	_, _, ok := clip(math.NaN(), 30, 1, 1, b)
	assert.False(t, ok)
}

// Blocks go into columns in their order, none is lost, and no column could be lower.
func TestColumnsOfBlocks(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var blocks []panel
		for _, h := range rapid.SliceOfN(rapid.IntRange(1, 300), 1, 7).Draw(r, "heights") {
			blocks = append(blocks, panel{rows: []panelRow{{h: float64(h)}}})
		}
		n := rapid.IntRange(1, 3).Draw(r, "columns")
		dealt, height := columns(blocks, n)
		require.LessOrEqual(r, len(dealt), n)
		tallest := 0.0
		for _, c := range dealt {
			tallest = math.Max(tallest, stack(c))
		}
		require.InDelta(r, tallest, height, 1e-9)
		var heights, want []float64
		for _, b := range slices.Concat(dealt...) {
			heights = append(heights, b.height())
		}
		for _, b := range blocks {
			want = append(want, b.height())
		}
		require.Equal(r, want, heights)
		require.InDelta(r, lowest(blocks, n), height, 0.1)
	})
}

// lowest is the least height of n columns, by trying every way to part the blocks.
func lowest(blocks []panel, n int) float64 {
	best := stack(blocks)
	if n == 1 {
		return best
	}
	for i := 1; i < len(blocks); i++ {
		best = math.Min(best, math.Max(stack(blocks[:i]), lowest(blocks[i:], n-1)))
	}
	return best
}

// A pixel on an edge has the mean colour of what is under it, and the class of the
// deepest.
func TestEdgePixelsAreBlended(t *testing.T) {
	s := newShades(20, 0)
	deep := s.class(18)
	class, col := s.blend([][]uint8{{untouched, deep}, {untouched, deep}}, 0, 2)
	assert.Equal(t, deep, class)
	want := mix(foamColour, s.colours[deep], 0.5)
	assert.InDelta(t, want.R, col.R, 1)
	assert.InDelta(t, want.G, col.G, 1)
	assert.InDelta(t, want.B, col.B, 1)
	class, _ = s.blend([][]uint8{{nothing, untouched}, {nothing, untouched}}, 0, 2)
	assert.Equal(t, untouched, class, "what is not known is no depth")
}

// Lines of a hatch are width pixels of every step, and those of one slope never run
// along those of the other.
func TestHatch(t *testing.T) {
	for _, slope := range []int{1, -1} {
		for y := range 20 {
			n := 0
			for x := range 160 {
				if onHatch(x, y, 16, 3, slope) {
					n++
				}
				require.Equal(t, onHatch(x, y, 16, 3, slope), onHatch(x-slope, y+1, 16, 3, slope))
			}
			require.Equal(t, 30, n)
		}
	}
}

func TestCompareWithThePlan(t *testing.T) {
	for _, c := range []struct {
		depth, want, thickness float64
		mark                   int8
	}{
		{10, 10, 25, 0}, {10.05, 10, 25, 0}, {10.06, 10, 25, tooMuch}, {9.95, 10, 25, 0}, {9.94, 10, 25, tooLittle},
		{26, 25.5, 25, 0}, {26, 20, 25, tooMuch}, {26, 25.5, 0, tooMuch}, {20, 26, 25, tooLittle},
	} {
		assert.Equal(t, c.mark, compare(c.depth, c.want, c.thickness), "%+v", c)
	}
}

// A difference counts where a pixel and its neighbours two away agree.
func TestAgreed(t *testing.T) {
	const w, h = 12, 12
	raw, rows := make([]int8, w*h), make([]bool, h)
	for y := 2; y < 9; y++ {
		rows[y] = true
		for x := 3; x < 10; x++ {
			raw[y*w+x] = tooLittle
		}
	}
	raw[11*w+5], rows[11] = tooMuch, true // alone
	marks, over, under := agreed(raw, rows, w)
	assert.True(t, under)
	assert.False(t, over)
	n := 0
	for i, m := range marks {
		if m != 0 {
			n++
			assert.True(t, i%w >= 5 && i%w < 8 && i/w >= 4 && i/w < 7)
		}
	}
	assert.Equal(t, 9, n)
}

// The places of labels around a point keep their distance from it, on every side.
func TestPlacesAroundAPoint(t *testing.T) {
	for i, r := range around(100, 200, 30, 10, 14) {
		dx := math.Max(0, math.Max(r.x-100, 100-r.right()))
		dy := math.Max(0, math.Max(r.y-200, 200-r.bottom()))
		assert.InDelta(t, 14, math.Max(dx, dy), 1e-9, i)
		assert.Equal(t, []float64{30, 10}, []float64{r.w, r.h})
	}
	assert.Equal(t, rect{85, 195, 30, 10}, centred(100, 200, 30, 10))
}

// The tool of a frame presses its own disc into the foam, and no more.
func TestATiltedCutReachesItsDepthAlongTheWay(t *testing.T) {
	f := newField(0, 0, 40, 20, 0.1)
	each(f, 2, 8, 38, 12, func(x, y float64) float64 { return 10 })
	from, to := proof.Point{Point: geometry.Point{X: 4, Y: 10}, Z: 0}, proof.Point{Point: geometry.Point{X: 36, Y: 10}, Z: -8}
	m := newMovie(setter(t), proof.Result{Field: f, Motions: []proof.Motion{{On: true, From: from, To: to}, {From: to, To: to}, {From: to, To: to}}}, 2,
		FrameOptions{PictureOptions: PictureOptions{ThicknessMM: 12}, KerfMM: map[int]float64{0: 2}})
	m.advance(0)
	depth := func(x, y float64) float64 {
		u, v := int(m.v.px(x)-float64(m.seen.x)), int(m.v.py(y)-float64(m.seen.y))
		return float64(m.now[v*m.seen.w+u])
	}
	for x := 6.0; x < 35; x += 3 {
		assert.InDelta(t, (x+1-4)/4, depth(x, 10), 0.35, "at %g: the disc's front is ahead by its radius", x)
	}
	assert.Zero(t, depth(20, 8.5), "beside the disc")
	assert.InDelta(t, math.Hypot(32, 8), way(m.r.Motions[0]), 9, "the way along and down")
}
