package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/cam/plan"
	"traywright/geometry"
)

// Each part is cut round once, near ones together: the way is no longer than from part to nearest
// part (a tenth and one diagonal are for the closed way that the search minds, judged). Where
// nothing holds them, none is larger than the last.
func TestRimsNearTogetherLargestLast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var parts []geometry.Contour
		for _, i := range rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}).Draw(t, "order")[:rapid.IntRange(1, 12).Draw(t, "parts")] {
			at := geometry.Point{X: float64(i%4) * 120, Y: float64(i/4) * 110}
			size := geometry.Point{X: float64(rapid.IntRange(20, 110).Draw(t, "long")), Y: float64(rapid.IntRange(20, 100).Draw(t, "wide"))}
			parts = append(parts, geometry.Rectangle(geometry.Box{Min: at, Max: at.Add(size)}, 0))
		}
		held, free := orderRims(geometry.Point{}, parts, plan.Hold{SkinMM: 1}), orderRims(geometry.Point{}, parts, plan.Hold{})
		assert.ElementsMatch(t, parts, held)
		assert.ElementsMatch(t, parts, free)
		for _, c := range free {
			assert.LessOrEqual(t, math.Abs(c.Area()), math.Abs(free[len(free)-1].Area()))
		}
		assert.LessOrEqual(t, wayThrough(held), 1.1*wayThrough(nearestNext(parts))+math.Hypot(480, 330))
	})
}

func boxMiddle(c geometry.Contour) geometry.Point {
	return c.Bounds().Min.Add(c.Bounds().Max).Scale(0.5)
}

func wayThrough(parts []geometry.Contour) (sum float64) {
	for i := 1; i < len(parts); i++ {
		sum += boxMiddle(parts[i-1]).DistanceTo(boxMiddle(parts[i]))
	}
	return sum
}

// nearestNext goes from the origin to the nearest part each time.
func nearestNext(parts []geometry.Contour) (list []geometry.Contour) {
	left, at := append([]geometry.Contour(nil), parts...), geometry.Point{}
	for len(left) > 0 {
		best := 0
		for i, c := range left {
			if boxMiddle(c).DistanceTo(at) < boxMiddle(left[best]).DistanceTo(at) {
				best = i
			}
		}
		at = boxMiddle(left[best])
		list, left = append(list, left[best]), append(left[:best], left[best+1:]...)
	}
	return list
}
