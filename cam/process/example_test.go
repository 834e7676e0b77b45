package process_test

import (
	"fmt"

	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry"
	"traywright/profiles"
)

func ExampleMeasure() {
	op := process.Op{Moves: []process.Move{{
		Kind: process.Line, To: process.Point{Point: geometry.Point{X: 100}}, FeedMMPerMin: 3000,
	}}}
	s := process.Measure(process.Program{Ops: []process.Op{op}})
	fmt.Printf("%.0f mm, X to %.0f\n", s.CutLengthMM, s.Max.X)
	// Output: 100 mm, X to 100
}

func ExampleMake_refused() {
	_, err := process.Make(plan.Sheet{}, profiles.Machine{ID: "a-plasma-torch", Process: "plasma"}, 1e-6)
	fmt.Println(err)
	// Output:
	// machine a-plasma-torch, process plasma: cutting paths for this process are not built yet; choose a router or by-hand
}
