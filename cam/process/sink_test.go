package process

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// By hand: a millimetre, and above that what zero and, from the bed, thickness may be off; a quarter of the
// clearance where that is more, and the clearance where nobody knows.
func TestSinkMMByHand(t *testing.T) {
	for _, c := range []struct {
		what                    string
		zero                    profiles.ZZero
		zeroMM, clear, thickest float64
		want                    float64
	}{
		{"nothing is off", profiles.ZTop, 0, 4, 0, 1},
		{"zero is off", profiles.ZTop, 0.4, 5, 0.5, 1.4},
		{"a large clearance", profiles.ZTop, 0.4, 20, 0.5, 5},
		{"a small one", profiles.ZTop, 0.4, 1.2, 0.5, 1.2},
		{"from the bed", profiles.ZBed, 0.2, 5, 0.5, 1.7},
		{"from the bed, two sheets", profiles.ZBed, 0.2, 5, 1.6, 2.8},
		{"from the bed, of foam whose thickness nobody knows", profiles.ZBed, 0.2, 5, 0, 5},
	} {
		m := benchRouter()
		m.ZZero, m.ZeroMM, m.ClearanceMM = c.zero, number(c.zeroMM), number(c.clear)
		s := routerSheet(20)
		s.Layers[0].Foam.ThickerMM = number(c.thickest)
		assert.InDelta(t, c.want, sinkMM(s, m), 1e-12, c.what)
	}
	m := benchRouter()
	m.ZZero = profiles.ZBed
	s := sheetOf([]profiles.Recipe{routerRecipe("pad"), routerRecipe("base")}, []float64{20, 6}, cutter3, nil)
	s.Layers[0].Foam.ThickerMM, s.Layers[1].Foam.ThickerMM = number(0.7), number(0.5)
	assert.InDelta(t, 2.2, sinkMM(s, m), 1e-12, "a block: each of its sheets may be thicker")
}

// No rapid comes nearer to foam that nobody has cut, and none goes aside below the clearance.
func TestNoRapidSinksBelow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := benchRouter()
		m.ZZero = rapid.SampledFrom([]profiles.ZZero{profiles.ZTop, profiles.ZBed}).Draw(t, "zero")
		m.ZeroMM = number(rapid.Float64Range(0, 2).Draw(t, "off"))
		s := routerSheet(20, plan.Cut{Name: "it", Shape: rectangle(30, 30, 60, 40, 3), DepthMM: rapid.Float64Range(1, 18).Draw(t, "deep")})
		s.Layers[0].Foam.ThickerMM = number(rapid.Float64Range(0, 3).Draw(t, "thicker"))
		s.Marks, s.Marking = []geometry.Path{lineOf(5, 5, 40, 5), lineOf(120, 100, 160, 100)}, plan.Cut{Name: "marks", Tool: cutter3, Recipes: []profiles.Recipe{routerRecipe("pad")}}
		p, err := made(s, m, tol)
		require.NoError(t, err)
		sunk := 0
		for _, op := range p.Ops {
			each(op, func(from Point, move Move) {
				if move.Kind != Rapid || move.To.Z < 0 {
					return
				}
				assert.GreaterOrEqual(t, move.To.Z, sinkMM(s, m)-1e-9)
				assert.True(t, move.To.Z >= p.ClearZ || move.To.Point == from.Point, "aside")
				if move.To.Z < p.ClearZ {
					sunk++
				}
			})
		}
		assert.True(t, sunk >= len(p.Ops) || sinkMM(s, m) >= m.ClearanceMM.Value, "it does sink")
	})
}

// A blade that swivels sinks as a cutter does, once a pass. One that is turned oscillates, nobody says how far, and goes down all
// of its clearance at the plunge feed.
func TestABladeThatSwivelsSinks(t *testing.T) {
	hole := plan.Cut{Name: "hole", Shape: rectangle(30, 25, 40, 30, 0.15), Through: true}
	for _, c := range []struct {
		sheet plan.Sheet
		m     profiles.Machine
		sinks bool
	}{{knifeSheet(hole), benchKnife(), true}, {chordSheet(hole), turningKnife(), false}} {
		c.sheet.Layers[0].Foam.ThickerMM, c.m.ZeroMM = number(0.5), number(0.1)
		p, err := made(c.sheet, c.m, tol)
		require.NoError(t, err)
		for _, op := range p.Ops {
			sunk := 0
			each(op, func(from Point, move Move) {
				if move.Kind == Rapid && move.To.Z < from.Z {
					sunk++
					assert.Equal(t, Point{from.Point, 1.6}, move.To) // a millimetre, what the sheet is thicker, what zero is off
				}
			})
			assert.Equal(t, c.sinks, sunk == op.Passes, "%s: %d", op.Name, sunk)
			assert.True(t, c.sinks || sunk == 0)
		}
	}
}

// lineOf is a path through points, x and y in turn.
func lineOf(xy ...float64) geometry.Path {
	var list []geometry.Vertex
	for i := 0; i < len(xy); i += 2 {
		list = append(list, geometry.Vertex{Point: geometry.Point{X: xy[i], Y: xy[i+1]}})
	}
	return geometry.NewPath(list...)
}
