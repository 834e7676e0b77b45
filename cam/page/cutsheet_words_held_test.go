package page

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/plan"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/profiles"
)

// A cutter that stands 55 mm out of its nut and goes 51.6 mm deep brings it down to 3.4 mm
// (arithmetic), whatever another cutter of the sheet does.
func TestTheNutIsAsLowAsItsDeepestCut(t *testing.T) {
	tool := func(out float64) profiles.Tool { return profiles.Tool{StickoutMM: profiles.Number{Value: out}} }
	s := plan.Sheet{
		Edge: plan.Cut{Tool: tool(55), Passes: []plan.Pass{{ToMM: 20}, {ToMM: 51.6}}},
		Cuts: []plan.Cut{{Tool: tool(27), DepthMM: 12, Passes: []plan.Pass{{ToMM: 12}}}},
	}
	assert.InDelta(t, 3.4, lowestNut(s), 1e-9)
	assert.True(t, math.IsInf(lowestNut(plan.Sheet{}), 1), "nobody has said")
}

// Bridges inside letters are spoken of where there are letters, and nowhere else.
func TestBridgesOfLettersAreThoseOfLetters(t *testing.T) {
	c := CutSheet{Plan: &plan.Plan{Machine: profiles.Machine{Process: profiles.Laser}}}
	of := func(cuts ...plan.Cut) string {
		s := Sheet{Sheet: &plan.Sheet{Cuts: cuts, Edge: plan.Cut{Name: "outline", Hold: plan.Hold{Bridges: make([]geometry.Point, 2), BridgeMM: 1}}}}
		return strings.Join(c.loosened(s), " ")
	}
	assert.NotContains(t, of(plan.Cut{Name: "pocket 1", Pockets: []int{0}}), "letters")
	assert.Contains(t, of(plan.Cut{Name: "pocket 1", Pockets: []int{0}}, plan.Cut{Name: "label 1"}), "The bridges inside letters and emblems stay")
}

// The lower edge of a plug's hole is seen where nothing is glued under it: in a block, and in a tray's lowest layer.
func TestUnderneath(t *testing.T) {
	two, one := &plan.Tray{ID: "stores", Layers: make([]plan.Layer, 2)}, &plan.Tray{ID: "cover", Layers: make([]plan.Layer, 1)}
	const hidden, seen = "The hole's edge underneath goes onto the layer below and is not seen", "The hole's edge underneath is on the tray's underside and is seen: cut it flush."
	part := func(tray *plan.Tray, n int) Part { return Part{tray, &plan.Sheet{Number: n}} }
	for _, c := range []struct {
		parts []Part
		want  string
	}{
		{[]Part{part(two, 1)}, hidden + "."}, {[]Part{part(two, 2)}, seen}, {[]Part{part(two, 0)}, seen}, {[]Part{part(one, 1)}, seen},
		{[]Part{part(two, 1), part(two, 2), part(one, 1)}, hidden + "; in stores layer 2, cover it is on the tray's underside: cut it flush there."},
	} {
		assert.Equal(t, c.want, Sheet{Parts: c.parts}.underneath())
		laid := &stock.Setup{}
		for _, p := range c.parts {
			laid.Parts = append(laid.Parts, stock.Part{Tray: p.Tray, Layer: p.Sheet.Number})
		}
		assert.Equal(t, c.want, Sheet{Laid: laid}.underneath())
	}
}
