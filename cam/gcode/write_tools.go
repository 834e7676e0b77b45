package gcode

import (
	"fmt"
	"slices"

	"traywright/cam/process"
	"traywright/geometry"
	"traywright/profiles"
)

// How a program comes by its tools. With a program for each tool, which most controllers
// need, the one that it wants is in the spindle when it begins.

// takeTool changes to the operation's tool the way the controller can.
func (e *emitter) takeTool(op process.Op) error {
	if e.beam || e.hasTool && e.tool == op.Tool.Number {
		return nil
	}
	first := !e.hasTool
	e.tool, e.hasTool = op.Tool.Number, true
	c := e.machine.Controller
	if c.Class == profiles.Small && op.Tool.Number > 255 && c.ToolChange == profiles.ByHand {
		return fmt.Errorf("tool %s: the controller of %s knows numbers up to 255", toolText(op.Tool), e.machine.ID)
	}
	switch c.ToolChange {
	case profiles.ByItself:
		return e.changeByMachine(op.Tool)
	case profiles.ByHand:
		return e.changeByHand(first, op.Tool, op.RPM)
	}
	if !first {
		return fmt.Errorf("needs tool %s, and the controller of %s has no way to stop for it", toolText(op.Tool), e.machine.ID)
	}
	e.say("tool in the spindle", toolText(op.Tool))
	return nil
}

// changeByMachine goes aside for the first tool too: whichever is in the spindle, the machine
// may change it there.
func (e *emitter) changeByMachine(t profiles.Tool) error {
	if err := e.leave(); err != nil {
		return err
	}
	e.say("tool", toolText(t))
	e.line("T%d M6", t.Number)
	e.forgetPlace()
	return nil
}

// changeByHand stops for a hand. Where most controllers stop they can neither jog nor set
// a zero, so the new tool has to be put in as long as the old one was. A spindle with a switch
// of its own knows nothing of M5, one with a dial nothing of S.
func (e *emitter) changeByHand(first bool, t profiles.Tool, rpm float64) error {
	if first {
		e.say("tool in the spindle", toolText(t))
		e.line("T%d", t.Number)
		return nil
	}
	if err := e.leave(); err != nil {
		return err
	}
	e.say("change the tool", fmt.Sprintf("switch the spindle off by its own switch where it has one and wait until it stands still, put in %s, its tip as far below the spindle as the last one's, "+
		"then switch on again what was switched off, set a dial to %.0f rpm, and start", toolText(t), rpm))
	e.line("T%d", t.Number)
	e.line("M0")
	e.forgetPlace()
	return nil
}

// leave makes the machine safe to reach into: everything off, away from the foam, and
// well above it.
func (e *emitter) leave() error {
	e.lift()
	e.off()
	if len(e.machine.Controller.ChangeAt) == 0 {
		return fmt.Errorf("machine %s names no place to change a tool at", e.machine.ID)
	}
	return e.goAside(e.machine.Controller.ChangeAt, e.shift+handRoomMM)
}

// handRoomMM is the least room between the foam and the tip of a tool that a hand changes.
// All tools of a program stand out equally far: the plan sees to it (judged, no source).
const handRoomMM = 20

// Reach is the extents of a program with the places beside the foam that its controller
// goes to, where a tool is changed and at the end.
func Reach(p process.Program, s process.Stats, m profiles.Machine) process.Stats {
	c, shift := m.Controller, zShift(p, m)
	aside := func(at []float64, least float64) {
		if len(at) == 3 {
			to := process.Point{Point: geometry.Point{X: at[0], Y: at[1]}, Z: max(at[2]-shift, least)}
			s.Min.X, s.Min.Y = min(s.Min.X, to.X), min(s.Min.Y, to.Y)
			s.Max.X, s.Max.Y, s.Max.Z = max(s.Max.X, to.X), max(s.Max.Y, to.Y), max(s.Max.Z, to.Z)
		}
	}
	aside(c.ParkAt, p.ClearZ)
	if c.ToolChange == profiles.ByItself || c.ToolChange == profiles.ByHand && severalTools(p) {
		aside(c.ChangeAt, handRoomMM)
	}
	return s
}

func severalTools(p process.Program) bool {
	return slices.ContainsFunc(p.Ops, func(op process.Op) bool { return op.Tool.Number != p.Ops[0].Tool.Number })
}

// forgetPlace makes the next moves print every axis: a hand or a tool changer
// may have moved the machine.
func (e *emitter) forgetPlace() {
	e.knownXY = false
	e.retract()
}
