package job

import (
	"traywright/cam/finding"
	"traywright/geometry/units"
)

// Make says how a label or an emblem goes into the foam.
type Make uint8

const (
	Marked   Make = iota // engraved on the surface: strokes along their line, shapes all over
	Outlined             // engraved along the edge of the shapes
	Cut                  // cut as holes, through the whole tray or to Depth
)

// String is a way's name in jobs and reports.
func (m Make) String() string {
	if int(m) < len(makeWords) {
		return makeWords[m]
	}
	return "cut"
}

// Align says which place of a label lies at its `at`.
type Align uint8

const (
	AlignLeft Align = iota // where the first letter begins
	AlignCenter
	AlignRight
)

// strokes is the font of single strokes; any other name is a font of outlines.
const strokes = "strokes"

// Making is what labels and emblems have in common.
type Making struct {
	Position finding.Position
	X, Y     units.Length // from the tray's lower-left corner before ease
	Turn     float64      // degrees, counter-clockwise
	Make     Make
	Through  bool         // of Cut: through every layer
	Depth    units.Length // of Cut that is not Through: from the tray's top
	Tool     string       // "" for the machine's choice
}

// Label is a text on a tray as the job wants it.
type Label struct {
	Making
	Text                string       // template; "" is the tray's own label
	Height              units.Length // of a capital; 0 with a box is as high as fits
	Font                string       // strokes, go, go-bold, ..., or FontFile
	FontFile            string       // in the job's folder; "" for a font of ours
	Align               Align
	BoxLength, BoxWidth units.Length // the text has to fit in; 0 for no box
	Arc                 units.Length // radius: above 0 over the top of a circle, below 0 along its bottom, 0 straight
	Spacing             units.Length // added between letters
	SpacingGiven        bool
}

// Emblem is a picture on a tray as the job wants it: `at` is the lower-left
// corner of its box, turned. With length and width it becomes as large as fits
// into both, in the middle.
type Emblem struct {
	Making
	Picture
}

// Picture is an emblem's file and how it is read. Equal ones are one shape.
type Picture struct {
	File          string
	Length, Width units.Length // before it is turned; 0 for one of them that follows from the other
	Threshold     float64      // of grey, 0 to 1, under which a picture is ink; 0 for the reader's choice
	Invert        bool
}
