package process

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/profiles"
)

func stepdowns(values ...float64) []profiles.Recipe {
	var list []profiles.Recipe
	for _, v := range values {
		list = append(list, profiles.Recipe{StepdownMM: number(v)})
	}
	return list
}

func TestLevels(t *testing.T) {
	two := []layer{{0, 25.4}, {25.4, 31.75}}
	for _, c := range []struct {
		name     string
		from, to float64
		layers   []layer
		steps    []profiles.Recipe
		want     []float64
	}{
		{"one pass", 0, 5, two, stepdowns(6, 2), []float64{-5}},
		{"exactly one pass", 0, 6, two, stepdowns(6, 2), []float64{-6}},
		{"equal passes", 0, 20, two, stepdowns(6, 2), []float64{-5, -10, -15, -20}},
		{"up to the glue line", 0, 25.4, two, stepdowns(12.7, 2), []float64{-12.7, -25.4}},
		{"across the glue line", 0, 28.4, two, stepdowns(12.7, 2), []float64{-12.7, -25.4, -26.9, -28.4}},
		{"below the foam", 0, 32.25, two, stepdowns(30, 10), []float64{-25.4, -32.25}},
		{"from a floor", 20, 26.4, two, stepdowns(6, 2), []float64{-25.4, -26.4}},
		{"from below the glue line", 26, 30, two, stepdowns(6, 2), []float64{-28, -30}},
		{"nothing", 5, 5, two, stepdowns(6, 2), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []float64
			above := -c.from
			for _, l := range levels(c.from, c.to, c.layers, c.steps) {
				assert.InDelta(t, above, l.above, 1e-9)
				above = l.z
				got = append(got, l.z)
			}
			assert.InDeltaSlice(t, c.want, got, 1e-9)
		})
	}
}

func TestLevelsAreEqualAndNeverTooDeep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(1, 60).Draw(t, "upper")
		b := rapid.Float64Range(1, 60).Draw(t, "lower")
		steps := stepdowns(rapid.Float64Range(0.5, 20).Draw(t, "step"), rapid.Float64Range(0.5, 20).Draw(t, "step"))
		depth := rapid.Float64Range(0.1, a+b+1).Draw(t, "depth")
		list := levels(0, depth, []layer{{0, a}, {a, a + b}}, steps)
		require.NotEmpty(t, list)
		assert.Equal(t, -depth, list[len(list)-1].z)
		heights := map[int]float64{}
		for _, l := range list {
			h := l.above - l.z
			assert.LessOrEqual(t, h, steps[l.layer].StepdownMM.Value*(1+2e-6))
			if known, ok := heights[l.layer]; ok {
				assert.InDelta(t, known, h, 1e-9)
			}
			heights[l.layer] = h
			assert.False(t, l.above > -a+1e-9 && l.z < -a-1e-9, "a pass across the glue line")
		}
	})
}
