package proof

import (
	"math"

	"traywright/cam/proof/read"
)

// checkWaits finds waits that nobody planned: longestWaitS in all beyond one running up for each
// start of a spindle, or beyond all the pauses of a beam's passes.
// Whoever stands by a machine that does nothing goes away, and comes back when it burns; and
// minutes are what thousandths become in another unit.
func (d *run) checkWaits() {
	if d.want == nil {
		return
	}
	left, beyond, speed := 0.0, 0.0, 0.0
	if d.beam && d.want.Way != nil {
		for m := range d.want.Way {
			left += m.WaitS
		}
	}
	for _, s := range d.trace.Steps {
		now := s.S
		if s.Spin == read.Off {
			now = 0
		}
		if d.turning && now > speed {
			left = d.setup.SpinUpSeconds
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
