package arrange

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// fillTrays places what the job's trays hold, one tray after another: what one
// has no room for goes to the next that holds it too.
func (m *maker) fillTrays() {
	for i := range m.out.Trays {
		t := &m.out.Trays[i]
		if len(t.Holds) == 0 {
			continue
		}
		m.fillTray(t)
		m.advance(m.done + 1)
	}
	m.checkLeft()
}

// travels are the sets of trays that go together with one: those of each case
// that stacks it, or, where none does, all that no case stacks, of those for one case alone
// the others of that case.
func (m *maker) travels(id string) [][]string {
	at := trayAt(m.Job.Trays, id)
	var sets [][]string
	stacked := map[string]bool{}
	for _, c := range m.Job.Cases {
		if slices.Contains(c.Stack, id) {
			sets = append(sets, c.Stack)
		}
		for _, s := range c.Stack {
			stacked[s] = true
		}
	}
	if len(sets) > 0 {
		return sets
	}
	var free []string
	for _, t := range m.Job.Trays {
		if !stacked[t.ID] && t.Case == m.Job.Trays[at].Case {
			free = append(free, t.ID)
		}
	}
	return [][]string{free}
}

// missing is how many of a piece have no pocket yet in the trays that travel
// with one, and are not left to some later ones.
func (m *maker) missing(p *job.Piece, tray string, later []*job.Tray) int {
	least := math.MaxInt
	for _, set := range m.travels(tray) {
		carried := 0
		for i, id := range set {
			if !slices.Contains(set[:i], id) {
				carried += m.holds[id][p.ID]
			}
		}
		least = min(least, p.Count-carried-m.leftTo(later, tray, set, p, p.Count-carried))
	}
	return max(0, least)
}

func (m *maker) fillTray(t *job.Tray) {
	var kinds []kind
	for _, p := range m.named(t.Holds) {
		n := m.missing(p, t.ID, m.later(t))
		if n == 0 {
			continue
		}
		list, wrong := m.kindsFor(p, n, t)
		m.report(wrong)
		kinds = append(kinds, list...)
	}
	fillings, offsets := m.fillWithWays(t, kinds)
	m.finishTray(t, fillings, offsets, "")
}

// kindsFor is a piece with the pockets that the tray is deep enough for, in piles where it goes in
// them. Where it is for none, wrong says what would be.
func (m *maker) kindsFor(p *job.Piece, n int, t *job.Tray) ([]kind, *finding.Finding) {
	k, wrong := m.anyDepth(p, n, t)
	all := k.needs
	k.needs = nil
	for _, n := range all {
		if _, ok := plan.DepthFor(n.Depth, t.Layers, m.router, m.step); ok {
			k.needs = append(k.needs, n)
		}
	}
	if len(k.needs) > 0 {
		k.needs, wrong = m.cuttable(k, t, func(plan.Need) []job.Layer { return t.Layers })
	}
	if len(all) == 0 || len(k.needs) > 0 || wrong != nil {
		return k.piles(n), wrong
	}
	least := flattest(all)
	usable := plan.UsableDepth(t.Layers, m.router)
	thin := m.finding(finding.Error, t.Position, "tray-too-thin", m.thicker(m.stock(0, t), least.Depth, t)+m.lowerPile(p, least, usable),
		"tray %s: the %s needs a pocket of %s, %s more than the %s that the tray has above its base",
		t.ID, named(p, least), m.length(least.Depth), m.length(least.Depth-usable), m.length(usable))
	return nil, &thin
}

// anyDepth is a piece with the pockets of all its poses in a tray's foam, however deep, each for a whole pile
// where it goes in piles; with none where the tray has no layers.
func (m *maker) anyDepth(p *job.Piece, n int, t *job.Tray) (kind, *finding.Finding) {
	k := kind{piece: p, habits: t.Habits, relief: m.reliefOf(t), way: m.wayOf(t), stops: m.router}
	if len(t.Layers) == 0 {
		return k, nil
	}
	tray := ""
	if t.ID != "" {
		tray = "tray " + t.ID + ": "
	}
	foam, unknown := m.Catalog.FindFoam(t.Layers[0].Foam, strings.TrimSuffix(t.Layers[0].Position.String()+": "+tray, ": "))
	if unknown != nil {
		return k, &unknown[0]
	}
	fit, ok := plan.FitIn(foam, t.Fit)
	if !ok {
		wrong := m.finding(finding.Error, t.Position, "unknown-fit", "`traywright profiles "+foam.ID+"` lists its fits", "%sfoam %s has no fit %q", tray, foam.ID, t.Fit)
		return k, &wrong
	}
	k.needs = plan.NeedsOf(p, fit, t.Headroom, m.step)
	if p.Outline != "" {
		drawn := m.Outlines[p.Outline]
		box := drawn.Bounds()
		k.side = plan.NotchSideOf(drawn)
		k.needs = []plan.Need{plan.NeedOfDrawn(p, box.Width(), box.Height(), t.Headroom, m.step)}
	}
	if pile := min(p.Pile, n); pile > 1 {
		k.needs = piled(k.needs, pile)
	}
	if k.way == asAsked && t.Habits.Access == job.LiftAccess {
		k.standOut(m.proudOf(t))
	}
	return k, nil
}

// thicker names the thinnest stock sheet that would make a tray deep enough, or
// two of them; where none does, what else would help.
func (m *maker) thicker(f supply, depth units.Length, t *job.Tray) string {
	deepEnough := func(o option) bool {
		_, ok := plan.DepthFor(depth, append(slices.Clone(o.layers), t.Layers[1:]...), m.router, m.step)
		return ok
	}
	for _, glued := range []bool{false, true} {
		ways := slices.DeleteFunc(sheets(f, 0, 1, 0, glued), func(o option) bool { return !deepEnough(o) })
		if len(ways) == 0 {
			continue
		}
		o := slices.MinFunc(ways, func(a, b option) int { return cmp.Compare(a.height, b.height) })
		if len(o.layers) == 1 {
			return fmt.Sprintf("make its top layer of %s, or hold the piece in a deeper tray", o.layers[0].Thickness.Exact(m.Unit))
		}
		glue := "glue its pad of two sheets"
		if len(t.Layers) > 2 { // its pad has several already
			glue = "make two sheets of its top layer"
		}
		return fmt.Sprintf("%s, %s and %s, or hold the piece in a deeper tray", glue, o.layers[0].Thickness.Exact(m.Unit), o.layers[1].Thickness.Exact(m.Unit))
	}
	return "hold the piece in a tray of more layers"
}

// roomOf is a tray, or one half of it, with what is taken already. A pocket that touches the rim is none.
func (m *maker) roomOf(t *job.Tray, length, width units.Length, taken []standing) room {
	return room{
		length: length, width: width, corner: t.Corner, step: m.step,
		wall: m.wallOf(t), edge: max(m.edgeOf(t), m.step), taken: boxesOf(taken), standing: taken, feet: m.feet,
	}
}

// wallOf is the least wall between a tray's pockets, and edgeOf that to its rim, in steps: where the job leaves them out, what
// the foams ask for that pockets go into.
func (m *maker) wallOf(t *job.Tray) units.Length {
	return m.orFoam(t, t.Wall, func(f profiles.Foam) float64 { return f.LeastWallMM.Value })
}

func (m *maker) edgeOf(t *job.Tray) units.Length {
	return m.orFoam(t, t.Edge, func(f profiles.Foam) float64 { return f.LeastEdgeMM.Value })
}

func (m *maker) orFoam(t *job.Tray, said units.Length, ask func(profiles.Foam) float64) units.Length {
	if said > 0 {
		return said.Up(m.step)
	}
	for i, l := range t.Layers {
		if base := i > 0 && i == len(t.Layers)-1; base {
			break
		}
		foam, _ := m.Catalog.Foam(l.Foam)
		least, _ := units.FromMM(ask(foam))
		said = max(said, least)
	}
	return said.Up(m.step)
}

// around is a box in whole lengths, none of it cut off.
func around(b geometry.Box) box {
	return box{outward(b.Min.X, -1), outward(b.Min.Y, -1), outward(b.Max.X, 1), outward(b.Max.Y, 1)}
}

// outward is a coordinate in mm, rounded to the next micrometre away.
func outward(mm float64, way float64) units.Length {
	return units.Length(way*math.Ceil(way*mm*1e3-1e-3)) * 1000
}

// place where a room begins in its tray.
type offset struct{ x, y units.Length }

// fillRooms fills a tray, or its halves one after the other.
func (m *maker) fillRooms(t *job.Tray, kinds []kind) ([]*filling, []offset) {
	s := search{try: m.Try, seed: m.Seed}
	if t.Halves != 2 {
		r := m.roomOf(t, t.Length, t.Width, m.taken[t.ID])
		kept := m.keptIn(t, kinds, r, offset{})
		f := m.fillAround(t, r, kinds, kept, s)
		if f.short() && kept != nil && !m.leaves(t, kinds) {
			f = fill(m.ctx, r, kinds, nil, s)
		}
		if f.short() {
			if one := packed(m.ctx, f.room, kinds, m.Seed, 1); len(one) == 1 {
				f = one[0]
			}
		}
		return []*filling{f}, []offset{{}}
	}
	at, lengths, widths := offset{}, [2]units.Length{t.Length, t.Length}, [2]units.Length{t.Width, t.Width}
	if t.Length >= t.Width {
		lengths[0] = t.Length / 2
		lengths[1] = t.Length - lengths[0]
		at.x = lengths[0]
	} else {
		widths[0] = t.Width / 2
		widths[1] = t.Width - widths[0]
		at.y = widths[0]
	}
	rooms := [2]room{m.roomOf(t, lengths[0], widths[0], m.taken[t.ID+"-1"]), m.roomOf(t, lengths[1], widths[1], m.taken[t.ID+"-2"])}
	first, second := m.keptHalves(t, rooms, at, kinds, s)
	if first == nil {
		first, second = m.fillHalves(rooms, kinds, halfOf(kinds), s)
	}
	if second.short() {
		first, second = m.fillHalves(rooms, kinds, kinds, s)
	}
	return []*filling{first, second}, []offset{{}, at}
}

// halfOf are half as many of each kind, so that both halves of a tray weigh alike; of odd
// numbers the larger part of every other kind.
func halfOf(kinds []kind) []kind {
	half := slices.Clone(kinds)
	for i := range half {
		half[i].count = (half[i].count + (i+1)%2) / 2
	}
	return half
}

// fillHalves fills one half with what is meant for it, and the other with the rest of all.
func (m *maker) fillHalves(rooms [2]room, all, meant []kind, s search) (first, second *filling) {
	first = fill(m.ctx, rooms[0], meant, nil, s)
	rest := slices.Clone(all)
	for i := range rest {
		rest[i].count += first.left[i] - meant[i].count
	}
	return first, fill(m.ctx, rooms[1], rest, nil, s)
}

// finishTray shares the spare room out and writes the pockets into the tray.
func (m *maker) finishTray(t *job.Tray, fillings []*filling, offsets []offset, chosenFor string) {
	t.Pockets = slices.Clone(t.Pockets)
	for i, f := range fillings {
		if !slices.ContainsFunc(f.blocks, func(b block) bool { return b.kept }) {
			f.spread()
		}
		for _, b := range f.blocks {
			m.write(t, b, offsets[i])
		}
	}
	t.Holds = nil
	m.tellWaysGiven(t, fillings)
	m.describe(t, fillings, chosenFor)
}

// write adds a block's pockets to its tray.
func (m *maker) write(t *job.Tray, b block, o offset) {
	depth, _ := m.depthIn(b.need, t.Layers)
	if m.holds[t.ID] == nil {
		m.holds[t.ID] = map[string]int{}
	}
	m.holds[t.ID][b.piece.ID] += b.pieces()
	written := depth
	if depth == t.Layers[0].Thickness {
		written = 0
	}
	b.x, b.y = b.x+o.x, b.y+o.y
	t.Pockets = append(t.Pockets, b.pockets(t.Habits, written, t)...)
	m.tell(t, b, depth)
}

// tell notes what was decided for a piece; several blocks of one kind are one.
func (m *maker) tell(t *job.Tray, b block, depth units.Length) {
	shape := "rect"
	switch {
	case b.need.Outline != "":
		shape = "outline"
	case b.need.Round:
		shape = "round"
	}
	at := slices.IndexFunc(m.kinds, func(k Kind) bool {
		return k.Tray == t.ID && k.Piece == b.piece.ID && k.Pose == b.need.Pose && k.Pile == b.need.Pieces()
	})
	if at >= 0 {
		m.kinds[at].Count += b.pieces()
		return
	}
	foam, _ := m.Catalog.Foam(t.Layers[0].Foam)
	fit, _ := plan.FitIn(foam, t.Fit)
	m.kinds = append(m.kinds, Kind{
		Piece: b.piece.ID, Name: b.piece.Name, Tray: t.ID, Count: b.pieces(), Pile: b.need.Pieces(), Pose: b.need.Pose, Shape: shape,
		LengthMM: b.need.Length.MM(), WidthMM: b.need.Width.MM(), DepthMM: depth.MM(),
		Why: b.need.Why(b.piece, fit, foam.ID, t.Fit, depth, m.router, m.Unit),
	})
}

// checkLeft reports every piece that a tray holds and that has no pocket in the
// trays that travel with it.
func (m *maker) checkLeft() {
	told := map[string]bool{}
	for i := len(m.Job.Trays) - 1; i >= 0; i-- {
		t := &m.Job.Trays[i]
		var left []kind
		for _, p := range m.named(t.Holds) {
			n := m.missing(p, t.ID, nil)
			if n == 0 || told[p.ID] {
				continue
			}
			told[p.ID] = true
			list, _ := m.kindsFor(p, n, t) // what is wrong has been said
			left = append(left, list...)
		}
		if len(left) > 0 {
			m.reportLeft(t, left)
			m.short = append(m.short, left...)
		}
	}
}

// describe notes how well a tray is used.
func (m *maker) describe(t *job.Tray, fillings []*filling, chosenFor string) {
	r := Tray{ID: t.ID, Case: chosenFor, TraysMin: 1, WeightG: m.weight(t)}
	used, whole := 0.0, 0.0
	for _, f := range fillings {
		l, w := f.room.inner()
		whole += (l + f.room.wall).MM() * (w + f.room.wall).MM()
		r.Blocks += len(f.blocks)
		for _, b := range f.blocks {
			r.Pockets += b.count
			used += b.used(f.room.wall)
		}
	}
	if whole > 0 {
		r.Used = used / whole
	}
	m.trays = append(m.trays, r)
	m.checkWeight(t, r.WeightG, chosenFor)
}
