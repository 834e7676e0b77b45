package plan

import (
	"traywright/geometry"
	"traywright/profiles"
)

// Means is what a way of cutting can do with foam. The plan asks it, and never
// which process it is; package process has one for each, and cam hands it in.
// Depths are mm below the sheet's top.
type Means interface {
	// WholeLayers reports whether every cut ends where a layer does. Then no block
	// of glued layers can be cut as one.
	WholeLayers() bool
	// RoundCorners reports whether inside corners come out as round as the tool,
	// so that a relief frees them.
	RoundCorners() bool
	// LeastRoundMM is the radius that the smallest round hole has, with foam all around, which
	// a tool goes round so deep with a recipe; 0 where nothing but the tool's width counts.
	LeastRoundMM(t profiles.Tool, r profiles.Recipe, deepMM float64) float64
	// TakesHeight reports whether the foam's thickness and the clearance above it
	// have to be within the machine's travel in Z.
	TakesHeight() bool
	// Lacks names the first number that a recipe needs for this process and does
	// not have, as the recipe's file spells it; "" where it has all.
	Lacks(r profiles.Recipe) string
	// Passes divides the way from one depth to another, where the last layer ends
	// or deeper, into passes, the first one first.
	Passes(fromMM, toMM float64, layers []Bed) []Pass
	// Hold is how what an outline cuts free stays in its place, with the recipe
	// of the sheet's bottom layer. Loose reports why it would not; "" where it does.
	Hold(bottom profiles.Recipe, thicknessMM float64) (hold Hold, loose string)
	// Bridges are the places on the edge of a piece that comes free at which a bridge of
	// that width, mm, is left, so that the piece does not tip; none where it would not, or
	// is not to be held so. Asked is how many it is to have; there are fewer where there is no
	// room. Made with the recipe of the sheet's bottom layer.
	Bridges(piece geometry.Contour, bottom profiles.Recipe, thicknessMM float64) (places []geometry.Point, widthMM float64, asked int)
	// Marking is the recipe that lines are engraved with, and how deep they go into
	// a layer of that thickness; 0 for what only darkens the face. What comes out,
	// put in again, comes out as it is.
	Marking(r profiles.Recipe, layerMM float64) (how profiles.Recipe, depthMM float64)
}

// Bed is a layer as a tool meets it on its way down.
type Bed struct {
	TopMM, BottomMM float64
	Recipe          profiles.Recipe
}

// Pass is one way over a cut at one depth, of a cutter or a beam.
type Pass struct {
	FromMM, ToMM float64 // the floor it starts from, and the floor it leaves
	Layer        int     // whose settings rule: an index into Sheet.Layers
	FocusMM      float64 // of a beam: how far below its first focus
	PauseS       float64 // of a beam: how long it stays dark before, where the last pass was
}

// Hold is what is left standing so that nothing flies loose; the zero value is
// nothing: what falls free stays where it lies.
type Hold struct {
	SkinMM    float64 // foam left under the cut
	Tabs      int     // bridges left along it
	TabMM     float64 // length of each, along the cut
	TabHighMM float64 // and its height above the sheet's bottom

	Tips     int              // pieces that come free and may tip up, where nothing holds them
	Bridges  []geometry.Point // places on the edge of the cut, through all of the foam
	BridgeMM float64          // how wide each is, along the edge
	Lacking  int              // bridges that were asked for and have no room
}
