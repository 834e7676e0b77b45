package stock

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/pack"
	"traywright/geometry/units"
)

// kind is a row of the stock as layers are laid on it, or a piece of a sheet that earlier layers of the same
// foam and thickness, which are cut with other tools, have left.
type kind struct {
	row   int
	sheet job.StockSheet
	size  [2]int64 // in the unit of the layout
	at    [2]int64 // where a piece lies in its sheet
	cents float64  // to pay
	cost  int64    // in the unit of the search
	count int      // sheets that are there; 0 is as many as needed
	begun int      // which of the sheets that are cut up it is a piece of, 1 first; 0 for whole ones
}

// Parting is which panel of a sheet a setup is: see Parted.
type Parting struct {
	Sheet  string     // "" where the setup is the whole sheet
	SizeMM [2]float64 // of the sheet, as it lies
	AtMM   [2]float64 // of this panel's lower-left corner
	Number int        // of this panel, 1 first
	AtHand bool
	Label  string // the owner's own name of the sheet, where its files have another; else ""
}

// opened is a sheet that is cut up.
type opened struct {
	kind   kind
	key    groupKey
	name   string
	label  string // the owner's, where that is another; else ""
	size   [2]int64
	overMM [2]float64   // what the sheet is larger than that, in whose unit a 64th of an inch is not whole
	panels []pack.Panel // in their order
	parts  float64
	kept   float64 // area of the offcuts that stay, mm2
}

// parted reports whether a machine reaches only a part of the sheet at a time.
func (o opened) parted() bool { return !isWhole(o.panels, o.size) }

func isWhole(panels []pack.Panel, size [2]int64) bool {
	return len(panels) == 1 && panels[0] == pack.Panel{Length: size[0], Width: size[1]}
}

// kinds are the rows of a foam and thickness, behind what is left of sheets of it that are cut up.
func (l *layer) kinds(key groupKey) []kind {
	var list []kind
	for i, s := range l.stock.Sheets {
		if s.Foam != key.foam || s.Thickness != key.sold || s.Count > 0 && l.free[i] == 0 {
			continue
		}
		list = append(list, kind{row: i, sheet: s, size: [2]int64{whole(s.Length.MM()), whole(s.Width.MM())}, count: l.free[i]})
	}
	setCosts(list)
	return append(l.begun(key), list...)
}

// begun are the pieces that earlier layers have left: they cost nothing more. A sheet that measures otherwise
// is another sheet: on it a skin would be thicker, or none.
func (l *layer) begun(key groupKey) (list []kind) {
	for i, o := range l.cut {
		if o.key.foam != key.foam || o.key.sold != key.sold || o.key.real != key.real {
			continue
		}
		for _, p := range pack.Rests(o.panels, o.size[0], o.size[1]) {
			list = append(list, kind{row: o.kind.row, sheet: o.kind.sheet, size: [2]int64{p.Length, p.Width}, at: [2]int64{p.X, p.Y}, count: 1, begun: i + 1})
		}
	}
	return list
}

// options are what the search keeps to: panels end where a hand measures for a knife, and none is parted from
// a strip that would be no offcut of use.
func (l *layer) options(r room) pack.Options {
	const endless = 1e6
	reach := l.reach(r)
	p := pack.Parting{Step: whole(knifeMM(l.Plan.Job.Units)), Least: leastOffcutMM * perMM, Cost: setupCost, Spare: SawMM * perMM, Gain: gainMM * perMM}
	hold := l.underClamps(r)
	for i, mm := range reach {
		p.Hold[i] = roundUp(hold[i])
		p.Reach[i] = int64(math.Floor(min(mm, endless)*perMM + 1e-6))
	}
	return pack.Options{Spacing: roundUp(r.gap), Margin: roundUp(r.margin), Parting: p}
}

const (
	// SawMM is what a saw may take of a panel along X and along Y; gainMM is worth another measure on a saw's page (judged, no source).
	SawMM  = 2
	gainMM = 10
)

// underClamps is how long and wide a panel has to be, for each clamp of the machine's profile to hold it.
func (l *layer) underClamps(r room) (least [2]float64) {
	in := l.zeroIn(r)
	for _, k := range l.Plan.Machine.Clamps {
		least[0] = max(least[0], k.XMM+min(LeastBiteMM, k.LengthMM)+in)
		least[1] = max(least[1], k.YMM+min(LeastBiteMM, k.WidthMM)+in)
	}
	return least
}

// packed is a kind as pack knows it.
func (l *layer) packed(k kind, items int, r room) pack.Sheet {
	count := items
	if k.count > 0 {
		count = min(items, k.count)
	}
	return pack.Sheet{Length: k.size[0], Width: k.size[1], Cost: k.cost, Count: count, Fixed: r.grain || k.begun > 0, Taken: l.clamped(k, r)}
}

// holds reports whether a layer of a size lies on some panel of a kind, past the clamps one way or another.
func (l *layer) holds(k kind, size [2]float64, r room) bool {
	return slices.ContainsFunc(l.ways(r), func(right float64) bool {
		r.right = right
		return l.lies(k, size, r)
	})
}

// lies is the same of the way past the clamps that the room has.
func (l *layer) lies(k kind, size [2]float64, r room) bool {
	it := pack.Item{Length: roundUp(size[0]), Width: roundUp(size[1]), Fixed: r.grain}
	return l.options(r).Holds(it, l.packed(k, 1, r))
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
// as the tool, with its own width once more on both sides, comes to all that is cut from where it counts.
func (l *layer) reach(r room) (reach [2]float64) {
	for i, far := range l.travel() {
		reach[i] = far + l.zeroIn(r) + r.margin - r.tool - r.lead
	}
	if l.Plan.Machine.Process.Traits().Wire { // which begins beside the sheet's left edge
		reach[0] -= l.zeroIn(r) + plan.BesideMM
	}
	return reach
}

// reached is how far from a setup's corner the tool comes, with its own width once more.
func (s *Setup) reached(r room) [2]float64 {
	far := s.farPart()
	return [2]float64{far.X + r.tool + r.lead, far.Y + r.tool + r.lead}
}

// farPart is how far from a setup's corner its parts reach.
func (s *Setup) farPart() geometry.Point {
	all := geometry.EmptyBox()
	for _, p := range s.Parts {
		all = all.Union(p.Sheet.Edge.Shape.Transform(p.to).Bounds())
	}
	return all.Max
}

// SawnMM is how much of the room beside the parts, on the right and at the back, straight cuts may take of a panel: nothing of an edge
// that is the sheet's own on both sides.
func (s *Setup) SawnMM() (mm [2]float64) {
	for i := range mm {
		if s.From.Sheet != "" && s.SizeMM[i] < s.From.SizeMM[i] {
			mm[i] = SawMM
		}
	}
	return mm
}

// LackMM is how much less than its margin a panel may keep that saws have taken so much of.
func (s *Setup) LackMM() (mm float64) {
	far, sawn := s.farPart(), s.SawnMM()
	for i, beside := range [2]float64{s.SizeMM[0] - far.X, s.SizeMM[1] - far.Y} {
		mm = max(mm, s.MarginMM+sawn[i]-beside)
	}
	return max(0, mm)
}

// beyond is where on a setup the machine does not come to with the middle of a groove.
func (l *layer) beyond(s *Setup, groove float64) (list []geometry.Box) {
	x, y := l.travel()[0]+s.ZeroMM[0]-groove/2, l.travel()[1]+s.ZeroMM[1]-groove/2
	if x < farMM {
		list = append(list, geometry.Box{Min: geometry.Point{X: x, Y: -farMM}, Max: geometry.Point{X: farMM, Y: farMM}})
	}
	if y < farMM {
		list = append(list, geometry.Box{Min: geometry.Point{X: -farMM, Y: y}, Max: geometry.Point{X: farMM, Y: farMM}})
	}
	return list
}

// zeroIn is a round number in from a sheet's corner that the tool comes to, with all that it cuts.
func (l *layer) zeroIn(r room) float64 {
	step := RoundMM(l.Plan.Job.Units)
	return max(0, math.Floor((r.margin-r.tool-r.lead)/step+1e-9)*step)
}

// RoundMM is what round numbers of foam are whole multiples of: 5 mm, or a quarter of an inch.
func RoundMM(u units.Unit) float64 {
	if u == units.Inch {
		return units.InchMM / 4
	}
	return 5
}

// zero is where X0 Y0 lies on a setup that is cut so far from its lower-left corner: there, or, where the
// machine does not come so far from it, a round number in from it.
func (l *layer) zero(cut [2]float64, r room) (at [2]float64) {
	for i, far := range l.travel() {
		if cut[i] > far {
			at[i] = l.zeroIn(r)
		}
	}
	return at
}

// What things cost in the unit of the search. A setup is worth 100 m2 of sheets that are cut up for nothing, so
// that of two ways that cost the same money the one with fewer setups is taken, and then the one that leaves
// more of what is at hand whole. A cent is worth ten thousand setups, less only where a sheet is so dear that
// sums of cents would not be held.
const (
	setupCost = 10_000
	areaMM2   = 10_000 // of sheet, for one
	money     = 100_000_000
	mostMoney = 1 << 43
)

// setCosts gives each sheet its price: nothing for what is at hand, and one for all where one of
// them has no price, so that the fewest are bought.
func setCosts(kinds []kind) {
	unpriced := slices.ContainsFunc(kinds, func(k kind) bool { return !k.sheet.AtHand() && k.sheet.Price == 0 })
	most := 1.0
	for i := range kinds {
		k := &kinds[i]
		if k.cents = math.Round(k.sheet.Price * 100); unpriced && !k.sheet.AtHand() {
			k.cents = 100
		}
		most = max(most, k.cents)
	}
	cent := math.Floor(min(money, mostMoney/most))
	for i := range kinds {
		k := &kinds[i]
		area := float64(k.size[0]) * float64(k.size[1]) / (perMM * perMM)
		k.cost = int64(k.cents*cent + min(area/areaMM2, setupCost-1))
	}
}

// take turns what pack has laid into setups: offcuts first, each sheet panel by panel.
func (l *layer) take(key groupKey, r room, kinds []kind, items []item, laid pack.SheetsResult) {
	on := make([][]int, len(laid.Used)) // items, by sheet
	for i, p := range laid.Placements {
		on[p.Bin] = append(on[p.Bin], i)
	}
	for _, bin := range inOrder(kinds, laid.Used, on) {
		k := kinds[laid.Used[bin]]
		at := k.begun - 1
		if at < 0 {
			at = len(l.cut)
			l.cut = append(l.cut, l.opened(key, k, laid.Panels[bin], laid.Laid[bin]))
		}
		for _, panel := range laid.Panels[bin] {
			s := l.setup(key, r, at, pack.Panel{X: panel.X + k.at[0], Y: panel.Y + k.at[1], Length: panel.Length, Width: panel.Width})
			for _, i := range on[bin] {
				if p := laid.Placements[i]; panel.Holds(p) {
					s.place(items[i].Part, [2]float64{float64(p.X-panel.X) / perMM, float64(p.Y-panel.Y) / perMM}, p.Turned)
				}
			}
			s.ZeroMM = l.zero(s.reached(r), r)
			l.Setups = append(l.Setups, s)
		}
	}
}

// orderAll makes the work orders of what lies on the setups, and counts what of their sheets stays.
func (l *layer) orderAll() error {
	var begun []*plan.Roughable
	for _, s := range l.Setups {
		begun = append(begun, s.begin())
	}
	l.RoughingSavesS = plan.SettleRoughings(begun)
	for i, s := range l.Setups {
		s.Offcuts = s.offcuts(s.room.kerf+s.room.lead, l.Plan.Machine.Process.Traits().Wire)
		if err := s.order(l, begun[i].Ways[0]); err != nil {
			return err
		}
		o := &l.cut[s.cut]
		o.parts += s.partsArea()
		o.kept += areaOf(s.Offcuts)
		s.UsedShare = s.partsArea() / (s.SizeMM[0] * s.SizeMM[1])
	}
	return nil
}

// inOrder are the sheets that something lies on: those at hand first, in the order of the stock.
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

// opened is the next sheet of a kind, that is to have at least these panels.
func (l *layer) opened(key groupKey, k kind, panels []pack.Panel, turned bool) opened {
	o := opened{kind: k, key: key, size: k.size}
	for i, own := range [2]units.Length{k.sheet.Length, k.sheet.Width} {
		o.overMM[i] = own.MM() - float64(k.size[i])/perMM
	}
	if turned {
		o.size[0], o.size[1] = o.size[1], o.size[0]
		o.overMM[0], o.overMM[1] = o.overMM[1], o.overMM[0]
	}
	o.name = l.open(k, !isWhole(panels, o.size))
	if k.sheet.AtHand() && k.sheet.Name != o.name {
		o.label = k.sheet.Name
	}
	return o
}

// setup is the next panel of a sheet that is cut up.
func (l *layer) setup(key groupKey, r room, at int, p pack.Panel) *Setup {
	o := &l.cut[at]
	o.panels = append(o.panels, p)
	panel := o.rect(p)
	s := &Setup{cut: at, room: r, Name: o.name, Foam: key.foam, Layer: key.sold.MM(), SizeMM: [2]float64{panel.LengthMM, panel.WidthMM}, MarginMM: r.margin}
	s.From = Parting{SizeMM: o.sizeMM(), AtMM: [2]float64{panel.XMM, panel.YMM}, Number: len(o.panels), AtHand: o.kind.sheet.AtHand(), Label: o.label}
	if o.parted() {
		s.From.Sheet = o.name
		s.Name = panelName(o.name, len(o.panels))
	}
	return s
}

// rect is a panel in mm: an edge that is the sheet's own is where its owner says.
func (o opened) rect(p pack.Panel) Rect {
	r := Rect{float64(p.X) / perMM, float64(p.Y) / perMM, float64(p.Length) / perMM, float64(p.Width) / perMM}
	if p.X+p.Length == o.size[0] {
		r.LengthMM += o.overMM[0]
	}
	if p.Y+p.Width == o.size[1] {
		r.WidthMM += o.overMM[1]
	}
	return r
}

func (o opened) sizeMM() [2]float64 {
	r := o.rect(pack.Panel{Length: o.size[0], Width: o.size[1]})
	return [2]float64{r.LengthMM, r.WidthMM}
}
