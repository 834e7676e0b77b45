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
		r, err := newRouter(s, m, tol)
		require.NoError(t, err)
		assert.InDelta(t, c.want, r.sinkMM(), 1e-12, c.what)
	}
	m := benchRouter()
	m.ZZero = profiles.ZBed
	s := sheetOf([]profiles.Recipe{routerRecipe("pad"), routerRecipe("base")}, []float64{20, 6}, cutter3, nil)
	s.Layers[0].Foam.ThickerMM, s.Layers[1].Foam.ThickerMM = number(0.7), number(0.5)
	r, err := newRouter(s, m, tol)
	require.NoError(t, err)
	assert.InDelta(t, 2.2, r.sinkMM(), 1e-12, "a block: each of its sheets may be thicker")
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
		r, err := newRouter(s, m, tol)
		require.NoError(t, err)
		sunk := 0
		for _, op := range p.Ops {
			each(op, func(from Point, move Move) {
				if move.Kind != Rapid || move.To.Z < 0 {
					return
				}
				assert.GreaterOrEqual(t, move.To.Z, r.sinkMM()-1e-9)
				assert.True(t, move.To.Z >= p.ClearZ || move.To.Point == from.Point, "aside")
				if move.To.Z < p.ClearZ {
					sunk++
				}
			})
		}
		assert.True(t, sunk >= len(p.Ops) || r.sinkMM() >= m.ClearanceMM.Value, "it does sink")
	})
}

// lineOf is a path through points, x and y in turn.
func lineOf(xy ...float64) geometry.Path {
	var list []geometry.Vertex
	for i := 0; i < len(xy); i += 2 {
		list = append(list, geometry.Vertex{Point: geometry.Point{X: xy[i], Y: xy[i+1]}})
	}
	return geometry.NewPath(list...)
}
