package page_test

import (
	"fmt"

	"traywright/cam/page"
)

// Names of papers are those of the command line.
func ExamplePaperNamed() {
	size, known := page.PaperNamed("letter")
	fmt.Println(size, known)
	// Output: letter true
}
