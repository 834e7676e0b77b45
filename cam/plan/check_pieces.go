package plan

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

// pinchMM is how far a piece's corners may press into the rounding of a
// pocket's corners without a word. It is what a length of soft foam between 10 and
// 100 mm is reported to: ISO 1923, after its Chinese adoption GB/T 6342.
const pinchMM = 0.2

// proudMM is how far a piece may stand out of its pocket without a word; the
// sheet above gives that much. Starting value.
const proudMM = 0.5

// checkPieces holds every pocket against the piece that it is for.
func (m *maker) checkPieces(b *board) {
	for _, h := range b.holes {
		if h.piece == nil {
			h.Holds = 1
			m.checkCorners(b, h, seat{})
			continue
		}
		m.checkPiece(b, h)
	}
	m.tellDeep(b)
	m.checkAccess(b)
}

func (m *maker) checkPiece(b *board, h *hole) {
	if len(b.Layers) == 0 {
		return
	}
	foam := b.Layers[0].Foam
	fit, give := fitOf(b, h)
	s := h.seat
	if s.count() == 0 {
		m.log.fail(h.at, "piece-too-large",
			fmt.Sprintf("is %s and the piece %s is %s", m.size(h.form.length, h.form.width), h.For, m.measured(h.piece)),
			largerHint(h))
		return
	}
	h.Play, h.rest, h.beside = m.playOf(s, fit, give, foam), s.restOver(h.Packed), math.Max(s.playX, s.playY)
	h.Lies = Lying{How: s.how, HighMM: s.high, InMM: [2]float64{h.form.length, h.form.width}, PlayMM: [2]float64{s.playX, s.playY}, OutMM: -h.rest, PadMM: m.padUnder(b, h)}
	m.checkPlay(h, s, fit, foam)
	m.checkFineness(b, h, math.Min(s.playX, s.playY))
	m.checkProud(b, h, s)
	m.checkCorners(b, h, s)
}

// largerHint is what to do where a piece does not go in.
func largerHint(h *hole) string {
	if h.form.name == "outline" {
		return "make its drawing larger, or measure the piece again"
	}
	return "make it larger, or leave its size out: then it comes from the piece and the fit"
}

// seat is how pieces sit in a pocket that is so deep.
func (m *maker) seat(b *board, h *hole, depth units.Length) (seat, bool) {
	_, give := fitOf(b, h)
	return seatIn(h.piece, h.form, depth.MM(), give, math.Max(proudMM, h.plannedProud()), m.slackMM())
}

// keepsPieces reports whether no piece stands farther out of its pocket when a layer is
// only so thick, and every depth that is written still ends in the tray, where it may. A pocket that
// ends above the layer's new bottom is as deep as it was.
func (m *maker) keepsPieces(l stackLayer, thickness units.Length) bool {
	most := l.tray.Thickness() - (l.layer.Thickness - thickness)
	if m.wholeLayers() {
		most = l.layer.Top // what ends at a layer's underside ends inside one then
	}
	for _, h := range l.tray.holes {
		if h.source.Depth > 0 && !h.source.Through && h.Depth > most {
			return false
		}
		if h.piece == nil || h.Depth <= l.layer.Top+thickness {
			continue
		}
		now, ok := m.seat(l.tray, h, h.Depth)
		then, still := m.seat(l.tray, h, h.Depth-(l.layer.Thickness-thickness))
		if ok && (!still || then.layers < now.layers && h.piece.Pile > 0 || then.proud > math.Max(now.proud, proudMM)) {
			return false
		}
	}
	return true
}

// checkProud looks at the room above a piece in its pocket, or what of it stands out.
func (m *maker) checkProud(b *board, h *hole, s seat) {
	headroom := b.source.Headroom.MM()
	stands := fmt.Sprintf("is %s deep and the piece %s stands %s out of it", m.length(h.Depth), h.For, m.mm(s.proud))
	switch {
	case m.ProudTold || m.proudAsPlanned(b, h, s.proud):
	case s.proud > proudMM && h.Pinned && m.pressedOn(b, h, s.proud):
		m.log.fail(h.at, "piece-stands-proud", stands+", where the lid or the tray above presses on it: foam gives "+m.mm(proudMM),
			"it is pinned so: make it "+m.more(s.proud)+" deeper; or take its line out of the arrangement, and `arrange` finds its piece a place")
	case s.proud > proudMM:
		m.log.warn(h.at, "piece-stands-proud", stands, "make it deeper, or leave room for the piece in the tray above")
	case s.proud > m.slackMM():
		m.log.note(h.at, "piece-just-proud", stands+": foam above it gives that much", "nothing to do, or make it deeper")
	case headroom > 0 && h.rest < headroom-m.slackMM():
		m.log.warn(h.at, "headroom-too-small", fmt.Sprintf("leaves %s above the piece %s, less than the headroom of %s", m.below(h.rest), h.For, m.length(b.source.Headroom)),
			"make it "+m.more(headroom-h.rest)+" deeper, or ask for less `headroom`")
	}
}

// measured is the piece's size in words.
func (m *maker) measured(p *job.Piece) string {
	return m.length(p.Length) + " x " + m.length(p.Width) + " x " + m.length(p.Height)
}

// fitOf is the pocket's fit, and how much smaller than the piece the tightest
// fit of the foam lets a pocket be; mm.
func fitOf(b *board, h *hole) (fit, give float64) {
	fits := b.Layers[0].Foam.Fits
	for _, f := range fits {
		give = math.Max(give, -f.Value)
	}
	return fits[fitName(b.source, h.source)].Value, give
}

// looseBy is by how much a seat's play is more than what the foam's profile calls
// loose and more than the fit; -Inf where neither says what is too much.
func looseBy(s seat, fit float64, foam profiles.Foam) float64 {
	if foam.LooseMM.Value <= 0 && fit <= 0 {
		return math.Inf(-1)
	}
	over := func(play float64, n int) float64 { return play - math.Max(float64(n)*fit, foam.LooseMM.Value) }
	return math.Max(over(s.playX, s.along), over(s.playY, s.across))
}

// playOf is how far the pocket may be off: below 0 where its piece rattles as planned. One that stands
// proud as planned, which may be meant so and is told, has no bound.
func (m *maker) playOf(s seat, fit, give float64, foam profiles.Foam) Play {
	p := Play{Known: true, TighterMM: math.Min(s.playX, s.playY) + give, LooserMM: -looseBy(s, fit, foam), HigherMM: proudMM - s.proud}
	if p.LooserMM < 0 && -p.LooserMM <= m.slackMM() {
		p.LooserMM = 0
	}
	if p.HigherMM < 0 || m.ProudTold {
		p.HigherMM = math.Inf(1)
	}
	return p
}

// checkPlay warns of a pocket that lets its piece rattle.
func (m *maker) checkPlay(h *hole, s seat, fit float64, foam profiles.Foam) {
	if looseBy(s, fit, foam) <= m.slackMM() {
		return
	}
	m.log.warn(h.at, "pocket-loose",
		fmt.Sprintf("is %s: %s of play around %s, which is loose in %s from %s on",
			m.size(h.form.length, h.form.width), m.mm(math.Max(s.playX, s.playY)), m.contents(h, s), foam.ID, m.mm(math.Max(fit, foam.LooseMM.Value))),
		"make it smaller, or leave its size out: then it comes from the piece and the fit")
}

// contents says what sits in the pocket.
func (m *maker) contents(h *hole, s seat) string {
	text := h.For + " (" + m.measured(h.piece) + ")"
	if n := min(s.count(), h.piece.Count); n > 1 { // a larger pocket has room for more than there are
		text = fmt.Sprintf("%d of %s", n, text)
	}
	return text
}

// checkCorners warns of corners that the tool leaves round where a sharp one
// was asked for, unless the piece goes in all the same.
func (m *maker) checkCorners(b *board, h *hole, s seat) {
	if h.cut == nil || !h.cut.reached.corners || !m.Means.RoundCorners() {
		return
	}
	r := cornerRadius(h.cut.recipes)
	if h.form.name == "outline" && h.piece != nil {
		m.noteDrawnCorners(h, r)
		return
	}
	if h.piece != nil && (h.form.name != "rect" || h.piece.Shape == job.Round || pinch(r, s.playX/2, s.playY/2) <= pinchMM) {
		return
	}
	m.log.warn(h.at, "round-corners",
		fmt.Sprintf("keeps corners of radius %s, because the tool %s is round", m.mm(r), h.cut.tool.ID),
		m.roundHint(b, h, r))
}

// noteDrawnCorners tells what the tool leaves of a drawing's corners: whether the piece fills them nobody knows.
func (m *maker) noteDrawnCorners(h *hole, r float64) {
	most, n := 0.0, 0
	for _, c := range sharpCorners(h.form.outline.shape, r) {
		if left := c.left(r); left > pinchMM {
			most, n = math.Max(most, left), n+1
		}
	}
	if n == 0 {
		return
	}
	m.log.note(h.at, "round-corners",
		fmt.Sprintf("keeps %s of its drawing round, because the tool %s is: up to %s stays there", finding.Counted(n, "corner"), h.cut.tool.ID, m.mm(most)),
		"where the piece fills them, draw them so much further out")
}

// roundHint is what to do about round corners. A corner goes with a size alone: a pocket
// with its piece's has none, and one that was arranged has its size in the arrangement.
func (m *maker) roundHint(b *board, h *hole, r float64) string {
	if h.source.Asked != "" {
		return "`relief: dogbone` or `relief: tbone` " + h.source.Asked + " frees them"
	}
	free := m.reliefHint(b, r, "on the pocket or on its tray")
	if h.source.Shape == job.FromPiece {
		return free
	}
	return free + fmt.Sprintf("; `corner: %s` beside the pocket's `size` says that they may be round", m.corner(r))
}

// corner is a radius rounded up.
func (m *maker) corner(r float64) string { return m.up(r, 0.1) }
