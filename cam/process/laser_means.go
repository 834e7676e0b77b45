package process

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/profiles"
)

// beaming is what a beam can do: it goes through whole layers, its corners are
// sharp enough for any piece, and what it cuts free lies where it was. A mark is as strong
// as the controller can say.
type beaming struct{ controller profiles.Controller }

func (beaming) WholeLayers() bool                                            { return true }
func (beaming) RoundCorners() bool                                           { return false }
func (beaming) LeastRoundMM(profiles.Tool, profiles.Recipe, float64) float64 { return 0 }
func (beaming) TakesHeight() bool                                            { return false }

func (beaming) cutter(sheet plan.Sheet, m profiles.Machine, tol float64) (cutter, error) {
	for _, c := range sheet.HolesAndEdge() {
		for _, r := range c.Recipes {
			if err := stopsAt(r, m); err != nil {
				return nil, err
			}
		}
	}
	return newLaser(sheet, m, tol)
}

// stopsAt refuses a feed from which the machine slows down so long at corners that a beam of constant power burns them.
func stopsAt(r profiles.Recipe, m profiles.Machine) error {
	feed, most := feedsOf(r, m).cut, math.Floor(m.MostBeamFeed())
	if feed <= m.MostBeamFeed() || m.DrawingsOnly() {
		return nil
	}
	return noPath(plan.OutlineName, fmt.Sprintf("at %.4g mm/min the machine, which gains %.4g mm/s2, slows down so long for corners that the beam burns them: each stop takes as long as %.3g mm of cut",
		feed, m.AccelerationMMPerS2.Value, feed*feed/3600/m.AccelerationMMPerS2.Value),
		fmt.Sprintf("set feed_mm_per_min to %.4g and power_percent to %.3g, which is as much heat a mm, and measure the kerf with them", most, r.PowerPercent.Value*most/feed))
}

func (beaming) Settings(r profiles.Recipe) []Setting {
	list := []Setting{
		{Name: "feed", Number: r.FeedMMPerMin, Unit: PerMinute}, {Name: "passes", Number: r.Passes, Unit: PassCount},
		{Name: "power", Number: r.PowerPercent, Unit: Percent}, {Name: "kerf", Number: r.KerfMM, Unit: KerfMillimetres},
	}
	if r.Passes.Value > 1 && r.MMPerPass.Value > 0 {
		list = slices.Insert(list, 2, Setting{Name: "deep in one pass at most", Number: r.MMPerPass, Unit: Millimetres})
	}
	if r.Passes.Value > 1 && r.PauseS.Value > 0 {
		list = append(list, Setting{Name: "pause between passes", Number: r.PauseS, Unit: Seconds})
	}
	return list
}

func (beaming) SetZero() string { return "Set the zero point, and focus there" }
func (beaming) FitsTools() bool { return false }

// Lacks names the first number of a recipe that is needed and not usable.
func (beaming) Lacks(r profiles.Recipe) string {
	return lacking([]needed{
		{"kerf_mm", r.KerfMM, math.Inf(1)},
		{"feed_mm_per_min", r.FeedMMPerMin, math.Inf(1)},
		{"power_percent", r.PowerPercent, math.Nextafter(100, 101)},
		{"mm_per_pass", r.Passes, 1001}, // what passes follow from
	})
}

// Passes all go over the whole layer, each focused a step lower, but no lower than
// those before it can have cut: many weak ones would take the head into the foam. As many as the
// recipe says, in which they are decided for the layer (profiles.Recipe.Through).
func (beaming) Passes(fromMM, toMM float64, layers []plan.Bed) []plan.Pass {
	if len(layers) != 1 {
		return nil
	}
	r := layers[0].Recipe
	list := make([]plan.Pass, int(math.Ceil(r.Passes.Value)))
	step := math.Min(r.FocusStepMM.Value, (toMM-fromMM)/float64(len(list)))
	for k := range list {
		list[k] = plan.Pass{FromMM: fromMM, ToMM: toMM, FocusMM: float64(k) * step}
		if k > 0 {
			list[k].PauseS = r.PauseS.Value
		}
	}
	return list
}

// Hold: nothing turns that could throw what falls.
func (beaming) Hold(profiles.Recipe, float64) (plan.Hold, string) { return plan.Hold{}, "" }

// Marking is one pass at a small share of the cutting power, which darkens the
// face and has no depth to speak of.
func (b beaming) Marking(r profiles.Recipe, _ float64) (how profiles.Recipe, depthMM float64) {
	share := r.MarkShare.Value
	if share == 0 {
		share = markShare
	}
	r.PowerPercent.Value = b.controller.Written(r.PowerPercent.Value * share)
	r.Passes.Value, r.MMPerPass, r.MarkShare.Value = 1, profiles.Number{}, 1
	return r, 0
}
