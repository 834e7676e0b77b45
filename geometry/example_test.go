package geometry_test

import (
	"fmt"
	"math"

	"traywright/geometry"
)

func at(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }

func vertex(x, y, bulge float64) geometry.Vertex {
	return geometry.Vertex{Point: at(x, y), Bulge: bulge}
}

// show prints a contour's vertices, with the bulge where there is one.
func show(c geometry.Contour) {
	for _, v := range c.Vertices() {
		fmt.Printf("(%.4g, %.4g)", v.X, v.Y)
		if v.Bulge != 0 {
			fmt.Printf(" bulge %.4f", v.Bulge)
		}
		fmt.Println()
	}
}

func Example() {
	// A pocket of 60 x 40 mm with corners of 5 mm, to be cut by a beam of 0.2 mm:
	// the beam's middle runs 0.1 mm inside.
	pocket := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: at(60, 40)}, 5))
	path, err := geometry.Offset(pocket, -0.1, 1e-6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f mm2 becomes %.3f mm2 in %d contour\n", pocket.Area(), path.Area(), len(path.Contours()))
	// Output: 2378.540 mm2 becomes 2359.430 mm2 in 1 contour
}

func ExampleOffset() {
	// A dumb-bell shrunk by more than half its neck falls in two.
	//
	//	+----+        +----+
	//	|    +--------+    |
	//	|    +--------+    |
	//	+----+        +----+
	left := geometry.Rectangle(geometry.Box{Max: at(10, 10)}, 0)
	right := geometry.Rectangle(geometry.Box{Min: at(20, 0), Max: at(30, 10)}, 0)
	neck := geometry.Rectangle(geometry.Box{Min: at(5, 4), Max: at(25, 6)}, 0)
	bell, _ := geometry.Union(1e-6, geometry.NewRegion(left), geometry.NewRegion(neck), geometry.NewRegion(right))
	parts, err := geometry.Offset(bell, -2, 1e-6)
	fmt.Println(len(bell.Contours()), "->", len(parts.Contours()), err)
	// Output: 1 -> 2 <nil>
}

func ExampleOffsetSharp() {
	card := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: at(85.60, 53.98)}, 0))
	round, _ := geometry.Offset(card, 1, 1e-6)
	sharp, _ := geometry.OffsetSharp(card, 1, 2, 1e-6)
	fmt.Printf("%.3f %.3f\n", round.Area(), sharp.Area())
	// Output: 4902.990 4903.848
}

func ExampleUnion() {
	// A pocket and its finger notch become one contour.
	pocket := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: at(40, 20)}, 0))
	notch := geometry.NewRegion(geometry.Circle(at(40, 10), 6))
	both, err := geometry.Union(1e-6, pocket, notch)
	fmt.Println(err)
	show(both.Contours()[0])
	// Output:
	// <nil>
	// (0, 0)
	// (40, 0)
	// (40, 4) bulge 1.0000
	// (40, 16)
	// (40, 20)
	// (0, 20)
}

func ExampleDifference() {
	// A pillar left standing in a pocket.
	pocket := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: at(40, 40)}, 0))
	pillar := geometry.NewRegion(geometry.Circle(at(20, 20), 10))
	ring, err := geometry.Difference(pocket, pillar, 1e-6)
	fmt.Printf("%d contours, %.3f mm2 %v\n", len(ring.Contours()), ring.Area(), err)
	// Output: 2 contours, 1285.841 mm2 <nil>
}

func ExampleDistance() {
	d, p, q := geometry.Distance(geometry.Circle(at(0, 0), 2), geometry.Circle(at(6, 8), 3))
	fmt.Printf("%.3f mm, from (%.1f, %.1f) to (%.1f, %.1f)\n", d, p.X, p.Y, q.X, q.Y)
	// Output: 5.000 mm, from (1.2, 1.6) to (4.2, 5.6)
}

func ExampleGaps() {
	var coins []geometry.Contour
	for i := range 3 {
		coins = append(coins, geometry.Circle(at(28*float64(i), 0), 12.875))
	}
	for _, g := range geometry.Gaps(coins, 6) {
		fmt.Printf("%d and %d: %.2f mm\n", g.I, g.J, g.Distance)
	}
	// Output:
	// 0 and 1: 2.25 mm
	// 1 and 2: 2.25 mm
}

func ExampleFitEllipse() {
	// An ellipse of 40 x 20 mm to a hundredth of a millimetre.
	path, err := geometry.FitEllipse(at(0, 0), at(20, 0), 0.5, 0, 2*math.Pi, 0.01)
	fmt.Printf("%d arcs, %.2f mm around, %v\n", len(path.Vertices())-1, path.Length(), err)
	// Output: 14 arcs, 96.88 mm around, <nil>
}

func ExampleFitBezier() {
	path, err := geometry.FitBezier(0.01, at(0, 0), at(10, 20), at(30, 20), at(40, 0))
	fmt.Printf("%d segments, %.2f mm, %v\n", len(path.Vertices())-1, path.Length(), err)
	// Output: 5 segments, 52.68 mm, <nil>
}

func ExampleFitSpline() {
	// A quarter circle, as a rational spline has it, is one arc.
	path, err := geometry.FitSpline(2, []float64{0, 0, 0, 1, 1, 1},
		[]geometry.Point{at(5, 0), at(5, 5), at(0, 5)}, []float64{1, math.Sqrt2 / 2, 1}, 1e-6)
	fmt.Printf("bulge %.4f %v\n", path.Vertices()[0].Bulge, err)
	// Output: bulge 0.4142 <nil>
}

func ExampleFitPoints() {
	// A hundred points along a half circle become one arc.
	var points []geometry.Point
	for i := range 101 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 100)
		points = append(points, at(10*cos, 10*sin))
	}
	path, err := geometry.FitPoints(points, 0.01)
	fmt.Printf("%d arc, bulge %.2f %v\n", len(path.Vertices())-1, path.Vertices()[0].Bulge, err)
	// Output: 1 arc, bulge 1.00 <nil>
}

func ExampleChain() {
	// Three sides of a square and, a hair away, the fourth; and a stray line.
	sides := geometry.NewPath(vertex(0, 0, 0), vertex(10, 0, 0), vertex(10, 10, 0), vertex(0, 10, 0))
	fourth := geometry.NewPath(vertex(0, 0, 0), vertex(0, 9.999, 0))
	stray := geometry.NewPath(vertex(20, 0, 0), vertex(25, 0, 0))
	closed, open := geometry.Chain(0.01, sides, fourth, stray)
	fmt.Println(len(closed), "closed,", len(open), "open, from", open[0].Vertices()[0].Point)
	// Output: 1 closed, 1 open, from {20 0}
}

func ExampleRegion_Validate() {
	bowTie := geometry.NewRegion(geometry.Polygon(at(0, 0), at(10, 10), at(10, 0), at(0, 10)))
	fmt.Println(bowTie.Validate(1e-6) != nil)
	repaired, _ := geometry.Union(1e-6, bowTie)
	fmt.Println(repaired.Validate(1e-6), repaired.Area())
	// Output:
	// true
	// <nil> 25
}

func ExampleRegion_Pieces() {
	r := geometry.NewRegion(
		geometry.Circle(at(0, 0), 10), geometry.Circle(at(0, 0), 8).Reverse(), geometry.Circle(at(0, 0), 5))
	for _, piece := range r.Pieces() {
		fmt.Println(len(piece.Contours()))
	}
	// Output:
	// 2
	// 1
}

func ExampleRegion_Contains() {
	ring := geometry.NewRegion(geometry.Circle(at(0, 0), 10), geometry.Circle(at(0, 0), 8).Reverse())
	fmt.Println(ring.Contains(at(9, 0)), ring.Contains(at(0, 0)))
	// Output: true false
}

func ExampleContour_Winding() {
	c := geometry.Circle(at(0, 0), 5)
	fmt.Println(c.Winding(at(1, 1)), c.Reverse().Winding(at(1, 1)), c.Winding(at(9, 9)))
	// Output: 1 -1 0
}

func ExampleContour_StartAt() {
	show(geometry.Polygon(at(0, 0), at(4, 0), at(4, 3)).StartAt(1))
	// Output:
	// (4, 0)
	// (4, 3)
	// (0, 0)
}

func ExampleContour_Area() {
	// An ID-1 card with corners of 3.18 mm.
	card := geometry.Rectangle(geometry.Box{Max: at(85.60, 53.98)}, 3.18)
	fmt.Printf("%.3f mm2, %.3f mm\n", card.Area(), card.Length())
	// Output: 4612.007 mm2, 273.701 mm
}

func ExampleContour_Bounds() {
	half := geometry.NewContour(vertex(0, -5, 1), vertex(0, 5, 0))
	b := half.Bounds()
	fmt.Printf("%.0f x %.0f mm\n", b.Width(), b.Height())
	// Output: 5 x 10 mm
}

func ExampleRectangle() {
	show(geometry.Rectangle(geometry.Box{Max: at(20, 10)}, 5)) // corners of half the height: a slot
	// Output:
	// (5, 0)
	// (15, 0) bulge 0.4142
	// (20, 5) bulge 0.4142
	// (15, 10)
	// (5, 10) bulge 0.4142
	// (0, 5) bulge 0.4142
}

func ExampleCircle() {
	show(geometry.Circle(at(0, 0), 5))
	// Output:
	// (-5, 0) bulge 1.0000
	// (5, 0) bulge 1.0000
}

func ExampleSlot() {
	show(geometry.Slot(at(0, 0), at(10, 0), 4))
	// Output:
	// (0, -2)
	// (10, -2) bulge 1.0000
	// (10, 2)
	// (0, 2) bulge 1.0000
}

func ExamplePolygon() {
	fmt.Println(geometry.Polygon(at(0, 0), at(4, 0), at(4, 3)).Area())
	// Output: 6
}

func ExampleNewPath() {
	p := geometry.NewPath(vertex(0, 0, 0), vertex(10, 0, 1), vertex(10, 4, 0))
	fmt.Printf("%.3f mm, back from %v\n", p.Length(), p.Reverse().Vertices()[0].Point)
	// Output: 16.283 mm, back from {10 4}
}

func ExampleNewContour() {
	show(geometry.NewContour(vertex(0, 0, 0), vertex(10, 0, 1), vertex(10, 4, 0)).Reverse())
	// Output:
	// (0, 0)
	// (10, 4) bulge -1.0000
	// (10, 0)
}

func ExampleNewRegion() {
	frame := geometry.NewRegion(
		geometry.Rectangle(geometry.Box{Max: at(10, 10)}, 0),
		geometry.Rectangle(geometry.Box{Min: at(2, 2), Max: at(8, 8)}, 0).Reverse())
	fmt.Println(frame.Area(), frame.Length(), frame.Contains(at(1, 1)))
	// Output: 64 64 true
}

func ExampleSegment() {
	s := geometry.Segment{A: at(5, 0), B: at(0, 5), Bulge: math.Sqrt2 - 1} // a quarter circle
	fmt.Printf("radius %.3f, sweep %.4f, length %.4f\n", s.Radius(), s.Sweep(), s.Length())
	middle, t := s.Nearest(at(10, 10))
	fmt.Printf("(%.4f, %.4f) at %.2f of %.4f\n", middle.X, middle.Y, t, s.Chord())
	fmt.Println(s.IsArc())
	// Output:
	// radius 5.000, sweep 1.5708, length 7.8540
	// (3.5355, 3.5355) at 0.50 of 7.0711
	// true
}

func ExampleSegment_At() {
	s := geometry.Segment{A: at(0, 0), B: at(10, 0)}
	fmt.Println(s.At(0.25), s.Tangent(0.25), s.Center())
	// Output: {2.5 0} {1 0} {5 0}
}

func ExampleTransform() {
	quarter := geometry.Rotate(math.Pi/2, at(0, 0))
	both := quarter.Then(geometry.Translate(10, 0))
	fmt.Println(at(1, 2).Transform(both))
	fmt.Println(at(1, 2).Transform(geometry.Scale(3, at(1, 1))))
	fmt.Println(at(1, 2).Transform(geometry.Transform{}))
	// Output:
	// {8 1}
	// {1 4}
	// {1 2}
}

func ExampleContour_Transform() {
	c := geometry.Polygon(at(0, 0), at(4, 0), at(4, 3))
	fmt.Println(c.Area(), c.Transform(geometry.Scale(2, at(4, 0))).Area())
	// Output: 6 24
}

func ExampleBox() {
	b := geometry.EmptyBox().Union(geometry.Box{Max: at(4, 3)}).Grow(1)
	fmt.Println(b.Min, b.Max, b.Width(), b.Height(), b.Empty(), geometry.EmptyBox().Empty())
	// Output: {-1 -1} {5 4} 6 5 false true
}

func ExamplePoint() {
	p, q := at(3, 4), at(0, 1)
	fmt.Println(p.Add(q), p.Sub(q), p.Scale(2), p.Dot(q), p.Cross(q), p.Norm(), q.Left())
	// Output: {3 5} {3 3} {6 8} 4 3 5 {-1 0}
}

func ExampleFault() {
	_, err := geometry.Offset(geometry.NewRegion(geometry.Circle(at(0, 0), 5)), math.NaN(), 1e-6)
	fault := err.(*geometry.Fault)
	fmt.Println(fault.Rule)
	// Output: finite
}

func ExampleNewWalls() {
	walls := geometry.NewWalls(geometry.NewRegion(geometry.Circle(geometry.Point{}, 5)))
	fmt.Println(walls.DistanceTo(geometry.Point{X: 9}, 0))
	// Output: 4
}

func ExampleWalls_DistanceTo() {
	square := geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 10, Y: 10}}, 0)
	walls := geometry.NewWalls(geometry.NewRegion(square))
	fmt.Println(walls.DistanceTo(geometry.Point{X: 5, Y: 2}, 0), walls.DistanceTo(geometry.Point{X: 13, Y: 14}, 0))
	// Output: 2 5
}

func ExampleWalls_Gap() {
	walls := geometry.NewWalls(geometry.NewRegion(geometry.Circle(geometry.Point{}, 5)))
	fmt.Println(walls.Gap(geometry.Circle(geometry.Point{X: 9}, 2), 10))
	fmt.Println(walls.Gap(geometry.Circle(geometry.Point{X: 90}, 2), 10))
	// Output:
	// 2 {7 0}
	// 10 {0 0}
}

func ExampleWalls_Contains() {
	walls := geometry.NewWalls(geometry.NewRegion(geometry.Circle(geometry.Point{}, 5)))
	fmt.Println(walls.Contains(geometry.Point{X: 4}), walls.Contains(geometry.Point{X: 6}))
	// Output: true false
}

// The squares near the corner come before those far from it.
func ExampleNeighbours() {
	at := [][2]float64{{0, 0}, {30, 0}, {0, 30}, {30, 30}, {10, 0}, {0, 10}}
	order := geometry.Neighbours(len(at), func(i int) geometry.Box {
		corner := geometry.Point{X: at[i][0], Y: at[i][1]}
		return geometry.Box{Min: corner, Max: corner.Add(geometry.Point{X: 5, Y: 5})}
	})
	fmt.Println(order)
	// Output: [0 4 5 1 2 3]
}
