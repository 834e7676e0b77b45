package geometry_test

import (
	"fmt"

	"traywright/geometry"
)

// A square of 10 that moves beside one of 20, with a wall of 2 between: where it may not be.
func ExampleTooNear() {
	square := func(size float64) geometry.Region {
		return geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: size, Y: size}}, 0))
	}
	forbidden, err := geometry.TooNear(square(20), square(10), 2, 1e-6)
	fmt.Println(forbidden.Bounds(), err)
	// Output: {{-12 -12} {22 22}} <nil>
}

// A square of 10 in a tray of 100 x 60: how far it may move.
func ExampleWithin() {
	tray := []geometry.Point{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 60}, {X: 0, Y: 60}}
	piece := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 10, Y: 10}}, 0))
	for _, move := range geometry.Within(tray, []geometry.Region{piece}) {
		fmt.Printf("(%.0f, %.0f)", move.X, move.Y)
	}
	// Output: (0, 0)(90, 0)(90, 50)(0, 50)
}
