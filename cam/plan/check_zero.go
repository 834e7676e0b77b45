package plan

import (
	"fmt"

	"traywright/profiles"
)

// checkZero refuses a block that is cut in one piece, and whose layers say that its Z0 is at
// different places.
func (m *maker) checkZero(s slab) {
	said := profiles.ZZero("")
	for _, l := range s.layers {
		if said != "" && l.ZZero != "" && l.ZZero != said {
			m.log.fail(s.at, "two-zeros", fmt.Sprintf("is cut as one block, and its layers have z_zero: %s and %s", said, l.ZZero), "write one of them, in one layer")
			return
		}
		if l.ZZero != "" {
			said = l.ZZero
		}
	}
}
