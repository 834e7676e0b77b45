// Package process turns a planned sheet into the moves that cut it: marks,
// then pockets, then the outline.
//
// Coordinates are mm. X and Y are from the tray's lower-left corner before
// ease. Z is 0 at the top of the foam and negative inside it; cam/gcode shifts
// it for a machine whose zero is on the bed.
package process

import (
	"traywright/geometry"
	"traywright/profiles"
)

// Kind of a move.
type Kind uint8

const (
	Rapid Kind = iota // straight, not cutting, spindle may turn, beam off
	Line              // straight, cutting
	CW                // arc or helix in XY, clockwise seen from above
	CCW               // arc or helix in XY, counter-clockwise
)

// Point is a place in machine space.
type Point struct {
	geometry.Point
	Z float64
}

// Move goes from where the last one ended to To.
type Move struct {
	Kind         Kind
	To           Point
	Center       geometry.Point // arcs: absolute
	FeedMMPerMin float64        // cutting moves; 0 for Rapid
	PowerPercent float64        // laser: beam power during the move; 0 is off
	WaitS        float64        // rapids: how long it then stays, dark
	// Heading is where a blade that is turned points at the move's end, radians, counter-clockwise
	// from X; whole turns count. A cutting move to where it is turns the blade, and its feed is in
	// degrees a minute.
	Heading float64
}

// OpKind is the part of the sheet an operation makes.
type OpKind uint8

const (
	Mark OpKind = iota
	Pocket
	Outline
)

// Op is one operation: a chain of moves with one tool and a name. Where the
// layers of a block have recipes of their own, RPM and KerfMM are the top
// layer's; feeds are in the moves.
type Op struct {
	Kind   OpKind
	Name   string
	Tool   profiles.Tool
	RPM    float64
	KerfMM float64
	Passes int
	// PlugSkinMM is what holds the plug that it goes around; 0 where there is none.
	PlugSkinMM float64
	// StraightMM is the farthest that the cutter goes straight down into foam at a time, where
	// there is no room for a ramp; 0 where it nowhere does.
	StraightMM float64
	// LeastS is how long it takes at least, in seconds: see LeastSeconds.
	LeastS float64
	// Strokes are the boxes that its lines lie in, for that.
	Strokes []geometry.Box

	Moves []Move // begins with a rapid at clearance height, ends retracted (router) or beam off
}

// Drawn is a path for DXF and SVG: where the tool's centre or the beam runs on
// the wall, kerf already taken off.
type Drawn struct {
	Kind    OpKind
	Name    string // of the cut that it is of; "" of marks
	Tool    profiles.Tool
	DepthMM float64 // below the sheet's top; 0 for what goes through it, and for marks
	Contour geometry.Contour
	Path    geometry.Path // marks, and a way from bridge to bridge, or between what is left to a hand; Contour is empty then
	Slit    geometry.Path // by which a wire comes to Contour, which begins there; else without vertices
}

// Finished is an edge that the foam will have.
type Finished struct {
	DepthMM float64 // of the hole, below the sheet's top; 0 for what goes through
	Contour geometry.Contour
}

// Program is everything that cuts one sheet, in cutting order.
type Program struct {
	Ops            []Op
	Drawn          []Drawn
	Finished       []Finished // the foam's own edges: pockets as left, then the outline
	ClearZ         float64    // height of rapids above the foam's top
	ThicknessMM    float64
	BreakthroughMM float64 // deepest cut below the foam
	SkinMM         float64 // left under the outline; 0 when cut through
	Bridges        int     // left in the cuts, to be snapped by hand
	BridgeMM       float64 // how wide the widest of them is
	Left           int     // places that the blade does not fit, to be cut by hand
	LeftMM         float64 // how long they are in all
}

// Stats sums a program up.
type Stats struct {
	CutLengthMM float64
	Min, Max    Point // of all moves
	Passes      int   // most passes of any op
}
