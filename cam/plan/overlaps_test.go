package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

func square(x, y, side float64) geometry.Contour {
	return geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + side, Y: y + side}}, 0)
}

func squares(list ...geometry.Contour) []geometry.Region {
	var regions []geometry.Region
	for _, c := range list {
		regions = append(regions, geometry.NewRegion(c))
	}
	return regions
}

// Pairs that meet, and pairs that only nearly do, worked out by hand.
func TestMeetingByHand(t *testing.T) {
	regions := squares(
		square(0, 0, 10),
		square(10.005, 0, 10), // nearer to 0 than the slack
		square(20.02, 0, 10),  // just farther from 1 than the slack
		square(2, 2, 3),       // in 0
		square(40, 40, 20),    // a frame, see below
		square(47, 47, 3),     // in the hole of the frame
		square(42, 42, 1),     // in the frame's own ring
		square(54, 47, 3),     // across the hole's edge
		square(60, 60, 5),     // at the frame's corner
		square(60.1, 30, 9.5), // beside it; 8 not reached
	)
	regions[4] = geometry.NewRegion(square(40, 40, 20), square(45, 45, 10).Reverse())
	want := [][2]int{{0, 1}, {0, 3}, {4, 6}, {4, 7}, {4, 8}}
	assert.Equal(t, want, meeting(regions, 0.01))
	want = [][2]int{{0, 1}, {0, 3}, {4, 5}, {4, 6}, {4, 7}, {4, 8}}
	assert.Equal(t, want, nesting(regions, 0.01))
	assert.Equal(t, [][2]int{{0, 1}, {0, 2}, {1, 2}}, meeting(squares(square(0, 0, 1), square(2, 0, 1), square(1, 1.5, 1)), 1.1))
	assert.Empty(t, meeting(nil, 1))
}

// The larger one may come first or second.
func TestOneInsideTheOtherMeets(t *testing.T) {
	for _, two := range [][]geometry.Region{squares(square(0, 0, 9), square(3, 3, 2)), squares(square(3, 3, 2), square(0, 0, 9))} {
		assert.Equal(t, [][2]int{{0, 1}}, meeting(two, 0))
		assert.Equal(t, [][2]int{{0, 1}}, nesting(two, 0))
	}
}

// Every pair of boxes that share a point is found, and no other: held against
// whole numbers that both boxes contain, one by one.
func TestOverlaps(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		type whole struct{ x0, y0, x1, y1 int }
		list := make([]whole, rapid.IntRange(0, 40).Draw(t, "n"))
		boxes := make([]geometry.Box, len(list))
		for i := range list {
			x, y := rapid.IntRange(0, 50).Draw(t, "x"), rapid.IntRange(0, 50).Draw(t, "y")
			b := whole{x, y, x + rapid.IntRange(0, 30).Draw(t, "w"), y + rapid.IntRange(0, 5).Draw(t, "h")}
			list[i] = b
			boxes[i] = geometry.Box{
				Min: geometry.Point{X: float64(b.x0), Y: float64(b.y0)}, Max: geometry.Point{X: float64(b.x1), Y: float64(b.y1)},
			}
		}
		share := func(a, b whole) bool {
			for x := a.x0; x <= a.x1; x++ {
				for y := a.y0; y <= a.y1; y++ {
					if b.x0 <= x && x <= b.x1 && b.y0 <= y && y <= b.y1 {
						return true
					}
				}
			}
			return false
		}
		var want [][2]int
		for i := range list {
			for j := i + 1; j < len(list); j++ {
				if share(list[i], list[j]) {
					want = append(want, [2]int{i, j})
				}
			}
		}
		require.Equal(t, want, overlaps(boxes))
		found += len(want)
	})
	assert.Positive(t, found, "no pair was ever drawn that meets")
}

// The least member stands for its set.
func TestSets(t *testing.T) {
	s := newSets(7)
	for _, p := range [][2]int{{5, 6}, {3, 5}, {1, 2}, {6, 1}} {
		s.join(p[0], p[1])
	}
	var got []int
	for i := range s {
		got = append(got, s.find(i))
	}
	assert.Equal(t, []int{0, 1, 1, 1, 4, 1, 1}, got)
}
