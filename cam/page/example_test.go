package page_test

import (
	"bytes"
	"fmt"

	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// An inch-thick tray, larger than a page of Letter, on two pages.
func ExampleTemplate() {
	inch, _ := units.Parse("1 in", units.Inch)
	tray := plan.Tray{
		ID: "crew", Copies: 1,
		Outline: geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 250, Y: 190}}, 8),
		Layers:  []plan.Layer{{Foam: profiles.Foam{ID: "pe-30"}, Thickness: inch}},
	}
	var pdf bytes.Buffer
	err := page.Template(&pdf, []plan.Tray{tray}, page.TemplateOptions{Size: page.Letter, Unit: units.Inch})
	fmt.Println(err, bytes.Count(pdf.Bytes(), []byte("/Type /Page\n")), "pages")
	// Output: <nil> 2 pages
}

// Names of papers are those of the command line.
func ExamplePaperNamed() {
	size, known := page.PaperNamed("letter")
	fmt.Println(size, known)
	// Output: letter true
}
