package arrange

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// way is how fingers are to get at a piece.
type way uint8

const (
	asAsked way = iota // by what the job asks for
	ourWay             // by a notch, or where no side is wide enough by an opening along a row: the arranger's choice
	gaveWay            // by none, because there is no room for one
)

// wayOf is how fingers are to get at the pieces of a tray.
func (m *maker) wayOf(t *job.Tray) way {
	h := t.Habits
	switch {
	case h.Access == job.NoAccess, h.Access == job.LiftAccess && m.airAbove(t), h.Ends || h.Sides || h.Notch != 0:
		return asAsked
	case m.bare[t.ID]:
		return gaveWay
	}
	return ourWay
}

// reachIn gives a pocket a way in that takes little room.
func (k kind) reachIn(b *block, step units.Length) {
	n := b.need
	side := job.NotchSide(n.Length, n.Width, n.Round)
	if n.Outline != "" {
		side = k.side
	}
	if k.habits.Access == job.GapAccess {
		side = 0
	}
	b.reach = max(b.reach, usualReach)
	switch {
	case n.Outline != "" && side == 0: // nor does it get an opening, which is as long as a row of boxes
	case k.way == gaveWay:
		b.gaveWay = side != 0 || k.mayOpen(n)
	case side != 0:
		b.notch = side
	case k.mayOpen(n): // round corners and curves of pockets lie within it
		b.open = min(b.reach/2, n.Length/2, n.Width/2).Up(step)
	}
}

// mayOpen reports whether a row of its pockets may have an opening: one that leaves of the wall what holds the pieces, so
// that they do not slide together, nor the upper ones of a pile; any where the job asks for it.
func (k kind) mayOpen(n plan.Need) bool {
	left := n.Depth - n.Headroom - openBeside(n)
	return k.habits.Access == job.GapAccess || k.stops && left >= leastHold && n.Pieces() == 1 && k.habits.Access != job.NotchAccess
}

// leastHold is how much of a wall holds a piece at least. Judged, no source.
const leastHold units.Length = 2_000_000

// openBeside is how much of a piece an opening is to lay free: the upper half (judged, no source), and what the plan wants.
func openBeside(n plan.Need) units.Length {
	return max(units.Length(plan.HoldMM*1e6), (n.Depth-n.Headroom)/2)
}

// reachInto writes the way in into a block's pockets.
func (b block) reachInto(p *job.Pocket, k job.Habits) {
	switch {
	case b.open > 0:
		p.Access = job.GapAccess
	case b.of.way == asAsked && (k.Access == job.LiftAccess || k.Access == job.NoAccess):
		p.Access, p.Proud = k.Access, k.Proud
	}
	if b.notch == 0 {
		return
	}
	if p.NotchReach, p.NotchWidth = b.reach, k.NotchWidth; b.of.way == ourWay && p.NotchWidth > 0 {
		p.NotchWidth = max(p.NotchWidth, job.Finger)
	}
}

// opening is the pocket for fingers behind each row of some pockets. Where tools stop within a layer it is less deep
// than they are.
func (b block) opening(of job.Pocket, layers []job.Layer) job.Pocket {
	_, width := b.pocket()
	depth := of.Depth
	if b.of.stops {
		deep := cmp.Or(depth, layers[0].Thickness)
		if less, ok := plan.DepthFor(b.lowest(deep)+openBeside(b.need), layers, true, b.step); ok && less < deep {
			depth = less
		}
	}
	return job.Pocket{
		Shape: job.SizeShape, X: b.x, Y: of.Y + width - b.open, Length: b.row(of.Columns), Width: b.open + b.reach, Corner: b.reach / 2, Depth: depth,
		Columns: 1, Rows: of.Rows, PitchY: of.PitchY, Access: job.GapAccess, Fit: of.Fit, Tool: of.Tool, Waste: of.Waste,
	}
}

// lowest is how far down a piece may end in a pocket of a depth: one that travels in any pose may be put in as it was not
// arranged.
func (b block) lowest(deep units.Length) units.Length {
	rest := deep - (b.need.Depth - b.need.Headroom)
	p, n := b.piece, b.need
	if p.Pose != job.AnyPose || n.Outline != "" {
		return rest
	}
	for _, way := range [...][3]units.Length{{p.Length, p.Width, p.Height}, {p.Length, p.Height, p.Width}, {p.Width, p.Height, p.Length}} {
		fits := way[0] <= n.Length && way[1] <= n.Width || way[0] <= n.Width && way[1] <= n.Length
		if fits && way[2] <= deep {
			rest = max(rest, deep-way[2])
		}
	}
	return rest
}

// isOpening reports whether a pocket is an opening for fingers.
func isOpening(p job.Pocket) bool { return p.For == "" && p.Access == job.GapAccess }

// givers are the kinds whose ways in may give way, by their index: first those whose ways take the most room.
func givers(kinds []kind) []int {
	var order []int
	room := map[int]float64{}
	for i, k := range kinds {
		if k.way != ourWay || len(k.needs) == 0 {
			continue
		}
		b := k.cells(0, 1)[0]
		l, w := b.cell()
		if room[i] = float64(k.count) * (l.MM()*w.MM() - k.needs[0].Area()); room[i] > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(room[b], room[a]) })
	return order
}

// given are the kinds after some of them gave way.
func given(kinds []kind, gave []int) []kind {
	list := slices.Clone(kinds)
	for _, i := range gave {
		list[i].way = gaveWay
	}
	return list
}

// fewestParts is how finely fewest tells many; judged, no source.
const fewestParts = 32

// fewest looks for how many of the order, those whose ways take the most room, have to give way; all of them do. What
// did last is the answer. It tries few: of many the answer may be a few more than it has to be.
func fewest(order []int, does func(gave []int) bool) []int {
	most := len(order)
	for low := 0; low+max(1, len(order)/fewestParts) < most; {
		if middle := (low + most) / 2; does(order[:middle]) {
			most = middle
		} else {
			low = middle
		}
	}
	return order[:most]
}

// mostAgain is how many kinds that gave way are tried with their ways in again, one by one.
const mostAgain = 12

// again leaves those out of the kinds that gave way that need not, those with the least room first.
func again(gave []int, does func(gave []int) bool) {
	gave = slices.Clone(gave)
	for i := len(gave) - 2; i >= max(0, len(gave)-mostAgain); i-- { // without the last it did not
		if less := slices.Delete(slices.Clone(gave), i, i+1); does(less) {
			gave = less
		}
	}
}

// fillWithWays fills a tray of the job. Where what it holds finds no room, ways in are left out, as few as it takes.
func (m *maker) fillWithWays(t *job.Tray, kinds []kind) ([]*filling, []offset) {
	f, o := m.fillRooms(t, kinds)
	order := givers(kinds)
	if !f[len(f)-1].short() || len(order) == 0 || m.heldLater(t, kinds) {
		return f, o
	}
	does := func(gave []int) bool {
		g, p := m.fillRooms(t, given(kinds, gave))
		if g[len(g)-1].short() {
			return false
		}
		f, o = g, p
		return true
	}
	if does(order) {
		again(fewest(order, does), does)
	}
	return f, o
}

// tooFull are the trays that are without ways in already and those, more than them, that hold what found no place;
// nil where there are none more.
func (m *maker) tooFull() map[string]bool {
	bare := maps.Clone(m.bare)
	for i := range m.Job.Trays {
		t := &m.Job.Trays[i]
		holds := slices.ContainsFunc(m.named(t.Holds), func(p *job.Piece) bool {
			return slices.ContainsFunc(m.short, func(k kind) bool { return k.piece == p })
		})
		if holds && m.wayOf(t) == ourWay {
			if bare == nil {
				bare = map[string]bool{}
			}
			bare[t.ID] = true
		}
	}
	if len(bare) == len(m.bare) {
		return nil
	}
	return bare
}

// giveWay lays the rest out with as many ways in as take no tray more, and make no stack higher than the case, than
// without them. Best is the layout with all of them, bare makes that with none.
func (k *choosing) giveWay(best layout, bare func() (layout, *kind), order []int) (layout, *kind) {
	least, stuck := bare()
	if least.trays == nil || best.asFewAs(least) {
		return best, stuck
	}
	best = least
	fewest(order, func(gave []int) bool {
		if k.ctx.Err() != nil {
			return false
		}
		some, _ := k.layOutOf(given(k.rest, gave), least.like())
		if some.asFewAs(least) {
			best = some
			return true
		}
		return false
	})
	for i := range best.trays {
		k.reachInto(&best.trays[i])
	}
	return best, nil
}

// reachInto gives pieces of a new tray their ways in back for which there is room in it.
func (k *choosing) reachInto(t *chosen) {
	var kinds []kind
	for _, b := range t.f.blocks {
		if b.kept {
			return
		}
		one := b.kind()
		one.needs = slices.DeleteFunc(slices.Clone(one.needs), func(n plan.Need) bool { return n.Depth > t.depth })
		if one.way == gaveWay {
			one.way = ourWay
		}
		if at := slices.IndexFunc(kinds, b.is); at >= 0 {
			kinds[at].count += b.count
			continue
		}
		kinds = append(kinds, one)
	}
	var back *filling
	does := func(gave []int) bool {
		f := fill(k.ctx, t.f.room, given(kinds, gave), nil, search{try: k.Try, seed: k.Seed})
		if f.short() {
			return false
		}
		back = f
		return true
	}
	if order := givers(kinds); len(order) > 0 && !does(nil) && does(order) {
		again(fewest(order, does), does)
	}
	if back != nil {
		t.f = back
	}
}

// heldLater reports whether a later tray that travels with one holds some of the same.
func (m *maker) heldLater(t *job.Tray, kinds []kind) bool {
	at := trayAt(m.Job.Trays, t.ID)
	return slices.ContainsFunc(m.Job.Trays[at+1:], func(u job.Tray) bool {
		with := slices.ContainsFunc(m.travels(t.ID), func(set []string) bool { return slices.Contains(set, u.ID) })
		return with && slices.ContainsFunc(m.named(u.Holds), func(p *job.Piece) bool {
			return slices.ContainsFunc(kinds, func(k kind) bool { return k.piece == p })
		})
	})
}

// airAbove reports whether what stands out of a tray's pockets has air above it: as the plan has it, and no case
// that is yet to be filled takes the tray.
func (m *maker) airAbove(t *job.Tray) bool {
	open := slices.ContainsFunc(m.Job.Cases, func(c job.Case) bool {
		return len(c.Stack) == 0 && c.Inside.Length == t.Length && c.Inside.Width == t.Width
	})
	return !open && m.proudOf(t).MM() <= plan.AirMM(m.Job, t)
}

// proudOf is how far the pieces of a tray are to stand out.
func (m *maker) proudOf(t *job.Tray) units.Length {
	return cmp.Or(t.Habits.Proud, units.Length(plan.UsualProudMM*1e6))
}

// standOut makes pockets less deep, for pieces that are to stand out: in the pose in which they are measured, as the plan
// has it, and in no other.
func (k kind) standOut(proud units.Length) {
	for i := range k.needs {
		n := &k.needs[i]
		if k.piece.Pose == job.AnyPose && n.Pose != "upright" {
			continue
		}
		out := min(proud, n.Depth-n.Headroom-1)
		n.Depth, n.Headroom = n.Depth-n.Headroom-out, -out
	}
}

// Measure takes over how fingers get at the pieces, as a plan of the arranged job measured it, and counts
// what is pinned with what was placed.
func (r *Result) Measure(p *plan.Plan) {
	r.countPinned(p)
	for i := range r.Kinds {
		k := &r.Kinds[i]
		var ways []string
		for _, t := range p.Trays {
			if !ofTray(t, k.Tray) {
				continue
			}
			for _, h := range t.Pockets {
				if h.For == k.Piece && !slices.Contains(ways, h.Access) {
					ways = append(ways, h.Access)
				}
			}
		}
		slices.Sort(ways)
		k.Access = strings.Join(ways, ", ")
	}
}
