package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// prove goes through the finished trays, knowing nothing of how they came
// about, and holds pieces against pockets both ways: in each set of trays that
// travel together every piece that these trays or their case are for has as
// many places as the roster has pieces, and every new pocket is for a piece.
func (m *maker) prove() {
	var open []string
	for i, c := range m.out.Cases {
		m.proveSet("case "+c.Name, c.Position, c.Stack, m.wantedIn(i))
		if d := m.Job.Cases[i]; len(d.Stack) == 0 && len(d.Holds) == 0 {
			open = append(open, c.Stack...)
		}
	}
	// What one case has no room for may have gone on to the next.
	wanted := m.share()
	for i, d := range m.Job.Cases {
		if len(d.Stack) == 0 && len(d.Holds) == 0 {
			m.proveSet("the cases without a stack", d.Position, open, wanted[i])
		}
	}
	stacked := func(id string) bool {
		return slices.ContainsFunc(m.out.Cases, func(c job.Case) bool { return slices.Contains(c.Stack, id) })
	}
	for i := range m.Job.Trays {
		if t := &m.Job.Trays[i]; len(t.Holds) > 0 && !stacked(t.ID) {
			m.proveSet("tray "+t.ID, t.Position, m.travels(t.ID)[0], m.named(t.Holds))
		}
	}
}

// wantedIn are the pieces that a case has to carry: those that it says, and
// those that its trays hold.
func (m *maker) wantedIn(i int) []*job.Piece {
	names := slices.Clone(m.Job.Cases[i].Holds)
	for _, t := range m.Job.Trays {
		if slices.Contains(m.Job.Cases[i].Stack, t.ID) || t.Case != "" && t.Case == m.Job.Cases[i].Name {
			names = append(names, t.Holds...)
		}
	}
	return m.named(names)
}

func (m *maker) proveSet(what string, at finding.Position, trays []string, wanted []*job.Piece) {
	places := map[string]int{}
	for i, id := range trays {
		if slices.Contains(trays[:i], id) {
			continue
		}
		m.countPlaces(id, places)
	}
	for _, p := range wanted {
		if n := places[p.ID]; n < p.Count {
			m.add(finding.Error, at, "piece-without-place", "this is a fault of the program: please report it with the job and its roster",
				"%s: %d of %s on the roster, and places for %d", what, p.Count, p.ID, n)
		}
	}
}

// pilesIn is how many of a piece lie on each other in a pocket: as many as do not stand out, or as stand out as planned.
func pilesIn(p *job.Piece, k job.Pocket, top units.Length) int {
	if p == nil || p.Pile < 2 {
		return 1
	}
	height, depth := p.Height, k.Depth
	if p.Pose == job.Lying {
		height = p.Width
	}
	if depth == 0 {
		depth = top
	}
	if k.Access == job.LiftAccess {
		depth += cmp.Or(k.Proud, units.Length(plan.UsualProudMM*1e6))
	}
	return max(1, min(p.Pile, int(depth/height)))
}

// countPlaces adds a tray's places for each piece: those of the job's own
// pockets as the plan counts them, and one for each pocket that is new.
func (m *maker) countPlaces(id string, places map[string]int) {
	fixed := len(m.pins[id])
	for _, t := range m.Job.Trays {
		if t.ID == id {
			fixed = len(t.Pockets)
		}
	}
	for _, part := range []string{id, id + "-1", id + "-2"} {
		for _, k := range m.fixed[part] {
			places[k.For] += m.placesIn(k)
		}
	}
	for _, t := range m.out.Trays {
		if t.ID != id {
			continue
		}
		for _, k := range t.Pockets[min(fixed, len(t.Pockets)):] {
			if isOpening(k) {
				continue
			}
			if m.pieces[k.For] == nil {
				m.add(finding.Error, t.Position, "pocket-without-piece", "this is a fault of the program: please report it with the job and its roster",
					"tray %s has a new pocket for %q, which is not on the roster", id, k.For)
			}
			places[k.For] += max(1, k.Columns) * max(1, k.Rows) * pilesIn(m.pieces[k.For], k, t.Layers[0].Thickness)
		}
	}
}
