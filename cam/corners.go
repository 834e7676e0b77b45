package cam

import (
	"math"

	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry/units"
	"traywright/profiles"
)

// tolerances is how far reality may be from the sheet's plan, as profiles, coupons
// and measurements say.
func (w *sheetWork) tolerances(m profiles.Machine) *proof.Tolerances {
	t := proof.Tolerances{KerfMM: map[int]proof.Range{}, RunoutMM: map[int]proof.Range{}, ZeroMM: either(m.ZeroMM.Value), BedMM: m.BedCutMM.Value}
	t.ThicknessMM = w.thicknessOff(offOf)
	for _, l := range w.sheet.Layers {
		t.LeastLeftMM = math.Max(t.LeastLeftMM, l.Foam.LeastLeftMM.Value)
	}
	for _, c := range w.sheet.All() {
		low, high := c.Tool.Runout()
		t.RunoutMM[c.Tool.Number] = proof.Range{Low: low, High: high}
		for _, r := range c.Recipes {
			t.KerfMM[c.Tool.Number] = either(math.Max(t.KerfMM[c.Tool.Number].High, r.KerfOff().Value))
		}
	}
	return &t
}

// thicknessOff is how far the sheet's whole thickness may be off, where each of its
// layers may by what of says. Layers that come from one sheet are off alike, and add
// up whole; different sheets have nothing to do with each other, so that the block of
// them is off by the root of the sum of squares (as n sheets +-t are by t sqrt n).
func (w *sheetWork) thicknessOff(of func(plan.Layer) proof.Range) proof.Range {
	type sold struct {
		foam      string
		thickness units.Length
	}
	alike := map[sold]proof.Range{}
	for _, l := range w.sheet.Layers {
		key, off := sold{l.Foam.ID, l.Sold()}, of(l)
		alike[key] = proof.Range{Low: alike[key].Low + off.Low, High: alike[key].High + off.High}
	}
	if len(alike) == 1 {
		for _, r := range alike {
			return r
		}
	}
	var all proof.Range
	for _, l := range w.sheet.Layers { // in their order, so that the last digit is the same every time
		key := sold{l.Foam.ID, l.Sold()}
		all.Low, all.High = math.Hypot(all.Low, alike[key].Low), math.Hypot(all.High, alike[key].High)
		delete(alike, key)
	}
	all.Low = -all.Low
	return all
}

func either(mm float64) proof.Range { return proof.Range{Low: -mm, High: mm} }

// offOf is how far a layer's sheet may be off: from its label, or from what was measured.
func offOf(l plan.Layer) (r proof.Range) {
	r.Low, r.High = l.MayBeOff()
	return r
}

// readingOf is how far a layer is off whose sheet has been measured.
func readingOf(l plan.Layer) proof.Range { return either(profiles.ReportedSoftMM(l.Thickness.MM())) }

// seats are the pieces that go into a cut. Their depth is this sheet's matter where
// their pocket ends in it.
func (w *sheetWork) seats(cut int) []proof.Seat {
	list := seatsIn(w.makes[0], cut)
	for _, other := range w.makes[1:] { // the same program, and the pocket may end in one of its layers only
		for i, s := range seatsIn(other, cut) {
			list[i].HigherMM = min(list[i].HigherMM, s.HigherMM)
		}
	}
	return list
}

// seatsIn are the pieces that go into a cut of one of the layers that a program is for.
func seatsIn(part page.Part, cut int) []proof.Seat {
	last := part.Sheet.Layers[len(part.Sheet.Layers)-1]
	var list []proof.Seat
	for _, i := range part.Sheet.Cuts[cut].Pockets {
		k := part.Tray.Pockets[i]
		if !k.Play.Known {
			continue
		}
		s := proof.Seat{Name: k.Name, At: k.Box.Min.Add(k.Box.Max).Scale(0.5), TighterMM: k.Play.TighterMM, LooserMM: k.Play.LooserMM, HigherMM: k.Play.HigherMM}
		if k.Depth > last.Top+last.Thickness {
			s.HigherMM = math.Inf(1)
		}
		list = append(list, s)
	}
	return list
}
