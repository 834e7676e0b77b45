// Package job turns the user's files, a job and a roster, into a valid Job, or
// into findings that name file, line and column.
package job

import (
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// Job is what is wanted. Trays and cases already carry the job's defaults:
// whoever reads a Job never looks for a default elsewhere.
type Job struct {
	File      string
	Game      string
	Units     units.Unit
	Machine   string // profile name
	ShopRules string // file named by the job, relative to it; "" for none
	Profiles  string // folder of profiles named by the job, relative to it; "" for none
	Roster    []Piece
	Defaults  Tray // what tray_defaults gives, for trays that are yet to be chosen
	Trays     []Tray
	Cases     []Case
	PageFont  string `json:"-"` // for letters that the pages' own lack, in the job's folder; "" for none
	Stock     *Stock `json:"-"` // the sheets that layers are laid on; nil without the key. No arrangement hangs on it

	MachinePosition  finding.Position // of the machine's name; without a line where the job names none
	ProfilesPosition finding.Position // of the folder's name
	PageFontPosition finding.Position `json:"-"`
}

// Shape of a piece.
type Shape uint8

const (
	Rect Shape = iota
	Round
)

// Pose of a piece in its pocket.
type Pose uint8

const (
	AnyPose Pose = iota
	Upright      // the height is the depth
	Lying        // length by height, the width is the depth
)

// Piece is one row of the roster.
type Piece struct {
	Position              finding.Position
	ID, Name, Group       string
	Count                 int
	Length, Width, Height units.Length // bounding box as measured
	WeightG               float64      // 0: not weighed
	Shape                 Shape
	Pose                  Pose
	Outline               string `json:",omitzero"` // drawing of its pocket; "" for its box
	Pile                  int    `json:",omitzero"` // so many lie on each other in one pocket; 0: nobody says
	Often                 bool   `json:",omitzero"` // it is used every game
	Turns                 Turns  `json:",omitzero"` // that its pocket may have
}

// Layer is one flat sheet of one foam.
type Layer struct {
	Position  finding.Position
	Foam      string       // profile name
	Thickness units.Length // as its label says
	Measured  units.Length `json:",omitzero"`  // of the sheet that it is cut from; 0 where nobody has measured
	ZZero     string       `json:",omitempty"` // where its sheet's Z is 0: top or bed, as a machine's z_zero; "" is the machine's
}

// Real is how thick the sheet is, as far as anyone knows.
func (l Layer) Real() units.Length {
	if l.Measured > 0 {
		return l.Measured
	}
	return l.Thickness
}

// Of reports whether the layer is cut from sheets of a foam with that label.
func (l Layer) Of(foam string, label units.Length) bool {
	return l.Foam == foam && l.Thickness == label
}

// MeasuredFlag says what sheets of a foam and label really are, for a person to fill in.
func MeasuredFlag(foam string, label units.Length, u units.Unit) string {
	return fmt.Sprintf("--measured \"%s/%s=LENGTH\"", foam, label.Exact(u))
}

// Measure notes what a sheet really is, on every layer of that foam and label, and
// counts them. What trays are yet to be chosen of stays as the job says it.
func (j *Job) Measure(foam string, label, real units.Length) (layers int) {
	for _, t := range j.Trays {
		for i := range t.Layers {
			if l := &t.Layers[i]; l.Of(foam, label) {
				l.Measured = real
				layers++
			}
		}
	}
	return layers
}

// Open reports whether the job leaves pockets, their turns or stacks to the arranger.
func (j *Job) Open() bool {
	return slices.ContainsFunc(j.Trays, func(t Tray) bool { return len(t.Holds) > 0 || t.Turnable() }) ||
		slices.ContainsFunc(j.Cases, func(c Case) bool { return len(c.Stack) == 0 })
}

// Turnable reports whether a pocket of the tray waits for its turn.
func (t Tray) Turnable() bool {
	return slices.ContainsFunc(t.Pockets, func(p Pocket) bool { return p.AnyTurn })
}

// Inside is the room of a case left for foam.
type Inside struct {
	Position              finding.Position
	Length, Width, Height units.Length
	Corner                units.Length // inside corner radius
	Ease                  units.Length // foam outline larger by this much a side
}

// CutMode says how the layers of a tray meet the machine.
type CutMode uint8

const (
	Sheets CutMode = iota // each layer on its own, glued afterwards
	Block                 // glued first
)

// Tray is one tray as the job wants it, defaults filled in.
type Tray struct {
	Position      finding.Position
	ID            string       // a-z 0-9 -
	Label         string       // template, as written
	Length, Width units.Length // finished outline before ease
	Corner, Ease  units.Length // of the outline
	Rounding      units.Length `json:"-"` // the inside corner radius of the case that it has its size from
	Layers        []Layer      // top to bottom
	Wall, Edge    units.Length // least
	Headroom      units.Length `json:",omitzero"` // above each piece, in its pocket
	Fit           string       // fit name; "" is snug
	Halves        int          // 1 or 2
	Cut           CutMode
	NoBridges     bool         // what a beam frees falls free, even where it may tip up
	LeaveTight    bool         `json:",omitzero"` // a blade that is turned stops short of what it is too wide for
	Dowel         units.Length `json:",omitzero"` // diameter of the dowels that register its layers; 0 for none
	Ears          bool         `json:",omitzero"` // their holes lie in ears of waste beside the rim, which are cut off when the layers are glued
	Tool          string       // "" for the machine's choice
	Habits        Habits       // of pockets that are yet to be placed
	Holds         []string     // pieces and groups whose pockets are yet to be placed
	Pockets       []Pocket
	Labels        []Label
	Emblems       []Emblem
	Chosen        bool   `json:"-"`         // by the arranger for a case: the job has no such tray
	Case          string `json:",omitzero"` // the case that it is made for, out of a template for each; "" for any
	Each          bool   `json:",omitzero"` // of the defaults: what is chosen is for one case alone
	OwnCorner     bool   `json:",omitzero"` // of the defaults: they say a corner, which counts before a case's
	OwnEase       bool   `json:",omitzero"` // of the defaults: likewise
}

// Habits are what a tray gives for each of its pockets. Pockets that the job
// writes have taken them over already.
type Habits struct {
	Relief                 Relief
	Ends, Sides            bool // notches at the short, at the long sides
	Notch                  Side // notches at compass sides
	NotchWidth, NotchReach units.Length
	Waste                  Waste
	Access                 Access       `json:",omitzero"`
	Proud                  units.Length `json:",omitzero"`
	Turns                  Turns        `json:",omitzero"`
}

// NotchOf is the sides of a pocket of a length and width that have a notch.
func (h Habits) NotchOf(length, width units.Length) Side {
	return notchWish{ends: h.Ends, sides: h.Sides, listed: h.Notch}.sidesOf(length, width)
}

// Turns are those that `arrange` may give a pocket.
type Turns uint8

const (
	UsualTurns   Turns = iota // what the tray says; a tray that says nothing, quarter turns
	QuarterTurns              // by quarters, where that helps
	AnyTurns                  // in steps of TurnStep
)

// TurnStep is by how many degrees what may be turned freely is turned. Judged, no source: finer steps gain little.
const TurnStep = 15

// ShapeKind says which of a pocket's shape fields hold.
type ShapeKind uint8

const (
	FromPiece    ShapeKind = iota // from the roster and the fit
	SizeShape                     // Length x Width, Corner
	RoundShape                    // Diameter
	SlotShape                     // Length x Width, ends are half circles
	OutlineShape                  // OutlineFile
)

// Waste is what becomes of the foam inside a pocket.
type Waste uint8

const (
	QuickerWaste Waste = iota // the planner's choice
	ClearWaste                // milled away
	PlugWaste                 // cut round, and lifted out whole by hand
)

// Relief is the extra cut that lets a square corner into a pocket made by a round tool.
type Relief uint8

const (
	NoRelief Relief = iota
	Dogbone
	TBone
)

// Access is how fingers get at a piece in its pocket, as the job asks for it.
type Access uint8

const (
	AnyAccess   Access = iota // whatever there is; the arranger chooses
	NotchAccess               // a finger hole at a side
	GapAccess                 // an opening that it shares with others
	LiftAccess                // it stands out of its pocket
	NoAccess                  // none is wanted
)

// Finger is how wide an opening has to be for one: see the plan's notches.
const Finger units.Length = 20_000_000

// NotchSide is the side of a pocket where one finger hole takes the least room: its short
// side where a finger is no wider, else the long one; 0 where neither is wide enough.
func NotchSide(length, width units.Length, round bool) Side {
	if round {
		length, width = length*19/20, width*19/20 // so that it still meets the curve
	}
	switch {
	case width >= Finger && (width <= length || length < Finger):
		return East
	case length >= Finger:
		return North
	}
	return 0
}

// Side is a side of a pocket, before it is turned.
type Side uint8

const (
	North Side = 1 << iota
	East
	South
	West
)

// Pocket is one pocket, or a grid of equal pockets, as the job wants it.
type Pocket struct {
	Position       finding.Position
	For            string
	X, Y           units.Length // lower-left corner of the (first) pocket's bounding box, turned, without notches, from the tray's lower-left corner before ease
	Shape          ShapeKind
	Length, Width  units.Length
	Corner         units.Length
	Diameter       units.Length
	OutlineFile    string
	Depth          units.Length // from the tray's top; 0 with Through false: the top layer's thickness
	Through        bool
	Columns, Rows  int // 1 x 1 unless a grid
	PitchX, PitchY units.Length
	Turn           float64 // degrees, counter-clockwise
	AnyTurn        bool    `json:",omitzero"` // where `arrange` has not yet chosen Turn, which is 0
	Relief         Relief
	Notch          Side         // sides that have a notch, as bits
	NotchWidth     units.Length // 0: the planner's choice
	NotchReach     units.Length // 0: the planner's choice
	Access         Access       `json:",omitzero"`
	Proud          units.Length `json:",omitzero"` // how far its piece stands out of it, where that is the way in
	Fit            string
	Tool           string
	Waste          Waste
	Pin            bool   `json:",omitzero"` // `arrange` leaves it where it is
	Asked          string `json:"-"`         // where the job says what the arranger made it of, "on its tray"; "" where the job has it
}

// Case is one case, or several copies of it.
type Case struct {
	Position       finding.Position
	Name           string
	Copies         int
	Inside         Inside
	Stack          []string // tray ids, top to bottom; none where they are yet to be chosen
	Holds          []string // pieces and groups that trays are to be chosen for; none is all that no other case carries
	StackPositions []finding.Position
	Chosen         bool `json:"-"` // the arranger chose its stack
}
