package lettering_test

import (
	"errors"
	"fmt"

	"golang.org/x/image/font/gofont/goregular"

	"traywright/geometry"
	"traywright/geometry/lettering"
)

func Example() {
	// The name of a tray, 8 mm high, to be cut through a sheet that holds walls of 1 mm.
	face, _ := lettering.Shipped("go-bold")
	line, err := face.Set("Gull Watch", lettering.Setting{HeightMM: 8, Align: lettering.Center, BridgeMM: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	region, _ := line.Region(1e-6)
	fmt.Printf("%.1f x %.1f mm, %.1f mm2 in %d parts\n", line.Box.Width(), line.Box.Height(), region.Area(), len(region.Pieces()))
	// Output: 57.1 x 8.7 mm, 193.6 mm2 in 9 parts
}

func ExampleNames() {
	fmt.Println(lettering.Names())
	// Output: [strokes go go-medium go-bold go-italic go-bold-italic go-mono go-mono-bold go-smallcaps]
}

func ExampleShipped() {
	_, there := lettering.Shipped("go-mono")
	_, none := lettering.Shipped("Go Mono")
	fmt.Println(there, none)
	// Output: true false
}

func ExampleParseFont() {
	_, err := lettering.ParseFont(goregular.TTF)
	fmt.Println(err)
	_, err = lettering.ParseFont([]byte("wOF2 ..."))
	var fault *lettering.Fault
	errors.As(err, &fault)
	fmt.Printf("%v: %s\n", fault, fault.Hint)
	// Output:
	// <nil>
	// the file is a WOFF2 font: convert it to a single .ttf or .otf file
}

func ExampleFace_Set() {
	face, _ := lettering.Shipped(lettering.Strokes)
	line, _ := face.Set("I7", lettering.Setting{HeightMM: 14})
	for _, letter := range line.Letters {
		for _, stroke := range letter.Strokes {
			fmt.Printf("%c", letter.Rune)
			for _, v := range stroke.Vertices() {
				fmt.Printf(" (%.4g, %.4g)", v.X, v.Y)
			}
			fmt.Println()
		}
	}
	_, err := face.Set("港 Quay", lettering.Setting{HeightMM: 14})
	fmt.Println(err)
	// Output:
	// I (1.5, 14) (5.5, 14)
	// I (3.5, 14) (3.5, 0)
	// I (1.5, 0) (5.5, 0)
	// 7 (8.5, 14) (17.1, 14) (11.5, 0)
	// the face strokes has no letter for '港' (U+6E2F)
}

func ExampleFace_Fit() {
	face, _ := lettering.Shipped("go")
	line, err := face.Fit("Reef Watch", 60, 20, lettering.Setting{})
	fmt.Printf("%.2f mm high, %.2f x %.2f mm %v\n", line.HeightMM, line.Box.Width(), line.Box.Height(), err)
	// Output: 8.54 mm high, 60.00 x 9.40 mm <nil>
}

func ExampleLine_Transform() {
	face, _ := lettering.Shipped("go")
	line, _ := face.Set("12", lettering.Setting{HeightMM: 10})
	up := line.Transform(geometry.Rotate(1.5707963267948966, geometry.Point{}))
	fmt.Printf("%.2f x %.2f, turned %.2f x %.2f\n", line.Box.Width(), line.Box.Height(), up.Box.Width(), up.Box.Height())
	// Output: 12.64 x 10.25, turned 10.25 x 12.64
}

func ExampleStencil() {
	// A ring of 20 mm, to be cut through: its middle would fall out.
	ring := geometry.NewRegion(geometry.Circle(geometry.Point{}, 10), geometry.Circle(geometry.Point{}, 6).Reverse())
	cut, bridges, err := lettering.Stencil(ring, lettering.StencilOptions{BridgeMM: 2}, 1e-6)
	fmt.Println(len(ring.Contours()), "contours become", len(cut.Contours()), err)
	for _, b := range bridges {
		fmt.Printf("upright from %.2f to %.2f, %g mm wide\n", b.From.Y, b.To.Y, b.WidthMM)
	}
	// Output:
	// 2 contours become 2 <nil>
	// upright from -10.25 to -5.67, 2 mm wide
	// upright from 5.67 to 10.25, 2 mm wide
}
