package plan

import (
	"fmt"
	"math"

	"traywright/profiles"
)

// A beam as it is used: the least power at which it burns, how near its nozzle comes to
// the foam, and how far it leans.

// tooWeak refuses a recipe whose power, of a cut or of a mark, is more than none and
// less than what the tube needs to burn: it would stay dark, or flicker.
func (m *maker) tooWeak(r profiles.Recipe, use, hint string) *refusal {
	c := m.Machine.Controller
	written := c.Written(r.PowerPercent.Value)
	if !m.beam() || !(written < c.LeastWritten()*(1-1e-9)) {
		return nil
	}
	why := fmt.Sprintf("below %g %% its beam does not burn steadily", c.LeastPowerPercent)
	if c.LeastPowerPercent == 0 {
		why = fmt.Sprintf("its controller, which takes whole S up to %g, can say no power below %.3g %%", c.PowerScale, c.LeastWritten())
	}
	return &refusal{
		rule: "power-too-low",
		message: fmt.Sprintf("the recipe for foam %s on %s with the tool %s %s at %.3g %% of full power, and %s",
			r.Foam, m.Machine.ID, r.Tool, use, written, why),
		hint: hint,
	}
}

// tooCoarse refuses a cut whose power the controller can only say as so much less that the
// beam may not go through.
func (m *maker) tooCoarse(r profiles.Recipe) *refusal {
	const most = 0.1 // as much less energy as the dry run lets pass
	c := m.Machine.Controller
	written := c.Written(r.PowerPercent.Value)
	if !m.beam() || !(written < (1-most)*r.PowerPercent.Value) {
		return nil
	}
	return &refusal{
		rule: "power-too-coarse",
		message: fmt.Sprintf("the recipe for foam %s on %s with the tool %s cuts at %.3g %% of full power, and its controller, which takes whole S up to %g, can say no more than %.3g %% of it: the beam may not go through",
			r.Foam, m.Machine.ID, r.Tool, r.PowerPercent.Value, c.PowerScale, written),
		hint: fmt.Sprintf("set power_percent to %.4g in the recipe, and find the feed for it with a coupon", written),
	}
}

// weakMark refuses marks that a beam would not burn.
func (m *maker) weakMark(r, how profiles.Recipe) *refusal {
	share := m.Machine.Controller.LeastWritten() / r.PowerPercent.Value
	hint := fmt.Sprintf("set mark_share to %.2g or more in the recipe, and raise the feed of marks on a scrap first; or leave the label out", share+0.005)
	if share > 0.5 {
		hint = "leave the label out, or cut its letters through"
	}
	return m.tooWeak(how, "engraves", hint)
}

// darkPercent is the share of full power below which many glass tubes are dark, or flicker (common
// practice, no source).
const darkPercent = 15

// tellDim warns once, of the machine, of marks, and once of cuts, that such a tube would not burn, where nobody has said what
// this one needs. An owner's limit on the feed lowers a beam's power with it.
func (m *maker) tellDim(r profiles.Recipe, use, mend string) {
	c := m.Machine.Controller
	power := c.Written(r.PowerPercent.Value)
	if !m.beam() || c.LeastPowerPercent > 0 || power >= darkPercent*(1-1e-9) || m.told["dim "+use] {
		return
	}
	m.told["dim "+use] = true
	m.log.warn(place{text: fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool)}, "least-power-unknown",
		fmt.Sprintf("%s at %.3g %% of full power, and nobody has said at how much the beam of %s burns: many glass tubes are dark, or flicker, below 10 to %d %%", use, power, m.Machine.ID, darkPercent),
		"try lines on a scrap, from 5 % up, and write what burns as least_power_percent into the machine's controller: what needs less is then refused, with "+mend)
}

// tooLow refuses passes whose focus would take the head into the foam, or the wrong way, those
// of a nozzle of which nobody has said how far it stands off, and warns once where nothing
// can lower it: a hand does at a machine that takes drawings.
func (m *maker) tooLow(r profiles.Recipe, l Layer) *refusal {
	if !m.beam() {
		return nil
	}
	passes := m.Means.Passes(0, l.Thickness.MM(), []Bed{{BottomMM: l.Thickness.MM(), Recipe: r}})
	if len(passes) == 0 || passes[len(passes)-1].FocusMM == 0 {
		return nil
	}
	lowest, n := passes[len(passes)-1].FocusMM, len(passes)
	name := fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool)
	most, known := m.Machine.LowestFocusMM()
	switch {
	case !m.Machine.MovesZ() && !m.Machine.DrawingsOnly():
		if !m.told["focus "+name] {
			m.told["focus "+name] = true
			m.log.warn(place{text: name}, "focus-fixed", fmt.Sprintf("lowers the focus by %s in %d passes, and %s moves no Z: all its passes are cut with the focus on the foam's top", m.mm(lowest), n, m.Machine.ID),
				"set focus_step_mm to 0 in the recipe, and look with a coupon that its passes go through")
		}
	case !known:
		return &refusal{rule: "nozzle-unknown", message: fmt.Sprintf("the %s lowers the head by %s in %d passes, and nobody has said how far its nozzle stands off the foam", name, m.mm(lowest), n),
			hint: "measure from nozzle to foam where the beam is in focus, and write standoff_mm into the machine's profile; until then set focus_step_mm to 0 in the recipe"}
	case lowest > most+m.slackMM():
		return &refusal{rule: "nozzle-too-low", message: fmt.Sprintf("the %s lowers the head by %s in %d passes, and its nozzle stands %s off the foam: it may come down %s", name, m.mm(lowest), n, m.mm(m.Machine.StandoffMM.Value), m.most(most)),
			hint: fmt.Sprintf("set focus_step_mm to %s in the recipe", atMost(math.Floor(10*most/float64(n-1)+1e-9)/10))}
	}
	return nil
}

// atMost is a number for a hint, and, above 0, that less does too.
func atMost(v float64) string {
	if v == 0 {
		return "0"
	}
	return fmt.Sprintf("%g or less", v)
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
		"cut a coupon with --taper, measure both faces, and `traywright kerf` writes it; or use layers of at most "+m.most(slantMM))
}

// tellPause warns once of passes that follow on each other at once.
func (m *maker) tellPause(r profiles.Recipe) {
	name := fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool)
	if !m.beam() || r.Passes.Value <= 1 || r.PauseS.Value > 0 || m.told["pause "+name] {
		return
	}
	m.told["pause "+name] = true
	m.log.warn(place{text: name}, "no-pause", fmt.Sprintf("goes over each place in %.0f passes and has no pause_s: the beam comes back at once to where it has just heated the foam, and foam that is hot catches fire", math.Ceil(r.Passes.Value)),
		"write pause_s into the recipe, how long it stays dark before it goes over a place again: 3, as in the recipe that ships for bench-laser (judged, no source), or more")
}

func (m *maker) beam() bool { return m.Machine.Process.Traits().Beam }
