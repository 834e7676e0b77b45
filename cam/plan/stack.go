package plan

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// copies is how many of a tray the cases need altogether. A tray that no case
// stacks is made once.
func (m *maker) copies(t *job.Tray, at place) int {
	n := 0
	stacks := 0
	for _, c := range m.Job.Cases {
		if len(c.Stack) > 0 {
			stacks++
		}
		for _, id := range c.Stack {
			if id == t.ID {
				n += max(c.Copies, 1)
			}
		}
	}
	if n > 0 {
		return n
	}
	if stacks > 0 && t.Case == "" {
		m.log.note(at, "tray-in-no-case", "is in no case's stack; it is made once", "name it in a `stack`, or take it out")
	}
	return 1
}

// casesOf are the names of the cases that stack a tray, each once.
func (m *maker) casesOf(t *job.Tray) []string {
	var cases []string
	for _, c := range m.Job.Cases {
		if slices.Contains(c.Stack, t.ID) && !slices.Contains(cases, c.Name) {
			cases = append(cases, c.Name)
		}
	}
	if len(cases) == 0 && t.Case != "" { // whose stack is yet to be chosen
		return []string{t.Case}
	}
	return cases
}

// labelTemplate is the tray's label as written; without one it is its id.
func labelTemplate(t *job.Tray) string {
	if t.Label == "" {
		return "{tray}"
	}
	return t.Label
}

// oneForEach is how each case gets a tray of its own with its name on it. One that was chosen stands in no job.
func oneForEach(t *job.Tray) string {
	if !t.Chosen {
		return "write `each: case` on the tray, or take {case} out of its label"
	}
	if len(t.Pockets) > 0 { // two cases hold the same
		return "write `each: case` under `tray_defaults`, or take {case} out of the label there, where one stands"
	}
	var layers []string
	for _, l := range t.Layers {
		layers = append(layers, l.Written(func(l units.Length) string { return l.Exact(units.Millimetre) }))
	}
	return fmt.Sprintf("write it under `trays`, `- {id: %s, each: case, label: %q, layers: [%s]}`, and arrange again with --force", t.ID, labelTemplate(t), strings.Join(layers, ", "))
}

// label fills the names into a tray's label. A tray in several cases names
// them all.
func (m *maker) label(t *job.Tray, at place) string {
	template := labelTemplate(t)
	if cases := m.casesOf(t); len(cases) > 1 && usesCase(t, template) {
		m.log.note(at, "label-for-several-cases",
			"is made once for each of "+strings.Join(cases, ", ")+", and its label names them all",
			oneForEach(t))
	}
	text, empty := job.Fill(template, m.values(t))
	empty = slices.DeleteFunc(empty, func(p string) bool { return p == "{case}" }) // a tray in no case has its own note
	if len(empty) > 0 {
		m.log.warn(at, "label-without-name", fmt.Sprintf("has %s in its label, and %s", strings.Join(empty, ", "), nameless(empty[0])),
			"write the name itself, or take it out of the label")
	}
	return text
}

// usesCase reports whether the tray's label, or one that is cut, has the case in it.
func usesCase(t *job.Tray, template string) bool {
	return job.UsesName(template, "case") || slices.ContainsFunc(t.Labels, func(l job.Label) bool { return job.UsesName(l.Text, "case") })
}

// makeCases stacks the trays, counts the pieces and weighs each case.
func (m *maker) makeCases(groups []group) {
	byID := m.boardsByID()
	index := map[*board]int{}
	for i, b := range m.boards {
		index[b] = i
	}
	m.checkCounts(groups)
	m.checkLabels(groups)
	m.noteUnweighed()
	for i := range m.Job.Cases {
		m.makeCase(&m.Job.Cases[i], byID, index)
	}
}

// boardsByID are the trays by the ids that the job gives them: halves have one in common.
func (m *maker) boardsByID() map[string][]*board {
	byID := map[string][]*board{}
	for _, b := range m.boards {
		byID[b.source.ID] = append(byID[b.source.ID], b)
	}
	return byID
}

// groups are the trays that travel together. Without a stack all trays do.
func (m *maker) groups() []group {
	byID := m.boardsByID()
	var groups []group
	for _, c := range m.Job.Cases {
		g := group{name: c.Name}
		for _, id := range c.Stack {
			g.boards = append(g.boards, byID[id]...)
		}
		if len(g.boards) > 0 {
			groups = append(groups, g)
		}
	}
	if len(groups) == 0 {
		groups = append(groups, group{boards: m.boards})
	}
	return groups
}

func (m *maker) makeCase(c *job.Case, byID map[string][]*board, index map[*board]int) {
	at := place{position: c.Position, text: "case " + c.Name}
	result := Case{Name: c.Name, Copies: max(c.Copies, 1), Inside: c.Inside}
	if len(c.Stack) == 0 {
		m.log.fail(at, "not-arranged", "has no stack yet",
			"`arrange` comes first: give the job to `traywright arrange`, or name its trays in `stack`, top to bottom")
	}
	var stack []*board
	for i, id := range c.Stack {
		boards := byID[id]
		if len(boards) == 0 {
			m.missingTray(c, i, at)
			continue
		}
		stack = append(stack, boards[0])
		result.Stack = append(result.Stack, index[boards[0]])
		result.Height += boards[0].Thickness()
		for _, b := range boards {
			result.WeightG += b.FoamG + b.PiecesG
		}
	}
	result.Room = c.Inside.Height - result.Height
	m.cases = append(m.cases, result)
	m.checkSizes(c, stack, at)
	m.checkHeightOf(c, result, stack, at)
	if !c.Chosen {
		m.checkOrder(stack, byID, at)
	}
}

// missingTray reports an id in a stack that no tray has. A tray that was left
// out because of its own errors has been reported already.
func (m *maker) missingTray(c *job.Case, i int, at place) {
	if i < len(c.StackPositions) {
		at.position = c.StackPositions[i]
	}
	var known []string
	for _, t := range m.Job.Trays {
		if t.ID == c.Stack[i] {
			return
		}
		known = append(known, t.ID)
	}
	m.log.fail(at, "unknown-tray", fmt.Sprintf("stacks %q, and there is no such tray", c.Stack[i]), "its trays: "+strings.Join(known, ", "))
}

// checkSizes holds each tray of a stack against the inside of its case.
func (m *maker) checkSizes(c *job.Case, stack []*board, at place) {
	told := map[*board]bool{}
	for _, b := range stack {
		t := b.source
		if told[b] || t.Length == c.Inside.Length && t.Width == c.Inside.Width {
			continue
		}
		told[b] = true
		m.log.fail(at, "tray-does-not-fit", fmt.Sprintf("is %s x %s inside and its tray %s is %s x %s",
			m.length(c.Inside.Length), m.length(c.Inside.Width), t.ID, m.length(t.Length), m.length(t.Width)),
			"leave the tray's `size` out: then it comes from the case")
	}
}

// checkHeightOf compares the stack with the case, to the nanometre.
func (m *maker) checkHeightOf(c *job.Case, result Case, stack []*board, at place) {
	switch {
	case len(stack) == 0:
	case result.Room < 0:
		m.log.fail(at, "stack-too-high",
			fmt.Sprintf("the stack is %s high, %s more than the %s inside", m.length(result.Height), m.some(-result.Room), m.length(c.Inside.Height)),
			m.stackedAgain(c, stack)+m.thinner(stack, -result.Room))
	case outOf(stack[0]) > result.Room.MM()+proudMM:
		m.log.warn(at, "lid-on-pieces",
			fmt.Sprintf("pieces of %s stand %s out, and %s is left of the %s inside: the lid presses on them", stack[0].ID, m.mm(outOf(stack[0])), m.some(result.Room), m.length(c.Inside.Height)),
			"make their pockets deeper, or the case higher inside")
	case result.Room > 0:
		m.log.note(at, "room-left",
			fmt.Sprintf("the stack is %s high and leaves %s of %s", m.length(result.Height), m.some(result.Room), m.length(c.Inside.Height)),
			m.toFill(c, stack, result.Room))
	}
	m.noteInterval(c, result, stack, at)
}

// heavier is how much more than the tray below it a tray may weigh before it
// is worth a word. Starting value.
const heavier = 1.25

// checkOrder notes a tray that is much heavier than the one right below it.
func (m *maker) checkOrder(stack []*board, byID map[string][]*board, at place) {
	weight := func(b *board) float64 {
		sum := 0.0
		for _, half := range byID[b.source.ID] {
			sum += half.FoamG + half.PiecesG
		}
		return sum
	}
	often := func(b *board) bool {
		return slices.ContainsFunc(byID[b.source.ID], func(half *board) bool {
			return slices.ContainsFunc(half.holes, func(h *hole) bool { return h.piece != nil && h.piece.Often })
		})
	}
	for i := 1; i < len(stack); i++ {
		upper, lower := weight(stack[i-1]), weight(stack[i])
		if often(stack[i-1]) && !often(stack[i]) {
			continue // it is to lie above
		}
		if upper > heavier*lower {
			m.log.note(at, "heavy-above-light",
				fmt.Sprintf("tray %s weighs %s and stands on %s, which weighs %s", stack[i-1].source.ID, finding.Grams(upper), stack[i].source.ID, finding.Grams(lower)),
				"put the heavier tray lower")
		}
	}
}

// thickness of a layer in a stack, and how often the stack has it.
type stackLayer struct {
	tray   *board
	number int // from the top, 1 first
	layer  Layer
	times  int
}

// mostSearched bounds how many layers are tried in pairs.
const mostSearched = 64

// stackLayers lists the layers of a stack, each tray once.
func stackLayers(stack []*board) []stackLayer {
	times := map[*board]int{}
	for _, b := range stack {
		times[b]++
	}
	var list []stackLayer
	for _, b := range stack {
		for i, l := range b.Layers {
			if times[b] > 0 {
				list = append(list, stackLayer{b, i + 1, l, times[b]})
			}
		}
		times[b] = 0
	}
	return list[:min(len(list), mostSearched)]
}

// swap is a thinner stock sheet in the place of a layer.
type swap struct {
	at        stackLayer
	thickness units.Length
	saved     units.Length // in the whole stack
}

// swaps are all thinner stock sheets for the layers of a stack in which every piece
// still has as much pocket as it has now.
func (m *maker) swaps(stack []*board) []swap {
	var list []swap
	for _, l := range stackLayers(stack) {
		for _, t := range l.layer.Foam.Thicknesses {
			if t > 0 && t < l.layer.Sold() && t < l.layer.Thickness && m.keepsPieces(l, t) { // of what the sheet really is
				list = append(list, swap{l, t, (l.layer.Thickness - t) * units.Length(l.times)})
			}
		}
	}
	return list
}

// sheetNow is how thick a layer's sheet is, by its label and as measured.
func (m *maker) sheetNow(l Layer) string {
	if l.Measured() {
		return l.Words(m.unit)
	}
	return m.length(l.Thickness)
}

// thinner says which stock thickness of which layer brings the stack into its
// case, with as little room left as can be; or which two.
func (m *maker) thinner(stack []*board, over units.Length) string {
	all := m.swaps(stack)
	var best []swap
	saved := units.Length(0)
	try := func(s ...swap) {
		sum := units.Length(0)
		for _, one := range s {
			sum += one.saved
		}
		if sum >= over && (best == nil || sum < saved) {
			best, saved = slices.Clone(s), sum
		}
	}
	for _, s := range all {
		try(s)
	}
	if best == nil {
		for i, s := range all {
			for _, t := range all[:i] {
				if s.at.tray != t.at.tray || s.at.number != t.at.number {
					try(t, s)
				}
			}
		}
	}
	if best == nil {
		return "take out a tray, or use a higher case: no two thinner stock sheets that hold the pieces as deep make it fit"
	}
	var parts []string
	for _, s := range best {
		parts = append(parts, fmt.Sprintf("layer %d of %s (%s) of %s instead of %s%s",
			s.at.number, s.at.tray.source.ID, s.at.layer.Foam.ID, s.thickness.Exact(m.unit), m.sheetNow(s.at.layer), s.written(m.unit)))
	}
	fits := "that fits exactly"
	if saved > over {
		fits = "that fits with " + m.length(saved-over) + " to spare"
	}
	return "make " + strings.Join(parts, " and ") + ": " + fits
}
