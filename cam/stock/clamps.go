package stock

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/pack"
	"traywright/profiles"
)

// Clamps that the machine's profile places stand on the bed, reckoned from X0 Y0, whatever lies there: no part lies
// where its cut, and what holds the tool, would come near one.

// clampBox is a clamp from where X0 Y0 lies so far in.
func clampBox(k profiles.ClampZone, zeroMM [2]float64) geometry.Box {
	low := geometry.Point{X: k.XMM + zeroMM[0], Y: k.YMM + zeroMM[1]}
	return geometry.Box{Min: low, Max: low.Add(geometry.Point{X: k.LengthMM, Y: k.WidthMM})}
}

// LeastBiteMM is how much of the foam a clamp takes at least to hold it (judged, no source).
const LeastBiteMM = 5

// besideMM is how far from a clamp the middle of a tool stays that cuts so wide: the nut above it passes by, and
// what the zero may be off.
func besideMM(m profiles.Machine, t profiles.Tool, wide float64) float64 {
	if !m.Process.Traits().Upright {
		wide = max(wide, t.NutMM())
	}
	return wide/2 + profiles.ClampBesideMM + m.ZeroMM.Value
}

// clamped is where the machine's clamps keep the middle of a groove away.
func (s *Setup) clamped(m profiles.Machine, t profiles.Tool, groove float64) (taken []geometry.Box) {
	for _, k := range m.Clamps {
		taken = append(taken, clampBox(k, s.ZeroMM).Grow(besideMM(m, t, groove)))
	}
	return taken
}

// clamped is where they keep parts away on every panel of a kind of sheet, from its lower-left corner.
func (l *layer) clamped(k kind, r room) (list []pack.Panel) {
	boxes := l.clampBoxes(k, r)
	if l.Plan.Machine.Process.Traits().Upright {
		boxes = l.past(boxes, r)
	}
	for _, b := range boxes {
		if low, high := b.Min, b.Max; high.X > 0 && high.Y > 0 {
			x, y := int64(math.Floor(low.X*perMM)), int64(math.Floor(low.Y*perMM))
			list = append(list, pack.Panel{X: x, Y: y, Length: int64(math.Ceil(high.X*perMM)) - x, Width: int64(math.Ceil(high.Y*perMM)) - y})
		}
	}
	return list
}

// clampBoxes are the clamps with the room beside them, from the corner of a panel of a kind.
func (l *layer) clampBoxes(k kind, r room) (list []geometry.Box) {
	in := l.clampedIn(k, r)
	for _, c := range l.Plan.Machine.Clamps {
		list = append(list, clampBox(c, [2]float64{}).Union(clampBox(c, in)).Grow(l.beside(r)))
	}
	return list
}

// clampedIn is how far in from the corner of a kind's panels X0 Y0, and with it the clamps, may lie. Where depends on how large a panel
// is in the end, so that of a sheet that is larger than the machine's travel, which may be turned to be parted, both places count.
func (l *layer) clampedIn(k kind, r room) [2]float64 {
	return l.zero([2]float64{k.longest(), k.longest()}, r)
}

// longest is the longest side of a kind, mm.
func (k kind) longest() float64 { return float64(max(k.size[0], k.size[1])) / perMM }

// beside is how far from a clamp a part stays.
func (l *layer) beside(r room) (most float64) {
	for _, t := range l.Plan.Machine.Tools {
		most = max(most, besideMM(l.Plan.Machine, t, r.tool))
	}
	return r.kerf/2 + r.lead + most
}

// farMM is farther than any sheet reaches, mm.
const farMM = 1e5

// A head that is not lifted goes straight from X0 Y0, or from beside the sheet, to the first cut, from part to part and to
// where it parks, so that each clamp takes all that is to its right or all that is behind it, and one that stands between takes all.

// ways are the X from which on clamps may take all that is to their right, while the others take what is behind them. Other
// machines have one, which nothing depends on.
func (l *layer) ways(r room) []float64 {
	rights := []float64{farMM}
	if !l.Plan.Machine.Process.Traits().Upright {
		return rights
	}
	from := l.headFrom(r)
	for _, b := range l.clampBoxes(kind{}, r) { // which begin at the same X on every kind
		if b.Min.X > from.Max.X && !slices.Contains(rights, b.Min.X) {
			rights = append(rights, b.Min.X)
		}
	}
	return rights
}

// past is what clamps take so, on the room's way.
func (l *layer) past(boxes []geometry.Box, r room) []geometry.Box {
	from, back := l.headFrom(r), farMM
	for _, b := range boxes {
		if b.Max.X >= from.Min.X && b.Max.Y >= from.Min.Y && b.Min.X < r.right {
			back = min(back, b.Min.Y)
		}
	}
	if back <= from.Max.Y {
		back = -farMM
	}
	aside := geometry.Box{Min: geometry.Point{X: r.right, Y: -farMM}, Max: geometry.Point{X: 2 * farMM, Y: farMM}}
	return []geometry.Box{aside, {Min: geometry.Point{X: -farMM, Y: back}, Max: geometry.Point{X: farMM, Y: 2 * farMM}}}
}

// pastArrow is where no arrow lies on a setup under a head that is not lifted. What the clamps leave it is a rectangle that all parts
// lie in, so that no straight way from an arrow in it comes near one.
func (l *layer) pastArrow(s *Setup) (taken []geometry.Box) {
	if m := l.Plan.Machine; m.Process.Traits().Upright && len(m.Clamps) > 0 {
		for _, k := range m.Clamps {
			taken = append(taken, clampBox(k, s.ZeroMM).Grow(l.beside(s.room)))
		}
		return l.past(taken, s.room)
	}
	return nil
}

// headFrom is where a head that is not lifted comes from and goes to, from a panel's corner.
func (l *layer) headFrom(r room) geometry.Box {
	from := geometry.EmptyBox().Union(geometry.Box{})
	if l.Plan.Machine.Process.Traits().Wire {
		from.Min.X = -plan.BesideMM - l.zeroIn(r)
	}
	if at := l.Plan.Machine.Controller.ParkAt; len(at) > 1 {
		park := geometry.Point{X: at[0], Y: at[1]}
		from = from.Union(geometry.Box{Min: park, Max: park}.Grow(l.zeroIn(r)))
	}
	return from
}

// offClamps is the room of layers that are laid together, with the way past the clamps that leaves most, of those with
// which each of them lies on some sheet; false for none.
func (l *layer) offClamps(r room, kinds []kind, items []item) (room, bool) {
	best, most := r, -1.0
	for _, r.right = range l.ways(r) {
		if leaves := l.leaves(r, kinds); leaves > most && !slices.ContainsFunc(items, func(it item) bool { return !onSome(kinds, func(k kind) bool { return l.lies(k, it.size, r) }) }) {
			best, most = r, leaves
		}
	}
	return best, most >= 0
}

// leaves is how much of one sheet of each kind the room's way leaves, mm2.
func (l *layer) leaves(r room, kinds []kind) (sum float64) {
	if !l.Plan.Machine.Process.Traits().Upright {
		return 0
	}
	reach := l.reach(r)
	for _, k := range kinds {
		past := l.past(l.clampBoxes(k, r), r)
		sum += max(0, min(reach[0], k.longest(), past[0].Min.X)) * max(0, min(reach[1], k.longest(), past[1].Min.Y))
	}
	return sum
}

func onSome(kinds []kind, holds func(kind) bool) bool { return slices.ContainsFunc(kinds, holds) }

// shut are layers that the clamps keep off sheets that would hold them.
type shut struct {
	key   groupKey
	room  room
	kinds []kind
	items []item
}

// longest is the longest that one of them is along either side.
func (s shut) longest() (most float64) {
	for _, it := range s.items {
		most = max(most, it.size[0], it.size[1])
	}
	return most
}

// without is the layer as it is without one of the clamps, or, below 0, without any.
func (l *layer) without(clamp int) *layer {
	free, p := *l, *l.Plan
	free.Plan = &p
	if p.Machine.Clamps = slices.Clone(p.Machine.Clamps); clamp < 0 {
		p.Machine.Clamps = nil
	} else {
		p.Machine.Clamps = slices.Delete(p.Machine.Clamps, clamp, clamp+1)
	}
	return &free
}

// tellShut refuses once what the clamps keep off.
func (l *layer) tellShut() {
	if len(l.shut) == 0 {
		return
	}
	first, m := l.shut[0], l.Plan.Machine
	var alone, all []string // that keep it off
	for i, k := range m.Clamps {
		free := l.without(i)
		if all = append(all, k.Name); !slices.ContainsFunc(l.shut, func(s shut) bool { _, fits := free.offClamps(s.room, s.kinds, s.items); return !fits }) {
			alone = append(alone, k.Name)
		}
	}
	if len(alone) > 0 {
		all = alone[:1]
	}
	label, n := first.items[0].Label(), -1
	for _, s := range l.shut {
		n += len(s.items)
	}
	if n > 0 {
		label += fmt.Sprintf(" and %d more", n)
	}
	l.found = append(l.found, finding.Finding{
		Rule: "clamp-on-stock", Where: fmt.Sprintf("machine %s, %s", m.ID, strings.Join(all, ", ")),
		Message: fmt.Sprintf("in the place that the profile's `clamps` give, no sheet of %s, %s thick, has room for %s, whose cut, and what holds the tool, keep %s from each clamp",
			first.key.foam, l.length(first.key.sold.MM()), label, l.length(profiles.ClampBesideMM)),
		Hint: l.nearer(),
	})
}

// nearer says where the clamps would let all lie that they shut out, on the sheets that there are; or a sheet on which
// it lies where they stand.
func (l *layer) nearer() string {
	least, most := math.Inf(1), 0.0
	for _, s := range l.shut {
		in := 0.0
		if onSome(s.kinds, func(k kind) bool { return l.clampedIn(k, s.room) != [2]float64{} }) {
			in = l.zeroIn(s.room)
		}
		least, most = min(least, s.room.margin-l.beside(s.room)-in), max(most, s.room.margin+s.longest()+l.beside(s.room))
	}
	const move = "set each so, and write it into the machine's `clamps`: "
	if l.Plan.Machine.Process.Traits().Upright {
		for _, at := range l.Plan.Machine.Controller.ParkAt {
			most = max(most, at+2*l.beside(l.shut[0].room)+l.zeroIn(l.shut[0].room))
		}
		most = math.Ceil(most*10) / 10
		return move + fmt.Sprintf("x_mm %g or more, or y_mm %g or more, for a head that is not lifted meets what stands nearer to X0 Y0", most, most)
	}
	least = math.Floor(least*10) / 10
	hint := move + fmt.Sprintf("x_mm + length_mm %g or less, or y_mm + width_mm %g or less", least, least)
	first, need := l.shut[0], [2]float64{}
	for _, s := range l.shut {
		if s.key != first.key {
			return hint
		}
		for _, it := range s.items {
			one := l.need(s.room, it.size)
			need[0], need[1] = max(need[0], one[0]), max(need[1], one[1])
		}
	}
	if far := l.travel(); need[0] <= far[0] && need[1] <= far[1] {
		hint += "; or add a larger sheet to `sheets` of `stock`, such as {" + l.row(first.key, need[0], need[1]) + "}"
	}
	return hint
}

// need is the least sheet that holds a layer where the clamps stand: the lowest place beside them, as a person writes it.
func (l *layer) need(r room, size [2]float64) [2]float64 {
	best, least := [2]float64{l.up(r.around(size[0])), l.up(r.around(size[1]))}, math.Inf(1)
	xs, ys := []float64{r.margin}, []float64{r.margin}
	const large = farMM * perMM
	for _, t := range slices.Concat(l.clamped(kind{}, r), l.clamped(kind{size: [2]int64{large, large}}, r)) { // where X0 Y0 may lie on it
		xs, ys = append(xs, float64(t.X+t.Length)/perMM), append(ys, float64(t.Y+t.Width)/perMM)
	}
	for _, x := range xs {
		for _, y := range ys {
			sheet := [2]float64{l.up(r.around(size[0]) + max(0, x-r.margin)), l.up(r.around(size[1]) + max(0, y-r.margin))}
			k := kind{size: [2]int64{whole(sheet[0]), whole(sheet[1])}}
			if area := sheet[0] * sheet[1]; area < least && l.holds(k, size, r) {
				best, least = sheet, area
			}
		}
	}
	return best
}
