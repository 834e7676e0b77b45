package read

import "math"

// home is G28 or G30: past the place that the axis words name, if they name one, and on
// to a place that the machine keeps, along those axes or all, A among them (as PC controllers do).
// Z goes up to it: nobody keeps a reference point in the foam.
func (r *reader) home(b *block) *problem {
	axes := b.axes()
	if axes != 0 && !(r.incremental && b.zeros()) {
		to, p := r.target(b)
		if p != nil {
			return p
		}
		r.rapid(b.line, to, axes)
	}
	if axes == 0 {
		axes, r.turnSaid = allAxes, false
	}
	r.place()
	r.toMachine(Step{Line: b.line, Action: Traverse, Machine: axes, Home: true})
	return nil
}

// zeros reports whether every axis word says 0.
func (b *block) zeros() bool {
	for _, w := range axisWords {
		if b.has(w.letter) && b.word(w.letter) != 0 {
			return false
		}
	}
	return true
}

// toMachine goes to a place of the machine's own. Where that is this file does not say;
// Z is taken to be as high as the program has been.
func (r *reader) toMachine(s Step) {
	s.From, s.To, s.Unknown = r.at, r.at, allAxes&^r.known
	if s.Machine&AxisZ != 0 {
		s.To.Z, r.lifted = math.Max(r.at.Z, r.highest), true
	}
	r.known &^= s.Machine
	s.Lifted = r.lifted && r.known&AxisZ == 0
	r.at = s.To
	r.add(s)
}

// arrive files a move, and is where it leads.
func (r *reader) arrive(s Step) {
	r.place()
	s.Lifted = r.lifted && s.Unknown&AxisZ != 0
	r.known |= s.Named
	if s.Named&AxisZ != 0 {
		r.lifted = false
		r.highest = math.Max(r.highest, s.To.Z)
	}
	r.cutting = r.cutting || s.Action != Traverse
	r.at = s.To
	r.add(s)
}
