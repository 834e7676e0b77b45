package proof

import "math"

// A wire that stays about one place melts it wider, also where it moves all the time: by turning
// back on its way, in small rounds, or with Z alone.

// turnsBackShare of the kerf is how far a wire may go back on its way, in all: less than what melts a
// wall wider by a quarter of one crossing (judged, no source).
const turnsBackShare = 0.125

// checkTurnsBack finds a wire that goes back on the way that it has come, which no plan does: there
// it is in one place three times.
func (d *run) checkTurnsBack() {
	before, back := -1, 0.0
	for i, m := range d.result.Motions {
		if m.flatLength() == 0 {
			continue
		}
		if before >= 0 && !m.Rapid && !d.result.Motions[before].Rapid {
			last := d.result.Motions[before]
			a, b := last.heading(1), m.heading(0)
			width, _ := d.width(m.Tool)
			if a[0]*b[0]+a[1]*b[1] < -math.Cos(math.Pi/180) {
				back += math.Min(last.flatLength(), m.flatLength())
			}
			if back > turnsBackShare*width {
				d.strictly(m.Line, "wire-again", "by this line the wire has gone back %v on the way that it has come, here at %v, and melts it wider", length(back), m.From.Point).hint("take the turn out")
				return
			}
		}
		before = i
	}
}

// lingersKerfs is how many kerfs of way a wire may go in motions that are all shorter than one
// without leaving a circle of a kerf's radius: a hole whose plug is nothing has pi of them, and its
// slit two (judged, no source).
const lingersKerfs = 6

// checkLingers finds a wire that goes about one place in small motions.
func (d *run) checkLingers() {
	way, at := 0.0, Point{}
	for _, m := range d.result.Motions {
		width, _ := d.width(m.Tool)
		if m.Rapid || m.flatLength() >= width || m.To.DistanceTo(at.Point) > width {
			way, at = 0, m.To
			continue
		}
		if way += m.flatLength(); way > lingersKerfs*width {
			d.strictly(m.Line, "wire-again", "by this line the wire has gone %v about one place, at %v, and melts it wider", length(way), m.To.Point).hint("take these lines out")
			return
		}
	}
}

// checkWireLifted: an upright wire goes through all the foam wherever its holders stand, and on the
// way of Z it stands in the foam, or goes slower than F says.
func (d *run) checkWireLifted() {
	for _, s := range d.trace.Steps {
		if by := math.Abs(s.To.Z - s.From.Z); s.Action.Moves() && by > slackMM {
			d.strictly(s.Line, "wire-lifted", "moves in Z by %v: an upright wire needs none, what holds it may meet foam or bed, and in the foam it melts meanwhile", length(by)).
				hint("take Z out")
			return
		}
	}
}
