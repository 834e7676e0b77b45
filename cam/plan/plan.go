// Package plan decides what will be cut: pocket shapes, the tool for each, the
// sheets of each tray, the stack and weight of each case. Its result is the
// finished foam, not yet a path.
package plan

import (
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Plan is the whole job, placed.
type Plan struct {
	Job     *job.Job
	Machine profiles.Machine
	Trays   []Tray
	Cases   []Case
	// RoughingSavesS is what roughing saves of the job's time, changes of the tool counted, by estimate; 0 with stock,
	// where that is the layout's.
	RoughingSavesS float64
	Letters        *lettering.Face // of the font that the job names for its pages; nil for none
}

// Tray is one tray that will be made; a tray in halves is two of these, with
// "-1" and "-2" behind its id, cut across its longer side. Coordinates are mm from
// the tray's, or the half's, lower-left corner before ease. Ease and corner
// radius are those of the outer sides: where halves meet there is neither.
type Tray struct {
	ID, Label      string // label with its names filled in
	Position       finding.Position
	Length, Width  units.Length
	Outline        geometry.Contour // finished, with ease and corners
	Rim            geometry.Contour // without ease, which is pressed together in the case: an edge is foam from here
	Layers         []Layer
	Pockets        []Pocket
	Marks          []Mark         // labels and emblems
	Ears           []geometry.Box // of waste beside the rim, for registration, until the layers are glued
	Sheets         []Sheet
	Copies         int // how many the cases need altogether
	Half           int // 1 or 2 of a tray in halves; 0 of a whole one
	FoamG, PiecesG float64
}

// Level is what lies on one level of a stack: the tray with that index and,
// where it is the first of two halves, the other beside it.
func (p *Plan) Level(index int) Level {
	trays := p.Trays[index : index+1]
	if trays[0].Half == 1 && index+1 < len(p.Trays) && p.Trays[index+1].Half == 2 {
		trays = p.Trays[index : index+2]
	}
	return Level{trays}
}

// Level is a tray of a stack, or two halves side by side.
type Level struct{ Trays []Tray }

// Name is the trays' ids.
func (l Level) Name() string {
	var ids []string
	for _, t := range l.Trays {
		ids = append(ids, t.ID)
	}
	return strings.Join(ids, " + ")
}

// WeightG is the weight of all of it, packed.
func (l Level) WeightG() float64 {
	var sum float64
	for _, t := range l.Trays {
		sum += t.FoamG + t.PiecesG
	}
	return sum
}

// Thickness is the sum of the layers, exact.
func (t Tray) Thickness() units.Length {
	var sum units.Length
	for _, l := range t.Layers {
		sum += l.Thickness
	}
	return sum
}

// Layer is a flat sheet of foam in a tray; Top is its depth below the tray's top.
type Layer struct {
	Foam           profiles.Foam
	Thickness, Top units.Length
	Label          units.Length   // as it is sold, where Thickness was measured; else 0
	ZZero          profiles.ZZero // where a sheet of it has its Z0; "" is where the machine has it
}

// Measured reports whether somebody has measured the sheet.
func (l Layer) Measured() bool { return l.Label > 0 }

// Sold is the thickness that the sheet is sold as.
func (l Layer) Sold() units.Length {
	if l.Measured() {
		return l.Label
	}
	return l.Thickness
}

// MayBeOff is how far the sheet may be off, in mm: from its label as the foam's profile says, from what was
// measured as the measuring goes.
func (l Layer) MayBeOff() (low, high float64) {
	if l.Measured() {
		off := profiles.ReportedSoftMM(l.Thickness.MM())
		return -off, off
	}
	return -l.Foam.ThinnerMM.Value, l.Foam.ThickerMM.Value
}

// Words is the layer's thickness in a unit, or in mm where inches would be rounded, for nobody
// sells those: its label, and what was measured.
func (l Layer) Words(u units.Unit) string {
	if !l.Measured() {
		return l.Thickness.Exact(u)
	}
	return l.Label.Exact(u) + " (measured " + l.Thickness.Exact(u) + ")"
}

// Pocket is one pocket with its shape decided.
type Pocket struct {
	For       string
	Name      string // "pocket 3 (kraken)", for messages
	Piece     string // what a person calls what it is for: the roster's name, or For
	Position  finding.Position
	Design    geometry.Region // as asked for: shape, notches, relief for the top sheet's tool
	Depth     units.Length    // from the tray's top
	Through   bool
	ShapeName string       // rect, round, slot, outline
	Access    string       // how fingers get at the piece: notch, gap (an opening beside it), lift (it stands proud), none
	Waste     string       // what becomes of the foam inside: clear (milled away), plug (cut round, comes out whole)
	Box       geometry.Box // of the shape without notch or relief
	Holds     int          // how many of its piece go in
	Pinned    bool         // `pin` says so
	Play      Play         // how far the hole may be off for its piece
	Dowel     units.Length // diameter of the dowel, of a registration hole; 0 for a pocket
	Packed    int          // how many do, shared out over the trays that travel together; 0 for no piece of the roster
	Opening   bool         // it lets fingers in to the pockets beside it, and holds nothing
	Lies      Lying        // how a piece of the roster lies in it; zero for none
}

// Lying is how a piece lies in its pocket.
type Lying struct {
	How    string     // as measured, on its side (its width upright) or on end (its length); "" for no piece
	HighMM float64    // how high one is so
	InMM   [2]float64 // the pocket's length and width, before any turn
	PlayMM [2]float64 // what of them is left beside its pieces
	OutMM  float64    // how far it stands out of the pocket, or a pile of it; below 0 where it ends below the tray's top
	PadMM  float64    // of foam to lay under it, for it lies in a layer that is much thicker; 0 for none
}

// Play is how far a pocket may be off until its piece minds, mm; +Inf where it does
// not, or minds already.
type Play struct {
	Known                         bool    // it has a piece of the roster, which goes in
	TighterMM, LooserMM, HigherMM float64 // narrower, and it does not go in; wider, and it rattles; shallower, and it stands too proud
}

// Sheet is one thing laid on the machine: a layer, or a block of all layers.
// One program cuts it.
type Sheet struct {
	Number   int             // counts layers from the top, 1 first; 0 for a block
	Layers   []Layer         // top to bottom, Top measured from the tray's top
	Cuts     []Cut           // pockets of this sheet, in no order yet but After
	Turns    []int           // numbers of the tools that make them, in the order of their turns
	Marks    []geometry.Path // engraved, in no order yet but the first
	First    int             // so many of the marks are engraved before all others, as they stand
	Marking  Cut             // how: tool, recipes, kerfs, and DepthMM, which is 0 for what only darkens the face; zero without marks
	Edge     Cut             // the outline; Shape is the tray itself
	Roughing Roughing        // by a larger tool than those that make the walls
	Foam     geometry.Box    // all of the foam that it is cut from, of the stock; zero where nobody knows
	Notes    []string        // for the program's header, a line each
	Bridged  bool            // what comes free and would tip is held by bridges
}

// BesideMM is how far to the left of a sheet of the stock a wire begins (judged, no source: a sheet
// lies no better than to a few mm).
const BesideMM = 10

// On is the machine as this sheet is cut on it: with Z0 where one of the sheet's layers says.
func (s Sheet) On(m profiles.Machine) profiles.Machine {
	for _, l := range s.Layers {
		if l.ZZero != "" {
			m.ZZero = l.ZZero
		}
	}
	return m
}

// ThicknessMM is the sheet's whole thickness.
func (s Sheet) ThicknessMM() float64 {
	var sum units.Length
	for _, l := range s.Layers {
		sum += l.Thickness
	}
	return sum.MM()
}

// All is every cut of the sheet: the outline, the holes, and the marks where
// they have a recipe of their own.
func (s Sheet) All() []Cut {
	list := append([]Cut{s.Edge}, s.Cuts...)
	if len(s.Marks) > 0 && len(s.Marking.Recipes) > 0 {
		list = append(list, s.Marking)
	}
	return list
}

// CutOn is all of it that a machine makes: marks may be a pen's.
func (s Sheet) CutOn(m profiles.Machine) []Cut {
	if m.Engraves() {
		return s.All()
	}
	return s.HolesAndEdge()
}

// HolesAndEdge is what is cut through the sheet or into it, the outline last, as a hand does it.
func (s Sheet) HolesAndEdge() []Cut { return append(slices.Clone(s.Cuts), s.Edge) }

// Cut is one hole in a sheet: one pocket, or several that meet at one depth.
type Cut struct {
	Pockets []int            // indexes into Tray.Pockets
	At      finding.Position // of the first of them in the job
	Name    string           // for messages and comments
	Design  geometry.Region  // as asked for
	Shape   geometry.Region  // as the tool can leave it: what the dry run compares with
	DepthMM float64          // below the sheet's top; the sheet's thickness when Through
	Through bool
	Tool    profiles.Tool
	Recipes []profiles.Recipe // one for each of the sheet's layers, same order, the owner's limits taken off

	// What Sheet.Complete decides, so that nothing below asks a recipe for it.
	After     []int     // indexes into Sheet.Cuts of those that come before it
	Roughs    int       // index into Sheet.Cuts of the cut that a roughing is for
	ClearedMM float64   // down to here they have taken all of its foam
	KerfMM    []float64 // the width that is removed in each of the sheet's layers
	SureMM    []float64 // of that, what is removed even where the kerf is narrower than it is taken for
	BelowMM   float64   // how far below the sheet a through cut ends
	Passes    []Pass    // its passes, top to bottom
	Hold      Hold      // what holds that which it cuts free

	// Conventional says that its laps have their wall on the left, and not on the right. WallOnceMM is
	// how much foam a lap finds beside it that goes along the wall once, at full depth, when all levels
	// are cleared; 0 where each level has its own. See walls.go.
	Conventional bool
	WallOnceMM   float64
	wall         wallLap // why each level has its own, where the recipe wants it otherwise

	// LeaveTight says that what a blade is too wide for may stay uncut, and Left what of its way does,
	// along the middle of its kerf: a hand cuts there.
	LeaveTight bool
	Left       []geometry.Path

	// Dowel says that it is a registration hole.
	Dowel bool

	// Plug says that a hand lifts out whole what Along goes around, when it has cut the skin.
	Plug bool

	// Rough says that it only takes foam out of another cut's way, with a larger tool: it has no
	// pocket of its own. Roughed is what such a cut has taken of this one, all the way down.
	Rough   bool
	Roughed geometry.Region

	// Along is the line that the tool's centre or the beam follows, nothing
	// taken off for its kerf, from near its first vertex; empty for a hole, whose
	// path comes from the shape. Shape is what following it leaves: a cutter's
	// groove, or all that a beam lets fall.
	Along geometry.Contour
}

// Case is one case with its stack.
type Case struct {
	Name    string
	Copies  int
	Stack   []int // indexes into Plan.Trays, top to bottom (halves count once: the first)
	Inside  job.Inside
	Height  units.Length // of the stack
	Room    units.Length // left; negative when over
	WeightG float64
}
