package gcode

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"

	"traywright/cam/process"
	"traywright/geometry"
	"traywright/profiles"
)

// Body prints a program for the machine's controller, all but its opening comments.
// For one of the class pc that is RS-274/NGC (NISTIR 6556): G21 G90 G17 G94 G54,
// absolute mm with four decimals, arcs as G2 and G3 with I and J from the printed
// start, LF line ends, M2 at the end.
//
// It is an error when a number is not finite or is beyond a kilometre, when a
// cutting move has no feed, a cutter no speed or the beam more than full power or less
// than it burns at, when an arc's two ends are not on one circle, when a line is longer
// than the controller takes, when a second tool is wanted of one that cannot change
// tools, and of a controller that takes no programs.
func Body(p process.Program, m profiles.Machine) ([]byte, error) {
	if c := m.Controller; c.Class == profiles.Drawing || c.Class == "" {
		return nil, fmt.Errorf("the controller of %s takes no programs", m.ID)
	}
	is := m.Process.Traits()
	if is.Blade {
		m.Controller.ChordMM = min(m.Controller.ChordMM, bladeChordMM)
	}
	e := &emitter{
		machine: m, grid: gridOf(m.Controller), comments: commentsOf(m.Controller), shift: zShift(p, m), clearZ: p.ClearZ,
		beam: is.Beam, turns: is.Turning, steers: steers(m), noZ: is.Upright && !m.MovesZ() || !m.Controller.Moves("Z"),
	}
	e.open()
	for _, op := range p.Ops {
		if err := e.operation(op); err != nil {
			return nil, fmt.Errorf("operation %q: %w", op.Name, err)
		}
	}
	if err := e.close(); err != nil {
		return nil, err
	}
	return e.buffer.Bytes(), e.tooLong
}

// zShift is what is added to a height above the foam's top to get the
// program's Z.
func zShift(p process.Program, m profiles.Machine) float64 {
	if m.ZZero == profiles.ZBed {
		return p.ThicknessMM
	}
	return 0
}

// place is a printed place, in whole grid steps of the program's own zero.
type place struct{ x, y, z int64 }

// emitter prints moves and remembers what the controller already knows.
type emitter struct {
	buffer   bytes.Buffer
	machine  profiles.Machine
	grid     grid
	comments comments
	shift    float64 // mm added to Z
	clearZ   float64 // above the foam's top
	noZ      bool    // the machine has no Z to move: its focus is set by hand, and stays
	beam     bool    // lit at each move's power, dark in rapids
	turns    bool    // a spindle, at an operation's speed
	steers   bool    // the A axis turns a blade: see write_blade.go
	blade    angles
	tooLong  error // the first line that the controller does not take

	at      place
	knownXY bool
	tool    int // number; meaningful once hasTool
	hasTool bool
	feed    string // last F printed
	speed   string // last S printed while turning or lit; "" is off
}

func (e *emitter) line(format string, values ...any) {
	text := fmt.Sprintf(format, values...)
	if most := e.machine.Controller.LongestLine; len(text) > most && e.tooLong == nil {
		e.tooLong = fmt.Errorf("the line %q has %d characters, and the controller of %s takes %d", text, len(text), e.machine.ID, most)
	}
	e.buffer.WriteString(text + "\n")
}

func (e *emitter) say(key, text string) { e.buffer.WriteString(e.comments.comment(key, text)) }

// open puts the controller into the modes that every later line counts on, each
// on a line of its own, and starts from a safe height with everything off.
func (e *emitter) open() {
	c := e.machine.Controller
	switch {
	case c.Units == profiles.Inches:
		e.line("G20")
	default:
		e.line("G21")
	}
	for _, word := range c.Start {
		e.line("%s", word)
	}
	if c.PathToleranceMM > 0 {
		e.line("G64 P%s", strings.TrimRight(e.grid.text(max(1, int64(math.Floor(c.PathToleranceMM*e.grid.perMM+1e-9)))), "0"))
	}
	if !e.noZ && !e.beam {
		e.retract()
	}
	e.blow(e.beam, c.Air)
	e.blow(e.turns, c.Dust)
}

// blow switches air or dust extraction on where the process has a use for it.
func (e *emitter) blow(wanted bool, pair []string) {
	if word := profiles.On(pair); wanted && word != "" {
		e.line("%s", word)
	}
}

// close leaves the machine off, the cutter above the foam and where it parks.
func (e *emitter) close() error {
	c := e.machine.Controller
	if !e.noZ && !e.beam {
		e.lift()
	}
	e.off()
	if len(c.ParkAt) > 0 {
		if err := e.goAside(c.ParkAt, 0); err != nil {
			return err
		}
	}
	if e.beam && profiles.On(c.Air) != "" || e.turns && profiles.On(c.Dust) != "" {
		e.line("M9")
	}
	for _, word := range c.End {
		e.line("%s", word)
	}
	return nil
}

// goAside leaves the foam, up first, for a place of the program's own coordinates, mm, at
// least so high.
func (e *emitter) goAside(at []float64, leastZ float64) error {
	to, err := e.place(process.Point{Point: geometry.Point{X: at[0], Y: at[1]}, Z: max(at[2], leastZ) - e.shift})
	if err != nil {
		return err
	}
	if to.z < e.at.z && !e.beam {
		to.z = e.at.z
	}
	e.rapid(to)
	return nil
}

// retract lifts the cutter to clearance height. A clearance beyond farthestMM
// is caught by the moves, which use it as well.
func (e *emitter) retract() {
	z := e.clear()
	e.goTo(" Z" + e.zText(z))
	e.at.z = z
}

// zText is a height above the program's zero in the direction in which the machine's Z counts.
func (e *emitter) zText(z int64) string { return e.grid.text(int64(e.machine.ZSign()) * z) }

// clear is the clearance height on the grid.
func (e *emitter) clear() int64 { return int64(math.Round((e.clearZ + e.shift) * e.grid.perMM)) }

// lift retracts a cutter that is not up already.
func (e *emitter) lift() {
	if e.at.z != e.clear() {
		e.retract()
	}
}

// off stops the spindle or the beam. It is printed even where it should be off
// already: the line costs nothing and the beam must never be on in a rapid.
func (e *emitter) off() {
	e.line("M5")
	e.speed = ""
}

func (e *emitter) operation(op process.Op) error {
	if len(op.Moves) == 0 {
		return nil
	}
	if _, err := e.grid.onGrid(e.clearZ + e.shift); err != nil {
		return err
	}
	if err := e.takeTool(op); err != nil {
		return err
	}
	e.say("op", op.Name)
	if e.turns {
		if err := e.spin(op.RPM); err != nil {
			return err
		}
	}
	return e.moves(op.Moves)
}

// spin turns the spindle on at rpm, or changes its speed.
func (e *emitter) spin(rpm float64) error {
	if !(rpm > 0) || math.IsInf(rpm, 0) {
		return errors.New("has no spindle speed")
	}
	c := e.machine.Controller
	s := short(math.Round(rpm))
	switch {
	case e.speed == s:
		return nil
	case c.SpindleWords == profiles.Ordered:
		e.line("M3 S%s", s)
	case e.speed == "":
		e.line("S%s M3", s)
	default:
		e.line("S%s", s)
	}
	e.dwell(c.SpinUpS)
	e.speed = s
	return nil
}

// dwell waits. Printer-style firmware takes S for seconds, whatever its P counts.
func (e *emitter) dwell(seconds float64) {
	c := e.machine.Controller
	switch {
	case seconds == 0:
	case c.Class == profiles.Printer:
		e.line("G4 S%s", short(seconds))
	case c.DwellUnit == profiles.DwellMS:
		e.line("G4 P%s", short(1000*seconds))
	default:
		e.line("G4 P%s", short(seconds))
	}
}
