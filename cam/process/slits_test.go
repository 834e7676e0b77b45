package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// Three pockets of 20 x 30 at x 20, 50, 80 in a tray of 120 x 80: slits of 20 + 10 + 10 = 40 mm and
// a way of 380 mm in and around them, where three upright ones would be 75 and 450 (facts I).
func TestLeastSlitsByHand(t *testing.T) {
	list := leastSlits([]geometry.Contour{boxAt(0, 0, 120, 80), boxAt(20, 25, 20, 30), boxAt(50, 25, 20, 30), boxAt(80, 25, 20, 30)}, 0, plainly)
	require.Len(t, list, 3)
	assert.InDelta(t, 40, lengthOfSlits(list), 1e-9)
	assert.InDelta(t, 380, 3*100+2*lengthOfSlits(list), 1e-9)
	assert.Equal(t, 1, list[0].contour, "one of the two that are nearest to the rim")
	assert.InDelta(t, 40, list[0].from.Y, 1e-9, "in the middle of the walls that face each other")
	assert.Empty(t, leastSlits([]geometry.Contour{boxAt(0, 0, 1, 1)}, 0, plainly))
}

func lengthOfSlits(list []slit) float64 {
	sum := 0.0
	for _, s := range list {
		sum += s.from.DistanceTo(s.to)
	}
	return sum
}

// Walls of 4 mm between pockets 11 mm from the rim: by length a slit goes through every wall, and
// where 10 mm is thin, each pocket has one of its own from the rim.
func TestSlitsInThickFoam(t *testing.T) {
	contours := []geometry.Contour{boxAt(0, 0, 120, 60), boxAt(20, 11, 20, 30), boxAt(44, 11, 20, 30), boxAt(68, 11, 20, 30)}
	assert.InDelta(t, 11+4+4, lengthOfSlits(leastSlits(contours, 0, plainly)), 1e-9)
	thick := leastSlits(contours, 0, func(_, _ int) float64 { return 10 })
	assert.InDelta(t, 3*11, lengthOfSlits(thick), 1e-9)
	for _, s := range thick {
		assert.Zero(t, s.parent)
	}
}

// Against all trees that there are (Prüfer), of up to seven pockets of seeded random shapes, with
// and without walls that count as thin.
func TestLeastSlitsAgainstAllTrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		contours := someContours(t)
		thin := rapid.SampledFrom([]float64{0, 0, 4, 10}).Draw(t, "thin")
		weigh := tree{contours, func(_, _ int) float64 { return thin }}
		n := len(contours)
		far := make([][]float64, n)
		for i := range far {
			far[i] = make([]float64, n)
			for j := range far {
				far[i][j] = math.Inf(1)
				if b, ok := weigh.between(i, j, math.Inf(1)); ok && i != j {
					far[i][j] = b.cost
				}
			}
		}
		least := math.Inf(1)
		for code := range int(math.Pow(float64(n), float64(max(0, n-2)))) {
			least = math.Min(least, treeOf(code, n, far))
		}
		list, sum := leastSlits(contours, 0, weigh.thin), 0.0
		require.Len(t, list, n-1)
		for _, s := range list {
			require.False(t, weigh.blocked(s), "none crosses a third contour")
			sum += far[s.parent][s.contour]
		}
		require.False(t, weigh.cross(list), "none crosses another")
		require.InDelta(t, least, sum, 1e-6)
	})
}

// someContours are a rim with one to seven pockets: boxes, turned boxes and circles.
func someContours(t *rapid.T) []geometry.Contour {
	contours := []geometry.Contour{boxAt(0, 0, 150, 100)}
	for i := range rapid.IntRange(1, 7).Draw(t, "pockets") {
		at := geometry.Point{X: 20 + 36*float64(i%4) + rapid.Float64Range(0, 8).Draw(t, "x"), Y: 26 + 44*float64(i/4) + rapid.Float64Range(0, 12).Draw(t, "y")}
		size := rapid.Float64Range(8, 24).Draw(t, "size")
		switch rapid.IntRange(0, 2).Draw(t, "shape") {
		case 0:
			contours = append(contours, geometry.Circle(at, size/2))
		case 1:
			turn := geometry.Rotate(rapid.Float64Range(0, 1.5).Draw(t, "turn"), at)
			contours = append(contours, boxAt(at.X-size/2, at.Y-size/3, size, size/1.5).Transform(turn))
		default:
			contours = append(contours, boxAt(at.X-size/2, at.Y-size/2, size, size))
		}
	}
	return contours
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
