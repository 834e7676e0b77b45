package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestLabelsNeverOverlapNorLeaveThePage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		page := rect{0, 0, 300, 200}
		c := newClaims(page)
		var placed []rect
		for range rapid.IntRange(1, 60).Draw(t, "labels") {
			x, y := rapid.Float64Range(-50, 350).Draw(t, "x"), rapid.Float64Range(-50, 250).Draw(t, "y")
			w, h := rapid.Float64Range(1, 80).Draw(t, "w"), rapid.Float64Range(1, 40).Draw(t, "h")
			r, ok := c.place(page, around(x, y, w, h, 10)...)
			if !ok {
				continue
			}
			if r.x < 0 || r.y < 0 || r.right() > page.w || r.bottom() > page.h {
				t.Fatalf("%v is off the page", r)
			}
			for _, other := range placed {
				if r.overlaps(other) {
					t.Fatalf("%v overlaps %v", r, other)
				}
			}
			placed = append(placed, r)
		}
	})
}

func TestSpreadKeepsOrderAndDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 12).Draw(t, "n")
		middles, at := make([]float64, n), 0.0
		for i := range middles {
			at += rapid.Float64Range(0, 30).Draw(t, "step")
			middles[i] = at
		}
		high := max(at, 20*float64(n)) + 10
		placed := spread(middles, 20, 0, high)
		for i, y := range placed {
			if y < 10-1e-9 || y > high-10+1e-9 {
				t.Fatalf("%g is outside 0 to %g", y, high)
			}
			if i > 0 && y-placed[i-1] < 20-1e-9 {
				t.Fatalf("%v: labels %d and %d overlap", placed, i-1, i)
			}
		}
	})
}

func TestSpreadLeavesAloneWhatHasRoom(t *testing.T) {
	assert.Equal(t, []float64{30, 60, 100}, spread([]float64{30, 60, 100}, 20, 0, 200))
}
