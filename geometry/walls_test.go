package geometry

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Walls say the same of a place as their region, beside its boundary and anywhere. On the boundary itself
// rounding may decide either way.
func TestWallsContainWhatTheirRegionContains(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 60).Draw(t, "vertices")
		var vertices []Vertex
		coordinate := rapid.Float64Range(-20, 20)
		for range n {
			vertices = append(vertices, Vertex{Point{coordinate.Draw(t, "x"), coordinate.Draw(t, "y")}, rapid.Float64Range(-1.5, 1.5).Draw(t, "bulge")})
		}
		r, err := Union(1e-6, NewRegion(NewContour(vertices...)))
		if err != nil {
			t.Fatal(err)
		}
		w := NewWalls(r)
		places := []Point{{coordinate.Draw(t, "at x"), coordinate.Draw(t, "at y")}}
		for _, v := range vertices {
			places = append(places, Point{v.X + 1e-3, v.Y}, Point{coordinate.Draw(t, "beside"), v.Y})
		}
		for _, p := range places {
			if w.DistanceTo(p, 1e-6) < 1e-6 {
				continue
			}
			assert.Equal(t, r.Contains(p), w.Contains(p), "%v", p)
		}
	})
}
