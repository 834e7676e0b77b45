package plan

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// joinHoles finds the holes that meet.
func (m *maker) joinHoles(b *board) {
	regions := make([]geometry.Region, len(b.holes))
	for i, h := range b.holes {
		regions[i] = h.Design
	}
	b.meet = meeting(regions, m.slackMM())
}

// depthIn is how deep a hole goes into a slab; 0 where it does not reach it.
func (s slab) depthIn(h *hole) units.Length { return max(0, min(h.Depth, s.bottom)-s.top) }

// makeCuts makes the slab's holes: those that meet at one depth become one.
func (m *maker) makeCuts(b *board, s slab) []Cut {
	var cuts []Cut
	for _, group := range s.groups(b) {
		if cut, ok := m.makeCut(b, s, group); ok {
			cuts = append(cuts, cut)
		}
	}
	return cuts
}

// groups are the holes of the slab that belong together, in the tray's order.
func (s slab) groups(b *board) [][]int {
	together := newSets(len(b.holes))
	for _, pair := range b.meet {
		if s.depthIn(b.holes[pair[0]]) == s.depthIn(b.holes[pair[1]]) {
			together.join(pair[0], pair[1])
		}
	}
	at := map[int]int{}
	var groups [][]int
	for i, h := range b.holes {
		if s.depthIn(h) == 0 {
			continue
		}
		first := together.find(i)
		if _, ok := at[first]; !ok {
			at[first] = len(groups)
			groups = append(groups, nil)
		}
		groups[at[first]] = append(groups[at[first]], i)
	}
	return groups
}

func (m *maker) makeCut(b *board, s slab, group []int) (Cut, bool) {
	t, c, no := m.tryCut(b, s, group)
	if no != nil {
		m.refused(t, no)
		return Cut{}, false
	}
	if s.top == 0 {
		m.settle(b, group, c)
	}
	return Cut{
		Pockets: group, At: b.holes[group[0]].Position, Name: cutName(b, group), Design: c.design, Shape: c.reached.shape,
		DepthMM: t.depthMM, Through: t.through, Tool: c.tool, Recipes: c.recipes, LeaveTight: b.source.LeaveTight,
		Dowel: b.holes[group[0]].Dowel > 0,
	}, true
}

func (m *maker) tryCut(b *board, s slab, group []int) (task, choice, *refusal) {
	first := b.holes[group[0]]
	depth := s.depthIn(first)
	t := task{
		at: first.at, tool: cmp.Or(m.toolOf(b, group), b.oneTool[group[0]]), layers: s.layers,
		depthMM: depth.MM(), through: depth == s.bottom-s.top,
	}
	if m.PlugsOnMM > 0 && t.through {
		t.skinOf = func(profiles.Recipe) float64 { return m.PlugsOnMM }
	}
	if len(group) == 1 {
		t.origin = first.origin
		c, no := m.cutOne(first, t)
		return t, c, no
	}
	c, no := m.cutJoined(b, group, t)
	return t, c, no
}

// toolOf is the tool that the job names for the first of the group that has one.
func (m *maker) toolOf(b *board, group []int) string {
	name := ""
	for _, i := range group {
		h := b.holes[i]
		switch {
		case h.tool == "" || h.tool == name:
		case name == "":
			name = h.tool
		default:
			m.log.fail(h.at, "two-tools", fmt.Sprintf("is one with a pocket for the tool %s, and names %s", name, h.tool), "name one tool for both")
		}
	}
	if name == "" && m.wholeLayers() {
		return b.source.Tool // one tool cuts all of a layer
	}
	return name
}

func cutName(b *board, group []int) string {
	const most = 3
	var names []string
	for _, i := range group[:min(len(group), most)] {
		names = append(names, b.holes[i].Name)
	}
	if len(group) > most {
		names = append(names, fmt.Sprintf("%d more", len(group)-most))
	}
	return strings.Join(names, " + ")
}

// cutKey is all that decides how a single pattern is cut.
type cutKey struct {
	pattern *pattern
	foams   string
	tool    string // that the job names
	depthMM float64
	through bool
	dowel   bool // a registration hole, which is gone down into without a plunge
}

// cutOutcome is a choice at the origin, or why there is none.
type cutOutcome struct {
	choice
	no *refusal
}

// cutOne cuts a hole on its own. Equal holes are worked out once and moved.
func (m *maker) cutOne(h *hole, t task) (choice, *refusal) {
	key := cutKey{h.pattern, foamsOf(t.layers), t.tool, t.depthMM, t.through, h.Dowel > 0}
	known, done := m.outcomes[key]
	if !done {
		try := trial{bare: h.bare, relief: h.relief}
		try.reach = func(r, room float64) (reached, error) { return h.pattern.reach(r, room, m.TolMM) }
		try.corners = func(r float64) []corner { return sharpCorners(h.bare, r) }
		known.choice, known.no = m.choose(t, func(tool profiles.Tool, recipes []profiles.Recipe) (choice, *refusal) {
			if h.Dowel > 0 && h.pattern.form.reach(m.turnRadius(recipes), leastRoomMM).narrow {
				return choice{}, m.tooNarrow(tool, m.turnRadius(recipes), middle(h.bare.Bounds()))
			}
			return m.tryShape(tool, recipes, try)
		})
		m.outcomes[key] = known
	}
	c, move := known.choice, geometry.Translate(h.origin.X, h.origin.Y)
	c.design, c.reached.shape = c.design.Transform(move), c.reached.shape.Transform(move)
	return c, known.no
}

func foamsOf(layers []Layer) string {
	var ids []string
	for _, l := range layers {
		ids = append(ids, l.Foam.ID)
	}
	return strings.Join(ids, "\x00")
}

// cutJoined cuts holes that have become one. A corner is relieved where it is
// a corner of a pocket that asks for it.
func (m *maker) cutJoined(b *board, group []int, t task) (choice, *refusal) {
	parts := make([]geometry.Region, len(group))
	relief := job.NoRelief
	for k, i := range group {
		h := b.holes[i]
		parts[k] = h.bare.Transform(geometry.Translate(h.origin.X, h.origin.Y))
		relief = max(relief, h.relief)
	}
	whole, err := geometry.Union(m.TolMM, parts...)
	if err == nil && whole.Empty() {
		err = errTooSmall
	}
	if err != nil {
		return choice{}, badShape(err)
	}
	if len(whole.Pieces()) > 1 {
		return choice{}, &refusal{
			rule: "wall-too-thin", message: "meets another pocket in a single point", hint: "let them overlap, or move them apart",
		}
	}
	try := trial{bare: whole, relief: relief}
	try.reach = func(r, room float64) (reached, error) { return reach(whole, r, room, m.TolMM) }
	try.corners = func(r float64) []corner {
		return slices.DeleteFunc(sharpCorners(whole, r), func(c corner) bool { return !m.asksRelief(b, group, c) })
	}
	return m.choose(t, func(tool profiles.Tool, recipes []profiles.Recipe) (choice, *refusal) {
		return m.tryShape(tool, recipes, try)
	})
}

func (m *maker) asksRelief(b *board, group []int, c corner) bool {
	for _, i := range group {
		h := b.holes[i]
		if h.relief == job.NoRelief {
			continue
		}
		for _, own := range sharpCorners(h.bare, 1) {
			if own.at.Add(h.origin).DistanceTo(c.at) <= m.slackMM() {
				return true
			}
		}
	}
	return false
}

// trial is a shape that tools are held against.
type trial struct {
	bare    geometry.Region
	reach   func(r, room float64) (reached, error) // of the bare shape
	relief  job.Relief
	corners func(r float64) []corner // that want the relief
}

// tryShape holds a tool against a shape: it must fit before any relief, and
// what it leaves is worked out with the reliefs.
func (m *maker) tryShape(tool profiles.Tool, recipes []profiles.Recipe, t trial) (choice, *refusal) {
	r, room := cornerRadius(recipes), leastRoomMM
	if r > radius(recipes) {
		room = 0 // the foam's least corner decides, and what cuts has room beside it
	}
	fits, err := t.reach(r, room)
	if err != nil {
		return choice{}, badShape(err)
	}
	if fits.narrow {
		return choice{}, m.tooNarrow(tool, r, fits.at)
	}
	c := choice{design: t.bare, reached: fits}
	if t.relief == job.NoRelief || !m.Means.RoundCorners() {
		return c, nil
	}
	if c.design, err = relieved(t.bare, t.corners(r), t.relief, r, m.TolMM); err != nil {
		return choice{}, badShape(err)
	}
	if c.reached, err = reach(c.design, r, room, m.TolMM); err != nil {
		return choice{}, badShape(err)
	}
	return c, nil
}

func badShape(err error) *refusal {
	return &refusal{rule: "bad-shape", message: "has a shape that cannot be worked with: " + err.Error(), hint: "change its size, turn or place a little"}
}

// settle takes over what the top sheet's tool makes of the pockets: the design
// with its reliefs, and the corners that stay round.
func (m *maker) settle(b *board, group []int, c choice) {
	for _, i := range group {
		h := b.holes[i]
		h.cut = &c
		if len(group) == 1 {
			h.Design = c.design
		} else if h.relief != job.NoRelief && m.Means.RoundCorners() {
			h.Design = m.ownRelief(h, cornerRadius(c.recipes))
		}
	}
}

// relieve gives the pockets the reliefs that makeCuts will, for what looks for room beside them,
// until the function that it returns takes them back: which pockets meet is told without.
func (m *maker) relieve(b *board) (back func()) {
	defer m.unheard()()
	m.joinHoles(b)
	m.oneTools(b)
	pockets, top := b.holes, m.slabs(b)[0]
	for _, group := range top.groups(b) {
		if slices.ContainsFunc(group, func(i int) bool { return pockets[i].relief != job.NoRelief }) {
			if _, c, no := m.tryCut(b, top, group); no == nil {
				m.settle(b, group, c)
			}
		}
	}
	return func() {
		for _, h := range pockets {
			h.moveTo(h.origin)
		}
	}
}

// unheard lets the maker ask ahead: with the function that it returns it forgets what it has found and told since. That is
// told by makeCuts, which tells nothing of a cut whose outcome is known already.
func (m *maker) unheard() (back func()) {
	was := *m
	m.log, m.told, m.outcomes = newLog(), maps.Clone(m.told), maps.Clone(m.outcomes)
	return func() { *m = was }
}

// ownRelief is a joined pocket's own shape with its own reliefs. The union was
// made of the same parts, so that an error here would have shown there.
func (m *maker) ownRelief(h *hole, r float64) geometry.Region {
	own, err := relieved(h.bare, sharpCorners(h.bare, r), h.relief, r, m.TolMM)
	if err != nil {
		own = h.bare
	}
	return own.Transform(geometry.Translate(h.origin.X, h.origin.Y))
}

// OutlineName is the name of the cut that sets a sheet free.
const OutlineName = "outline"

// makeEdge is the cut that sets the sheet free: the tray's outline.
func (m *maker) makeEdge(b *board, t task) Cut {
	outline := geometry.NewRegion(b.cutRound())
	c, no := m.choose(t, func(profiles.Tool, []profiles.Recipe) (choice, *refusal) { return choice{}, nil })
	if no != nil {
		m.refused(t, no)
	}
	return Cut{
		Name: OutlineName, Design: outline, Shape: outline, DepthMM: t.depthMM, Through: true, Tool: c.tool, Recipes: c.recipes,
		LeaveTight: b.source.LeaveTight,
	}
}

// edgeTask is the outline of a slab, down to what holds it.
func (m *maker) edgeTask(b *board, s slab) task {
	t := task{at: s.at, tool: b.source.Tool, layers: s.layers, depthMM: (s.bottom - s.top).MM(), through: true}
	t.skinOf = func(bottom profiles.Recipe) float64 {
		hold, _ := m.Means.Hold(bottom, t.depthMM)
		return hold.SkinMM
	}
	return t
}

// checkRelief says once a tray that a beam has no need of reliefs.
func (m *maker) checkRelief(b *board) {
	if !m.built() || m.Means.RoundCorners() {
		return
	}
	for _, h := range b.holes {
		if h.relief != job.NoRelief {
			m.log.note(h.at, "relief-not-needed", "asks for a relief, which a "+string(m.Machine.Process)+" does not need: it is left out", "")
		}
	}
}
