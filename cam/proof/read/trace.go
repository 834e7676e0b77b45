package read

import (
	"slices"

	"traywright/cam/finding"
	"traywright/geometry"
)

// Trace is what a program does, step by step, and what is wrong with it.
// Lengths are mm in the program's own coordinates: those of the first work
// offset that it moves in, before any G92.
type Trace struct {
	Steps    []Step
	Comments []Comment    // those beside a command among the first 1000 only
	Findings finding.List // with their lines, and no file: nobody has said one
	Lines    int          // read
	End      End
	Codes    []Code // every G and M code that a line was executed with, where it stands first
	Blend    Blend
	Skipped  int // the first line that begins with /, which a switch on the machine may skip; 0 for none
	// Unfollowed is the line at which the reading ended before the program did: at what is
	// not followed, at a limit, or at too many errors; 0 for none. Steps are those before it.
	Unfollowed int
	// Holds are the lines that say, while something is switched on, what some controllers stand
	// for even where it changes nothing: an offset, a path mode, air, a wait, a switch by itself.
	Holds []int
	// Turns is where the A axis is at the end of each step, degrees; nil where no A word is said.
	// Step.Turned says whether it is known there.
	Turns []float64
	// Alone is the first whole circle that names neither X nor Y, which some
	// controllers take and some do not; 0 for none.
	Alone int
}

// End is how a program ends.
type End struct {
	Line   int  // of M2, M30 or the closing %; 0 where the program just stops
	Word   bool // it is M2 or M30, which put the machine back as well
	Spin   Spin // of spindle or beam right before it
	Behind int  // the first line behind it that says anything; 0 for none
}

// Code is a G or M code as it is usually written, such as G1 or G92.1, and the
// line where it stands first.
type Code struct {
	Name string
	Line int
}

// Blend is the loosest path control that a program asks for: how far a corner
// may be rounded, in mm. +Inf for G64 without P; Line is 0 where there is no G64.
type Blend struct {
	Line int
	MM   float64
}

// First is the first of the codes that a test accepts; false where there is none.
func (t Trace) First(accepts func(name string) bool) (Code, bool) {
	i := slices.IndexFunc(t.Codes, func(c Code) bool { return accepts(c.Name) })
	if i < 0 {
		return Code{}, false
	}
	return t.Codes[i], true
}

// Comment is one comment without its brackets.
type Comment struct {
	Line  int
	Text  string
	Alone bool // nothing else stands on its line
}

// Action is what a step does.
type Action uint8

const (
	Traverse   Action = iota // G0
	Straight                 // G1
	ArcCW                    // G2, in the XY plane, perhaps a helix
	ArcCCW                   // G3, likewise
	Wait                     // G4
	Pause                    // M0 or M1
	ToolChange               // M6
	Switch                   // the spindle or beam, or its S, changed; the machine stands
	Blow                     // M7 to M9 changed the air; the machine stands
	Turn                     // A alone turns a blade in its place; FeedMMPerMin counts degrees, 0 at rapid
)

// Moves reports whether the step goes from From to To.
func (a Action) Moves() bool { return a <= ArcCCW }

// Place is a place in the program's coordinates, mm.
type Place struct{ X, Y, Z float64 }

// XY is the place seen from above.
func (p Place) XY() geometry.Point { return geometry.Point{X: p.X, Y: p.Y} }

// Axes is a set of axes.
type Axes uint8

const (
	AxisX Axes = 1 << iota
	AxisY
	AxisZ
)

// Spin is what M3, M4 and M5 say. It is the spindle's turning, or the beam.
type Spin uint8

const (
	Off              Spin = iota // M5
	Clockwise                    // M3
	Counterclockwise             // M4
)

// Step is one thing that the machine does.
type Step struct {
	Line         int
	From, To     Place
	Center       geometry.Point // of an arc
	FeedMMPerMin float64        // of a cutting move
	Seconds      float64        // of a Wait
	S            float64
	Tool         int // in the spindle: by M6, or by T in a program without M6
	Action       Action
	Unknown      Axes // axes whose place at From the program has not said
	Named        Axes // axes that the line sends to a place of the program
	Machine      Axes // axes sent to a place in machine coordinates; To is not known for them
	Home         bool // that place is a reference point (G28, G30), else it is G53's
	Lifted       bool // Z is not known and taken as up: a reference point was the last that Z was sent to
	HasTool      bool // the program has named a tool
	Turned       bool // where A is: no reference point has taken it away since
	Spin         Spin
	Air          Air
	Unsaid       Modes // that the program counts on here and has not said
}

// Air is what M7 and M8 have switched on.
type Air uint8

const (
	Mist  Air = 1 << iota // M7
	Flood                 // M8
)

// Modes is a set of modes that a program has to say before it moves.
type Modes uint8

const (
	Units    Modes = 1 << iota // G20 or G21
	Plane                      // G17 to G19
	Distance                   // G90 or G91
	FeedMode                   // G93 or G94
	Offset                     // G54 to G59.3
)

const allModes = Units | Plane | Distance | FeedMode | Offset

// Options say how to read. The zero value is for a program of unknown origin.
type Options struct {
	// Dialect is how the controller reads that the program is for.
	Dialect Dialect
	// Milliseconds says that P of G4 counts those, and no seconds.
	Milliseconds bool
	// Turns says that A turns a blade, which is followed.
	Turns bool
	// BlockDelete is the machine's switch: lines that begin with / are skipped.
	BlockDelete bool
	// Offsets are the work offsets, by number (1 is G54, 6 G59, 9 G59.3), in
	// machine coordinates. A change to an offset that is not here is an error,
	// because nobody can say where it leads.
	Offsets map[int]Place
	// Head ends the reading at the first step: for a look at the opening comments.
	Head bool
	// MaxBytes and MaxLines bound the memory that a program can take; 0 is
	// 64 MiB and 1,000,000 lines.
	MaxBytes, MaxLines int
}

const (
	defaultBytes = 64 << 20
	defaultLines = 1_000_000
	// maxSteps bounds what cycles may stand for.
	maxSteps = 3 * defaultLines
	// maxFindings keeps a file that is no program at all from filling the screen.
	maxFindings = 100
)
