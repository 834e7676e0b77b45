package plan

import (
	"fmt"

	"traywright/profiles"
)

// checkZero refuses a block that is cut in one piece, and whose layers say that its Z0 is at
// different places; and a beam's Z0 on the bed: where it is in focus there its nozzle would be
// in the foam.
func (m *maker) checkZero(s slab) {
	said := profiles.ZZero("")
	for _, l := range s.layers {
		if l.ZZero == profiles.ZBed && m.Machine.Process.Traits().Beam {
			m.log.fail(s.at, "beam-zero-on-bed", "has z_zero: bed, and "+m.Machine.ID+", a laser, has its Z0 where its beam is in focus on the foam's top", "take z_zero out, or write z_zero: top")
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
