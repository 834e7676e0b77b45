package plan

import (
	"fmt"

	"traywright/cam/job"
)

// checkFinger warns of a notch that no finger gets into.
func (m *maker) checkFinger(f form, p *job.Pocket, at place) {
	for _, side := range allSides {
		if p.Notch&side == 0 {
			continue
		}
		w, reach := f.notchSize(side, p.NotchWidth, p.NotchReach)
		if w >= notchWidthMM-m.slackMM() && reach >= notchReachMM-m.slackMM() {
			continue
		}
		m.log.warn(at, "notch-too-small", fmt.Sprintf("has a notch %s wide that reaches %s beyond its side, and a finger needs %s and %s to get beside the piece",
			m.below(w), m.below(reach), m.above(notchWidthMM), m.above(notchReachMM)), m.fingerHint(f, side))
		return
	}
}

// fingerHint is what to do about a notch at a side.
func (m *maker) fingerHint(f form, side job.Side) string {
	size := fmt.Sprintf("`notch_width: %s` and `notch_reach: %s`", m.above(notchWidthMM), m.above(notchReachMM))
	if f.longestNotch(side) >= notchWidthMM {
		return "write " + size + ", or more"
	}
	var wide []string
	for i, s := range allSides {
		if f.longestNotch(s) >= notchWidthMM {
			wide = append(wide, [...]string{"n", "e", "s", "w"}[i])
		}
	}
	if len(wide) == 0 {
		return "none of its sides is as wide: take the notch out where the piece can be taken by its top, or make the pocket that wide"
	}
	return fmt.Sprintf("that side is not as wide: write `notch: %s` with %s, or more", wide[0], size)
}
