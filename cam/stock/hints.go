package stock

import (
	"fmt"
	"slices"

	"traywright/cam/plan"
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
		least[0], least[1] = max(least[0], r.around(it.size[0])), max(least[1], r.around(it.size[1]))
	}
	if !fits {
		return l.row(key, least[0], least[1])
	}
	return fmt.Sprintf("foam: %s, thickness: %s, size: [1000 mm, 500 mm]", key.foam, key.sold.Exact(l.Plan.Job.Units))
}

// larger says what holds a layer that lies on no sheet.
func (l *layer) larger(key groupKey, r room, size [2]float64) string {
	x, y := r.around(size[0]), r.around(size[1])
	hint := "add a larger sheet to `sheets` of `stock`, such as {" + l.row(key, x, y) + "}"
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
	size := items[max(short, 0)].size
	return fmt.Sprintf("add a row without `count`, of which as many are bought as needed, such as {%s}", l.row(key, r.around(size[0]), r.around(size[1])))
}

func (l *layer) row(key groupKey, x, y float64) string {
	return fmt.Sprintf("foam: %s, thickness: %s, size: [%.1f mm, %.1f mm]", key.foam, key.sold.Exact(l.Plan.Job.Units), x, y)
}
