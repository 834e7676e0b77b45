package arrange

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// reportLeft says of which pieces a tray has no room for how many.
func (m *maker) reportLeft(t *job.Tray, left []kind) {
	m.add(finding.Error, t.Position, "no-room", m.leastChange(t, left),
		"tray %s has no room for %s", t.ID, strings.Join(countedOf(left), ", "))
}

// leastChange says what would make room for the pieces that are left: a
// thinner wall, a longer tray, or one more tray, whichever is the least that
// does. Each has been tried before it is named.
func (m *maker) leastChange(t *job.Tray, left []kind) string {
	var ways []string
	all := m.allOf(t, left)
	does := func(u job.Tray) bool { return m.fits(u, all) }
	if wall, ok := m.thinnerWall(t, does); ok {
		ways = append(ways, "a `wall` of "+m.length(wall)+" makes room")
	}
	if more, ok := m.longer(t, does); ok {
		ways = append(ways, "a tray "+m.enough(more)+" longer holds them")
	}
	if n := m.moreTrays(t, left); n > 0 {
		ways = append(ways, moreTrays(n)+" what is left")
	}
	if len(ways) == 0 {
		larger := "make the tray larger"
		if home(m.Job, t.ID) != nil {
			larger = "use a larger case"
		}
		return larger + ": none of this size takes the largest of them"
	}
	return strings.Join(ways, "; or ")
}

func moreTrays(n int) string {
	if n == 1 {
		return "one more tray of the same size takes"
	}
	return fmt.Sprintf("%d more trays of the same size take", n)
}

// allOf are the kinds that the tray has already, by its new pockets, and those
// that are left.
func (m *maker) allOf(t *job.Tray, left []kind) []kind {
	fixed := map[string]int{}
	for _, id := range []string{t.ID, t.ID + "-1", t.ID + "-2"} {
		for _, k := range m.fixed[id] {
			fixed[k.For] += m.placesIn(k)
		}
	}
	var all []kind
	for _, p := range m.named(t.Holds) {
		n := m.holds[t.ID][p.ID] - fixed[p.ID]
		for _, k := range left {
			if k.piece == p {
				n += k.pieces()
			}
		}
		if n > 0 {
			list, _ := m.kindsFor(p, n, t)
			all = append(all, list...)
		}
	}
	return all
}

// fits tries the tray as changed, without searching at random.
func (m *maker) fits(t job.Tray, kinds []kind) bool {
	f := fill(context.Background(), m.roomOf(&t, t.Length, t.Width, m.taken[t.ID]), kinds, nil, search{})
	return !f.short()
}

// thinnerWall is the widest wall with which the tray does, not thinner than
// the foam should have.
func (m *maker) thinnerWall(t *job.Tray, does func(job.Tray) bool) (units.Length, bool) {
	if len(t.Layers) == 0 || t.Halves == 2 {
		return 0, false
	}
	foam, _ := m.Catalog.Foam(t.Layers[0].Foam)
	least, _ := units.FromMM(foam.LeastWallMM.Value)
	for wall := m.wallOf(t) - m.step; wall >= least && wall > 0; wall -= m.step {
		u := *t
		if u.Wall = wall; does(u) {
			return wall, true
		}
	}
	return 0, false
}

// longer is how much longer the tray would have to be until it does, found by halving
// the distance to one half as long again.
func (m *maker) longer(t *job.Tray, does func(job.Tray) bool) (units.Length, bool) {
	if t.Halves == 2 {
		return 0, false
	}
	at := func(more units.Length) bool {
		u := *t
		u.Length += more
		return does(u)
	}
	low, high := units.Length(0), (t.Length / 2).Up(m.step)
	if !at(high) {
		return 0, false
	}
	for high-low > m.step {
		if middle := low + ((high - low) / 2).Up(m.step); middle < high && at(middle) {
			high = middle
		} else if middle >= high {
			break
		} else {
			low = middle
		}
	}
	return high, true
}

// moreTrays is how many more trays of the size take what is left, 0 for none
// that do.
func (m *maker) moreTrays(t *job.Tray, left []kind) int {
	rest := slices.Clone(left)
	for n := 1; n <= 20; n++ {
		f := fill(context.Background(), m.roomOf(t, t.Length, t.Width, nil), rest, nil, search{})
		if len(f.blocks) == 0 {
			return 0
		}
		done := true
		for i := range rest {
			rest[i].count = f.left[i]
			done = done && f.left[i] == 0
		}
		if done {
			return n
		}
	}
	return 0
}

// lighter says what makes a tray that was chosen for a case lighter: its pieces in a tray
// of the job, cut in halves, where there is a place for them then.
func (m *maker) lighter(t *job.Tray, chosenFor string) string {
	const otherwise = "lift it out with both hands, or put less of its pieces into the case"
	halved := *t
	halved.ID, halved.Halves, halved.Pockets, halved.Holds = m.freshID("heavy"), 2, nil, nil
	for _, p := range m.Job.Roster {
		if m.holds[t.ID][p.ID] > 0 {
			halved.Holds = append(halved.Holds, p.ID)
		}
	}
	if m.hinting {
		return otherwise
	}
	j := *m.Job
	j.Trays = append(slices.Clone(j.Trays), halved)
	r := m.tried(j)
	at := caseAt(m.Job.Cases, chosenFor)
	if r.Job == nil || at < 0 || !slices.Contains(r.Job.Cases[at].Stack, halved.ID) {
		return otherwise
	}
	var layers []string
	for _, l := range halved.Layers {
		layers = append(layers, l.Written(func(l units.Length) string { return l.Exact(m.Unit) }))
	}
	return fmt.Sprintf("write it under `trays` in halves: `- {id: %s, size: [%s, %s], layers: [%s], halves: 2, holds: [%s]}`, and arrange again",
		halved.ID, t.Length.Exact(m.Unit), t.Width.Exact(m.Unit), strings.Join(layers, ", "), strings.Join(halved.Holds, ", "))
}

// tried is a job arranged afresh in order to try a hint, and with no further ones.
func (m *maker) tried(j job.Job) Result {
	in := m.Input
	in.Job, in.Progress, in.Previous, in.hinting = &j, nil, nil, true
	return Make(m.ctx, in)
}
