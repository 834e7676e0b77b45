package stock

import (
	"fmt"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry/units"
)

// What a hint asks for where the stock does not do: rows that do, followed to the letter.

// asked is the room that a hint asks for: where a tray's pockets are not known yet, that beside the
// widest and the narrowest cut of all the machine's tools.
func (l *layer) asked(r room, it item) room {
	if !l.stock.Unfilled {
		return r
	}
	s, widest := *it.Sheet, r.kerf
	s.Cuts = slices.Clone(s.Cuts)
	for _, t := range l.Plan.Machine.Tools {
		s.Cuts = append(s.Cuts, plan.Cut{Tool: t, KerfMM: []float64{t.DiameterMM.Value}})
		widest = max(widest, t.DiameterMM.Value)
	}
	r.margin = max(r.margin, widest+l.RimMM(s))
	return r
}

// sheetFor is the row of a sheet for layers that stock has none for: of a usual size, or, where its panels
// are too small for one of them, as large as it has to be.
func (l *layer) sheetFor(key groupKey, r room, items []item) string {
	k, fits, least := kind{size: [2]int64{1000 * perMM, 500 * perMM}}, true, [2]float64{}
	for _, it := range items {
		fits = fits && l.holds(k, it.size, r)
		need := l.need(r, it.size)
		least[0], least[1] = max(least[0], need[0]), max(least[1], need[1])
	}
	if !fits {
		return l.row(key, least[0], least[1])
	}
	return fmt.Sprintf("foam: %s, thickness: %s, size: [1000 mm, 500 mm]", key.foam, key.sold.Exact(l.Plan.Job.Units))
}

// larger says what holds a layer that lies on no sheet.
func (l *layer) larger(key groupKey, r room, size [2]float64) string {
	need := l.need(r, size)
	hint := "add a larger sheet to `sheets` of `stock`, such as {" + l.row(key, need[0], need[1]) + "}"
	if l.stock.Margin.MM() == r.margin {
		hint += ", or give a smaller `margin`"
	}
	return hint
}

// unlimited says which sheet holds, as often as it is bought, a layer that none does which may be bought so.
func (l *layer) unlimited(key groupKey, r room, kinds []kind, items []item) string {
	short := slices.IndexFunc(items, func(it item) bool {
		return !slices.ContainsFunc(kinds, func(k kind) bool { return k.sheet.Count == 0 && l.holds(k, it.size, r) })
	})
	need := l.need(r, items[max(short, 0)].size)
	return fmt.Sprintf("add a row without `count`, of which as many are bought as needed, such as {%s}", l.row(key, need[0], need[1]))
}

func (l *layer) row(key groupKey, x, y float64) string {
	written := func(mm float64) string {
		if u := l.Plan.Job.Units; u == units.Inch {
			return l.length(l.up(mm))
		}
		return fmt.Sprintf("%.1f mm", l.up(mm))
	}
	return fmt.Sprintf("foam: %s, thickness: %s, size: [%s, %s]", key.foam, key.sold.Exact(l.Plan.Job.Units), written(x), written(y))
}

// around is the least that a sheet has to have along a side, in the layout's own steps as holds has it.
func (r room) around(side float64) float64 {
	return float64(roundUp(side)+2*roundUp(r.margin)) / perMM
}

// noRoom reports the layers that fit on no sheet, or that the clamps shut out.
func (l *layer) noRoom(key groupKey, r room, kinds []kind, items []item) {
	foam := fmt.Sprintf("%s, %s thick", key.foam, l.length(key.sold.MM()))
	if len(kinds) == 0 {
		l.fail("no-stock", items[0].Tray, "needs "+foam+", of which `stock` has no sheet", "add a row to `sheets` of `stock`, such as {"+l.sheetFor(key, l.asked(r, items[0]), items)+"}")
		return
	}
	tooLarge := false
	for _, it := range items {
		if free, size := l.without(-1), it.size; !onSome(kinds, func(k kind) bool { return free.holds(k, size, r) }) {
			tooLarge = true
			l.fail("stock-too-small", it.Tray, fmt.Sprintf("lies on no sheet of %s: it needs %s with the %s all around that it is cut in and held by, in one piece that the machine reaches", foam,
				l.size(r.around(size[0]), r.around(size[1])), l.length(l.up(r.margin))), l.larger(key, l.asked(r, it), size))
		}
	}
	if !l.Plan.Machine.Process.Traits().Upright {
		items = slices.DeleteFunc(slices.Clone(items), func(it item) bool { return onSome(kinds, func(k kind) bool { return l.holds(k, it.size, r) }) })
	}
	if !tooLarge {
		l.shut = append(l.shut, shut{key, r, kinds, items})
	}
}
