package drawing_test

import (
	"context"
	"fmt"

	"traywright/cam/drawing"
)

// An outline for a pocket: a disc of 30 mm with a hole of 10 mm by 10 mm.
func ExampleRegion() {
	text := `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">
		<circle cx="20" cy="20" r="15"/>
		<path d="M15 15h10v10h-10z"/>
	</svg>`
	pieces, err := drawing.SVG.Read(context.Background(), []byte(text))
	if err != nil {
		fmt.Println(err)
		return
	}
	region, err := drawing.Region(context.Background(), pieces, drawing.Tolerance{FitMM: 0.005, GapMM: 0.01})
	fmt.Printf("%d contours, %.3f mm2, %v\n", len(region.Contours()), region.Area(), err)
	// Output: 2 contours, 606.858 mm2, <nil>
}
