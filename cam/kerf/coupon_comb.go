package kerf

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// usualStep between two slots of a comb: the least difference of fit that a hand
// feels in soft foam. Common practice, no source.
const usualStep units.Length = 500_000

// SlotOverMM is how much longer than the size its slots are, so that a piece
// touches nothing but the two sides. Common practice, no source.
const SlotOverMM = 10

// fitDepthMM is how deep a router cuts slots, where the foam lets it: deep enough
// to feel, and soon done. Common practice, no source.
const fitDepthMM = 12

// leastSlotMM is the narrowest slot that anything is pushed into.
const leastSlotMM = 2

// usualFits is how far a comb reaches in a foam whose profile has no fits, mm.
var usualFits = [2]float64{-1, 1.5}

// comb makes slots from a step tighter than the foam's tightest fit to a step
// easier than its easiest, tight to easy.
func (d *designer) comb() {
	if d.Comb == 0 {
		return
	}
	step := d.CombStep
	if step == 0 {
		step = usualStep
	}
	low, high := d.fitRange()
	first := int(math.Floor(low/step.MM()+1e-9)) - 1
	last := int(math.Ceil(high/step.MM()-1e-9)) + 1
	if n := last - first + 1; n > mostSlots {
		d.fail("comb-too-fine", fmt.Sprintf("in steps of %s the comb has %d slots, more than %d", d.length(step), n, mostSlots), "take a larger --comb-step")
		return
	}
	var slots []Slot
	for k := first; k <= last; k++ {
		width := d.Comb + units.Length(k)*step
		if width.MM() <= d.kerfMM() || width.MM() < leastSlotMM {
			d.fail("comb-too-small", fmt.Sprintf("a slot of %s is too narrow for the tool's %s", d.length(width), d.mm(d.kerfMM())), "choose a larger size, a smaller --comb-step or a thinner tool")
			return
		}
		slots = append(slots, Slot{Label: width.Bare(d.Units), Width: width, Fits: d.fitsAt(width-d.Comb, step)})
	}
	for _, s := range d.labelled(slots) {
		d.patches = append(d.patches, d.slot(s))
	}
}

// labelled numbers the slots where their widths are too long to be engraved
// under each.
func (d *designer) labelled(slots []Slot) []Slot {
	if !slices.ContainsFunc(slots, func(s Slot) bool { return !d.fitsUnder(s.Label, onGrid(s.Width.MM())) }) {
		return slots
	}
	for i := range slots {
		slots[i].Label = fmt.Sprint(i + 1)
	}
	return slots
}

// fitRange is the least and the greatest of the foam's fits, mm.
func (d *designer) fitRange() (low, high float64) {
	low, high = usualFits[0], usualFits[1]
	first := true
	for _, f := range d.coupon.Foam.Fits {
		if first {
			low, high, first = f.Value, f.Value, false
		}
		low, high = math.Min(low, f.Value), math.Max(high, f.Value)
	}
	return low, high
}

// fitsAt names the foam's fits that are nearest to a slot.
func (d *designer) fitsAt(over, step units.Length) []string {
	var names []string
	for name, f := range d.coupon.Foam.Fits {
		if math.Round(f.Value/step.MM()) == math.Round(over.MM()/step.MM()) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

func (d *designer) slot(s Slot) patch {
	long := d.Comb.MM() + SlotOverMM
	below := d.labelRoom()
	room := onGrid(s.Width.MM())
	return patch{room, onGrid(long) + below, func(at geometry.Point) {
		d.coupon.Slots = append(d.coupon.Slots, s)
		d.pockets = append(d.pockets, job.Pocket{
			Shape: job.SizeShape, X: length(at.X), Y: length(at.Y + below), Length: s.Width, Width: length(long),
			Corner: d.slotCorner(s.Width), Depth: d.fitDepth(), Through: d.fitDepth() == 0, Columns: 1, Rows: 1,
		})
		d.labelUnder(at, room, s.Label)
	}}
}

// slotCorner is the tool's own radius, or all that the slot has room for.
func (d *designer) slotCorner(width units.Length) units.Length { return min(d.cornerOf(), width/2) }

// fitDepth is how deep pockets to try are cut: 0 is through, which is all that
// what cuts whole layers can.
func (d *designer) fitDepth() units.Length {
	if !stops(d.Means) {
		return 0
	}
	return min(length(fitDepthMM), d.Thickness/2)
}
