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
		if w == 0 && f.outline != nil {
			m.log.warn(at, "no-place-for-notch", fmt.Sprintf("has no place for a notch on its %s side: nowhere there is its outline straight enough, with foam in front of it; none is cut", sideWords[side]), f.otherSideHint())
			return
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
	wide := f.wideSides()
	if len(wide) == 0 {
		return "none of its sides is as wide: take the notch out where the piece can be taken by its top, or make the pocket that wide"
	}
	return fmt.Sprintf("that side is not as wide: write `notch: %s` with %s, or more", wide[0], size)
}

var sideWords = map[job.Side]string{job.North: "north", job.East: "east", job.South: "south", job.West: "west"}

// wideSides are the sides, as a job says them, that are wide enough for a finger.
func (f form) wideSides() (wide []string) {
	for _, s := range allSides {
		if f.longestNotch(s) >= notchWidthMM {
			wide = append(wide, sideWords[s][:1])
		}
	}
	return wide
}

// otherSideHint is what to do where a drawing has no place for a notch.
func (f form) otherSideHint() string {
	if wide := f.wideSides(); len(wide) > 0 {
		return fmt.Sprintf("write `notch: %s` on this pocket; it is said as the drawing lies, before it is turned", wide[0])
	}
	return "none of its sides has one: write `access: none` on this pocket where the piece can be taken by its top, or draw a hollow for a finger"
}
