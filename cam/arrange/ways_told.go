package arrange

import (
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// tellWaysGiven warns of pockets for whose way in there was no room, once all trays are filled.
func (m *maker) tellWaysGiven(t *job.Tray, fillings []*filling) {
	if t.Habits.Access == job.LiftAccess && !m.airAbove(t) {
		air := m.finding(finding.Warning, t.Position, "no-air-to-stand-out", "stack it uppermost in its case and leave that much air above it; or ask for another `access`",
			"tray %s: pieces that stand out by %s have no air above them, so they do not, and have other ways in", t.ID, m.length(m.proudOf(t)))
		m.gave = append(m.gave, func() { m.report(&air) })
	}
	var names []string
	count := 0
	for _, f := range fillings {
		for _, b := range f.blocks {
			if !b.gaveWay {
				continue
			}
			if count += b.count; !slices.Contains(names, b.piece.ID) {
				names = append(names, b.piece.ID)
			}
		}
	}
	if count > 0 {
		m.unreached[t.ID] += count
		u, own := *t, !t.Chosen && len(fillings) == 1
		m.gave = append(m.gave, func() {
			hint := "write `access: none` where pieces are taken by their tops"
			if own {
				hint = m.roomForWays(u, fillings[0]) + hint
			}
			m.add(finding.Warning, u.Position, "way-in-gave-way", hint,
				"tray %s: no room was found for a way in for fingers at %s: %s", u.ID, finding.Counted(count, "pocket"), strings.Join(names, ", "))
		})
	}
}

// mostAfresh is how often the whole job is arranged afresh at most for each thing that might give ways in room.
const mostAfresh = 6

// roomForWays says what gives all pieces of a tray of the job ways in, where the job was arranged with it as it is printed,
// afresh, and it did: the poses of pieces, and what goes into other trays, may be others then.
func (m *maker) roomForWays(t job.Tray, f *filling) string {
	if m.hinting {
		return ""
	}
	var kinds []kind
	for _, b := range f.blocks {
		one := b.kind()
		if one.way == gaveWay {
			one.way = ourWay
		}
		kinds = append(kinds, one)
	}
	afresh := func() func(job.Tray) bool {
		n := 0
		return func(u job.Tray) bool {
			if !m.fits(u, kinds) || n == mostAfresh {
				return false
			}
			n++
			return m.reachedWith(u.ID, m.printed(u.Wall), t.Length+m.printed(u.Length-t.Length))
		}
	}
	var ways []string
	if wall, ok := m.thinnerWall(&t, afresh()); ok {
		ways = append(ways, "a `wall` of "+m.enough(wall))
	}
	if more, ok := m.longer(&t, afresh()); ok {
		ways = append(ways, "a tray "+m.enough(more)+" longer")
	}
	if len(ways) == 0 {
		return ""
	}
	return strings.Join(ways, ", or ") + ", has room for all of them, arranged with `--force`; or "
}

// printed is a length as it is read back from what is printed of it.
func (m *maker) printed(l units.Length) units.Length {
	back, err := units.Parse(m.enough(l), m.Unit)
	if l == 0 || err != nil {
		return l
	}
	return back
}

// reachedWith reports whether the job, arranged afresh with a tray of another wall and length, has ways in at all pockets
// of that tray, and at no fewer of the others.
func (m *maker) reachedWith(id string, wall, length units.Length) bool {
	j := *m.source
	j.Trays = slices.Clone(j.Trays)
	t := &j.Trays[trayAt(j.Trays, id)]
	t.Wall, t.Length = wall, length
	r := m.tried(j)
	for other, n := range r.unreached {
		if other == id || n > m.unreached[other] {
			return false
		}
	}
	return r.Job != nil
}
