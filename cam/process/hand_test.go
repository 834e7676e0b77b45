package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

func boxAt(x, y, w, h float64) geometry.Contour {
	return geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + w, Y: y + h}}, 0)
}

// Three pockets of 20 x 30 at x 20, 50, 80 in a tray of 120 x 80: slits of 20 + 10 + 10 = 40 mm,
// where three upright ones would be 75 (worked out by hand).
func TestLeastSlitsByHand(t *testing.T) {
	list := leastSlits([]geometry.Contour{boxAt(0, 0, 120, 80), boxAt(20, 25, 20, 30), boxAt(50, 25, 20, 30), boxAt(80, 25, 20, 30)}, 0)
	require.Len(t, list, 3)
	sum := 0.0
	for _, s := range list {
		sum += s.from.DistanceTo(s.to)
	}
	assert.InDelta(t, 40, sum, 1e-9)
	assert.Equal(t, 1, list[0].contour, "one of the two that are nearest to the rim")
	assert.Empty(t, leastSlits([]geometry.Contour{boxAt(0, 0, 1, 1)}, 0))
}

// Against all trees that there are (Prüfer), of up to six contours.
func TestLeastSlitsAgainstAllTrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		contours := []geometry.Contour{boxAt(0, 0, 320, 60)}
		n := rapid.IntRange(2, 6).Draw(t, "contours")
		for i := 1; i < n; i++ {
			contours = append(contours, boxAt(float64(i)*50+rapid.Float64Range(0, 20).Draw(t, "x"), rapid.Float64Range(2, 30).Draw(t, "y"), 20, 20))
		}
		far := make([][]float64, n)
		for i := range far {
			far[i] = make([]float64, n)
			for j := range far {
				if i != j {
					far[i][j], _, _ = geometry.Distance(contours[i], contours[j])
				}
			}
		}
		least := math.Inf(1)
		codes := int(math.Pow(float64(n), float64(max(0, n-2))))
		for code := range codes {
			least = math.Min(least, treeOf(code, n, far))
		}
		sum := 0.0
		for _, s := range leastSlits(contours, 0) {
			sum += s.from.DistanceTo(s.to)
		}
		require.InDelta(t, least, sum, 1e-6)
	})
}

// treeOf is the length of the tree whose Prüfer sequence is a number's digits.
func treeOf(code, n int, far [][]float64) float64 {
	if n == 2 {
		return far[0][1]
	}
	degree, sequence := make([]int, n), make([]int, n-2)
	for i := range degree {
		degree[i] = 1
	}
	for i := range sequence {
		sequence[i] = code % n
		code /= n
		degree[sequence[i]]++
	}
	sum := 0.0
	for _, v := range sequence {
		for leaf := range degree {
			if degree[leaf] == 1 {
				sum += far[leaf][v]
				degree[leaf], degree[v] = 0, degree[v]-1
				break
			}
		}
	}
	last := -1
	for i, d := range degree {
		if d == 1 && last >= 0 {
			return sum + far[last][i]
		}
		if d == 1 {
			last = i
		}
	}
	return sum
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
