package plan

import (
	"fmt"
	"math"

	"traywright/cam/job"
	"traywright/geometry"
)

// checkMarks holds labels and emblems against the rim, the pockets and each
// other: they keep the edge and the wall as pockets do.
func (m *maker) checkMarks(b *board) {
	rim := b.rim()
	for _, k := range b.marks {
		m.checkRim(b, k, rim)
	}
	for i, k := range b.marks {
		if k.outside {
			continue
		}
		m.checkPockets(b, k)
		for _, other := range b.marks[:i] {
			if !other.outside {
				m.checkPair(b, other, k)
			}
		}
	}
}

func (m *maker) checkRim(b *board, k *mark, rim geometry.Contour) {
	if out, side := outside(k.Box, b.box()); out > m.slackMM() {
		k.outside = true
		m.log.fail(k.at, "mark-outside-tray", fmt.Sprintf("reaches %s beyond the %s side of the tray", m.mm(out), side),
			fmt.Sprintf("move it or make it smaller: it takes %s", m.size(k.Box.Width(), k.Box.Height())))
		return
	}
	foam, least := "", 0.0
	if k.Make == job.Cut {
		foam, least = strictest(b, k.Depth, leastEdge)
	}
	if m.clearOfRim(b, k.Box, max(b.source.Edge.MM(), least)) {
		return
	}
	distance := m.markToRim(k, rim)
	k.outside = distance < 0
	if !m.tooNearRim(b, distance, k.at, "mark-outside-tray") && distance < least-m.slackMM() {
		m.log.warn(k.at, "edge-thin-for-foam", fmt.Sprintf("leaves %s to the rim, less than the %s that %s should keep", m.below(distance), m.more(least), foam),
			"move it "+m.more(least-distance)+" inward")
	}
}

// markToRim is the least foam between a mark and the rim, below 0 where it
// crosses it.
func (m *maker) markToRim(k *mark, rim geometry.Contour) float64 {
	least := math.Inf(1)
	for _, c := range k.contours {
		d, _, _ := geometry.Distance(c, rim)
		if rim.Winding(c.Vertices()[0].Point) == 0 {
			return -d - m.slackMM()
		}
		least = min(least, d-k.reachMM)
	}
	return least
}

// checkPockets finds the pocket that a mark comes nearest to.
func (m *maker) checkPockets(b *board, k *mark) {
	wall := b.source.Wall.MM()
	worst, nearest := wall-m.slackMM(), (*hole)(nil)
	for _, h := range b.holes {
		if h.outside || !touch(k.Box.Grow(wall), h.Design.Bounds()) {
			continue
		}
		if d := k.toRegion(h.Design); d < worst {
			worst, nearest = d, h
		}
	}
	switch {
	case nearest != nil && worst <= 0:
		m.log.fail(k.at, "mark-on-pocket", "lies over "+nearest.Name+", where there is no foam to take it", "move one of them, or make the mark smaller")
	case nearest != nil:
		m.log.fail(k.at, "wall-too-thin", fmt.Sprintf("leaves %s of foam to %s, less than the wall of %s", m.below(worst), nearest.Name, m.length(b.source.Wall)),
			"move one of them "+m.more(wall-worst)+" away, or ask for less `wall`")
	default:
		m.checkFoamWall(b, k)
	}
}

// checkFoamWall warns of a wall, between what is cut and a pocket, that the job
// allows and the foam does not hold.
func (m *maker) checkFoamWall(b *board, k *mark) {
	if k.Make != job.Cut {
		return
	}
	for _, h := range b.holes {
		foam, least := strictest(b, min(k.Depth, h.Depth), leastWall)
		if least <= b.source.Wall.MM() || h.outside || !touch(k.Box.Grow(least), h.Design.Bounds()) {
			continue
		}
		if d := k.toRegion(h.Design); d < least-m.slackMM() {
			m.log.warn(k.at, "wall-thin-for-foam", fmt.Sprintf("leaves %s to %s, less than the %s that %s should keep", m.below(d), h.Name, m.more(least), foam),
				"move one of them "+m.more(least-d)+" away")
			return
		}
	}
}

// toRegion is the least foam between the mark and a region; 0 or less where
// they meet or one lies in the other.
func (k *mark) toRegion(r geometry.Region) float64 {
	least := math.Inf(1)
	for _, c := range k.contours {
		if r.Contains(c.Vertices()[0].Point) {
			return -1
		}
		for _, d := range r.Contours() {
			distance, _, _ := geometry.Distance(c, d)
			least = min(least, distance-k.reachMM)
		}
	}
	for _, d := range r.Contours() {
		if k.Design.Contains(d.Vertices()[0].Point) {
			return -1
		}
	}
	return least
}

// checkPair finds two marks on one another. Between two that are cut the wall
// has to stay as well.
func (m *maker) checkPair(b *board, first, second *mark) {
	wall := 0.0
	if first.Make == job.Cut && second.Make == job.Cut {
		wall = b.source.Wall.MM()
	}
	if !touch(first.Box.Grow(wall), second.Box) {
		return
	}
	d := second.toMark(first)
	switch {
	case d <= 0:
		m.log.fail(second.at, "mark-on-mark", "lies over "+first.Name, "move one of them")
	case d < wall-m.slackMM():
		m.log.fail(second.at, "wall-too-thin", fmt.Sprintf("leaves %s of foam to %s, less than the wall of %s", m.below(d), first.Name, m.length(b.source.Wall)),
			"move one of them "+m.more(wall-d)+" away, or ask for less `wall`")
	}
}

// toMark is the least distance between two marks.
func (k *mark) toMark(other *mark) float64 {
	if !other.Design.Empty() {
		return k.toRegion(other.Design) - other.reachMM
	}
	least := math.Inf(1)
	for _, c := range k.contours {
		for _, d := range other.contours {
			if k.Design.Contains(d.Vertices()[0].Point) {
				return -1
			}
			distance, _, _ := geometry.Distance(c, d)
			least = min(least, distance-k.reachMM-other.reachMM)
		}
	}
	return least
}

// checkLabels finds trays of one case that are labelled alike.
func (m *maker) checkLabels(groups []group) {
	for _, g := range groups {
		seen := map[string]*board{}
		for _, b := range g.boards {
			key := job.TextKey(b.Label)
			first := seen[key]
			switch {
			case key == "":
			case first == nil:
				seen[key] = b
			case first.source != b.source:
				m.log.warn(b.at, "label-twice", fmt.Sprintf("is labelled %q like the tray %s%s", clipped(b.Label), first.ID, inCase(g)),
					"put {tray} into the label, or give each a `label` of its own")
			}
		}
	}
}

func inCase(g group) string {
	if g.name == "" {
		return ""
	}
	return " in case " + g.name
}
