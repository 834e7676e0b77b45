package arrange

import (
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// fillCases chooses trays for every case without a stack. What makes one too
// low goes on to the next that does not say what it is for, group by group.
func (m *maker) fillCases() {
	wanted := m.share()
	for i := range m.out.Cases {
		c := &m.out.Cases[i]
		if len(c.Stack) > 0 {
			continue
		}
		found, begun := len(m.found), m.done
		m.fillCase(c, wanted[i])
		for next := m.nextOpen(i); next > 0 && m.tooLowSince(found); {
			stay, goOn := lastGroup(wanted[i])
			if len(stay) == 0 {
				break
			}
			wanted[i], wanted[next] = stay, append(goOn, wanted[next]...)
			m.found = m.found[:found]
			m.fillCase(c, stay)
		}
		m.advance(begun + caseParts)
	}
}

// nextOpen is the next case after one that may take what it has no room for; 0
// for none.
func (m *maker) nextOpen(i int) int {
	open := func(c job.Case) bool { return len(c.Stack) == 0 && len(c.Holds) == 0 }
	for k := i + 1; k < len(m.Job.Cases) && open(m.Job.Cases[i]); k++ {
		if open(m.Job.Cases[k]) {
			return k
		}
	}
	return 0
}

func (m *maker) tooLowSince(found int) bool {
	return slices.ContainsFunc(m.found[found:], func(f finding.Finding) bool { return f.Rule == tooLowRule })
}

// lastGroup parts the last group from a list of pieces, or the last piece where
// there is one group only.
func lastGroup(pieces []*job.Piece) (stay, last []*job.Piece) {
	if len(pieces) == 0 {
		return nil, nil
	}
	end := pieces[len(pieces)-1]
	for _, p := range pieces {
		if p == end || end.Group != "" && p.Group == end.Group {
			last = append(last, p)
		} else {
			stay = append(stay, p)
		}
	}
	if len(stay) == 0 {
		return pieces[:len(pieces)-1], pieces[len(pieces)-1:]
	}
	return stay, last
}

// share says which pieces each case without a stack is for: those that it
// holds; else all that no other case carries. Where several cases are to share
// those, a group goes to the case that is named after it, and the rest to the
// first.
func (m *maker) share() map[int][]*job.Piece {
	wanted := map[int][]*job.Piece{}
	var open []int
	spoken := map[string]bool{}
	for i, c := range m.Job.Cases {
		switch {
		case len(c.Stack) > 0:
			for _, id := range c.Stack {
				for piece := range m.holds[id] {
					spoken[piece] = true
				}
			}
		case len(c.Holds) > 0:
			wanted[i] = m.named(c.Holds)
			for _, p := range wanted[i] {
				spoken[p.ID] = true
			}
		default:
			open = append(open, i)
		}
	}
	for k := range m.Job.Roster {
		p := &m.Job.Roster[k]
		if len(open) == 0 || spoken[p.ID] {
			continue
		}
		home := open[0]
		for _, i := range open {
			if p.Group != "" && slices.Contains(strings.Fields(strings.ToLower(m.Job.Cases[i].Name)), strings.ToLower(p.Group)) {
				home = i
				break
			}
		}
		wanted[home] = append(wanted[home], p)
	}
	for _, i := range open {
		for _, p := range m.common() {
			if !slices.Contains(wanted[i], p) {
				wanted[i] = append(wanted[i], p)
			}
		}
	}
	return wanted
}

// common are the pieces in trays that every case with a stack carries, where
// there are at least two such cases: the next case wants them as well.
func (m *maker) common() []*job.Piece {
	stacked, count := 0, map[string]int{}
	for _, c := range m.Job.Cases {
		if len(c.Stack) == 0 {
			continue
		}
		stacked++
		for i, id := range c.Stack {
			if !slices.Contains(c.Stack[:i], id) {
				count[id]++
			}
		}
	}
	var list []*job.Piece
	for i := range m.Job.Roster {
		p := &m.Job.Roster[i]
		for _, t := range m.Job.Trays {
			if stacked > 1 && count[t.ID] == stacked && m.holds[t.ID][p.ID] > 0 && !slices.Contains(list, p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// chosen is a tray while it is chosen for a case.
type chosen struct {
	tray  job.Tray
	f     *filling
	depth units.Length // that its pad needs
	grams float64      // with layers and pieces, pockets not taken off
}

// fillCase chooses the trays of one case: trays of the job that hold nothing
// else than what the case is for, then new ones for the rest.
func (m *maker) fillCase(c *job.Case, wanted []*job.Piece) {
	if m.keepCase(c, wanted) {
		return
	}
	reused, cover := m.reuse(c, wanted)
	var rest []kind
	model := m.model(c)
	for _, p := range wanted {
		n := p.Count
		for _, t := range reused {
			n -= m.holds[t.ID][p.ID]
		}
		if n > 0 {
			if k, ok := m.anyDepth(p, n, &model); ok {
				rest = append(rest, k)
			}
		}
	}
	if m.found.Failed() {
		return
	}
	if len(rest) == 0 && len(reused) == 0 {
		m.add(finding.Error, c.Position, "case-without-pieces", "take the case out, or say with `holds` which pieces and groups it is for",
			"case %q: no piece is left for it", c.Name)
		return
	}
	if len(rest) > 0 && len(model.Layers) == 0 {
		m.add(finding.Error, c.Position, "no-layers", "write `layers` under `tray_defaults`: the pad's foam first, the base last",
			"case %q: trays cannot be chosen, because the job does not say of which foams", c.Name)
		return
	}
	above := heightOf(cover)
	if len(cover) == 0 && len(rest) > 0 {
		above = m.leastCover(model)
	}
	trays, bound := m.choose(c, model, rest, heightOf(reused)+above)
	if trays == nil && len(rest) > 0 {
		return
	}
	m.stackCase(c, model, trays, reused, cover, bound)
}

func heightOf(trays []*job.Tray) units.Length {
	var sum units.Length
	for _, t := range trays {
		for _, l := range t.Layers {
			sum += l.Thickness
		}
	}
	return sum
}

// model is what a tray chosen for a case begins as.
func (m *maker) model(c *job.Case) job.Tray {
	t := m.Job.Defaults
	t.Position, t.Holds, t.Pockets, t.Halves = c.Position, nil, nil, 1
	t.Length, t.Width, t.Corner, t.Ease = c.Inside.Length, c.Inside.Width, c.Inside.Corner, c.Inside.Ease
	m.keepLabelsFree(c, t)
	return t
}

// widestNumbers are the numbers of chosen trays that room for labels is kept
// for: no other of one or of two digits is drawn wider.
var widestNumbers = []int{8, 28}

// keepLabelsFree notes the room that labels and emblems take in the trays that
// will be chosen for a case.
func (m *maker) keepLabelsFree(c *job.Case, model job.Tray) {
	if _, known := m.taken[caseKey(c)]; known {
		return
	}
	j := *m.Job
	one := *c
	one.Stack, j.Trays = nil, nil
	if len(model.Labels)+len(model.Emblems) > 0 {
		for _, n := range widestNumbers {
			t := model
			name(&t, c, n)
			one.Stack, j.Trays = append(one.Stack, t.ID), append(j.Trays, t)
		}
	}
	one.StackPositions, j.Cases = make([]job.Position, len(one.Stack)), []job.Case{one}
	m.taken[caseKey(c)] = nil
	for _, t := range m.planOf(&j).Trays {
		m.taken[caseKey(c)] = append(m.taken[caseKey(c)], takenIn(t)...)
	}
}

// caseKey is where maker.taken has the trays of a case: no tray has such an id.
func caseKey(c *job.Case) string { return "case " + c.Name }

// name gives the n-th tray chosen for a case its id and its label.
func name(t *job.Tray, c *job.Case, n int) {
	t.ID = fmt.Sprintf("%s-tray-%d", slug(c.Name), n)
	if t.Label == "" {
		t.Label = fmt.Sprintf("{game} {case} %d", n)
	}
}

// reuse are trays of the job that go into a case: those whose pieces are all
// wanted, and one without pockets as the cover.
func (m *maker) reuse(c *job.Case, wanted []*job.Piece) (list, cover []*job.Tray) {
	have := map[string]int{}
	for i := range m.out.Trays {
		t := &m.out.Trays[i]
		if t.Length != c.Inside.Length || t.Width != c.Inside.Width {
			continue
		}
		if len(t.Pockets) == 0 {
			if len(cover) == 0 {
				cover = append(cover, t)
			}
			continue
		}
		fits := len(m.holds[t.ID]) > 0
		for _, id := range slices.Sorted(maps.Keys(m.holds[t.ID])) {
			p := m.pieces[id]
			fits = fits && p != nil && slices.Contains(wanted, p) && have[id] < p.Count
		}
		if !fits {
			continue
		}
		for id, n := range m.holds[t.ID] {
			have[id] += n
		}
		list = append(list, t)
	}
	return list, cover
}

// anyDepth is a piece with all its poses: the tray will be made as deep as it
// takes.
func (m *maker) anyDepth(p *job.Piece, n int, model *job.Tray) (kind, bool) {
	k := kind{piece: p, count: n, habits: model.Habits}
	if len(model.Layers) == 0 {
		return k, true // reported by the caller, once
	}
	foam, ok := m.Catalog.Foam(model.Layers[0].Foam)
	if !ok {
		m.add(finding.Error, model.Layers[0].Position, "unknown-foam", "`traywright profiles` lists the foams", "there is no foam %q", model.Layers[0].Foam)
		return k, false
	}
	fit, ok := plan.FitIn(foam, model.Fit)
	if !ok {
		m.add(finding.Error, model.Position, "unknown-fit", "`traywright profiles "+foam.ID+"` lists its fits", "foam %s has no fit %q", foam.ID, model.Fit)
		return k, false
	}
	k.needs = plan.NeedsOf(p, fit, m.step)
	return k, true
}

// choose lays the kinds out in as few trays as it finds, then as low a stack.
// Each thickness of stock is tried as the depth that poses are chosen for: the
// smallest pocket that is no deeper.
func (m *maker) choose(c *job.Case, model job.Tray, kinds []kind, taken units.Length) ([]chosen, int) {
	if len(kinds) == 0 {
		return nil, 0
	}
	pad, _ := m.Catalog.Foam(model.Layers[0].Foam)
	var best []chosen
	var least [4]float64
	bound := 0
	room := c.Inside.Height - taken
	for i, most := range pad.Thicknesses {
		if i > 0 && best != nil && m.ctx.Err() != nil {
			break
		}
		posed, changed := posedFor(kinds, most, pad.Thicknesses[:i])
		if !changed && best != nil {
			continue
		}
		for _, whole := range []bool{true, false} {
			trays, stuck := m.layOut(c, model, posed, whole)
			if stuck != nil {
				m.tooLarge(c, model, *stuck)
				return nil, 0
			}
			cost := m.costOf(trays, model, pad, room)
			if best == nil || slices.Compare(cost[:], least[:]) < 0 {
				best, least, bound = trays, cost, boundOf(trays[0].f.room, posed)
			}
		}
		if i < caseParts-1 {
			m.advance(m.done + 1)
		}
		if len(best) > bound {
			trays := m.denser(c, model, posed)
			if cost := m.costOf(trays, model, pad, room); len(trays) > 0 && slices.Compare(cost[:], least[:]) < 0 {
				best, least = trays, cost
			}
		}
	}
	return best, bound
}

// denser lays the pockets out one by one, for when that takes fewer trays than
// blocks do.
func (m *maker) denser(c *job.Case, model job.Tray, kinds []kind) []chosen {
	var trays []chosen
	for _, f := range packed(m.ctx, m.roomOf(&model, model.Length, model.Width, m.taken[caseKey(c)]), kinds, m.Seed) {
		t := chosen{tray: model, f: f}
		for _, b := range f.blocks {
			t.depth = max(t.depth, b.need.Depth)
		}
		trays = append(trays, t)
	}
	return trays
}

// costOf is what a layout is judged by: how much it is too high, its trays, its
// blocks, its height.
func (m *maker) costOf(trays []chosen, model job.Tray, pad profiles.Foam, room units.Length) [4]float64 {
	var height units.Length
	blocks := 0
	for _, t := range trays {
		height += m.atLeast(t, model, pad)
		blocks += len(t.f.blocks)
	}
	return [4]float64{max(0, height-room).MM(), float64(len(trays)), float64(blocks), height.MM()}
}

// posedFor keeps the poses that need no more than a depth, or, of a piece that
// has none, the flattest. Changed is false where a thinner sheet chose the same.
func posedFor(kinds []kind, most units.Length, thinner []units.Length) (posed []kind, changed bool) {
	pick := func(k kind, most units.Length) []plan.Need {
		var fitting []plan.Need
		for _, n := range k.needs {
			if n.Depth <= most {
				fitting = append(fitting, n)
			}
		}
		if len(fitting) == 0 {
			fitting = []plan.Need{slices.MinFunc(k.needs, func(a, b plan.Need) int { return cmp.Compare(a.Depth, b.Depth) })}
		}
		return fitting
	}
	changed = len(thinner) == 0
	for _, k := range kinds {
		needs := pick(k, most)
		if !changed && len(needs) != len(pick(k, thinner[len(thinner)-1])) || !changed && needs[0] != pick(k, thinner[len(thinner)-1])[0] {
			changed = true
		}
		k.needs = needs
		posed = append(posed, k)
	}
	return posed, changed
}

// layOut fills tray after tray, deepest pieces first, groups together. Whole
// keeps pieces of one kind in one tray where one tray takes them. Stuck is a
// kind that no tray takes.
func (m *maker) layOut(c *job.Case, model job.Tray, kinds []kind, whole bool) (trays []chosen, stuck *kind) {
	pad, _ := m.Catalog.Foam(model.Layers[0].Foam)
	rest := slices.Clone(kinds)
	class := func(k kind) units.Length { return stockFor(k.needs[0].Depth, pad) }
	slices.SortStableFunc(rest, func(a, b kind) int { return cmp.Compare(class(b), class(a)) })
	for len(rest) > 0 {
		s := search{try: m.Try, seed: m.Seed + uint64(len(trays)), whole: whole}
		f := fill(m.ctx, m.roomOf(&model, model.Length, model.Width, m.taken[caseKey(c)]), rest, nil, s)
		if len(f.blocks) == 0 && whole {
			s.whole = false
			f = fill(m.ctx, f.room, rest, nil, s)
		}
		if len(f.blocks) == 0 {
			return nil, &rest[0]
		}
		t := chosen{tray: model, f: f}
		for _, b := range f.blocks {
			t.depth = max(t.depth, b.need.Depth)
		}
		trays = append(trays, t)
		var next []kind
		for i, k := range rest {
			if k.count = f.left[i]; k.count > 0 {
				next = append(next, k)
			}
		}
		rest = next
	}
	return trays, nil
}

// pads are the ways to make a pad of at least a depth: single sheets, or, where
// none is as thick, two of them glued.
func pads(f profiles.Foam, depth units.Length, areaMM2 float64) []option {
	if single := sheets(f, depth, areaMM2, 0, false); len(single) > 0 {
		return single
	}
	return sheets(f, depth, areaMM2, 0, true)
}

// stockFor is the least thickness of a pad of at least a depth.
func stockFor(depth units.Length, f profiles.Foam) units.Length {
	if list := pads(f, depth, 1); len(list) > 0 {
		return lowest([][]option{list})
	}
	return depth
}

// leastCover is the thinnest sheet that a cover could be made of.
func (m *maker) leastCover(model job.Tray) units.Length {
	under, _ := m.Catalog.Foam(model.Layers[len(model.Layers)-1].Foam)
	return stockFor(1, under)
}

// atLeast is the least height of a tray: pad and base.
func (m *maker) atLeast(t chosen, model job.Tray, pad profiles.Foam) units.Length {
	height := stockFor(m.padOf(t.depth, model), pad)
	if n := len(model.Layers); n > 1 {
		height += model.Layers[n-1].Thickness
	}
	return height
}

// padOf is how thick a pad must be for a pocket: without a base it is its own
// floor.
func (m *maker) padOf(depth units.Length, model job.Tray) units.Length {
	if len(model.Layers) == 1 && m.router {
		return depth + plan.LeastFloor
	}
	return depth
}

func (m *maker) tooLarge(c *job.Case, model job.Tray, k kind) {
	b := k.cells(model.Wall.Up(m.step), m.step)[0]
	l, w := b.cell()
	edge := model.Edge.Up(m.step)
	m.add(finding.Error, c.Position, "piece-too-large",
		fmt.Sprintf("an inside of %s x %s would take it; or lay it another way in the roster's pose", m.length(l+2*edge), m.length(w+2*edge)),
		"case %q: the piece %s needs a pocket of %s x %s with its notches, and an edge of %s around it: more than the %s x %s inside",
		c.Name, k.piece.ID, m.length(l), m.length(w), m.length(edge), m.length(model.Length), m.length(model.Width))
}

// stackCase chooses pads, cover and fillers so that the stack fills the case,
// and puts the trays in: the cover on top, fillers under it, the heaviest lowest.
func (m *maker) stackCase(c *job.Case, model job.Tray, trays []chosen, reused, cover []*job.Tray, bound int) {
	free := c.Inside.Height - heightOf(reused) - heightOf(cover)
	parts, base := m.parts(c, model, trays, len(cover) == 0, free)
	room := free - base*units.Length(len(trays))
	picks, _, ok := stackUp(parts, room)
	if !ok {
		m.tooLow(c, trays, lowest(parts)-room)
		return
	}
	var stack []string
	if len(cover) > 0 {
		stack = append(stack, cover[0].ID)
	} else if o := parts[len(trays)][picks[len(trays)]]; len(o.layers) > 0 {
		stack = append(stack, m.plainTray(c, model, "cover", o))
	}
	for i := range trays {
		m.finishChosen(&trays[i], parts[i][picks[i]])
	}
	var fillers []option
	for i := len(trays) + 1; i < len(parts); i++ {
		if o := parts[i][picks[i]]; len(o.layers) > 0 {
			fillers = append(fillers, o)
		}
	}
	slices.SortStableFunc(fillers, func(a, b option) int { return cmp.Compare(a.cost, b.cost) })
	for _, o := range fillers {
		stack = append(stack, m.plainTray(c, model, filler, o))
	}
	stack = append(stack, m.inOrder(c, trays, reused, bound)...)
	c.Stack, c.StackPositions = stack, make([]job.Position, len(stack))
}

// parts are the choices for each new tray's pad, for the cover, and for as many
// filler sheets as could be needed; base is the height of the sheet under each
// pad.
func (m *maker) parts(c *job.Case, model job.Tray, trays []chosen, cover bool, free units.Length) (parts [][]option, base units.Length) {
	area := c.Inside.Length.MM() * c.Inside.Width.MM()
	foamOf := func(i int) profiles.Foam {
		if len(model.Layers) == 0 {
			return profiles.Foam{}
		}
		f, _ := m.Catalog.Foam(model.Layers[i].Foam)
		return f
	}
	last := len(model.Layers) - 1
	if last > 0 {
		base = model.Layers[last].Thickness
	}
	pad, under := foamOf(0), foamOf(max(0, last))
	for _, t := range trays {
		least := m.padOf(t.depth, model)
		parts = append(parts, pads(pad, least, area))
	}
	none := option{}
	if cover {
		parts = append(parts, sheets(under, 0, area, 0, false))
	} else {
		parts = append(parts, []option{none})
	}
	fillers := append(sheets(pad, 0, area, fillerCost, false), sheets(under, 0, area, fillerCost, false)...)
	if len(fillers) == 0 {
		return parts, base
	}
	spare := free - base*units.Length(len(trays)) - lowest(parts)
	thickest := slices.MaxFunc(fillers, func(a, b option) int { return cmp.Compare(a.height, b.height) }).height
	for range min(mostFillers, 2+int(max(0, spare)/thickest)) {
		parts = append(parts, append([]option{none}, fillers...))
	}
	return parts, base
}

const filler = "filler"

// mostFillers bounds the sheets that do nothing but fill a case.
const mostFillers = 12

const tooLowRule = "case-too-low"

// tooLow says by how much a case is too low, and which pieces would have to
// go elsewhere.
func (m *maker) tooLow(c *job.Case, trays []chosen, over units.Length) {
	spare := slices.MinFunc(trays, func(a, b chosen) int { return cmp.Compare(len(a.f.blocks), len(b.f.blocks)) })
	var names []string
	for _, b := range spare.f.blocks {
		names = append(names, fmt.Sprintf("%d of %s", b.count, b.piece.ID))
	}
	m.add(finding.Error, c.Position, tooLowRule,
		fmt.Sprintf("make it %s higher inside; or write one more case: %s would have to go there", m.length(over), strings.Join(names, ", ")),
		"case %q: the pieces take %d trays, and with cover and bases these are at least %s higher than the %s inside",
		c.Name, len(trays), m.length(over), m.length(c.Inside.Height))
}

// finishChosen gives a chosen tray its layers, and with them its weight. Its
// name comes later, with its place in the stack.
func (m *maker) finishChosen(t *chosen, o option) {
	layers := slices.Clone(o.layers)
	if n := len(t.tray.Layers); n > 1 {
		layers = append(layers, t.tray.Layers[n-1])
	}
	t.tray.Layers, t.grams = layers, 0
	for _, b := range t.f.blocks {
		t.grams += float64(b.count) * b.piece.WeightG
	}
	for _, l := range layers {
		f, _ := m.Catalog.Foam(l.Foam)
		t.grams += l.Thickness.MM() * t.tray.Length.MM() * t.tray.Width.MM() * f.DensityKgM3.Value * 1e-6
	}
}

// inOrder names the new trays and returns all trays, the lightest on top.
func (m *maker) inOrder(c *job.Case, trays []chosen, reused []*job.Tray, bound int) []string {
	type heavy struct {
		id    string
		grams float64
		fresh *chosen
	}
	var list []heavy
	for i := range trays {
		list = append(list, heavy{"", trays[i].grams, &trays[i]})
	}
	for _, t := range reused {
		list = append(list, heavy{t.ID, m.weight(t), nil})
	}
	slices.SortStableFunc(list, func(a, b heavy) int { return cmp.Compare(a.grams, b.grams) })
	var ids []string
	fresh := 0
	for _, h := range list {
		if h.fresh != nil {
			fresh++
			name(&h.fresh.tray, c, fresh)
			h.id = m.freshID(h.fresh.tray.ID)
			h.fresh.tray.ID = h.id
			m.out.Trays = append(m.out.Trays, h.fresh.tray)
			m.finishTray(&m.out.Trays[len(m.out.Trays)-1], []*filling{h.fresh.f}, []offset{{}}, c.Name)
		}
		ids = append(ids, h.id)
	}
	first := len(m.trays) - fresh
	for i := range fresh {
		m.trays[first+i].TraysMin = bound
	}
	return ids
}

// plainTray adds a cover or a filler sheet; a filler goes by its id and has
// nothing on it.
func (m *maker) plainTray(c *job.Case, model job.Tray, what string, o option) string {
	t := model
	t.ID, t.Layers, t.Label = m.freshID(slug(c.Name)+"-"+what), o.layers, "{game} {case}"
	if what == filler {
		t.Label, t.Labels, t.Emblems = "", nil, nil
	}
	m.out.Trays = append(m.out.Trays, t)
	return t.ID
}

var notSlug = regexp.MustCompile(`[^a-z0-9]+`)

// slug is a name as part of a tray's id.
func slug(name string) string {
	s := strings.Trim(notSlug.ReplaceAllString(strings.ToLower(name), "-"), "-")
	if len(s) > 24 {
		s = strings.Trim(s[:24], "-")
	}
	if s == "" {
		return "case"
	}
	return s
}

// freshID is an id that no tray has.
func (m *maker) freshID(id string) string {
	taken := func(id string) bool {
		return slices.ContainsFunc(m.out.Trays, func(t job.Tray) bool {
			return t.ID == id || t.Halves == 2 && (id == t.ID+"-1" || id == t.ID+"-2")
		})
	}
	for i := 2; taken(id); i++ {
		if next := fmt.Sprintf("%s-%d", id, i); !taken(next) {
			return next
		}
	}
	return id
}
