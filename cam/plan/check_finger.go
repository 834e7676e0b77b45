package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/job"
)

// checkNotches looks at the notches of each entry of a tray's pockets, when all that is in the tray has its place.
func (m *maker) checkNotches(b *board) {
	for i, h := range b.holes {
		if i > 0 && b.holes[i-1].source == h.source {
			continue
		}
		p, at := h.source, h.at
		at.text = strings.TrimSuffix(at.text, " 1,1")
		if p.NotchWidth < 0 || p.NotchReach < 0 {
			m.log.fail(at, "negative-notch", "has a notch of "+m.size(p.NotchWidth.MM(), p.NotchReach.MM()), "give `notch_width` and `notch_reach` above 0")
			continue
		}
		tooWide := func(side job.Side) bool {
			return p.Notch&side != 0 && p.NotchWidth.MM() > h.form.longestNotch(side)
		}
		if k := slices.IndexFunc(allSides[:], tooWide); k >= 0 {
			takes := math.Max(h.form.longestNotch(allSides[k]), 0)
			hint := "it is cut no wider than the side; give a smaller `notch_width`"
			if takes < notchWidthMM {
				hint = "it is cut no wider than the side, and no finger gets in there; " + m.fingerHint(b, h, allSides[k])
			}
			m.log.warn(at, "notch-too-wide", fmt.Sprintf("has a notch of %s on a side that takes %s", m.length(p.NotchWidth), m.most(takes)), hint)
			continue
		}
		m.checkFinger(b, h, at)
	}
}

// checkFinger warns of a notch that no finger gets into.
func (m *maker) checkFinger(b *board, h *hole, at place) {
	f, p := h.form, h.source
	for _, side := range allSides {
		if p.Notch&side == 0 {
			continue
		}
		w, reach := f.notchSize(side, p.NotchWidth, p.NotchReach)
		if w >= notchWidthMM-m.slackMM() && reach >= notchReachMM-m.slackMM() {
			continue
		}
		if w == 0 && f.outline != nil {
			m.log.warn(at, "no-place-for-notch", fmt.Sprintf("has no place for a notch on its %s side: nowhere there is its outline straight enough, with foam in front of it; none is cut", sideWords[side]), m.otherSideHint(b, h))
			return
		}
		m.log.warn(at, "notch-too-small", fmt.Sprintf("has a notch %s wide that reaches %s beyond its side, and a finger needs %s and %s to get beside the piece",
			m.below(w), m.below(reach), m.above(notchWidthMM), m.above(notchReachMM)), m.fingerHint(b, h, side))
		return
	}
}

// fingerHint is what to do about a notch at a side that no finger gets into: what has room where the pocket is comes
// first, then what has it in a wider grid.
func (m *maker) fingerHint(b *board, h *hole, side job.Side) string {
	size := fmt.Sprintf("`notch_width: %s` and `notch_reach: %s`", m.above(notchWidthMM), m.above(notchReachMM))
	wide := m.fingerSides(h.form, h.source.Notch)
	asked, all := h.source.Asked, !slices.ContainsFunc(allSides[:], func(s job.Side) bool { return h.source.Notch&s != 0 && !slices.Contains(wide, s) })
	switch {
	case len(wide) == 0 && asked != "":
		return "none of its sides is as wide: " + accessNone + " where the piece can be taken by its top"
	case len(wide) == 0:
		return "none of its sides is as wide: take the notch out where the piece can be taken by its top, or make the pocket that wide"
	case asked != "" && all:
		return "ask for " + size + ", or more, " + asked
	}
	var ways []fingerWay
	if all {
		ways = append(ways, fingerWay{h.source.Notch, "write " + size, ""})
	}
	says := "that side is not as wide: write "
	if slices.Contains(wide, side) {
		says = "there is room for one at a side: write "
	}
	for _, s := range wide {
		ways = append(ways, fingerWay{s, fmt.Sprintf("%s`notch: %s` with %s", says, sideWords[s][:1], size), ""})
	}
	return m.firstWithRoom(b, h, ways)
}

// accessNone takes a notch out of a pocket on an arrangement's line.
const accessNone = "write `access: none`, in the place of its `notch`,"

// fingerWay is notches at some sides, and how a hint says them: what comes with them stands between.
type fingerWay struct {
	sides         job.Side
	says, closing string
}

// firstWithRoom says the first way that has room where the pocket is, or else in a wider grid.
func (m *maker) firstWithRoom(b *board, h *hole, ways []fingerWay) string {
	for _, wider := range [...]bool{false, true} {
		for _, w := range ways {
			if pitch, ok := m.roomForFinger(b, h, w.sides, wider); ok {
				return w.says + pitch + w.closing
			}
		}
	}
	without := "take the notch out"
	if h.source.Asked != "" { // the arranger would ask for it again
		without = accessNone
	}
	return "there is no room for a finger beside it: move it away from what is next to it, or " + without + " where the piece can be taken by its top"
}

var sideWords = map[job.Side]string{job.North: "north", job.East: "east", job.South: "south", job.West: "west"}

// wideSides are the sides that are wide enough for a finger.
func (f form) wideSides() (wide []job.Side) {
	for _, s := range allSides {
		if f.longestNotch(s) >= notchWidthMM {
			wide = append(wide, s)
		}
	}
	return wide
}

// fingerSides are the sides that are wide enough for a notch as it is said, those that a pocket asks for first.
func (m *maker) fingerSides(f form, asked job.Side) []job.Side {
	sides := slices.DeleteFunc(f.wideSides(), func(s job.Side) bool { return f.longestNotch(s) < m.typed(m.above(notchWidthMM)).MM() })
	slices.SortStableFunc(sides, func(s, t job.Side) int { return cmp.Compare(min(t&asked, 1), min(s&asked, 1)) })
	return sides
}

// otherSideHint is what to do where a drawing has no place for a notch.
func (m *maker) otherSideHint(b *board, h *hole) string {
	wide := h.form.wideSides()
	if len(wide) == 0 {
		return "none of its sides has one: write `access: none` on this pocket where the piece can be taken by its top, or draw a hollow for a finger"
	}
	own := ""
	if p := h.source; p.NotchWidth > 0 && p.NotchWidth.MM() < notchWidthMM || p.NotchReach > 0 && p.NotchReach.MM() < notchReachMM {
		own = fmt.Sprintf(" with `notch_width: %s` and `notch_reach: %s`", m.above(notchWidthMM), m.above(notchReachMM))
	}
	var ways []fingerWay
	for _, s := range wide {
		ways = append(ways, fingerWay{s, fmt.Sprintf("write `notch: %s`%s on this pocket", sideWords[s][:1], own), "; it is said as the drawing lies, before it is turned"})
	}
	return m.firstWithRoom(b, h, ways)
}
