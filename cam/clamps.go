package cam

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/stock"
	"traywright/geometry/units"
	"traywright/profiles"
)

// bitingLittle warns, once of a clamp of the machine's, of the foam that it hardly holds where that
// is laid as its cut sheet says. One that does not reach it at all is another sheet's.
func bitingLittle(works []*sheetWork, m profiles.Machine, u units.Unit) (found finding.List) {
	for _, k := range m.Clamps {
		first, least, more := "", 0.0, 0
		for _, w := range works {
			blank, inset := w.laid(m, u)
			bite := page.Bite(k, blank, inset)
			switch {
			case bite <= 0 || bite >= stock.LeastBiteMM || w.k > 1:
			case first == "":
				first, least = w.where(), bite
			default:
				more++
				least = min(least, bite)
			}
		}
		if first == "" {
			continue
		}
		if more > 0 {
			first += fmt.Sprintf(" and of %d more", more)
		}
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "clamp-takes-little", Where: fmt.Sprintf("machine %s, clamp %s", m.ID, k.Name),
			Message: fmt.Sprintf("takes only %s of the foam of %s, where that is as large as its cut sheet says: that does not hold it", page.Length(least, u), first),
			Hint:    "lay foam that reaches farther under it, or set the clamp nearer and write that into the machine's clamps",
		})
	}
	return found
}

// sunk warns, once of a clamp of the machine's, of the thickest foam that it lies on by its place and
// is no higher than: none is where it holds foam, so all was tried with a lower one than stands there.
func sunk(works []*sheetWork, m profiles.Machine, u units.Unit) (found finding.List) {
	for _, k := range m.Clamps {
		var on *sheetWork
		for _, w := range works {
			blank, inset := w.laid(m, u)
			if page.Sunk(k, blank, inset, w.sheet.ThicknessMM()) && (on == nil || w.sheet.ThicknessMM() > on.sheet.ThicknessMM()) {
				on = w
			}
		}
		if on == nil {
			continue
		}
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "clamp-in-foam", Where: fmt.Sprintf("machine %s, clamp %s", m.ID, k.Name),
			Message: fmt.Sprintf("is %s high, and lies on the foam of %s, %s thick: it stands higher there, and the tool goes no higher than for what the profile says",
				page.Length(k.HeightMM, u), on.where(), page.Length(on.sheet.ThicknessMM(), u)),
			Hint: "measure how high above the bed it stands on that foam, and write that as height_mm into the machine's clamps",
		})
	}
	return found
}
