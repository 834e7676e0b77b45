package proof

import (
	"math"

	"traywright/cam/proof/read"
)

// checkWaits finds waits that nobody planned: beyond the pauses of the plan's passes and a
// spindle's running up, longestWaitS in all. Whoever stands by a machine that does nothing goes
// away, and comes back when it burns; and minutes are what thousandths become in another unit.
func (d *run) checkWaits() {
	if d.want == nil {
		return
	}
	planned := d.setup.SpinUpSeconds
	for _, l := range d.want.allLimits() {
		planned = math.Max(planned, l.PauseS)
	}
	beyond := 0.0
	for _, s := range d.trace.Steps {
		if s.Action != read.Wait {
			continue
		}
		if beyond += math.Max(0, s.Seconds-planned); beyond > longestWaitS {
			d.wrong(s.Line, "waits-unplanned", "by this line the program has waited %v s longer than anything in the plan does", number(math.Round(beyond))).
				hint("take the wait out, or write P in the unit that this controller counts in")
			return
		}
	}
}
