package gcode

import (
	"cmp"
	"fmt"

	"traywright/cam/process"
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
		return e.changeByMachine(first, op.Tool)
	case profiles.ByHand:
		return e.changeByHand(first, op.Tool)
	}
	if !first {
		return fmt.Errorf("needs tool %s, and the controller of %s has no way to stop for it", toolText(op.Tool), e.machine.ID)
	}
	e.say("tool in the spindle", toolText(op.Tool))
	return nil
}

func (e *emitter) changeByMachine(first bool, t profiles.Tool) error {
	if err := e.leave(first); err != nil {
		return err
	}
	e.say("tool", toolText(t))
	e.line("T%d M6", t.Number)
	e.forgetPlace()
	return nil
}

// changeByHand stops for a hand. Where most controllers stop they can neither jog nor set
// a zero, so the new tool has to be put in as long as the old one was.
func (e *emitter) changeByHand(first bool, t profiles.Tool) error {
	if err := e.leave(first); err != nil {
		return err
	}
	if first {
		e.say("tool in the spindle", toolText(t))
		e.line("T%d", t.Number)
		return nil
	}
	e.say("change the tool", "put in "+toolText(t)+", its tip as far below the spindle as the last one's, then start")
	e.line("T%d", t.Number)
	e.line("M0")
	e.forgetPlace()
	return nil
}

// leave makes the machine safe to reach into: everything off, away from the foam, and so
// high that the longest tool of the program clears it.
func (e *emitter) leave(first bool) error {
	if first {
		return nil
	}
	e.lift()
	e.off()
	if len(e.machine.Controller.ChangeAt) == 0 {
		return fmt.Errorf("machine %s names no place to change a tool at", e.machine.ID)
	}
	longest, shortest := 0.0, 0.0
	for i, t := range e.tools {
		length := cmp.Or(t.StickoutMM.Value, t.ReachMM.Value)
		if i == 0 || length < shortest {
			shortest = length
		}
		longest = max(longest, length)
	}
	return e.goAside(e.machine.Controller.ChangeAt, e.clearZ+e.shift+longest-shortest)
}

// forgetPlace makes the next moves print every axis: a hand or a tool changer
// may have moved the machine.
func (e *emitter) forgetPlace() {
	e.knownXY = false
	e.retract()
}
