package gcode_test

import (
	"fmt"

	"traywright/cam/gcode"
	"traywright/cam/process"
	"traywright/profiles"
)

// A program that cuts one line, for a controller that understands arcs.
func ExampleBody() {
	p := process.Program{ClearZ: 5, ThicknessMM: 20, Ops: []process.Op{{
		Name: "mark 1", RPM: 18000, KerfMM: 3.175, Tool: profiles.Tool{Number: 1, Name: "thin cutter"},
		Moves: []process.Move{
			{Kind: process.Rapid, To: at(10, 10, 5)},
			{Kind: process.Line, To: at(10, 10, -1), FeedMMPerMin: 300},
			{Kind: process.Line, To: at(40, 10, -1), FeedMMPerMin: 1200},
			{Kind: process.Rapid, To: at(40, 10, 5)},
		}}}}
	m := profiles.Machine{ID: "bench-router", Process: profiles.Router, Controller: profiles.Controllers()[0]}
	body, err := gcode.Body(p, m)
	fmt.Printf("%s%s", gcode.Opening(p, process.Stats{}, gcode.Header{Job: "Tidewrack", Seconds: 3}, m), body)
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// (job: Tidewrack)
	// (thickness: 20 mm)
	// (machine: bench-router)
	// (tool: T1 thin cutter)
	// (kerf: T1 3.175 mm)
	// (passes: 0)
	// (z zero: top of the foam, positive up)
	// (X: 0 to 0 mm)
	// (Y: 0 to 0 mm)
	// (Z: 0 to 0 mm)
	// (time: 3 s estimated, not less than 0 s at the feeds written)
	// G21
	// G90
	// G17
	// G94
	// G40
	// G49
	// G80
	// G54
	// M5
	// G64 P0.01
	// G0 Z5.0000
	// (tool in the spindle: T1 thin cutter)
	// (op: mark 1)
	// S18000 M3
	// G4 P3
	// G0 X10.0000 Y10.0000
	// G1 Z-1.0000 F300
	// G1 X40.0000 F1200
	// G0 Z5.0000
	// M5
	// M2
}
