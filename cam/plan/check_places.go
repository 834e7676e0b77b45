package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// checkPlaces looks for pockets outside the tray, and for less foam between a
// pocket and the rim than the job asks for. The rim is the tray's own size,
// before ease: ease is pressed together in the case.
func (m *maker) checkPlaces(b *board) {
	var thin worst
	var tall slender
	rim, inner := b.rim(), b.box().Grow(-b.source.Edge.MM())
	for _, h := range b.holes {
		m.checkPlace(b, h, rim, inner, &thin, &tall)
	}
	tall.report(m, "edge", "leaves an edge", ", or the pocket")
	if thin.count > 0 {
		thin.at.group = [2]int{}
		m.log.warn(thin.at, "edge-thin-for-foam",
			fmt.Sprintf("leaves %s to the rim, less than the %s that %s should keep%s", m.below(thin.distance), m.more(thin.least), thin.foam, thin.others()),
			thin.at.wants("edge", m.more(thin.least), "give the tray an `edge` of "+m.more(thin.least)+" or more and move its pockets"))
	}
}

func (m *maker) checkPlace(b *board, h *hole, rim geometry.Contour, inner geometry.Box, thin *worst, tall *slender) {
	if h.outside {
		return // in an ear
	}
	box := h.Design.Bounds()
	if out, side := outside(box, b.box()); out > m.slackMM() {
		h.outside = true
		m.log.fail(h.at, "pocket-outside-tray", fmt.Sprintf("reaches %s beyond the %s side of the tray", m.mm(out), side),
			fmt.Sprintf("move it, or make the tray larger than %s", m.size(b.Length.MM(), b.Width.MM())))
		return
	}
	if m.clearOfRim(b, box, b.edgeMM(h.Depth)) {
		return
	}
	foam, least := strictest(b, h.Depth, leastEdge)
	distance := m.toRim(h.Design, rim)
	h.outside = distance < 0
	switch {
	case m.tooNearRim(b, distance, h.at, "pocket-outside-tray"):
	case distance < least-m.slackMM():
		thin.add(distance, least, foam, h.at)
	default:
		tall.check(m, b, distance, h.Depth, h.at)
	}
}

// tooNearRim finds what reaches beyond the rim, by that rule, or is nearer to it
// than the tray's edge allows.
func (m *maker) tooNearRim(b *board, distance float64, at place, beyond string) bool {
	edge := b.source.Edge.MM()
	switch {
	case distance < 0:
		m.log.fail(at, beyond, "touches the tray's rim or reaches beyond it", "move it inward")
	case distance < edge-m.slackMM():
		m.log.fail(at, "edge-too-thin", fmt.Sprintf("leaves %s of foam to the rim, less than the edge of %s", m.below(distance), m.length(b.source.Edge)),
			"move it "+m.more(edge-distance)+" inward, or ask for less `edge`")
	default:
		return false
	}
	return true
}

// outside is how far a box reaches beyond another, and on which side.
func outside(box, tray geometry.Box) (float64, string) {
	over := [...]float64{tray.Min.X - box.Min.X, box.Max.X - tray.Max.X, tray.Min.Y - box.Min.Y, box.Max.Y - tray.Max.Y}
	names := [...]string{"left", "right", "lower", "upper"}
	side := 0
	for i := range over {
		if over[i] > over[side] {
			side = i
		}
	}
	return over[side], names[side]
}

// clearOfRim tells without measuring, for a box well inside. Corners count
// only where their radius is larger than the distance asked for.
func (m *maker) clearOfRim(b *board, box geometry.Box, edge float64) bool {
	out, _ := outside(box, b.box().Grow(-edge))
	return out <= 0 && slices.Max(b.corners[:]) <= edge
}

// keepsEdge reports whether a hole of this shape leaves an edge so thick.
func (m *maker) keepsEdge(b *board, design geometry.Region, edge float64) bool {
	return m.clearOfRim(b, design.Bounds(), edge) || m.toRim(design, b.rim()) >= edge-m.slackMM()
}

// toRim is the least distance from a hole to the rim, -1 where it touches or crosses it.
func (m *maker) toRim(design geometry.Region, rim geometry.Contour) float64 {
	least := -1.0
	for _, c := range design.Contours() {
		d, _, _ := geometry.Distance(c, rim)
		if d <= m.slackMM() || rim.Winding(c.Vertices()[0].Point) == 0 {
			return -1
		}
		if least < 0 || d < least {
			least = d
		}
	}
	return least
}

// strictest is the foam, among the layers that a pocket of this depth cuts,
// that asks for the most.
func strictest(b *board, depth units.Length, ask func(profiles.Foam) float64) (string, float64) {
	id, most := "", 0.0
	for _, l := range b.Layers {
		if v := ask(l.Foam); l.Top < depth && v > most {
			id, most = l.Foam.ID, v
		}
	}
	return id, most
}

// worst keeps the least of many distances that are below what a foam should have.
type worst struct {
	count           int
	distance, least float64
	foam            string
	at              place
}

func (w *worst) add(distance, least float64, foam string, at place) {
	if w.count++; w.count == 1 || distance < w.distance {
		w.distance, w.least, w.foam, w.at = distance, least, foam, at
	}
}

func (w *worst) others() string {
	if w.count == 1 {
		return ""
	}
	return "; the same at " + finding.Counted(w.count-1, "more place") + " of this tray"
}

// checkWalls measures the foam between pockets, from contour to contour.
// Pockets that overlap are one, so there is no wall between them.
func (m *maker) checkWalls(b *board) {
	for _, pair := range b.meet {
		m.reportMeeting(b, b.holes[pair[0]], b.holes[pair[1]])
	}
	limit := b.source.Wall.MM()
	var designs []geometry.Region
	for _, h := range b.holes {
		limit = max(limit, b.wallMM(h.Depth))
		designs = append(designs, h.Design)
	}
	gaps, owner := b.gaps(designs, limit)
	// The worst of a grid comes first, the others are folded into it.
	slices.SortStableFunc(gaps, func(g, h geometry.Gap) int { return cmp.Compare(g.Distance, h.Distance) })
	m.reportWalls(b, gaps, owner)
}

// gaps are the walls thinner than a limit between the tray's holes, of these shapes, and to which hole each contour belongs.
func (b *board) gaps(designs []geometry.Region, limit float64) (gaps []geometry.Gap, owner []int) {
	var contours []geometry.Contour
	for i, r := range designs {
		for _, c := range r.Contours() {
			contours, owner = append(contours, c), append(owner, i)
		}
	}
	joined := b.joined()
	return slices.DeleteFunc(geometry.Gaps(contours, limit), func(g geometry.Gap) bool {
		return joined.find(owner[g.I]) == joined.find(owner[g.J])
	}), owner
}

// reportMeeting says that two pockets are one. Where they hold pieces, those may
// touch on their way, which is what a tray is there to prevent.
func (m *maker) reportMeeting(b *board, g, h *hole) {
	if g.outside || h.outside || g.Opening || h.Opening {
		return // that comes first, or it is meant
	}
	at := h.at
	at.group[1] = g.at.group[0]
	rule, how := "pockets-joined", "overlaps "+g.Name+": they become one pocket"
	if g.Depth != h.Depth {
		rule, how = "pockets-stepped", fmt.Sprintf("overlaps %s: they become a step, %s and %s deep", g.Name, m.length(h.Depth), m.length(g.Depth))
	}
	if m.inOnePlace(g, h) {
		m.log.fail(at, "pieces-in-one-place", fmt.Sprintf("overlaps %s so far that %s and %s cannot both lie there", g.Name, g.For, h.For), "move one of them, or take it out")
		return
	}
	if g.For != "" && h.For != "" {
		m.log.warn(at, rule, how+", with nothing between their pieces", "move one of them, or write one pocket for both")
		return
	}
	m.log.note(at, rule, how, "nothing to do if that is meant")
}

// inOnePlace reports whether the pieces of two pockets that are one would lie in each other wherever each of them lies
// in its own: boxes, rounds, or one of each. Those in a step may lie on each other.
func (m *maker) inOnePlace(g, h *hole) bool {
	if g.seat.count() == 0 || h.seat.count() == 0 || g.form.outline != nil || h.form.outline != nil {
		return false // that is told of each, or nothing lies there
	}
	if math.Max(g.seat.rest, h.seat.rest) >= math.Min(g.Depth.MM(), h.Depth.MM())-m.slackMM() {
		return false // one lies all above the other
	}
	apart := g.Box.Min.Add(g.Box.Max).Sub(h.Box.Min).Sub(h.Box.Max).Scale(0.5)
	length, width, radius := 0.0, 0.0, -m.slackMM() // of boxes together, and of rounds, halved, less what each may be moved
	for _, p := range [...]*hole{g, h} {
		switch {
		case p.form.name != "round":
			length += p.form.length/2 - p.seat.playX
			width += p.form.width/2 - p.seat.playY
		case p.piece.Shape == job.Round:
			radius += p.form.length/2 - p.seat.playX
		default:
			return false // where a box lies in a round is not known
		}
	}
	x, y := math.Abs(apart.X)-length, math.Abs(apart.Y)-width
	if g.form.name != "round" && h.form.name != "round" {
		return math.Max(x, y) < radius
	}
	return math.Hypot(math.Max(0, x), math.Max(0, y)) < radius
}

func (m *maker) reportWalls(b *board, gaps []geometry.Gap, owner []int) {
	var thin worst
	var tall slender
	wall := b.source.Wall.MM()
	for _, g := range gaps {
		first, second := b.holes[owner[g.I]], b.holes[owner[g.J]]
		at := second.at
		at.group[1], at.asked = first.at.group[0], cmp.Or(at.asked, first.at.asked)
		foam, least := strictest(b, min(first.Depth, second.Depth), leastWall)
		switch {
		case g.Distance < wall-m.slackMM():
			m.log.fail(at, "wall-too-thin",
				fmt.Sprintf("leaves a wall of %s to %s, less than %s", m.below(g.Distance), first.Name, m.length(b.source.Wall)),
				"move one of them "+m.more(wall-g.Distance)+" away, or ask for less `wall`")
		case g.Distance < least-m.slackMM():
			thin.add(g.Distance, least, foam, at.with("and "+first.Name))
		default:
			tall.check(m, b, g.Distance, min(first.Depth, second.Depth), at.with("and "+first.Name))
		}
	}
	tall.report(m, "wall", "leave a wall", ", or one of the two pockets")
	if thin.count > 0 {
		thin.at.group = [2]int{}
		m.log.warn(thin.at, "wall-thin-for-foam",
			fmt.Sprintf("leave a wall of %s, less than the %s that %s should keep%s", m.below(thin.distance), m.more(thin.least), thin.foam, thin.others()),
			thin.at.wants("wall", m.more(thin.least), "give the tray a `wall` of "+m.more(thin.least)+" or more and move its pockets apart"))
	}
}
