package plan

import (
	"fmt"

	"traywright/profiles"
)

// A beam as it is used: the least power at which it burns, and how far it leans.

// tooWeak refuses a recipe whose power, of a cut or of a mark, is more than none and
// less than what the tube needs to burn: it would stay dark, or flicker.
func (m *maker) tooWeak(r profiles.Recipe, use, hint string) *refusal {
	least := m.Machine.Controller.LeastPowerPercent
	if !m.beam() || !(r.PowerPercent.Value < least*(1-1e-9)) {
		return nil
	}
	return &refusal{
		rule: "power-too-low",
		message: fmt.Sprintf("the recipe for foam %s on %s with the tool %s %s at %.3g %% of full power, and below %g %% its beam does not burn steadily",
			r.Foam, m.Machine.ID, r.Tool, use, r.PowerPercent.Value, least),
		hint: hint,
	}
}

// weakMark refuses marks that a beam would not burn.
func (m *maker) weakMark(r, how profiles.Recipe) *refusal {
	share := m.Machine.Controller.LeastPowerPercent / r.PowerPercent.Value
	hint := fmt.Sprintf("set mark_share to %.2g or more in the recipe, and raise the feed of marks on a scrap first; or leave the label out", share+0.005)
	if share > 0.5 {
		hint = "leave the label out, or cut its letters through"
	}
	return m.tooWeak(how, "engraves", hint)
}

// slantMM is the thickness above which a taper that nobody measured may matter: one
// degree leans 0.26 mm over it. Common practice, no source.
const slantMM = 15

// tellTaper warns once of walls that lean nobody knows how far.
func (m *maker) tellTaper(r profiles.Recipe, l Layer) {
	name := fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool)
	if !m.beam() || m.ProudTold || r.TaperDegrees.Value > 0 || l.Thickness.MM() <= slantMM || m.told["taper "+name] {
		return
	}
	m.told["taper "+name] = true
	m.log.warn(place{text: name}, "taper-unknown", fmt.Sprintf("has no taper_degrees, and the foam is %s thick: a beam spreads, so that pockets come out wider on one face than on the other, and nobody knows by how much", m.mm(l.Thickness.MM())),
		"cut a coupon with --taper, measure both faces, and `traywright kerf` writes it; or use layers of at most "+m.mm(slantMM))
}

func (m *maker) beam() bool { return m.Machine.Process.Traits().Beam }
