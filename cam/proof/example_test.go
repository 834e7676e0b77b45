package proof_test

import (
	"fmt"

	"traywright/cam/proof"
	"traywright/geometry"
)

const slotProgram = `G21 G90 G17 G94 G40 G49 G80 G54 G64 P0.01
G0 Z5
G0 X10 Y10
M3 S18000
G1 Z-8 F300
G1 X40 F1200
G0 Z5
M5
M2
`

// A slot 30 mm long, as planned but for a plunge that goes too deep.
func ExampleRun() {
	want := proof.Wanted{Cuts: []proof.WantedCut{{
		Name: "slot", DepthMM: 6,
		Shape: geometry.NewRegion(geometry.Slot(geometry.Point{X: 10, Y: 10}, geometry.Point{X: 40, Y: 10}, cutterMM)),
	}}}
	r := proof.Run("slot.ngc", []byte(slotProgram), routerSetup(), &want)
	fmt.Printf("ok %v, worst %.3f mm over and %.3f mm under\n", r.OK, r.WorstOvercutMM, r.WorstUndercutMM)
	for _, f := range r.Findings {
		fmt.Println(f)
	}
	// Output:
	// ok false, worst 2.000 mm over and 0.000 mm under
	// error: slot.ngc:5: cuts the floor of slot 2 mm too deep over 103.72 mm2, worst at X 9.85 Y 8.45
	// hint: raise Z there by that much, or make the program again with `traywright cut`
}

// What a program says of itself is enough for a dry run without its job.
func ExampleSetupFor() {
	program := "(machine: bench-router, Bench router)\n(thickness: 25.4 mm)\n(kerf: T1 3.2 mm)\n" + slotProgram
	s := proof.SetupFor([]byte(program), find)
	fmt.Println(s.Machine.ID, s.ThicknessMM, s.KerfMM)
	// Output:
	// bench-router 25.4 map[1:3.2]
}
