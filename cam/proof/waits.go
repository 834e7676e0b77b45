package proof

import (
	"math"

	"traywright/cam/proof/read"
)

// checkWaits finds waits that nobody planned: beyond one running up for each start of a spindle,
// and one pause of the plan's passes for each time that a beam goes dark, longestWaitS in all.
// Whoever stands by a machine that does nothing goes away, and comes back when it burns; and
// minutes are what thousandths become in another unit.
func (d *run) checkWaits() {
	if d.want == nil {
		return
	}
	planned := d.setup.SpinUpSeconds
	for _, l := range d.want.allLimits() {
		planned = math.Max(planned, l.PauseS)
	}
	left, beyond, speed := planned, 0.0, 0.0
	for _, s := range d.trace.Steps {
		now := s.S
		if s.Spin == read.Off {
			now = 0
		}
		if !d.beam && now > speed || d.beam && now == 0 && speed > 0 {
			left = planned
		}
		speed = now
		if s.Action != read.Wait {
			continue
		}
		used := math.Min(left, s.Seconds)
		left -= used
		if beyond += s.Seconds - used; beyond > longestWaitS {
			d.wrong(s.Line, "waits-unplanned", "by this line the program has waited %v s longer than anything in the plan does", number(math.Round(beyond))).
				hint("take the wait out, or write P in the unit that this controller counts in")
			return
		}
	}
}
