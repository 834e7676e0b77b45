package profiles

import "slices"

// Process is a way of cutting foam. A new one is a row of traits here, a file in
// cam/process, and rows of data.
type Process string

const (
	Router  Process = "router"
	Laser   Process = "laser"
	Knife   Process = "knife"
	HotWire Process = "hot-wire"
	Hand    Process = "hand" // a blade in a hand along a printed line; a bow wire is HotWire wherever safety is asked, see Machine.With
)

// Processes lists every process, those that make fumes or fire first.
func Processes() []Process { return []Process{Laser, HotWire, Router, Knife, Hand} }

// Traits is what a process is by nature, on whatever machine. Rooms that need
// one of these ask for it and not for the process by name.
type Traits struct {
	Beam     bool // light cuts: it is lit or dark, and has no end that reaches down
	Hot      bool // melts or burns its way, so that fumes and fire are to be reckoned with
	Turning  bool // a cutter turns, which throws what comes loose
	Wire     bool // what cuts is never narrower than its tool and may melt more
	Upright  bool // cuts all of the foam's height wherever it is, a beam or an upright wire, and so whole layers
	Blade    bool // it parts foam: cold, and nothing turns
	Followed bool // the dry run follows its tool
	ByHand   bool // a person moves the tool: there is no program, no bed, no travel and no speed
}

var traits = map[Process]Traits{
	"":      {Followed: true}, // nobody has said: the program shows what it is
	Router:  {Turning: true, Followed: true},
	Laser:   {Beam: true, Hot: true, Upright: true, Followed: true},
	Knife:   {Blade: true, Followed: true},
	HotWire: {Hot: true, Wire: true, Upright: true, Followed: true},
	Hand:    {ByHand: true},
}

// Traits of a process that nobody knows are none.
func (p Process) Traits() Traits { return traits[p] }

// ByAnother reports whether the tool cuts by another process than its machine's. It cuts only
// where a job names it.
func (t Tool) ByAnother() bool { return t.Process != "" }

// CutsLike reports whether two machines cut by one process.
func (m Machine) CutsLike(other Machine) bool { return m.Process == other.Process }

// InHand reports whether a hand moves the tool, a hot wire among others: only a hand's row has
// tools with a process of their own.
func (m Machine) InHand() bool {
	return m.Process.Traits().ByHand || slices.ContainsFunc(m.Tools, Tool.ByAnother)
}

// CutsBy reports whether an owner who says a process means this machine: a hand's blade is a
// knife, and whatever a hand moves is by hand.
func (m Machine) CutsBy(p Process) bool {
	return p == m.Process || p == Knife && m.Process == Hand || p == Hand && m.InHand()
}

// With is the machine as it is with one of its tools: a hot wire in a hand is a hot wire, to
// the safety table, to the owner's rules and to whoever has to know what burns.
func (m Machine) With(t Tool) Machine {
	if t.ByAnother() {
		m.Process = t.Process
	}
	return m
}

// Idle is what of a machine cuts nothing on an air cut: as a tool's name, and as a hand is told.
func (t Traits) Idle() (name, said string) {
	switch {
	case t.Beam:
		return "the beam, which stays dark", "the beam stays off from the first line to the last"
	case t.Blade:
		return "no blade, its holder is empty", "no blade in its holder"
	case t.Wire:
		return "the wire, which stays cold", "the wire cold, its supply off"
	}
	return "no cutter, the spindle is empty", "no cutter in the spindle"
}
