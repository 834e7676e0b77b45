package process

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

func boxAt(x, y, w, h float64) geometry.Contour {
	return geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + w, Y: y + h}}, 0)
}

// A hand's passes are as deep as each other, and none is deeper than the recipe says.
func TestPassesOfAHand(t *testing.T) {
	r := profiles.Recipe{MMPerPass: profiles.Number{Value: 10}}
	for thick, want := range map[float64]int{6.35: 1, 10: 1, 10.1: 2, 25.4: 3, 50.8: 6} {
		passes := byHand{}.Passes(0, thick, bedOf(thick, r.Through(thick)))
		require.Len(t, passes, want, thick)
		for i, p := range passes {
			assert.InDelta(t, thick/float64(want), p.ToMM-p.FromMM, 1e-9)
			assert.LessOrEqual(t, p.ToMM-p.FromMM, 10.0+1e-9)
			assert.InDelta(t, thick*float64(i)/float64(want), p.FromMM, 1e-9)
		}
	}
	assert.Equal(t, "mm_per_pass", byHand{}.Lacks(profiles.Recipe{}))
}

// A line begins where it turns the most: a step at a straight part shows, one in a corner does not.
func TestCornerOfALine(t *testing.T) {
	c := geometry.NewContour(geometry.Vertex{Point: geometry.Point{X: 5}}, geometry.Vertex{Point: geometry.Point{X: 20}}, geometry.Vertex{Point: geometry.Point{X: 20, Y: 10}}, geometry.Vertex{Point: geometry.Point{Y: 0}})
	assert.Equal(t, 3, cornerOf(c), "the sharpest of three corners; the first vertex is none")
}

func bedOf(thick float64, r profiles.Recipe) []plan.Bed {
	return []plan.Bed{{BottomMM: thick, Recipe: r}}
}
