package proof

import "traywright/cam/proof/read"

// stay is what a beam has done where it is, since the last move.
type stay struct {
	litAt int  // the line that lit it; 0 for none
	cut   bool // the last move was a lit cut, and nothing has waited since
	dark  int  // the line that put it out behind such a cut; 0 for none
}

// mostHeld is how often one lit way may say again what is in force (judged, no source): a program
// says so once, and some controllers stand for it with the beam lit.
const mostHeld = 3

// checkHeld finds a beam that such words stop again and again on one way.
func (d *run) checkHeld() {
	holds, n, way := d.trace.Holds, 0, false
	for _, s := range d.trace.Steps {
		if lit := s.Spin != read.Off && s.S > 0; !lit || s.Action.Moves() && s.Action == read.Traverse {
			way, n = false, 0
		}
		for ; len(holds) > 0 && holds[0] <= s.Line; holds = holds[1:] {
			n++
		}
		if !s.Action.Moves() || s.Action == read.Traverse {
			continue
		}
		if way && n > mostHeld {
			d.strictly(s.Line, "beam-standing", "by this line one way has said %d times again what is in force: some controllers stand for each with the beam lit, which burns in one place", n).hint("take those lines out")
			return
		}
		if !way {
			way, n = true, 0
		}
	}
}

// checkStanding finds a beam that is lit while nothing moves: at a wait or a stop, where its
// air is switched in the midst of a cut, or lit and put out again without a cut.
func (d *run) checkStanding() {
	d.checkHeld()
	var here stay
	for _, s := range d.trace.Steps {
		lit := s.Spin != read.Off && s.S > 0
		switch {
		case here.dark > 0 && (s.Action.Moves() && s.From == s.To || s.Action == read.ToolChange):
			// it goes nowhere between
		case s.Action.Moves():
			cuts := lit && s.Action != read.Traverse
			if here.dark > 0 && cuts {
				d.strictly(here.dark, "beam-interrupted", "the beam is put out and lit again in the midst of a way: the machine stops there, and leaves a burnt spot").hint("take both lines out")
			}
			here = stay{cut: cuts}
		case s.Action == read.Blow:
			if here.cut && lit {
				d.strictly(s.Line, "beam-standing", "the air is switched in the midst of a cut: the machine stops for it with the beam lit, which burns in one place").hint("switch the air where the beam is dark")
			}
		case s.Action == read.Switch:
			here.switched(d, s, lit)
		case s.Action == read.Wait && s.Seconds == 0:
			// no wait
		case lit:
			d.wrong(s.Line, "beam-standing", "the beam is on while the machine waits, and burns in one place").hint("write M5 first")
		default:
			here.cut, here.dark = false, 0
		}
	}
	if here.litAt > 0 && d.trace.End.Line == 0 && d.trace.Unfollowed == 0 {
		d.wrong(here.litAt, "beam-standing", "the beam is lit at the end of the program").hint("write M5")
	}
}

// switched is a beam that is lit or put out.
func (here *stay) switched(d *run, s read.Step, lit bool) {
	switch {
	case lit:
		here.litAt = s.Line
		return
	case here.litAt > 0:
		d.wrong(here.litAt, "beam-standing", "the beam is lit and put out again without a move, and burns in one place").hint("remove the lines")
	case here.cut:
		here.dark = s.Line
	}
	here.litAt = 0
}
