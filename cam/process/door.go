package process

import (
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// Process is one way of cutting. All that differs between processes is behind
// this door: a new one is a file with these methods and a line in processes, and
// its rows in profiles.
type Process interface {
	// Means is what the plan asks: what can be left of a shape, in how many passes,
	// and which numbers a recipe needs.
	plan.Means
	// cutter turns a sheet that is a whole work order into moves on a machine. tol
	// is the distance, mm, under which two points of a path are one.
	cutter(sheet plan.Sheet, m profiles.Machine, tol float64) (cutter, error)

	// Settings are the numbers of a recipe that a page shows, in its order.
	Settings(r profiles.Recipe) []Setting
	// SetZero is what a person does to the zero point before the program runs.
	SetZero() string
	// FitsTools reports whether a hand puts the tool in.
	FitsTools() bool
}

// Setting is a number of a recipe as a page names it.
type Setting struct {
	Name   string
	Number profiles.Number
	Unit   SettingUnit
}

// SettingUnit is what a setting counts.
type SettingUnit uint8

const (
	Millimetres SettingUnit = iota
	PerMinute               // mm/min
	PassCount
	Percent
	TurnsPerMinute
	Seconds
	Amperes
	KerfMillimetres // told to a thousandth
)

var processes = map[profiles.Process]Process{
	profiles.Router:  routing{},
	profiles.Laser:   beaming{},
	profiles.HotWire: wiring{},
	profiles.Knife:   knifing{},
	profiles.Hand:    byHand{},
}

// For is the process of that name; false for one without cutting paths.
func For(p profiles.Process) (Process, bool) {
	door, ok := processes[p]
	return door, ok
}

// On is a machine's own way of its process; false for one without cutting paths.
func On(m profiles.Machine) (Process, bool) {
	door, ok := processes[m.Process]
	switch door.(type) {
	case beaming:
		return beaming{m.Controller}, true
	case knifing:
		return knifingOf(m), true
	}
	return door, ok
}

// MeansOf is what the plan may ask of a machine's process; nil for one without
// cutting paths.
func MeansOf(m profiles.Machine) plan.Means {
	if door, ok := On(m); ok {
		return door
	}
	return nil
}

// cutter makes the operations of one sheet.
type cutter interface {
	// marks engraves open paths, in the order given.
	marks(paths []geometry.Path) (Op, error)
	// pocket cuts one hole; near is where the machine is.
	pocket(cut plan.Cut, near geometry.Point) (finished, error)
	// along follows a cut's own line; near is where the machine is.
	along(cut plan.Cut, near geometry.Point) (finished, error)
	// outline cuts the tray free.
	outline(edge plan.Cut, near geometry.Point) (finished, error)
	// least is how long a cut takes at least, in seconds, whose tool or beam runs along walls.
	least(kind OpKind, cut plan.Cut, walls geometry.Region) float64
	// clearZ is the height of rapids above the foam's top.
	clearZ() float64
	// close puts to the whole program what only all of it shows.
	close(p *Program) error
}

// joiner is a cutter that goes on from one stroke to the next where they meet.
type joiner interface {
	// between is what it costs to get from the end of one stroke to the beginning of the next.
	between(from, to geometry.Path) float64
}

// finished is an operation and where its tool or beam runs on the wall.
type finished struct {
	op    Op
	walls geometry.Region
}
