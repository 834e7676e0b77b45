package cam

import (
	"cmp"
	"slices"

	"traywright/cam/gcode"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/profiles"
)

// limits is how a cut is to be made, layer by layer: its recipes, which the shop
// rules have lowered.
func (w *sheetWork) limits(c plan.Cut, m profiles.Machine) []proof.Limits {
	var list []proof.Limits
	bottom, kerf := 0.0, w.ownKerf(c, m)
	for i, r := range c.Recipes {
		bottom += w.sheet.Layers[i].Thickness.MM()
		l := proof.Limits{
			Tool: c.Tool.Number, ToMM: bottom, FeedMMPerMin: r.FeedMMPerMin.Value, PlungeMMPerMin: r.PlungeMMPerMin.Value,
			StepDownMM: stepDown(r, m), WallMM: c.WallOnceMM, RampDegrees: r.RampDegrees.Value, RPM: c.Recipes[0].RPM.Value, PowerPercent: r.PowerPercent.Value, Passes: len(c.Passes), MMPerPass: r.MMPerPass.Value, Kerf: kerf,
		}
		for _, p := range c.Passes {
			l.PauseS = max(l.PauseS, p.PauseS)
			if m.MovesZ() {
				l.FocusMM = append(l.FocusMM, p.FocusMM)
			}
		}
		list = append(list, l)
	}
	return list
}

// ownKerf is a cut's kerf where another of the sheet, with the same tool, has another: it hangs on how deep
// each goes. Else nil, for then the setup's is theirs.
func (w *sheetWork) ownKerf(c plan.Cut, m profiles.Machine) *proof.CutKerf {
	for _, o := range w.sheet.CutOn(m) {
		if o.Tool.Number == c.Tool.Number && !slices.Equal(o.KerfMM, c.KerfMM) {
			return &proof.CutKerf{Cut: gcode.Plain(c.Name), MM: c.KerfMM}
		}
	}
	return nil
}

// stepDown is the most foam that one pass takes; 0 where nobody has said, and of a beam, whose
// passes go through.
func stepDown(r profiles.Recipe, m profiles.Machine) float64 {
	if m.Process.Traits().Beam {
		return r.StepdownMM.Value
	}
	return cmp.Or(r.StepdownMM.Value, r.MMPerPass.Value)
}
