package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Trays as stock has them, by a seed: of any size, their corners and those of a pocket sharp or of any radius that the
// blade fits. No program of ours is refused by its own dry run, wherever its blade comes down and is lifted.
func TestNoOwnProgramOfATurnedBladeIsRefused(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 16))
		m := turnedMachine(r)
		recipe := bladeRecipe(r)
		p := patientOf(t, roundedTray(t, r, m, recipe), m, recipe)
		result := proof.Run("", []byte(p.text), p.setup, &p.want)
		assert.True(t, result.OK, "seed %d: %v", seed, result.Findings)
	}
}

// A blade that swivels sinks at rapid to a millimetre above the highest top that the tolerances allow, by a seed; one of those ways
// that ends lower is refused.
func TestASinkingBladeKeepsFromTheHighestTop(t *testing.T) {
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 17))
		m, recipe, thick := knifeMachine(), bladeRecipe(r), 4+1.9*r.Float64()
		off, thicker := 0.3+0.5*r.Float64(), 0.2+0.5*r.Float64() // more than a quarter of the clearance in all
		m.ZeroMM.Value = off
		room, top := 1+off, 0.0
		s := smallTray(t, r, m, recipe, thick)
		s.Layers[0].Foam.ThickerMM.Value = thicker
		if seed%2 == 0 {
			m.ZZero = profiles.ZBed
			room, top = room+thicker, s.ThicknessMM()
		}
		p := patientOf(t, s, m, recipe)
		p.setup.Tolerances = &proof.Tolerances{ZeroMM: proof.Range{Low: -off, High: off}, ThicknessMM: proof.Range{Low: -0.3, High: thicker}}
		down := fmt.Sprintf("G0 Z%.4f\n", top+room)
		require.Contains(t, p.text, down)
		result := proof.Run("", []byte(p.text), p.setup, &p.want)
		assert.True(t, result.OK, "seed %d: %v", seed, result.Findings)
		one := strings.Replace(p.text, down, fmt.Sprintf("G0 Z%.4f\n", top+room-0.1), 1)
		assert.Equal(t, []string{"rapid-down"}, distinct(errorsOf(proof.Run("", []byte(one), p.setup, &p.want))), "seed %d", seed)
	}
}

// roundedTray has a pocket, a slot or neither.
func roundedTray(t testing.TB, r *rand.Rand, m profiles.Machine, recipe profiles.Recipe) plan.Sheet {
	tool, kerf := m.Tools[0], recipe.KerfMM.Value
	length, width, thick := 50+50*r.Float64(), 40+40*r.Float64(), 4+1.9*r.Float64()
	s := plan.Sheet{Number: 1, Layers: []plan.Layer{{Thickness: units.Length(math.Round(1e4*thick) * 1e2)}}}
	cut := func(name string, shape geometry.Region) plan.Cut {
		return plan.Cut{Name: name, Tool: tool, Recipes: []profiles.Recipe{recipe}, DepthMM: s.ThicknessMM(), Through: true, Shape: shape, Design: shape}
	}
	least := tool.LeastRadiusMM(tool.ChordMM.Value/2) + kerf/2 + 0.01 // of a curve that it goes round from inside
	switch r.IntN(4) {
	case 0: // with as many corners as may be, some of them nearly meeting
		shape := opened(t, smallHole(r, true, box(8, 8, 30, 24)), least)
		s.Cuts = append(s.Cuts, cut("many", shape))
	case 1:
		l, w := 2*least+(length-16-2*least)*r.Float64(), 2*least+(width-16-2*least)*r.Float64()
		s.Cuts = append(s.Cuts, cut("pocket", geometry.NewRegion(geometry.Rectangle(box(8, 8, l, w), least+(math.Min(l, w)/2-least)*r.Float64()*float64(r.IntN(2))))))
	case 2:
		s.Cuts = append(s.Cuts, cut("slot", geometry.NewRegion(geometry.Slot(geometry.Point{X: 8 + least, Y: 20}, geometry.Point{X: 8 + least + (length-16-2*least)*r.Float64(), Y: 20}, 2*least))))
	}
	edge := tool.ChordMM.Value/2 + 15*r.Float64()*r.Float64()
	s.Edge = cut("outline", geometry.NewRegion(geometry.Rectangle(box(0, 0, length, width), edge*float64(min(1, r.IntN(4))))))
	return s
}
