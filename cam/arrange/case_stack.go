package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// stackUp chooses pads, cover and fillers so that the stack fills the case, and
// puts the trays in: the cover on top, fillers under it, the heaviest lowest.
// Where even the lowest stack is too high, nothing is done.
func (k *choosing) stackUp() lack {
	free := k.c.Inside.Height - heightOf(k.reused) - heightOf(k.cover) - k.base*units.Length(len(k.trays))
	parts := k.parts(free)
	picked, ok := stackUp(parts, free)
	if !ok {
		return lack{lowest(parts) - free, len(k.trays) + len(k.reused)}
	}
	pads, cover, fillers := picked[:len(k.trays)], picked[len(k.trays)], picked[len(k.trays)+1:]
	var stack []string
	for _, t := range k.cover {
		stack = append(stack, t.ID)
	}
	if len(k.cover) == 0 && len(cover.layers) > 0 {
		stack = append(stack, k.plainTray("cover", cover))
	}
	slices.SortStableFunc(fillers, func(a, b option) int { return cmp.Compare(a.cost, b.cost) })
	for _, o := range fillers {
		if len(o.layers) > 0 {
			stack = append(stack, k.plainTray(filler, o))
		}
	}
	for i, o := range pads {
		k.finishChosen(&k.trays[i], o)
	}
	stack = append(stack, k.inOrder()...)
	k.tellOften(stack)
	k.c.Stack, k.c.StackPositions = stack, make([]finding.Position, len(stack))
	return lack{}
}

const filler = "filler"

// fillerID is what the ids of a case's fillers begin with.
func fillerID(c *job.Case) string { return job.Slug(c.Name) + "-" + filler }

// mostFillers bounds the sheets that do nothing but fill a case.
const mostFillers = 12

// parts are the choices for each new tray's pad, for the cover, and for as many
// filler sheets as could be needed in the height that is free for them all.
func (k *choosing) parts(free units.Length) (parts [][]option) {
	area := k.c.Inside.Length.MM() * k.c.Inside.Width.MM()
	for _, t := range k.trays {
		parts = append(parts, k.pads(k.leastPad(t.depth), area))
	}
	none := option{}
	if covers := sheets(k.under, 0, area, 0, false); len(k.cover) == 0 && len(covers) > 0 {
		parts = append(parts, covers)
	} else {
		parts = append(parts, []option{none})
	}
	fillers := append(sheets(k.pad, 0, area, fillerCost, false), sheets(k.under, 0, area, fillerCost, false)...)
	if len(fillers) == 0 {
		return parts
	}
	spare := free - lowest(parts)
	thickest := slices.MaxFunc(fillers, func(a, b option) int { return cmp.Compare(a.height, b.height) }).height
	for range min(mostFillers, 2+int(max(0, spare)/thickest)) {
		parts = append(parts, append([]option{none}, fillers...))
	}
	return parts
}

// finishChosen gives a chosen tray its layers, and with them its weight. Its
// name comes later, with its place in the stack.
func (k *choosing) finishChosen(t *chosen, o option) {
	layers := k.layersOn(o)
	t.tray.Layers, t.grams = layers, 0
	for _, p := range k.Job.Roster {
		t.grams += float64(min(k.holds[t.tray.ID][p.ID], p.Count)) * p.WeightG
	}
	for _, b := range t.f.blocks {
		t.grams += float64(b.pieces()) * b.piece.WeightG
	}
	for _, l := range layers {
		f, _ := k.Catalog.Foam(l.Foam)
		t.grams += l.Thickness.MM() * t.tray.Length.MM() * t.tray.Width.MM() * f.DensityKgM3.Value * 1e-6
	}
}

// inOrder names the new trays and returns all trays: those with what is used every game above the others, and the
// lightest on top.
func (k *choosing) inOrder() []string {
	type heavy struct {
		id    string
		grams float64
		often bool
		fresh *chosen
	}
	var list []heavy
	for i := range k.trays {
		t := &k.trays[i]
		list = append(list, heavy{"", t.grams, k.oftenIn(t.tray.ID) || t.often(), t})
	}
	for _, t := range k.reused {
		list = append(list, heavy{t.ID, k.weight(t), k.oftenIn(t.ID), nil})
	}
	slices.SortStableFunc(list, func(a, b heavy) int {
		return cmp.Or(last(a.often, b.often), cmp.Compare(a.grams, b.grams))
	})
	var ids []string
	fresh := 0
	for _, h := range list {
		if h.fresh != nil {
			for fresh++; h.fresh.tray.ID == "" && k.stands(fresh); {
				fresh++
			}
			h.id = k.put(h.fresh, fresh)
		}
		ids = append(ids, h.id)
	}
	return ids
}

// stands reports whether a tray that stands has the number.
func (k *choosing) stands(n int) bool {
	t := k.model
	k.name(&t, k.c, n)
	return slices.ContainsFunc(k.standing, func(s chosen) bool { return s.tray.ID == t.ID })
}

// put adds the n-th new tray to the job and returns its id.
func (k *choosing) put(t *chosen, n int) string {
	if t.tray.ID == "" {
		k.name(&t.tray, k.c, n)
		t.tray.ID = k.freshID(t.tray.ID)
	}
	k.out.Trays = append(k.out.Trays, t.tray)
	k.finishTray(&k.out.Trays[len(k.out.Trays)-1], []*filling{t.f}, []offset{{}}, k.c.Name)
	k.maker.trays[len(k.maker.trays)-1].TraysMin = k.bound
	return t.tray.ID
}

// plainTray adds a cover or a filler sheet; a filler goes by its id and has
// nothing on it.
func (k *choosing) plainTray(what string, o option) string {
	t := k.model
	t.ID, t.Layers, t.Label = k.freshID(job.Slug(k.c.Name)+"-"+what), o.layers, cmp.Or(t.Label, k.caseLabel())
	if what == filler {
		t.Label, t.Labels, t.Emblems = "", nil, nil
	}
	k.out.Trays = append(k.out.Trays, t)
	return t.ID
}
