package page

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/plan"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
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

// No clamp is flatter than a strip of sheet metal. A blade of 8 mm that goes 6.35 mm deep brings its holder to 1.65 mm above the foam
// (arithmetic): pins hold the rim. One of 30 mm is in nobody's way, and clamps pass under its clearance of 5 mm less 0.1 of the zero
// and 1 of room, 3.9 mm; under one of 3 mm they do not, and what the page then says to write lets them pass.
func TestNoClampIsFlatterThanSheetMetal(t *testing.T) {
	in := func(u units.Unit, reach, clear float64) (text string) {
		m := profiles.Machine{Process: profiles.Knife, ZeroMM: profiles.Number{Value: 0.1}}
		s := Sheet{Sheet: &plan.Sheet{Edge: plan.Cut{DepthMM: 6.35, Tool: profiles.Tool{ReachMM: profiles.Number{Value: reach}, ColletMM: profiles.Number{Value: 19}}}}, ClampMM: 15}
		s.Program.ClearZ = clear
		c := CutSheet{Plan: &plan.Plan{Machine: m}, Unit: u}
		return c.heldBy(s) + c.clamped(s)
	}
	of := func(reach, clear float64) string { return in(units.Millimetre, reach, clear) }
	short := of(8, 5)
	assert.Contains(t, short, "and pins on the rim, on all four sides.")
	assert.Contains(t, short, "Use no clamp that stands on the foam, for none is so flat: the holder comes down to 1.65 mm above the foam beside them.")
	assert.NotContains(t, short, "clearance_mm", "it would not help")
	assert.Contains(t, of(30, 5), "They stand less than 3.9 mm above it, because the tool comes and goes over them.")
	low := of(30, 3)
	assert.NotContains(t, low, "They stand less")
	assert.Contains(t, low, "Or, for clamps that stand less than 3 mm above the foam, set clearance_mm of the machine's profile to 4.1, and cut the job again.")
	assert.Contains(t, of(30, 4.1), "They stand less than 3 mm above it")
	assert.Contains(t, in(units.Inch, 30, 3), "Or, for clamps that stand less than 0.118 in above the foam, set clearance_mm of the machine's profile to 4.1, and")
	assert.Contains(t, in(units.Inch, 30, 4.1), "They stand less than 0.118 in above it", "3 mm are 0.1181 in")
}
