package page

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/stock"
	"traywright/geometry/units"
)

// Sheets of every shape, long thin ones too: no two texts of the picture for the saw lie on each other, and every
// panel's and every rest's name and size is on the sheet or beneath it.
func TestNoTextOfTheSawLiesOnAnother(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		p := stock.Parted{Sheet: "sheet-1", Foam: "pe-30", Layer: 6, SizeMM: [2]float64{float64(300 + r.IntN(2200)), float64(70 + r.IntN(1200))}}
		x := 0.0
		for x < p.SizeMM[0]-60 && len(p.Panels) < 12 {
			wide, y := float64(60+r.IntN(400)), 0.0
			wide = min(wide, p.SizeMM[0]-x)
			for range 1 + r.IntN(3) {
				if high := min(float64(60+r.IntN(300)), p.SizeMM[1]-y); high >= 60 {
					p.Panels = append(p.Panels, stock.Rect{XMM: x, YMM: y, LengthMM: wide, WidthMM: high})
					y += high
				}
			}
			if p.SizeMM[1]-y >= 60 {
				p.Rest, p.Called = append(p.Rest, stock.Rect{XMM: x, YMM: y, LengthMM: wide, WidthMM: p.SizeMM[1] - y}), append(p.Called, fmt.Sprintf("sheet-1 rest %d", len(p.Rest)+1))
			}
			x += wide
		}
		sheets, _, err := sawSheets([]stock.Parted{p}, nil, units.Millimetre)
		require.NoError(rt, err)
		s := sheets[0]
		all := strings.Join(s.notes, " ")
		var boxes []rect
		for _, text := range s.texts {
			all += " " + text.words
			box := rect{text.x, text.y - text.style.capHeight(), s.t.width(text.words, text.style), text.style.capHeight()}
			for k, other := range boxes {
				assert.False(rt, box.overlaps(other), "%q on %q", text.words, s.texts[k].words)
			}
			boxes = append(boxes, box)
		}
		for i, panel := range append(p.Panels, p.Rest...) {
			name := fmt.Sprintf("p%d", i+1)
			if i >= len(p.Panels) {
				name = fmt.Sprintf("%q", p.Called[i-len(p.Panels)])
			}
			assert.Contains(rt, all, name)
			assert.Contains(rt, all, size(panel.LengthMM, panel.WidthMM, units.Millimetre))
		}
	})
}

// A sheet of 6 mm is 6 mm thick in an inch job's picture too, as it is on the page beside it.
func TestTheSawNamesFoamAsItIsSold(t *testing.T) {
	whole := stock.Rect{LengthMM: 1219.2, WidthMM: 609.6}
	sheets, _, err := sawSheets([]stock.Parted{{Sheet: "sheet-1", Foam: "pe-30", Layer: 6, SizeMM: [2]float64{1219.2, 609.6}, Panels: []stock.Rect{whole}}}, nil, units.Inch)
	require.NoError(t, err)
	assert.Equal(t, "sheet-1: 48 × 24 in of pe-30, 6 mm thick", sheets[0].texts[0].words)
}
