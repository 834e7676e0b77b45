package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/process"
	"traywright/geometry"
	"traywright/geometry/units"
)

// The texts of the band of what a hand cuts: none runs into another, into the bar, the map or the
// layer under the band, upright or lying, on both papers, whatever a printer makes of them.
func TestTextsOfAHandsBandKeepApart(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		o := templateOptions{Size: Paper(rapid.IntRange(int(a4), int(letter)).Draw(r, "paper")), Unit: rapid.SampledFrom([]units.Unit{units.Millimetre, units.Inch}).Draw(r, "unit")}
		if rapid.Bool().Draw(r, "measured") {
			length := rapid.Float64Range(LeastPrinted, MostPrinted)
			o.Printed = Printed{length.Draw(r, "short"), length.Draw(r, "long")}
		}
		d, err := newDocument(o.Size, "", nil)
		require.NoError(r, err)
		what := shown{byHand: true, box: box(0, 0, rapid.Float64Range(30, 900).Draw(r, "width"), rapid.Float64Range(30, 900).Draw(r, "height"))}
		what.about = "pe-30, 25.4 mm; 12 to make; bow, kerf 1 mm taken off, knife, score, then 3 passes; 1 with a pen, then by number, 12 the outline"
		p := newTrueSize(d, what, o)
		width, _ := o.Printed.shrunk(o.Size)
		room := width - 2*templateMargin - p.beside() - 4
		assert.GreaterOrEqual(r, p.beside(), p.width(p.o.edge(), edgeStyle))
		below := bandFigure.capMM()
		for _, l := range p.handLines(0, room) {
			assert.LessOrEqual(r, p.width(l.text, noteStyle), room+1e-9)
			assert.GreaterOrEqual(r, l.y-noteStyle.capMM(), below, l.text)
			below = l.y
			assert.False(r, l.y > handBarMM && l.y-noteStyle.capMM() < handBarMM+6, l.text)
			assert.LessOrEqual(r, l.y, handBandMM, l.text)
		}
		assert.LessOrEqual(r, edgeMM+p.mapScale()*p.tiles.whole.Height(), handBandMM)
		assert.LessOrEqual(r, edgeStyle.capMM(), edgeMM)
	})
}

// What is said of an outline stands beside its round corner, and not on the line.
func TestTheOutlinesWordsAreNotOnItsCorner(t *testing.T) {
	for corner, x := range map[float64]float64{0: -1, 6: 5} {
		n := numbered{lines: []process.Drawn{{Contour: geometry.Rectangle(box(-1, -2, 200, 150), corner)}}}
		assert.InDelta(t, x, n.foot().X, 1e-9, "corner %g", corner)
		assert.InDelta(t, -2, n.foot().Y, 1e-9, "corner %g", corner)
	}
}
