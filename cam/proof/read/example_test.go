package read_test

import (
	"fmt"

	"traywright/cam/proof/read"
)

// The arc of the standard's own example, and a word that it does not have.
func ExampleProgram() {
	trace := read.Program([]byte("G21 G90 F100\nG0 X7 Y7 Z0\nG17 G2 x10 y16 i3 j4 z9\nG0 E3\nM2\n"), read.Options{})
	arc := trace.Steps[1]
	fmt.Println("centre", arc.Center, "radius", arc.From.XY().DistanceTo(arc.Center))
	for _, f := range trace.Findings {
		fmt.Printf("line %d: %s: %s\nhint: %s\n", f.Line, f.Rule, f.Message, f.Hint)
	}
	// Output:
	// centre {10 11} radius 5
	// line 4: unknown-word: there is no word E in the language, and no exponent
	// hint: remove it, or write the number out
}
