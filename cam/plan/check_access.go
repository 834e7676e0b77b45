package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
)

// How fingers get at a piece. All judged, no source, but a finger's breadth (shape_notch.go): an index
// finger is about 60 mm long, of small hands (from memory, after a standard text of ergonomics), and its
// last 10 mm have to lie beside the piece.
const (
	reachMM = 50.0 // from the tray's top down to the piece's
	HoldMM  = 5.0  // of the piece that has to be beside an opening
	liftMM  = 3.0  // that it has to stand out, to be held by that
	// UsualProudMM is how far one stands out that is to be lifted by that, where the job does not say.
	UsualProudMM = 5.0
)

// checkAccess finds how fingers get at the pieces of a tray, and notes those that they do not get at.
func (m *maker) checkAccess(b *board) {
	open := b.openings(m.slackMM())
	var shut []*hole
	for i, h := range b.holes {
		h.Access = m.wayIn(b, h, open[i])
		if m.tellSunk(b, h) {
			continue
		}
		if h.Access == "none" && h.piece != nil && h.Holds > 0 && h.source.Access != job.NoAccess {
			shut = append(shut, h)
		}
	}
	if len(shut) == 0 || m.ProudTold {
		return
	}
	var names []string
	for _, h := range shut {
		if !slices.Contains(names, h.For) {
			names = append(names, h.For)
		}
	}
	hint := "write `access: none`, on a pocket or on its tray, where pieces are taken by their tops; or a `notch`, where there is room for it"
	if shut[0].source.Asked != "" {
		write := "`access: none`"
		if slices.ContainsFunc(shut, func(h *hole) bool { return h.source.Notch != 0 }) {
			write += ", in the place of a `notch`,"
		}
		hint = m.whyShut(shut) + "; where these are taken by their tops, write " + write + " on their pockets in arrangement.yaml: the others keep their ways in"
	}
	m.log.note(b.at, "no-way-in", fmt.Sprintf("no finger gets beside the pieces in %s: %s", finding.Counted(len(shut), "pocket"), strings.Join(names, ", ")), hint)
}

// whyShut says why what was arranged has no way in, the pieces of one reason together.
func (m *maker) whyShut(shut []*hole) string {
	var reasons [4][]string
	for _, h := range shut {
		why := 3
		switch wide := len(h.form.wideSides()) > 0; {
		case h.rest > reachMM:
			why = 0
		case !wide && h.form.outline != nil:
			why = 1
		case !wide:
			why = 2
		}
		if !slices.Contains(reasons[why], h.For) {
			reasons[why] = append(reasons[why], h.For)
		}
	}
	var told []string
	for why, of := range reasons {
		if len(of) > 0 {
			told = append(told, fmt.Sprintf([...]string{
				"%s: more than " + m.mm(reachMM) + " below the tray's top", "%s: no side of the outline has a place for a notch",
				"%s: no side is wide enough for a finger", "%s: no room was found for a way in, or the job asks for another one",
			}[why], strings.Join(of, ", ")))
		}
	}
	return strings.Join(told, "; ")
}

// wayIn is how fingers get at what is in a hole. Open says that it meets an opening.
func (m *maker) wayIn(b *board, h *hole, open *hole) string {
	if h.piece == nil || h.Holds == 0 {
		if h.source.Notch != 0 {
			return "notch"
		}
		return "none"
	}
	deep := h.rest + HoldMM // an opening has to be
	switch {
	case h.rest > reachMM:
		return "none"
	case m.admits(h):
		return "notch"
	case open != nil && open.Depth.MM() >= deep, h.beside >= notchReachMM:
		return "gap"
	case -h.rest >= liftMM-m.slackMM() && b.roomBeside(h):
		return "lift"
	}
	return "none"
}

// admits reports whether one of the hole's notches lets a finger in.
func (m *maker) admits(h *hole) bool {
	p := h.source
	return slices.ContainsFunc(allSides[:], func(side job.Side) bool {
		w, reach := h.form.notchSize(side, p.NotchWidth, p.NotchReach)
		return p.Notch&side != 0 && w >= notchWidthMM-m.slackMM() && reach >= notchReachMM-m.slackMM()
	})
}

// openings are, for each hole, the deepest pocket without a piece that it meets and that a finger goes into.
func (b *board) openings(slack float64) map[int]*hole {
	open := map[int]*hole{}
	note := func(i, by int) {
		g := b.holes[by]
		box := g.Box
		if g.For != "" || g.Dowel > 0 || math.Max(box.Width(), box.Height()) < notchWidthMM-slack || math.Min(box.Width(), box.Height()) < notchReachMM-slack {
			return
		}
		if known := open[i]; known == nil || known.Depth < g.Depth {
			open[i] = g
		}
	}
	for _, pair := range b.meet {
		note(pair[0], pair[1])
		note(pair[1], pair[0])
	}
	return open
}

// roomBeside reports whether beside a piece that stands out there is room for a finger on one side: no other that
// does, and not the wall of the case.
func (b *board) roomBeside(h *hole) bool {
	for _, side := range [...]geometry.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		beside := h.Box
		beside.Min, beside.Max = beside.Min.Add(side.Scale(notchReachMM)), beside.Max.Add(side.Scale(notchReachMM))
		if out, _ := outside(beside, b.box()); out > 0 {
			continue
		}
		if !slices.ContainsFunc(b.holes, func(g *hole) bool {
			return g != h && g.piece != nil && -g.rest >= liftMM && g.Box.Min.X < beside.Max.X && beside.Min.X < g.Box.Max.X && g.Box.Min.Y < beside.Max.Y && beside.Min.Y < g.Box.Max.Y
		}) {
			return true
		}
	}
	return false
}

// AirMM is how much air there is above a tray in every case that stacks it: what the case has left above the
// uppermost, and none above the others; all of it where no case does.
func AirMM(j *job.Job, t *job.Tray) float64 {
	air := math.Inf(1)
	for _, c := range j.Cases {
		if !slices.Contains(c.Stack, t.ID) {
			continue
		}
		room := 0.0
		if c.Stack[0] == t.ID && !slices.Contains(c.Stack[1:], t.ID) {
			room = c.Inside.Height.MM() - heightOf(j, c.Stack)
		}
		air = math.Min(air, room)
	}
	return air
}

// pressedOn reports whether in some case a lid or a tray above presses on what stands so far out of a hole, by more than
// foam gives: where it lies uppermost what the case has left above is less, and elsewhere there is no hole without a piece through
// all of the tray above it.
func (m *maker) pressedOn(b *board, h *hole, out float64) bool {
	byID := m.boardsByID()
	for _, c := range m.Job.Cases {
		for i, id := range c.Stack {
			switch {
			case id != b.source.ID:
			case i == 0 && out > c.Inside.Height.MM()-heightOf(m.Job, c.Stack)+proudMM:
				return true
			case i > 0 && !slices.ContainsFunc(byID[c.Stack[i-1]], func(above *board) bool { return above.Half == b.Half && above.freeOver(h.Box) }):
				return true
			}
		}
	}
	return false
}

// freeOver reports whether a box lies under a hole through the tray that holds no piece.
func (b *board) freeOver(under geometry.Box) bool {
	return slices.ContainsFunc(b.holes, func(g *hole) bool {
		return g.Through && g.piece == nil && g.form.name == "rect" && g.source.Turn == 0 && g.Box.Grow(-g.form.corner).Union(under) == g.Box.Grow(-g.form.corner)
	})
}

// heightOf is how high trays are together, mm.
func heightOf(j *job.Job, stack []string) float64 {
	sum := 0.0
	for _, id := range stack {
		for _, t := range j.Trays {
			for _, l := range t.Layers {
				if t.ID == id {
					sum += l.Real().MM()
				}
			}
		}
	}
	return sum
}

// proudAsPlanned reports whether a piece stands out as far as the job wants it to, under air.
func (m *maker) proudAsPlanned(b *board, h *hole, proud float64) bool {
	return h.source.Access == job.LiftAccess && proud <= h.plannedProud()+m.slackMM() && proud <= AirMM(m.Job, b.source)+m.slackMM()
}

// plannedProud is how far the job wants a piece to stand out, mm.
func (h *hole) plannedProud() float64 {
	switch {
	case h.source.Access != job.LiftAccess:
		return 0
	case h.source.Proud > 0:
		return h.source.Proud.MM()
	}
	return UsualProudMM
}

// tellSunk tells of a piece that is to stand out of a pocket of the job's own, and does not, with the depth that it would
// stand out of; nothing where its machine could not end there, or something above or beside it were in the way.
func (m *maker) tellSunk(b *board, h *hole) bool {
	if h.source.Access != job.LiftAccess || h.source.Asked != "" || h.piece == nil || h.Holds == 0 || m.ProudTold || -h.rest >= liftMM-m.slackMM() {
		return false
	}
	lies := m.mm(math.Max(0, h.rest)) + " below the tray's top"
	if h.rest < 0 {
		lies = m.below(-h.rest) + " above the tray's top, and a finger needs " + m.more(liftMM)
	}
	hint := "ask for another `access`"
	if depth, out, ok := m.lifting(b, h); ok {
		write := "`depth: " + m.more(depth) + "`"
		if h.plannedProud() < out {
			write += " and `proud: " + m.above(out) + "`"
		}
		hint = fmt.Sprintf("write %s, and it stands out by %s; or %s", write, m.above(out), hint)
	}
	m.log.warn(h.at, "does-not-stand-out", fmt.Sprintf("is %s deep, and the piece %s, which is to stand out of it, lies %s", m.length(h.Depth), h.For, lies), hint)
	return true
}

// lifting is the depth of a pocket that its piece stands out of as far as it is to, and so far that it is held by that; mm.
func (m *maker) lifting(b *board, h *hole) (depth, out float64, ok bool) {
	const lost = 0.03 // more than a typed depth is rounded by
	out = math.Max(h.plannedProud(), liftMM+lost)
	if m.wholeLayers() || out > AirMM(m.Job, b.source) || !b.roomBeside(h) {
		return 0, 0, false
	}
	_, give := fitOf(b, h)
	depth = h.Depth.MM() - h.rest - out
	for range 4 { // less deep, it may lie in another pose and in fewer layers
		s, fits := seatIn(h.piece, h.form, depth, give, out, m.slackMM())
		if !fits || depth <= 0 {
			return 0, 0, false
		}
		if math.Abs(s.rest+out) < m.slackMM() {
			return depth, out, true
		}
		depth -= s.rest + out
	}
	return 0, 0, false
}
