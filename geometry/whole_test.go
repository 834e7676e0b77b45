package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ShrinksWhole answers yes of what is plainly whole, and never where the offset says otherwise.
func TestShrinksWhole(t *testing.T) {
	dumbbell := func(neck float64) Region {
		low, high := 10-neck/2, 10+neck/2
		return NewRegion(Polygon(Point{0, 0}, Point{20, 0}, Point{20, low}, Point{30, low}, Point{30, 0}, Point{50, 0},
			Point{50, 20}, Point{30, 20}, Point{30, high}, Point{20, high}, Point{20, 20}, Point{0, 20}))
	}
	square := Rectangle(Box{Point{0, 0}, Point{20, 20}}, 0)
	var arc, comb []Point
	for i := range 3000 {
		sine, cosine := math.Sincos(2 * math.Pi * float64(i) / 3000)
		arc = append(arc, Point{5 * cosine, 5 * sine})
	}
	round := Polygon(arc...)
	for i := range 40 {
		x := 0.02 * float64(i)
		comb = append(comb, Point{x, 0}, Point{x + 0.01, 0}, Point{x + 0.01, 1}, Point{x + 0.02, 1})
	}
	for _, c := range []struct {
		name  string
		shape Region
		sure  bool
	}{
		{"square", NewRegion(square), true},
		{"round corners", NewRegion(Rectangle(Box{Point{0, 0}, Point{20, 20}}, 3)), true},
		{"circle", NewRegion(Circle(Point{5, 5}, 5)), true},
		{"with a hole", NewRegion(square, Circle(Point{10, 10}, 5).Reverse()), true},
		{"a hole near its edge", NewRegion(square, Circle(Point{5.015, 10}, 5).Reverse()), false},
		{"a passage", dumbbell(1), true},
		{"a passage that closes", dumbbell(0.02), false},
		{"a passage that closes later", dumbbell(0.024), false},
		{"a crumb", NewRegion(square, Rectangle(Box{Point{10, 10}, Point{10.01, 10.01}}, 0).Reverse()), false},
		{"a crumb that vanishes", NewRegion(square, Rectangle(Box{Point{30, 10}, Point{30.015, 10.015}}, 0)), false},
		{"a sharp corner", NewRegion(Polygon(Point{0, 0}, Point{20, 0}, Point{20, 1}, Point{10, 5})), false},
		{"arcs of a small radius", NewRegion(Rectangle(Box{Point{0, 0}, Point{20, 20}}, 0.5)), false},
		{"short parts that turn little", NewRegion(round), true},
		{"short parts, and a corner that turns back", NewRegion(NewContour(append(round.Vertices(), Vertex{Point{12, 0.004}, 0})...)), false},
		{"a comb of short parts", NewRegion(Polygon(append(comb, Point{20, 20}, Point{0, 20})...)), false},
		{"two halves of a lens", NewRegion(NewContour(Vertex{Point{0, 0}, 0.001}, Vertex{Point{20, 0}, 0.001})), false},
	} {
		assert.Equal(t, c.sure, ShrinksWhole(c.shape, 0.01), c.name)
	}
}

// Of random regions, eroded before as the inside of a pocket is, whatever is sure is so.
func TestShrinksWholeAgreesWithTheOffset(t *testing.T) {
	sure, asked := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		r, d := offsets(t, anyRegion(t, 4), -anyDistance(t)/2), math.Pow(10, -number(1, 4).Draw(t, "d"))
		asked++
		if r.Empty() || !ShrinksWhole(r, d) {
			return
		}
		sure++
		got, err := Offset(r, -d, tol)
		require.NoError(t, err)
		assert.Len(t, got.Pieces(), len(r.Pieces()))
	})
	assert.Greater(t, 10*sure, asked, "of %d it was sure of %d", asked, sure)
}
