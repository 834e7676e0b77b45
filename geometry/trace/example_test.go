package trace_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"traywright/geometry/trace"
)

// An anchor's ring, drawn as a PNG: a black square with a white one in it.
func ringPNG() []byte {
	img := image.NewGray(image.Rect(0, 0, 60, 60))
	for y := range 60 {
		for x := range 60 {
			shade := color.Gray{255}
			if x >= 10 && x < 50 && y >= 10 && y < 50 && !(x >= 20 && x < 40 && y >= 20 && y < 40) {
				shade.Y = 0
			}
			img.SetGray(x, y, shade)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func ExampleEmblem() {
	img, err := trace.Decode(bytes.NewReader(ringPNG()), trace.Limits{})
	if err != nil {
		fmt.Println(err)
		return
	}
	emblem, err := trace.Emblem(img, trace.Options{WidthMM: 20})
	if err != nil {
		fmt.Println(err)
		return
	}
	box := emblem.Region.Bounds()
	fmt.Printf("%.1f x %.1f mm, %d contours, %d lines, %.0f mm²\n", box.Width(), box.Height(),
		len(emblem.Region.Contours()), emblem.Segments, emblem.Region.Area())
	// Output: 20.0 x 20.0 mm, 2 contours, 8 lines, 300 mm²
}

func ExampleDecode() {
	_, err := trace.Decode(bytes.NewReader(ringPNG()), trace.Limits{Pixels: 1000})
	fmt.Println(err)
	// Output: the picture has 60 x 60 pixels, 3600 in all, and at most 1000 are read
}

func ExampleTracePhoto() {
	img, err := trace.Decode(bytes.NewReader(ringPNG()), trace.Limits{})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = trace.TracePhoto(img, trace.PhotoOptions{ClearanceMM: 0.5})
	fmt.Println(err)
	// Output: the photograph has 60 x 60 pixels, too few to measure in
}
