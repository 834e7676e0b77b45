package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry"
)

func boxOf(x, y, w, h float64) geometry.Box {
	return geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + w, Y: y + h}}
}

// Expected: worked out by hand with a kerf of 3 mm on a sheet of 600 x 400 mm, and checked by brute
// force elsewhere.
func TestOffcutsByHand(t *testing.T) {
	sheet := [2]float64{600, 400}
	for name, c := range map[string]struct {
		parts []geometry.Box
		want  Rect
	}{
		"beside a part":         {[]geometry.Box{boxOf(0, 0, 200, 400)}, Rect{203, 0, 397, 400}},
		"above a row":           {[]geometry.Box{boxOf(0, 0, 300, 200), boxOf(303, 0, 297, 100)}, Rect{0, 203, 600, 197}},
		"beside one in the way": {[]geometry.Box{boxOf(100, 100, 50, 50)}, Rect{153, 0, 447, 400}},
		"of an empty sheet":     {nil, Rect{0, 0, 600, 400}},
	} {
		var taken []geometry.Box
		for _, b := range c.parts {
			taken = append(taken, b.Grow(3))
		}
		assert.Equal(t, c.want, offcutsOf(sheet, taken)[0], name)
	}
	assert.Empty(t, offcutsOf([2]float64{600, 59}, nil), "too narrow")
	assert.Empty(t, offcutsOf([2]float64{100, 149}, nil), "too small")
}

// No offcut meets a part, another offcut or the sheet's edge, and none that is larger than the
// first can be found by trying all edges: brute force.
func TestOffcutsOfRandomSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := [2]float64{float64(rapid.IntRange(60, 500).Draw(t, "length")), float64(rapid.IntRange(60, 400).Draw(t, "width"))}
		var taken []geometry.Box
		xs, ys := []float64{0, size[0]}, []float64{0, size[1]}
		for range rapid.IntRange(0, 6).Draw(t, "parts") {
			b := boxOf(float64(rapid.IntRange(0, 400).Draw(t, "x")), float64(rapid.IntRange(0, 300).Draw(t, "y")), float64(rapid.IntRange(5, 150).Draw(t, "w")), float64(rapid.IntRange(5, 150).Draw(t, "h")))
			taken = append(taken, b)
			xs, ys = append(xs, b.Min.X, b.Max.X), append(ys, b.Min.Y, b.Max.Y)
		}
		free := func(r Rect, boxes []geometry.Box) bool {
			if r.XMM < 0 || r.YMM < 0 || r.XMM+r.LengthMM > size[0] || r.YMM+r.WidthMM > size[1] {
				return false
			}
			for _, b := range boxes {
				if r.XMM < b.Max.X && b.Min.X < r.XMM+r.LengthMM && r.YMM < b.Max.Y && b.Min.Y < r.YMM+r.WidthMM {
					return false
				}
			}
			return true
		}
		most := 0.0
		for _, x0 := range xs {
			for _, x1 := range xs {
				for _, y0 := range ys {
					for _, y1 := range ys {
						if r := (Rect{x0, y0, x1 - x0, y1 - y0}); r.LengthMM > 0 && r.WidthMM > 0 && free(r, taken) {
							most = max(most, r.LengthMM*r.WidthMM)
						}
					}
				}
			}
		}
		assert.InDelta(t, most, largestFree(size, taken).LengthMM*largestFree(size, taken).WidthMM, 1e-6)
		for _, r := range offcutsOf(size, taken) {
			assert.True(t, free(r, taken), "%v meets a part", r)
			taken = append(taken, boxOf(r.XMM, r.YMM, r.LengthMM, r.WidthMM))
		}
	})
}
