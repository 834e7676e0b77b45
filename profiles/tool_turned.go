package profiles

import (
	"math"
	"slices"

	"traywright/profiles/strict"
)

// A blade that an axis turns points along its way everywhere. It is straight and has a width, its
// chord, in the middle of which the axis stands: so on a curve its ends are beside the line, and
// turned in place they sweep aside.

// Turned reports whether the machine turns the tool along its way.
func (t Tool) Turned() bool { return t.ChordMM.Value > 0 }

// TurnedTool is a machine's tool that is turned along its way; false where it has none.
func (m Machine) TurnedTool() (Tool, bool) {
	for _, t := range m.Tools {
		if t.Turned() {
			return t, true
		}
	}
	return Tool{}, false
}

// Engraves reports whether the machine itself makes lines and letters: a wire and a blade that is
// turned, which has a width, leave them to a pen.
func (m Machine) Engraves() bool {
	_, turned := m.TurnedTool()
	return !turned && !m.Process.Traits().Wire
}

// AheadMM is how far its edge is ahead of its axis, mm, where that is most, with its end so deep in
// the foam: one that leans forward is farther ahead at the foam's top.
func (t Tool) AheadMM(depth float64) float64 {
	return t.ChordMM.Value/2 + math.Max(0, depth)*math.Tan(t.SlantDegrees.Value*math.Pi/180)
}

// MostTurn is by how much, radians, a blade whose edge is so far ahead of its axis may turn in the
// foam in one place: the edge is its gouge aside then.
func (t Tool) MostTurn(ahead float64) float64 { return math.Asin(math.Min(1, t.GougeMM.Value/ahead)) }

// LeastRadiusMM is that of the tightest curve which such a blade follows with its edge no more than
// its gouge outside.
func (t Tool) LeastRadiusMM(ahead float64) float64 {
	gouge := t.GougeMM.Value
	return math.Max(0, (ahead*ahead-gouge*gouge)/(2*gouge))
}

// ASign is 1 where the axis that turns a blade counts counter-clockwise, seen from above, and -1
// where it counts the other way.
func (m Machine) ASign() float64 {
	if m.ACounts == AClockwise {
		return -1
	}
	return 1
}

// checkTurned is what a machine needs that turns its blade. Of the classes that ship only a PC's
// reads an A word: a small controller refuses it, and of a printer nobody knows. All its blades are
// turned, for its paths, its zero and its marks are either of such or of those that swivel.
func checkTurned(v strict.Value, m strict.Map, machine Machine) {
	some := func(is func(Tool) bool) bool { return slices.ContainsFunc(machine.Tools, is) }
	switch _, turned := machine.TurnedTool(); {
	case !turned && machine.ACounts != "":
		m.Get("a_counts").Fail("is of an axis that turns a blade, and no tool here has a chord_mm", "take a_counts out, or write chord_mm into the row of the blade")
	case !turned && machine.TurnRPM.Value > 0:
		m.Get("turn_rpm").Fail("is of an axis that turns a blade, and no tool here has a chord_mm", "take turn_rpm out, or write chord_mm into the row of the blade")
	case !turned:
	case machine.Process != Knife:
		v.Fail("chord_mm is of a blade that is turned along its way, and this machine is no knife", "take chord_mm out")
	case machine.Controller.Class != PC || !machine.Controller.Moves("A"):
		v.Fail("a blade with a chord_mm is turned by an A axis, which the controller does not move", "write controller: {like: pc, axes: [X, Y, Z, A]}, if it is a PC that moves one, for no other class is known to; a blade that swivels by itself has trail_mm instead of chord_mm")
	case some(func(t Tool) bool { return t.TrailMM.Value > 0 }):
		v.Fail("a blade either swivels by itself, with trail_mm, or is turned, with chord_mm, and a machine has blades of one kind", "take one of them out, or write the blades that swivel into a machine of their own")
	case some(func(t Tool) bool { return !t.Turned() || t.GougeMM.Value <= 0 }) || machine.TurnRPM.Value <= 0:
		v.Fail("a machine that turns its blade needs turn_rpm, and each of its blades chord_mm and gouge_mm", "write all: turn_rpm: 100, and gouge_mm: 0.1 into the row of each blade, beside its chord_mm")
	}
}
