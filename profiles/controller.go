package profiles

import (
	"embed"
	"math"
	"slices"
	"sync"

	"traywright/profiles/strict"
)

//go:embed data/controllers/*.yaml
var shippedClasses embed.FS

// Class is what kind of controller reads a program: the id of a shipped one.
type Class string

const (
	PC      Class = "pc"      // full RS-274 (NISTIR 6556)
	Small   Class = "small"   // 8-bit class: short lines, no tool change, bytes that act wherever they stand
	Printer Class = "printer" // printer-style firmware: one command a line, no end word
	Drawing Class = "drawing" // takes no program, drawings only
)

// Words that the keys of a controller take.
const (
	brackets   = "brackets"  // comments: (so)
	Semicolon  = "semicolon" // comments: ; so
	NoComments = "none"      // comments: not at all
	Chords     = "chords"    // arcs: as short straight lines
	Ordered    = "ordered"   // spindle_words: M3 S18000, the command first
	Inches     = "in"        // units
	DwellMS    = "ms"        // dwell_unit: P of G4 counts milliseconds
	OwnFiles   = "files"     // tool_change: a program for each tool
	ByHand     = "manual"    // tool_change: the program stops for a hand
	ByItself   = "automatic" // tool_change: M6
)

// Controller is what reads the program on the machine: a shipped one, or like one
// with single keys changed. Lengths are mm; the zero Controller is one that nobody
// has described.
type Controller struct {
	Class             Class     `json:"like"`
	Name              string    `json:"name"`
	Comments          string    `json:"comments"`            // brackets, semicolon or none
	LongestLine       int       `json:"longest_line"`        // most characters of a line as written, its end not counted
	Decimals          int       `json:"decimals"`            // of a length
	Extension         string    `json:"extension"`           // of a program's file, without the point
	Units             string    `json:"units"`               // mm or in, of the program
	Arcs              string    `json:"arcs"`                // centre (G2, G3 with I and J) or chords
	ChordMM           float64   `json:"chord_mm"`            // how far chords may stray from their arc
	SpindleWords      string    `json:"spindle_words"`       // joined (S18000 M3) or ordered (M3 S18000)
	DwellUnit         string    `json:"dwell_unit"`          // of G4's P: s or ms
	SpinUpS           float64   `json:"spin_up_s"`           // waited after a spindle is switched on
	LaserOn           string    `json:"laser_on"`            // M3, or M4 where that lets power follow speed
	PowerScale        float64   `json:"power_scale"`         // S word at full power, laser only
	WholePower        bool      `json:"whole_power"`         // S of a beam has no decimals
	LeastPowerPercent float64   `json:"least_power_percent"` // below it a beam does not burn steadily; 0 is not known
	ToolChange        string    `json:"tool_change"`         // files, manual, automatic or none
	ChangeAt          []float64 `json:"change_at"`           // X, Y, Z of the program where a tool is changed inside it
	ParkAt            []float64 `json:"park_at"`             // and where it goes when all is cut; none stays where it is
	PathToleranceMM   float64   `json:"path_tolerance_mm"`   // pc: how far a corner may be rounded (G64 P); 0 says nothing
	Start             []string  `json:"start"`               // words behind the unit's, a line each
	End               []string  `json:"end"`                 // words that end a program
	Air               []string  `json:"air"`                 // word that blows at a beam, and the one that ends it; none
	Dust              []string  `json:"dust"`                // likewise of the dust extraction of a cutter
	Axes              []string  `json:"axes"`                // that it moves
	Source            string    `json:"source"`              // of the class that it is like
}

// On is the first word of air or dust; "" where there is none.
func On(pair []string) string {
	if len(pair) == 0 {
		return ""
	}
	return pair[0]
}

// Moves reports whether it moves an axis, such as 'Z'.
func (c Controller) Moves(axis string) bool { return len(c.Axes) == 0 || slices.Contains(c.Axes, axis) }

// Written is the power, per cent of full, that its S word says of one: never more.
func (c Controller) Written(percent float64) float64 {
	if !c.WholePower || !(c.PowerScale > 0) {
		return percent
	}
	return 100 * math.Floor(percent/100*c.PowerScale+1e-9) / c.PowerScale
}

// LeastWritten is the least power above none, per cent, that it can say and at which its beam
// burns steadily; 0 is not known.
func (c Controller) LeastWritten() float64 {
	if !c.WholePower || !(c.PowerScale > 0) {
		return c.LeastPowerPercent
	}
	return 100 * math.Max(1, math.Ceil(c.LeastPowerPercent/100*c.PowerScale-1e-9)) / c.PowerScale
}

// DrawingsOnly reports whether the machine takes drawings, and no program.
func (m Machine) DrawingsOnly() bool { return m.Controller.Class == Drawing }

// Proving is the machine as its paths are proved: one that takes drawings only has them
// tried by a program for a PC, S in per cent, which nobody is given.
func (m Machine) Proving() Machine {
	if m.DrawingsOnly() && !m.Process.Traits().ByHand {
		least := m.Controller.LeastPowerPercent
		m.Controller = classNamed(string(PC))
		m.Controller.PowerScale, m.Controller.LeastPowerPercent = 100, least
		if m.Process.Traits().Beam {
			m.TravelMM[2] = Number{} // a hand sets its focus
		}
	}
	return m
}

// Controllers lists the shipped ones.
func Controllers() []Controller { return slices.Clone(classes()) }

// classes reads the shipped controllers; a fault in them is one of the program, which
// the tests find.
var classes = sync.OnceValue(func() []Controller {
	data, err := shippedClasses.ReadFile("data/controllers/shipped.yaml")
	if err != nil {
		return nil
	}
	d := strict.Read("shipped.yaml", data)
	var list []Controller
	for _, v := range d.Root().Map("controllers").Need("controllers").List() {
		m := v.Map(shippedControllerKeys.Names()...)
		c := Controller{Class: Class(m.Need("id").Name()), Name: m.Need("name").Text(), Source: m.Need("source").Text()}
		c.take(m)
		list = append(list, c)
	}
	if d.Err() != nil {
		return nil
	}
	return list
})

// classNamed is the shipped controller of that name.
func classNamed(name string) Controller {
	for _, c := range classes() {
		if string(c.Class) == name {
			return c
		}
	}
	return Controller{}
}

func classNames() []string {
	var names []string
	for _, c := range classes() {
		names = append(names, string(c.Class))
	}
	return names
}

// KeyText is a key of a controller, and its value as a file has it.
type KeyText struct{ Key, Text string }

// Keys are the keys that its class has a use for, with their values.
func (c Controller) Keys() []KeyText {
	var list []KeyText
	for _, k := range controllerKeyList {
		if c.Class != Drawing || k.Key == leastPower {
			list = append(list, KeyText{k.Key, k.text(c)})
		}
	}
	return list
}

// Changed are the keys by which it differs from the shipped one of its class.
func (c Controller) Changed() []KeyText {
	shipped := classNamed(string(c.Class)).Keys()
	var list []KeyText
	for i, k := range c.Keys() {
		if i < len(shipped) && k != shipped[i] {
			list = append(list, k)
		}
	}
	return list
}

// mostStrayMM is how far chords stray from their arc at the most, whatever a controller's chord_mm lets them: inside a pocket
// they lie on the piece's side of it, and a wall that is off by more is no wall that the dry run passes.
const mostStrayMM = 0.02

// StrayMM is how far chords stray from the arc that they are sent for.
func (c Controller) StrayMM() float64 { return min(c.ChordMM, mostStrayMM) }
