package gcode

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"traywright/cam/process"
	"traywright/profiles"
)

// SpinUpSeconds is how long a program waits for a spindle to reach its
// speed: common practice, no source. A controller that reads P as milliseconds
// waits less, and the rapid that follows gives it time as well.
const SpinUpSeconds = 3

// Body prints a program as RS-274/NGC, all but its opening comments: G21 G90
// G17 G94 G54, absolute mm with four decimals, arcs as G2 and G3 with I and J from
// the printed start, LF line ends, M2 at the end.
//
// It is an error when a number is not finite or is beyond a kilometre, when a
// cutting move has no feed, a cutter no speed or the beam more than full power,
// when an arc's two ends are not on one circle, and when a second tool is
// wanted of a controller that cannot change tools.
func Body(p process.Program, m profiles.Machine) ([]byte, error) {
	is := m.Process.Traits()
	e := &emitter{machine: m, shift: zShift(p, m), clearZ: p.ClearZ, beam: is.Beam, turns: is.Turning, noZ: is.Beam && m.TravelMM[2].Value == 0}
	e.open()
	for _, op := range p.Ops {
		if err := e.operation(op); err != nil {
			return nil, fmt.Errorf("operation %q: %w", op.Name, err)
		}
	}
	e.close()
	return e.buffer.Bytes(), nil
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
	buffer  bytes.Buffer
	machine profiles.Machine
	shift   float64 // mm added to Z
	clearZ  float64 // above the foam's top
	noZ     bool    // the machine has no Z to move: its focus is set by hand, and stays
	beam    bool    // lit at each move's power, dark in rapids
	turns   bool    // a spindle, at an operation's speed

	at      place
	knownXY bool
	tool    int // number; meaningful once hasTool
	hasTool bool
	feed    string // last F printed
	speed   string // last S printed while turning or lit; "" is off
}

func (e *emitter) line(format string, values ...any) {
	fmt.Fprintf(&e.buffer, format+"\n", values...)
}

func (e *emitter) say(key, text string) { e.buffer.WriteString(comment(key, text)) }

// open puts the controller into the modes that every later line counts on, each
// on a line of its own, and starts from a safe height with everything off.
func (e *emitter) open() {
	e.line("G21")
	e.line("G90")
	e.line("G17")
	e.line("G94")
	e.line("G54")
	e.line("M5")
	if !e.noZ && !e.beam {
		e.retract()
	}
	if air := e.machine.Controller.AirAssist; air == "M7" || air == "M8" {
		e.line("%s", air)
	}
}

// close leaves the machine off, and the cutter above the foam.
func (e *emitter) close() {
	if !e.noZ && !e.beam {
		e.lift()
	}
	e.off()
	if e.machine.Controller.AirAssist != "" {
		e.line("M9")
	}
	e.line("M2")
}

// retract lifts the cutter to clearance height. A clearance beyond farthestMM
// is caught by the moves, which use it as well.
func (e *emitter) retract() {
	z := int64(math.Round((e.clearZ + e.shift) * grid))
	e.line("G0 Z%s", decimals(z))
	e.at.z = z
}

// lift retracts a cutter that is not up already.
func (e *emitter) lift() {
	if e.at.z != int64(math.Round((e.clearZ+e.shift)*grid)) {
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
	if _, err := onGrid(e.clearZ + e.shift); err != nil {
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

// takeTool changes to the operation's tool the way the controller can.
func (e *emitter) takeTool(op process.Op) error {
	if e.beam || e.hasTool && e.tool == op.Tool.Number {
		return nil
	}
	first := !e.hasTool
	e.tool, e.hasTool = op.Tool.Number, true
	switch e.machine.Controller.ToolChange {
	case "automatic":
		return e.changeByMachine(first, op.Tool)
	case "manual":
		return e.changeByHand(first, op.Tool)
	}
	if !first {
		return fmt.Errorf("needs tool %s, and the controller of %s has no way to stop for it", toolText(op.Tool), e.machine.ID)
	}
	e.say("tool in the spindle", toolText(op.Tool))
	return nil
}

func (e *emitter) changeByMachine(first bool, t profiles.Tool) error {
	e.leave(first)
	e.say("tool", toolText(t))
	e.line("T%d M6", t.Number)
	e.forgetPlace()
	return nil
}

func (e *emitter) changeByHand(first bool, t profiles.Tool) error {
	e.leave(first)
	if first {
		e.say("tool in the spindle", toolText(t))
		e.line("T%d", t.Number)
		return nil
	}
	e.say("change the tool", "put in "+toolText(t)+", set Z zero again, then start")
	e.line("T%d", t.Number)
	e.line("M0")
	e.forgetPlace()
	return nil
}

// leave makes the machine safe to reach into.
func (e *emitter) leave(first bool) {
	if first {
		return
	}
	e.lift()
	e.off()
}

// forgetPlace makes the next moves print every axis: a hand or a tool changer
// may have moved the machine.
func (e *emitter) forgetPlace() {
	e.knownXY = false
	e.retract()
}

// spin turns the spindle on at rpm, or changes its speed.
func (e *emitter) spin(rpm float64) error {
	if !(rpm > 0) || math.IsInf(rpm, 0) {
		return errors.New("has no spindle speed")
	}
	s := short(math.Round(rpm))
	switch e.speed {
	case s:
		return nil
	case "":
		e.line("S%s M3", s)
	default:
		e.line("S%s", s)
	}
	e.line("G4 P%d", SpinUpSeconds)
	e.speed = s
	return nil
}
