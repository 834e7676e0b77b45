package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/plan"
	"traywright/geometry"
)

// Letters of a drawn pocket stand on foam that is its own: of a horseshoe, whose box's middle is another piece's, all of their
// place lies within the outline.
func TestNamesOfDrawnPocketsAreWithinThem(t *testing.T) {
	p := func(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
	shoe := geometry.NewRegion(geometry.Polygon(p(10, 10), p(28, 10), p(28, 62), p(62, 62), p(62, 10), p(80, 10), p(80, 80), p(10, 80)))
	on := view{box: geometry.Box{Max: p(100, 100)}, scale: 6, x: 50, y: 70}
	r := roomIn(plan.Pocket{Design: shoe, Box: shoe.Bounds(), ShapeName: "outline"}, on)
	assert.Greater(t, r.w, 60.0*6, "the bow is 70 mm wide")
	for _, x := range []float64{r.x, r.right()} {
		for _, y := range []float64{r.y, r.bottom()} {
			assert.True(t, shoe.Contains(p((x-50)/6, 100-(y-70)/6)), "%g %g", x, y)
		}
	}
	thin := geometry.NewRegion(geometry.Circle(p(50, 50), 40), geometry.Circle(p(50, 50), 39).Reverse())
	assert.Less(t, roomIn(plan.Pocket{Design: thin, Box: thin.Bounds(), ShapeName: "outline"}, on).w, 150.0, "nothing in a wire's middle")
}

// Between a ring's outside and its inside there is no foam: the walls are those to the rim and to what lies in it.
func TestWallsOfARingAreFoam(t *testing.T) {
	at := geometry.Point{X: 60, Y: 60}
	ring := geometry.NewRegion(geometry.Circle(at, 40), geometry.Circle(at, 30).Reverse())
	coin := geometry.NewRegion(geometry.Circle(at, 12))
	tray := plan.Tray{Rim: geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 120, Y: 120}}, 0), Pockets: []plan.Pocket{{Design: ring, Box: ring.Bounds()}, {Design: coin, Box: coin.Bounds()}}}
	var inner []float64
	for _, w := range walls(&tray) {
		if !w.edge {
			inner = append(inner, w.mm)
		} else {
			assert.InDelta(t, 20, w.mm, 1e-9)
		}
	}
	assert.InDeltaSlice(t, []float64{18}, inner, 1e-9)
}
