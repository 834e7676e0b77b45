package pack

import (
	"cmp"
	"slices"
)

// Trimmed is the packing with each panel of a parted sheet no larger than what lies on it needs, where that saves as much as
// Parting.Gain and what is left behind or beside is of use. What is behind a panel that is made shorter moves with it, and nothing
// else does.
func (r SheetsResult) Trimmed(items []Item, sheets []Sheet, o Options) (SheetsResult, error) {
	if r.Panels == nil {
		return r, nil
	}
	r.Panels, r.Placements = slices.Clone(r.Panels), slices.Clone(r.Placements)
	on := make([][]int, len(r.Used))
	for i, p := range r.Placements {
		on[p.Bin] = append(on[p.Bin], i)
	}
	for bin, kind := range r.Used {
		t := trim{o: o, items: items, placed: r.Placements, old: r.Panels[bin], panels: slices.Clone(r.Panels[bin]), on: make([][]int, len(r.Panels[bin]))}
		for _, i := range on[bin] {
			at := slices.IndexFunc(t.old, func(p Panel) bool { return p.Holds(r.Placements[i]) })
			t.on[at] = append(t.on[at], i)
		}
		t.length, t.width = sheets[kind].lie(r.Laid[bin])
		t.run()
		r.Panels[bin] = t.panels
	}
	return r, r.verify(items, sheets, o)
}

// trim makes the panels of one sheet shorter.
type trim struct {
	o             Options
	items         []Item
	placed        []Placement
	old, panels   []Panel
	on            [][]int // placements, by panel
	length, width int64
}

func (t *trim) run() {
	p := t.o.Parting
	order := make([]int, len(t.panels))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(t.old[a].X, t.old[b].X), cmp.Compare(t.old[a].Y, t.old[b].Y))
	})
	var strips [][]int
	for _, i := range order {
		if n := len(strips); n > 0 && t.old[strips[n-1][0]].X == t.old[i].X {
			strips[n-1] = append(strips[n-1], i)
			continue
		}
		strips = append(strips, []int{i})
	}
	longs, needs := make([]int64, len(strips)), make([]int64, len(strips))
	for n, strip := range strips {
		wides, needed := make([]int64, len(strip)), make([]int64, len(strip))
		for k, i := range strip {
			need := t.need(i)
			wides[k], needed[k] = t.old[i].Width, min(t.old[i].Width, need[1])
			longs[n], needs[n] = t.old[i].Length, max(needs[n], min(t.old[i].Length, need[0]))
		}
		if t.width > p.Reach[1] && p.worthwhile(wides, needed, t.old[strip[0]].Y, t.width) {
			at := t.old[strip[0]].Y
			for k, i := range strip {
				t.panels[i].Y, t.panels[i].Width = at, needed[k]
				at += needed[k]
			}
		}
	}
	if t.length > p.Reach[0] && len(strips) > 0 && p.worthwhile(longs, needs, t.old[strips[0][0]].X, t.length) {
		at := t.old[strips[0][0]].X
		for n, strip := range strips {
			for _, i := range strip {
				t.panels[i].X, t.panels[i].Length = at, needs[n]
			}
			at += needs[n]
		}
	}
	for i, list := range t.on {
		for _, n := range list {
			t.placed[n].X += t.panels[i].X - t.old[i].X
			t.placed[n].Y += t.panels[i].Y - t.old[i].Y
		}
	}
}

// need is how long and wide a panel has to be, in whole steps.
func (t *trim) need(panel int) (need [2]int64) {
	p, around := t.o.Parting, t.o.Margin
	for _, i := range t.on[panel] {
		at, l, w := t.placed[i], t.items[i].Length, t.items[i].Width
		if at.Turned {
			l, w = w, l
		}
		need[0] = max(need[0], at.X+l-t.old[panel].X+around+p.Spare)
		need[1] = max(need[1], at.Y+w-t.old[panel].Y+around+p.Spare)
	}
	for axis := range need {
		need[axis] = p.up(max(need[axis], p.held(axis)))
	}
	return need
}

// worthwhile reports whether pieces that follow each other from somewhere on save enough when they are as long as they need to be,
// and what is left behind them is of use.
func (p Parting) worthwhile(long, needed []int64, from, end int64) bool {
	saved := int64(0)
	for i := range long {
		from, saved = from+needed[i], saved+long[i]-needed[i]
	}
	return saved > 0 && saved >= p.Gain && end-from >= p.Least
}
