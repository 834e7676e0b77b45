package stock

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/pack"
	"traywright/geometry/units"
)

// kind is a row of the stock as layers are laid on it: whole, or in equal panels that the
// machine reaches.
type kind struct {
	row   int
	sheet job.StockSheet
	whole [2]float64 // as it lies, mm
	grid  [2]int     // panels along X and Y
	panel [2]float64
	cost  int64 // of a panel, in the unit of the search
	count int   // sheets that are there; 0 is as many as needed
	left  int   // panels of one that is begun
	begun int   // which of the sheets that are cut up it is, 1 first; 0 for whole ones
}

// Parting is which panel of a sheet a setup is: see Parted.
type Parting struct {
	Sheet  string     // "" where the setup is the whole sheet
	SizeMM [2]float64 // of the sheet, as it lies
	Grid   [2]int     // panels along X and Y
	AtMM   [2]float64 // of this panel's lower-left corner
	Number int        // of this panel, 1 first
	AtHand bool
	Label  string // the owner's own name of the sheet, where its files have another; else ""
}

// opened is a sheet that is cut up.
type opened struct {
	kind  kind
	key   groupKey
	name  string
	label string // the owner's, where that is another; else ""
	used  int    // panels, in their order
	parts float64
	kept  float64 // area of the offcuts that stay, mm2
}

// morePanels than the fewest are tried along each side.
const morePanels = 3

// kinds are the rows of a foam and thickness in panels that waste least of
// them.
func (l *layer) kinds(key groupKey, r room, items []item) []kind {
	var list []kind
	for i, s := range l.stock.Sheets {
		if s.Foam != key.foam || s.Thickness != key.sold || s.Count > 0 && l.free[i] == 0 {
			continue
		}
		list = append(list, l.parted(kind{row: i, sheet: s, whole: [2]float64{s.Length.MM(), s.Width.MM()}, count: l.free[i]}, r, items))
	}
	l.setCosts(list)
	return append(l.begun(key), list...)
}

// begun are the panels that earlier layers of the same foam and thickness, which are cut with
// other tools, have left of their sheets: they cost nothing more. A sheet that measures otherwise
// is another sheet: on it a skin would be thicker, or none.
func (l *layer) begun(key groupKey) (list []kind) {
	for i, o := range l.cut {
		k := o.kind
		if o.key.foam == key.foam && o.key.sold == key.sold && o.key.real == key.real && o.used < k.grid[0]*k.grid[1] {
			k.begun, k.left, k.cost = i+1, k.grid[0]*k.grid[1]-o.used, 1
			list = append(list, k)
		}
	}
	return list
}

// parted is a row in the panels on which the layers take the fewest of its sheets, and of those
// in the fewest.
func (l *layer) parted(k kind, r room, items []item) kind {
	reach := l.reach(r)
	best, least := kind{}, math.Inf(1)
	for _, turned := range [2]bool{false, true} {
		try := k
		if turned {
			if r.grain {
				break
			}
			try.whole[0], try.whole[1] = k.whole[1], k.whole[0]
		}
		fewest := [2]int{int(math.Ceil(try.whole[0]/reach[0] - 1e-9)), int(math.Ceil(try.whole[1]/reach[1] - 1e-9))}
		most := fewest
		if most != [2]int{1, 1} {
			most = [2]int{fewest[0] + morePanels, fewest[1] + morePanels}
		}
		for nx := fewest[0]; nx <= most[0]; nx++ {
			for ny := fewest[1]; ny <= most[1]; ny++ {
				try.grid = [2]int{nx, ny}
				try.panel = [2]float64{l.panelOf(try.whole[0], nx), l.panelOf(try.whole[1], ny)}
				if n := math.Ceil(try.needed(items, r)-1e-9) + 1e-3*float64(nx*ny); n < least {
					best, least = try, n
				}
			}
		}
	}
	return best
}

// panelOf is the length of n equal panels of a sheet, where a knife parts them.
func (l *layer) panelOf(whole float64, n int) float64 {
	if n == 1 {
		return whole
	}
	step := knifeMM(l.Plan.Job.Units)
	return math.Floor(whole/float64(n)/step+1e-9) * step
}

// travel is how far the machine goes, true mm; without end where nobody has said.
func (l *layer) travel() [2]float64 {
	far := [2]float64{math.Inf(1), math.Inf(1)}
	x, y := l.Plan.Machine.Scale()
	for i, scale := range [2]float64{x, y} {
		if mm := l.Plan.Machine.TravelMM[i].Value; mm > 0 {
			far[i] = mm * scale
		}
	}
	return far
}

// reach is the largest sheet that can be cut: its rim may lie beyond the machine's travel, as long
// as the tool, with its own width once more on both sides, comes to all that is cut.
func (l *layer) reach(r room) [2]float64 {
	far := l.travel()
	if l.Plan.Machine.Process.Traits().Wire { // which begins beside the sheet's left edge
		return [2]float64{far[0] + r.margin - r.tool - plan.BesideMM, far[1] + 2*(r.margin-r.tool)}
	}
	return [2]float64{far[0] + 2*(r.margin-r.tool), far[1] + 2*(r.margin-r.tool)}
}

// zero is where X0 Y0 lies on a setup, from its lower-left corner: there, or, where the machine
// does not come to it, a round number in from it.
func (l *layer) zero(size [2]float64, r room) (at [2]float64) {
	step := 5.0
	if l.Plan.Job.Units == units.Inch {
		step = 25.4 / 4
	}
	for i, far := range l.travel() {
		if size[i] > far {
			at[i] = math.Floor((r.margin-r.tool)/step+1e-9) * step
		}
	}
	return at
}

// needed is about how many sheets the layers take: those that fit on none count as a thousand.
func (k kind) needed(items []item, r room) float64 {
	sheets, holds := 0.0, map[[2]float64]int{}
	for _, it := range items {
		size := sizeOf(it)
		n, known := holds[size]
		if !known {
			n = k.holds(size, r)
			holds[size] = n
		}
		if n == 0 {
			sheets += 1000
			continue
		}
		sheets += 1 / float64(n*k.grid[0]*k.grid[1])
	}
	return sheets
}

// holds is how many layers of a size lie on a panel in rows, all of them one way.
func (k kind) holds(size [2]float64, r room) int {
	along := func(panel, side float64) int {
		room := whole(panel) - 2*roundUp(r.margin) + roundUp(r.gap)
		return max(0, int(room/(roundUp(side)+roundUp(r.gap))))
	}
	straight := along(k.panel[0], size[0]) * along(k.panel[1], size[1])
	if r.grain {
		return straight
	}
	return max(straight, along(k.panel[0], size[1])*along(k.panel[1], size[0]))
}

// panels is how many of them there are for so many layers.
func (k kind) panels(items int) int {
	switch {
	case k.begun > 0:
		return min(items, k.left)
	case k.count == 0:
		return items
	}
	return min(items, k.count*k.grid[0]*k.grid[1])
}

// money is a cent in the unit of the search; below it, smaller sheets go before larger ones of
// one price, and offcuts that are not needed stay whole.
const money = 100_000

// setCosts gives each panel its share of its sheet's price: nothing for what is at hand, and one
// for all where one of them has no price, so that the fewest are bought.
func (l *layer) setCosts(kinds []kind) {
	priced := !slices.ContainsFunc(kinds, func(k kind) bool { return !k.sheet.AtHand() && k.sheet.Price == 0 })
	for i := range kinds {
		k := &kinds[i]
		area := int64(k.panel[0] * k.panel[1] / 1000)
		k.cost = min(area, money/2)
		if k.sheet.AtHand() {
			continue
		}
		price := int64(100)
		if priced {
			price = int64(math.Round(k.sheet.Price * 100))
		}
		k.cost += price * money / int64(k.grid[0]*k.grid[1])
	}
}

// take turns what pack has laid into setups: offcuts first, each sheet filled up panel by panel.
func (l *layer) take(key groupKey, r room, kinds []kind, items []item, laid pack.SheetsResult) error {
	on := make([][]int, len(laid.Used)) // items, by panel
	for i, p := range laid.Placements {
		on[p.Bin] = append(on[p.Bin], i)
	}
	current := map[int]int{} // the sheet of each kind that is being filled, an index into l.cut
	for _, bin := range inOrder(kinds, laid.Used, on) {
		kind := laid.Used[bin]
		at, open := current[kind]
		if !open && kinds[kind].begun > 0 {
			at, open = kinds[kind].begun-1, true
		}
		if !open || l.cut[at].used == kinds[kind].grid[0]*kinds[kind].grid[1] {
			at = len(l.cut)
			current[kind] = at
			l.cut = append(l.cut, l.opened(key, kinds[kind]))
		}
		s := l.setup(key, r, at)
		for _, i := range on[bin] {
			p := laid.Placements[i]
			s.place(items[i].Part, [2]float64{float64(p.X) / perMM, float64(p.Y) / perMM}, p.Turned)
		}
		s.Offcuts = s.offcuts(r.kerf+r.lead, l.Plan.Machine.Process.Traits().Wire)
		if err := s.order(l, r); err != nil {
			return err
		}
		l.cut[at].parts += s.partsArea()
		for _, o := range s.Offcuts {
			l.cut[at].kept += o.LengthMM * o.WidthMM
		}
		s.UsedShare = s.partsArea() / (s.SizeMM[0] * s.SizeMM[1])
		l.Setups = append(l.Setups, s)
	}
	return nil
}

// inOrder are the panels that something lies on: those at hand first, in the order of the stock.
func inOrder(kinds []kind, used []int, on [][]int) (order []int) {
	for bin := range on {
		if len(on[bin]) > 0 {
			order = append(order, bin)
		}
	}
	bought := func(bin int) int {
		if k := kinds[used[bin]]; k.begun > 0 || k.sheet.AtHand() {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(bought(a), bought(b)), cmp.Compare(used[a], used[b]), cmp.Compare(on[a][0], on[b][0]))
	})
	return order
}

// opened is the next sheet of a kind.
func (l *layer) opened(key groupKey, k kind) opened {
	o := opened{kind: k, key: key, name: l.open(k)}
	if k.sheet.AtHand() && k.sheet.Name != o.name {
		o.label = k.sheet.Name
	}
	return o
}

// setup is the next panel of a sheet that is cut up.
func (l *layer) setup(key groupKey, r room, at int) *Setup {
	o := &l.cut[at]
	k := o.kind
	column, row := o.used/k.grid[1], o.used%k.grid[1]
	o.used++
	s := &Setup{cut: at, Name: o.name, Foam: key.foam, Layer: key.sold.MM(), SizeMM: k.panel, ZeroMM: l.zero(k.panel, r), MarginMM: r.margin}
	s.From = Parting{SizeMM: k.whole, Grid: k.grid, AtMM: [2]float64{float64(column) * k.panel[0], float64(row) * k.panel[1]}, Number: o.used, AtHand: k.sheet.AtHand(), Label: o.label}
	if k.grid != [2]int{1, 1} {
		s.From.Sheet = o.name
		s.Name = panelName(o.name, o.used)
	}
	return s
}
