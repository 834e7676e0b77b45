package geometry_test

import (
	"errors"
	"fmt"
	"math"

	"traywright/geometry"
)

// quarter is a quarter of a circle of radius 5 about the origin, counter-clockwise.
var quarter = geometry.Segment{A: at(5, 0), B: at(0, 5), Bulge: math.Sqrt2 - 1}

// frame is a square of 10 mm with a square hole of 6 mm.
func frame() geometry.Region {
	return geometry.NewRegion(
		geometry.Rectangle(geometry.Box{Max: at(10, 10)}, 0),
		geometry.Rectangle(geometry.Box{Min: at(2, 2), Max: at(8, 8)}, 0).Reverse())
}

// hook is a line of 10 mm and a half circle of radius 2.
func hook() geometry.Path {
	return geometry.NewPath(vertex(0, 0, 0), vertex(10, 0, 1), vertex(10, 4, 0))
}

func ExamplePoint_Add() {
	fmt.Println(at(3, 4).Add(at(1, -1)))
	// Output: {4 3}
}

func ExamplePoint_Sub() {
	fmt.Println(at(3, 4).Sub(at(1, 1)), "is the way from (1, 1) to (3, 4)")
	// Output: {2 3} is the way from (1, 1) to (3, 4)
}

func ExamplePoint_Scale() {
	fmt.Println(at(3, 4).Scale(25.4))
	// Output: {76.19999999999999 101.6}
}

func ExamplePoint_Dot() {
	fmt.Println(at(3, 4).Dot(at(4, -3)), "for a right angle")
	// Output: 0 for a right angle
}

func ExamplePoint_Cross() {
	right, up := at(1, 0), at(0, 1)
	fmt.Println(right.Cross(up), "to the left,", up.Cross(right), "to the right")
	// Output: 1 to the left, -1 to the right
}

func ExamplePoint_Norm() {
	fmt.Println(at(3, 4).Norm(), "mm")
	// Output: 5 mm
}

func ExamplePoint_DistanceTo() {
	fmt.Println(at(1, 1).DistanceTo(at(4, 5)), "mm")
	// Output: 5 mm
}

func ExamplePoint_Left() {
	fmt.Println(at(1, 0).Left())
	// Output: {-0 1}
}

func ExamplePoint_Transform() {
	fmt.Println(at(1, 2).Transform(geometry.Translate(10, 20)))
	// Output: {11 22}
}

func ExampleEmptyBox() {
	b := geometry.EmptyBox()
	for _, p := range []geometry.Point{at(3, 1), at(-1, 5)} {
		b = b.Union(geometry.Box{Min: p, Max: p})
	}
	fmt.Println(b.Min, b.Max)
	// Output: {-1 1} {3 5}
}

func ExampleBox_Empty() {
	fmt.Println(geometry.EmptyBox().Empty(), geometry.Box{}.Empty(), "- the zero value is a point")
	// Output: true false - the zero value is a point
}

func ExampleBox_Width() {
	fmt.Println(geometry.Box{Min: at(1, 1), Max: at(4, 3)}.Width(), "mm")
	// Output: 3 mm
}

func ExampleBox_Height() {
	fmt.Println(geometry.Box{Min: at(1, 1), Max: at(4, 3)}.Height(), "mm")
	// Output: 2 mm
}

func ExampleBox_Union() {
	b := geometry.Box{Max: at(2, 2)}.Union(geometry.Box{Min: at(5, 1), Max: at(6, 3)})
	fmt.Println(b.Min, b.Max)
	// Output: {0 0} {6 3}
}

func ExampleBox_Grow() {
	b := geometry.Box{Max: at(2, 2)}
	fmt.Println(b.Grow(1).Max, b.Grow(-0.5).Max, b.Grow(-2).Empty())
	// Output: {3 3} {1.5 1.5} true
}

func ExampleContour_Len() {
	fmt.Println(geometry.Circle(at(0, 0), 5).Len(), geometry.Contour{}.Len())
	// Output: 2 0
}

func ExampleContour_Length() {
	fmt.Printf("%.4f mm\n", geometry.Circle(at(0, 0), 5).Length())
	// Output: 31.4159 mm
}

func ExampleContour_Reverse() {
	hole := geometry.Circle(at(0, 0), 5).Reverse()
	fmt.Printf("%.3f mm2, from %v\n", hole.Area(), hole.Vertices()[0].Point)
	// Output: -78.540 mm2, from {-5 0}
}

func ExampleContour_Segments() {
	for s := range geometry.Slot(at(0, 0), at(10, 0), 4).Segments() {
		fmt.Printf("%v to %v: %.3f mm\n", s.A, s.B, s.Length())
	}
	// Output:
	// {0 -2} to {10 -2}: 10.000 mm
	// {10 -2} to {10 2}: 6.283 mm
	// {10 2} to {0 2}: 10.000 mm
	// {0 2} to {0 -2}: 6.283 mm
}

func ExampleContour_Vertices() {
	c := geometry.Circle(at(0, 0), 5)
	vertices := c.Vertices()
	vertices[0].X = 99 // a copy: the circle stays
	fmt.Println(c.Vertices()[0].X)
	// Output: -5
}

func ExamplePath_Bounds() {
	b := hook().Bounds()
	fmt.Println(b.Min, b.Max)
	// Output: {0 0} {12 4}
}

func ExamplePath_Length() {
	fmt.Printf("%.3f mm\n", hook().Length())
	// Output: 16.283 mm
}

func ExamplePath_Reverse() {
	for _, v := range hook().Reverse().Vertices() {
		fmt.Println(v.Point, v.Bulge)
	}
	// Output:
	// {10 4} -1
	// {10 0} 0
	// {0 0} 0
}

func ExamplePath_Segments() {
	for s := range hook().Segments() {
		fmt.Println(s.A, s.B, s.IsArc())
	}
	// Output:
	// {0 0} {10 0} false
	// {10 0} {10 4} true
}

func ExamplePath_Transform() {
	// Its direction stays.
	turned := hook().Transform(geometry.Rotate(math.Pi, at(0, 0)))
	fmt.Println(turned.Vertices()[1])
	// Output: {{-10 0} 1}
}

func ExamplePath_Vertices() {
	fmt.Println(len(hook().Vertices()), len(geometry.Path{}.Vertices()))
	// Output: 3 0
}

func ExampleRegion_Area() {
	fmt.Println(frame().Area(), "mm2")
	// Output: 64 mm2
}

func ExampleRegion_Bounds() {
	b := frame().Bounds()
	fmt.Println(b.Min, b.Max, geometry.Region{}.Bounds().Empty())
	// Output: {0 0} {10 10} true
}

func ExampleRegion_Contours() {
	for _, c := range frame().Contours() {
		fmt.Println(c.Area())
	}
	// Output:
	// 100
	// -36
}

func ExampleRegion_Empty() {
	gone, err := geometry.Offset(frame(), -1.5, 1e-6) // its walls are 2 mm
	fmt.Println(gone.Empty(), err)
	// Output: true <nil>
}

func ExampleRegion_Length() {
	fmt.Println(frame().Length(), "mm of boundary")
	// Output: 64 mm of boundary
}

func ExampleRegion_Transform() {
	moved := frame().Transform(geometry.Rotate(math.Pi/2, at(0, 0)))
	fmt.Println(moved.Bounds().Min, moved.Area())
	// Output: {-10 0} 64
}

func ExampleSegment_IsArc() {
	fmt.Println(quarter.IsArc(), geometry.Segment{B: at(1, 0)}.IsArc())
	// Output: true false
}

func ExampleSegment_Chord() {
	fmt.Printf("%.4f mm\n", quarter.Chord())
	// Output: 7.0711 mm
}

func ExampleSegment_Sweep() {
	fmt.Printf("%.4f, the other way %.4f\n", quarter.Sweep(), geometry.Segment{A: quarter.B, B: quarter.A, Bulge: -quarter.Bulge}.Sweep())
	// Output: 1.5708, the other way -1.5708
}

func ExampleSegment_Radius() {
	fmt.Printf("%.3f mm, of a line %v\n", quarter.Radius(), geometry.Segment{B: at(1, 0)}.Radius())
	// Output: 5.000 mm, of a line +Inf
}

func ExampleSegment_Center() {
	// The arc of a G-code program from (10, 0) to (0, 10), counter-clockwise, with the centre at
	// I-10 J0 from its start.
	arc := geometry.Segment{A: at(10, 0), B: at(0, 10), Bulge: math.Sqrt2 - 1}
	center := arc.Center().Sub(arc.A)
	fmt.Printf("G3 X%.4f Y%.4f I%.4f J%.4f\n", arc.B.X, arc.B.Y, center.X, math.Abs(center.Y))
	// Output: G3 X0.0000 Y10.0000 I-10.0000 J0.0000
}

func ExampleSegment_Length() {
	fmt.Printf("%.4f mm\n", quarter.Length())
	// Output: 7.8540 mm
}

func ExampleSegment_Part() {
	second := quarter.Part(0.5, 1)
	fmt.Printf("%.3f from (%.3f, %.3f)\n", second.Length()/quarter.Length(), second.A.X, second.A.Y)
	// Output: 0.500 from (3.536, 3.536)
}

func ExampleSegment_Tangent() {
	start, end := quarter.Tangent(0), quarter.Tangent(1)
	fmt.Printf("(%.2f, %.2f) then (%.2f, %.2f)\n", math.Abs(start.X), start.Y, end.X, math.Abs(end.Y))
	// Output: (0.00, 1.00) then (-1.00, 0.00)
}

func ExampleSegment_Bounds() {
	half := geometry.Segment{A: at(0, -5), B: at(0, 5), Bulge: 1}
	fmt.Println(half.Bounds().Min, half.Bounds().Max)
	// Output: {0 -5} {5 5}
}

func ExampleSegment_Nearest() {
	near, share := quarter.Nearest(at(0, 9))
	fmt.Printf("(%.3f, %.3f) at %.2f of its length\n", math.Abs(near.X), near.Y, share)
	// Output: (0.000, 5.000) at 1.00 of its length
}

func ExampleFault_Error() {
	_, err := geometry.Union(0, frame())
	var fault *geometry.Fault
	fmt.Println(errors.As(err, &fault), err)
	// Output: true finite at (0, 0) mm: the tolerance is 0 mm, it must be above 0
}

func ExampleTranslate() {
	fmt.Println(at(1, 2).Transform(geometry.Translate(-1, 5)))
	// Output: {0 7}
}

func ExampleRotate() {
	fmt.Println(at(2, 0).Transform(geometry.Rotate(math.Pi/2, at(1, 0))))
	// Output: {1 1}
}

func ExampleScale() {
	half := frame().Transform(geometry.Scale(0.5, at(10, 10)))
	fmt.Println(half.Bounds().Min, half.Area())
	// Output: {5 5} 16
}

func ExampleTransform_Then() {
	// Turned about the origin, then moved.
	t := geometry.Rotate(math.Pi, at(0, 0)).Then(geometry.Translate(10, 0))
	fmt.Println(at(1, 2).Transform(t))
	// Output: {9 -2}
}

func ExampleShrinksWhole() {
	fmt.Println(geometry.ShrinksWhole(frame(), 0.01), geometry.ShrinksWhole(frame(), 10))
	// Output: true false
}
