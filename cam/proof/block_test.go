package proof_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// block is a pocket of 40 x 30 mm, 18 mm deep, in a block of two layers of 12 mm
// whose foams have kerfs of their own under the same cutter.
func block(t *testing.T, upper, lower float64) ([]byte, proof.Setup, proof.Wanted) {
	m := routerMachine()
	var recipes []profiles.Recipe
	s := plan.Sheet{}
	for i, kerf := range []float64{upper, lower} {
		recipe := routerRecipe(rand.New(rand.NewPCG(1, 1)))
		recipe.KerfMM = number(kerf)
		recipes = append(recipes, recipe)
		s.Layers = append(s.Layers, plan.Layer{Foam: profiles.Foam{ID: []string{"pe-30", "pe-45"}[i]}, Thickness: 12 * units.Length(1e6), Top: units.Length(i) * 12e6})
	}
	shape := geometry.NewRegion(geometry.Rectangle(box(20, 20, 40, 30), 2))
	s.Cuts = []plan.Cut{{Name: "pocket", Shape: shape, Design: shape, DepthMM: 18, Tool: m.Tools[0], Recipes: recipes}}
	edge := geometry.NewRegion(geometry.Rectangle(box(0, 0, 80, 70), 5))
	s.Edge = plan.Cut{Name: "outline", Shape: edge, Design: edge, DepthMM: 24, Through: true, Tool: m.Tools[0], Recipes: recipes}
	program, setup, want := made(t, s, m)
	return program, setup, want
}

// Each layer's walls are where the layer's own kerf puts them. Where the lower
// foam's is narrower, half the difference has to stay, and is told.
func TestBlockWithKerfsOfItsOwn(t *testing.T) {
	for _, c := range []struct {
		upper, lower float64
		rules        []string
	}{
		{3.2, 3.2, []string{}},
		{3.1, 3.3, []string{"layer-kerf"}}, // the outline keeps from the lower layer's tray in the upper one too
		{3.3, 3.1, []string{"layer-kerf"}},
		{3.2, 3.19, []string{}},
	} {
		program, setup, want := block(t, c.upper, c.lower)
		r := proof.Run("", program, setup, &want)
		assert.True(t, r.OK, "%v: %+v", c, r.Findings)
		assert.Equal(t, c.rules, rulesOf(r), "%v: %+v", c, r.Findings)
		assert.Less(t, r.WorstOvercutMM, 3e-4, "%v", c)
	}
	program, setup, want := block(t, 3.3, 3.1)
	r := proof.Run("", program, setup, &want)
	require.Len(t, r.Findings, 1)
	assert.Contains(t, r.Findings[0].Message, "in layer 2 (pe-45) the tool cuts 0.2 mm narrower")
	assert.Contains(t, r.Findings[0].Message, "walls stand 0.1 mm too far in")
	// Taken for one kerf in all layers, the program is wrong in one of them.
	setup.Layers, setup.KerfMM = nil, map[int]float64{1: 3.1}
	assert.Contains(t, rulesOf(proof.Run("", program, setup, &want)), "undercut")
}

// A program that was made for other kerfs in the layers is caught in the layer
// where it is wrong, by half the difference.
func TestBlockWithTheWrongKerf(t *testing.T) {
	program, setup, want := block(t, 3.1, 3.1)
	setup.CellMM = 0.4 // coarse: walls are not measured on it
	setup.Layers[1].KerfMM[1] = 3.3
	r := proof.Run("", program, setup, &want)
	assert.False(t, r.OK)
	assert.InDelta(t, 0.1, r.WorstOvercutMM, 3e-4)
	setup.Layers[1].KerfMM[1] = 3.1
	setup.Layers[0].KerfMM[1] = 2.9
	r = proof.Run("", program, setup, &want)
	assert.False(t, r.OK)
	assert.InDelta(t, 0.1, r.WorstUndercutMM, 3e-4)
}

// The field has each layer's width: volume against the areas by hand.
func TestBlockInTheField(t *testing.T) {
	program, setup, want := block(t, 3.3, 3.1)
	setup.CellMM = 0.1
	r := proof.Run("", program, setup, &want)
	area := func(out float64) float64 { // of the pocket, smaller by out on each side
		radius := 2 - out
		return (40-2*out)*(30-2*out) - (4-math.Pi)*radius*radius
	}
	removed := 0.0
	f := r.Field
	for cell, depth := range f.DepthMM {
		if p := middle(f, cell); p.X > 18 && p.X < 62 && p.Y > 18 && p.Y < 52 {
			removed += float64(depth) * f.CellMM * f.CellMM
		}
	}
	assert.InEpsilon(t, 12*area(0)+6*area(0.1), removed, 5e-4)
}

// middle is the middle of a cell of what was cut.
func middle(f proof.Field, cell int) geometry.Point {
	return geometry.Point{X: f.Origin.X + (float64(cell%f.Columns)+0.5)*f.CellMM, Y: f.Origin.Y + (float64(cell/f.Columns)+0.5)*f.CellMM}
}
