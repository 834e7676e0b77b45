// Package proof reads a written program back, cuts virtual foam with it and
// says what is wrong, from the G-code alone. The moves that the
// program was made from tell it what the plan itself does, where that is more than foam and
// limits say: where it goes straight down, how tightly it winds and which way round it goes, how
// long it is in one place, and where it lights a beam.
package proof

import (
	"iter"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Setup is the machine and the foam that a program is tried on.
type Setup struct {
	Machine        profiles.Machine
	KerfMM         map[int]float64 // width removed by tool number; missing: the tool's diameter, else that of 0, the beam or any tool
	ThicknessMM    float64         // of the foam; 0 when not known (a foreign file)
	BreakthroughMM float64         // allowed below the foam
	CellMM         float64         // of the height field; 0 chooses 0.1, and more on a large sheet
	CountMM        float64         // of the cells in which removed foam is counted; 0: those of the field
	Layers         []Layer         // of a block whose foams have kerfs of their own, top to bottom; else none
	TaperDegrees   float64         // half angle of a beam; KerfMM is then the width at the foam's underside, the cut is wider above

	// What follows may be left out: 0 is not known, and not checked.
	Before          []Earlier           // programs that have run in the same setup, in their order
	Tool            int                 // in the spindle where the program does not say: by number; 0 is the machine's only one
	Recipe          Limits              // laser without a plan: how such foam is cut; the zero value is not known
	MarkShare       float64             // and the part of its energy that only marks
	Passes          int                 // laser without either: passes that cut through; 0 is what the program's header says, else 1
	SpinUpSeconds   float64             // router: that the spindle takes to run up
	MaxFeedMMPerMin float64             // of recipe and shop rules; the machine's own limit holds as well
	MaxPowerPercent float64             // of recipe and shop rules
	MaxDepthMM      float64             // of the shop rules: of a cut into the foam, and so of foam that a beam cuts through
	ZeroMM          geometry.Point      // where the program's X0 Y0 lies on the bed; only clamps need it
	Unit            units.Unit          // of lengths in messages
	Progress        func(share float64) // called now and then, 0 to 1, from this goroutine
	Tolerances      *Tolerances         // with a plan: how far reality may be from it; nil tries no corners
}

// Layer is one layer of a glued block.
type Layer struct {
	Name        string
	ThicknessMM float64
	KerfMM      map[int]float64 // width removed in it by tool number; missing: the setup's
}

// Wanted is the planned foam that a program is compared with.
type Wanted struct {
	Cuts           []WantedCut
	Outline        geometry.Region  // the finished sheet
	Whole          string           // what it is called where it comes free; "" is the tray
	LeadInMM       float64          // how long the outline's lead-in may be, which lies beyond it
	OutlineLimits  []Limits         // how it is cut: see WantedCut
	MarkLimits     []Limits         // how marks are engraved
	OutlineDepthMM float64          // thickness less the skin
	OutlineBridged Bridges          // what holds the sheet under a beam; none: it lies where it fell free
	Tabs           Tabs             // what holds it where a cutter goes through; the zero value is none
	MarkDepthMM    float64          // marks on the tray may be this deep; 0 where there are none, and under a beam
	Marks          []WantedMark     // where they are; nil where that is not known
	Slits          []WantedSlit     // of a wire, through foam
	Offcuts        []Offcut         // what stays of the sheet beside all that is cut
	Way            iter.Seq[Motion] // where the plan itself goes, in order, in true mm; nil where that is not known
}

// WantedMark is a path that is engraved, and how wide.
type WantedMark struct {
	Path    geometry.Path
	WidthMM float64
}

// WantedCut is one hole of the plan.
type WantedCut struct {
	Name    string
	Shape   geometry.Region
	DepthMM float64
	Through bool
	Bridged Bridges  // what holds that which comes free
	Plug    bool     // what it goes round stands on what is left below it, until a hand lifts it out
	Limits  []Limits // how it is cut: one for each tool, and in a block for each layer from the top down; none: not checked
	Seats   []Seat   // the pieces that go into it
}

// Freed is what the program cuts free, with which line, and when, s from its start.
type Freed struct {
	Name string
	Part int // which of the outline's contours, 1 first; 0 where it is none of them
	Line int
	AtS  float64
}

// Motion is one move as read, in mm, Z 0 at the top of the foam. Where the
// machine's profile has a scale these are true mm, and not the program's.
type Motion struct {
	Line     int // of the program
	Tool     int
	Rapid    bool
	Arc      bool
	CCW      bool
	On       bool // spindle turning or beam lit with power
	From, To Point
	Center   geometry.Point
	Feed     float64 // mm/min
	Power    float64 // per cent, laser
	Op       string  // the last comment that named an operation
	WaitS    float64 // of the plan's own way: how long a beam then stays dark
	EndS     float64 // when it ends, s from the program's start, all waits in it
	BeamMM   float64 // how deep the foam is cut behind a beam, the passes before this one in it; 0 of a cutter, and of what cuts nothing
}

// Point is a place in the machine's space, mm.
type Point struct {
	geometry.Point
	Z float64
}

// Field is the foam after the cut, seen from above: cell (c, r) has its centre
// at Origin + ((c+0.5) Cell, (r+0.5) Cell).
type Field struct {
	Origin        geometry.Point
	CellMM        float64
	Columns, Rows int
	DepthMM       []float32 // row by row from the bottom; 0 untouched
	least         []float32 // row by row: of each block of a row, a depth that all of it has at least
}

// Result is what one dry run found.
type Result struct {
	Path string
	Seal Seal // whether it is the program that was proved
	OK   bool
	// The worst of walls, measured along the wall's normal, and of a cutter's
	// floors, measured down.
	WorstOvercutMM                  float64
	WorstUndercutMM                 float64
	WorstOvercutAt, WorstUndercutAt geometry.Point
	Findings                        finding.List // in the order of their lines; each has its line and a hint
	Motions                         []Motion
	Falls                           []Fall // what a wire cuts free, in order
	Unfollowed                      int    // the line where the reading ended, because what comes is not followed; 0 for none. All else is of what comes before it
	Field                           Field
	Min, Max                        Point   // of all motions, in the machine's own mm where it has a scale
	CutMM, RapidMM                  float64 // likewise
	Seconds, LowerBoundSeconds      float64
	RemovedMM3                      float64
	CutSeconds, RapidSeconds        float64           // parts of Seconds; the rest is waiting
	PlungeSeconds, OnSeconds        float64           // straight down at feed; spindle turning or beam lit
	Corners                         *Corners          // nil where none were tried: nobody said how far off reality may be, or the program is wrong as it is
	KerfMM                          map[int]float64   // the width that each tool was taken to cut, where it is widest
	Freed                           []Freed           // what comes loose under what does not throw it, in order
	Alike                           Alike             // what machine it drives, by what it does
	Header                          map[string]string // "key: value" comments at the program's start
}
