package plan

import (
	"fmt"

	"traywright/profiles"
)

// checkZero refuses a block that is cut in one piece, and whose layers say that its Z0 is at
// different places; and a Z0 on a bed that rises to a beam, from which its machine counts down.
func (m *maker) checkZero(s slab) {
	said := profiles.ZZero("")
	for _, l := range s.layers {
		if l.ZZero == profiles.ZBed && m.Machine.ZCounts == profiles.ZDown {
			m.log.fail(s.at, "zero-on-rising-bed", "has z_zero: bed, and "+m.Machine.ID+" counts Z down from the foam", "take z_zero out, or write z_zero: top")
			return
		}
		if said != "" && l.ZZero != "" && l.ZZero != said {
			m.log.fail(s.at, "two-zeros", fmt.Sprintf("is cut as one block, and its layers have z_zero: %s and %s", said, l.ZZero), "write one of them, in one layer")
			return
		}
		if l.ZZero != "" {
			said = l.ZZero
		}
	}
}
