package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// group is trays that travel together: those of one case, or, in a job
// without cases, all of them.
type group struct {
	name   string // of the case, "" for none
	boards []*board
}

// packed is how many of a piece a group's pockets take.
type packed struct{ pockets, room int }

func (g group) packed() map[string]packed {
	count := map[string]packed{}
	for _, b := range g.boards {
		for _, h := range b.holes {
			c := count[h.For]
			c.pockets++
			c.room += max(h.Holds, 1) // one that is refused as too small is there, and is not missing
			count[h.For] = c
		}
	}
	return count
}

// pinnedFor names the pinned pockets of a piece, which stay whatever its count is; "" for none.
func (g group) pinnedFor(id string) string {
	var lines []string
	for _, b := range g.boards {
		for _, h := range b.holes {
			if at := h.Position.String(); h.For == id && h.Pinned && !slices.Contains(lines, at) {
				lines = append(lines, at)
			}
		}
	}
	if len(lines) == 0 {
		return ""
	}
	return ", one that is pinned first (" + strings.Join(lines, ", ") + "): `arrange` leaves it there"
}

// checkCounts compares pockets and pieces, case by case. A piece with no
// pocket in a case belongs to another one; a piece with no pocket anywhere is
// said once. As long as the job leaves places open it is too early for either.
func (m *maker) checkCounts(groups []group) {
	if m.Job.Open() {
		return
	}
	placed := map[string]bool{}
	for _, b := range m.boards {
		for _, p := range b.source.Pockets {
			placed[p.For] = true // be it refused: that is told where it stands
		}
	}
	for _, g := range groups {
		count := g.packed()
		for i := range m.Job.Roster {
			p := &m.Job.Roster[i]
			if c, ok := count[p.ID]; ok {
				placed[p.ID] = true
				m.checkCount(g, p, c)
			}
		}
	}
	m.checkForgotten(placed)
}

// checkForgotten reports pieces with no pocket anywhere. A whole group without
// pockets is more likely left to another job than forgotten: that is one note.
func (m *maker) checkForgotten(placed map[string]bool) {
	arranged := slices.ContainsFunc(m.Job.Trays, func(t job.Tray) bool {
		return t.Chosen || slices.ContainsFunc(t.Pockets, func(p job.Pocket) bool { return p.Asked != "" })
	})
	how := func(id string) string {
		if arranged {
			return fmt.Sprintf("name `%s` in the `holds` of a tray or a case, and arrange again", id)
		}
		return fmt.Sprintf("add a pocket with `for: %s`", id)
	}
	begun := map[string]bool{"": true}
	for _, p := range m.Job.Roster {
		begun[p.Group] = begun[p.Group] || placed[p.ID]
	}
	told := map[string]bool{}
	for _, p := range m.Job.Roster {
		switch {
		case placed[p.ID] || p.Count == 0:
		case begun[p.Group]:
			m.log.warn(place{position: p.Position, text: "piece " + p.ID}, "piece-without-pocket",
				"has no pocket in any tray", how(p.ID))
		case !told[p.Group]:
			told[p.Group] = true
			hint := "nothing to do if another job carries them"
			if arranged {
				hint += "; else " + how(p.Group)
			}
			m.log.note(place{position: p.Position, text: "group " + p.Group}, "group-without-pockets",
				"no piece of the group has a pocket in this job: "+m.inGroup(p.Group), hint)
		}
	}
}

// inGroup names the pieces of a group.
func (m *maker) inGroup(group string) string {
	var ids []string
	for _, p := range m.Job.Roster {
		if p.Group == group {
			ids = append(ids, p.ID)
		}
	}
	return strings.Join(ids, ", ")
}

func (m *maker) checkCount(g group, p *job.Piece, c packed) {
	at := place{position: p.Position, text: "piece " + p.ID}
	in, room := "", ""
	if p.Pile > 1 {
		room = fmt.Sprintf(" for %d", c.room)
	}
	if g.name != "" {
		in = " in case " + g.name
	}
	switch {
	case c.room < p.Count:
		m.log.warn(at, "fewer-pockets-than-pieces", fmt.Sprintf("%d on the roster, %s for %d%s", p.Count, finding.Counted(c.pockets, "pocket"), c.room, in),
			"add pockets, "+m.pileHint(p)+"or correct the count")
	case c.pockets > p.Count || p.Pile > 1 && c.room >= p.Count+p.Pile:
		m.log.note(at, "more-pockets-than-pieces", fmt.Sprintf("%d on the roster, %s%s%s", p.Count, finding.Counted(c.pockets, "pocket"), room, in),
			"take pockets out"+g.pinnedFor(p.ID)+", or correct the count")
	}
}

// pileHint says how deep the pocket of a whole pile is.
func (m *maker) pileHint(p *job.Piece) string {
	if p.Pile < 2 {
		return ""
	}
	return fmt.Sprintf("make those of a pile of %d %s deep, ", p.Pile, m.mm(float64(p.Pile)*footprintOf(p).depth))
}

// packPieces seats pieces in every pocket and shares the roster's out to them: from there on
// so many lie in each, be there room for more. It adds their weight to the trays.
// A tray in several cases carries what it carries in the first; one that is
// twice in a stack carries half of what both do.
func (m *maker) packPieces(groups []group) {
	for _, b := range m.boards {
		for _, h := range b.holes {
			if h.piece != nil {
				h.seat, _ = m.seat(b, h, h.Depth)
				h.Holds = h.seat.count()
			}
		}
	}
	done := map[*board]bool{}
	for _, g := range groups {
		packed := m.shareOut(g)
		times := map[*board]int{}
		for _, b := range g.boards {
			times[b]++
		}
		for _, b := range g.boards {
			if !done[b] {
				done[b] = true
				b.pack(packed, times[b])
			}
		}
	}
}

// noteUnweighed says once which pieces in pockets nobody has weighed, where others were:
// of a roster without any weight nobody expects one.
func (m *maker) noteUnweighed() {
	var names []string
	var first *job.Piece
	for _, b := range m.boards {
		for _, h := range b.holes {
			if p := h.piece; p != nil && p.WeightG == 0 && !slices.Contains(names, p.ID) {
				names = append(names, p.ID)
				first = cmp.Or(first, p)
			}
		}
	}
	if first == nil || !slices.ContainsFunc(m.Job.Roster, func(p job.Piece) bool { return p.WeightG > 0 }) {
		return
	}
	const most = 5
	list := strings.Join(names[:min(most, len(names))], ", ")
	if len(names) > most {
		list += fmt.Sprintf(" and %d more", len(names)-most)
	}
	m.log.note(place{position: finding.Position{File: first.Position.File}}, "not-weighed", "pieces without a weight count 0 g: "+list, "write their weight_g, or add it in mind to what is printed")
}

// pack notes what goes into the tray's pockets, and its weight in grams.
func (b *board) pack(packed map[*hole]int, times int) {
	for _, h := range b.holes {
		if h.piece != nil {
			h.Packed = packed[h] / times
			b.PiecesG += float64(packed[h]) * h.piece.WeightG / float64(times)
		}
	}
}

// shareOut is how many pieces go into each pocket of a group's trays: one to each by turns, or, where they go in piles,
// one to each and then whole piles.
func (m *maker) shareOut(g group) map[*hole]int {
	pockets := map[string][]*hole{} // one twice where its tray is twice in a stack
	for _, b := range g.boards {
		for _, h := range b.holes {
			if h.Holds > 0 {
				pockets[h.For] = append(pockets[h.For], h)
			}
		}
	}
	packed := map[*hole]int{}
	for _, p := range m.Job.Roster {
		left, in := p.Count, make([]int, len(pockets[p.ID]))
		for given := true; given && left > 0; {
			given = false
			for i, h := range pockets[p.ID] {
				n := min(1, left, h.Holds-in[i])
				if p.Pile > 1 && in[i] > 0 {
					n = min(left, h.Holds-in[i])
				}
				in[i], left, packed[h] = in[i]+n, left-n, packed[h]+n
				given = given || n > 0
			}
		}
	}
	return packed
}
