// Package gcode writes moves as RS-274/NGC text, and only writes: cam/proof
// reads such text back and shares no code with it, so that one can be trusted
// to check the other. Source: NISTIR 6556 (Kramer, Proctor, Messina, 2000).
package gcode

import "traywright/geometry/units"

// Header is what a program says of itself in its opening comments. Text is the
// user's and is reduced to printable ASCII that can neither close a comment
// nor start a line.
type Header struct {
	Job, Tray, Layer, Foam, Machine, Recipe string
	Made                                    string // how often it is cut, and for what; "" for once
	Part                                    string // which of its sheet's programs it is; "" for the only one
	ThicknessMM                             float64
	MovesSeal, PlanSeal                     string     // what the dry run knows the program and its plan by again: see proof.MovesSeal
	Unit                                    units.Unit // that the job counts in
	Seconds, LeastSeconds                   float64    // on the machine; at the feeds written
	CurrentA                                float64    // through a hot wire; 0 without one
	Notes                                   []string   // what else is worth knowing, a comment each
	Cautions                                []string
	Requires                                []string
}
