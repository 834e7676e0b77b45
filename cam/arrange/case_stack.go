package arrange

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

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

const filler = "filler"

// mostFillers bounds the sheets that do nothing but fill a case.
const mostFillers = 12

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
