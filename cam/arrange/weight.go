package arrange

import (
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// comfortableG is the weight of a tray, in grams, up to which two fingertips
// lift it out of a case without bending the foam. Common practice, no source.
const comfortableG = 1500

func (m *maker) checkWeight(t *job.Tray, grams float64, chosenFor string) {
	if grams <= comfortableG || t.Halves == 2 {
		return
	}
	hint := fmt.Sprintf("give it `halves: 2`: two trays side by side, of about %.0f g each", grams/2)
	if chosenFor != "" {
		hint = m.lighter(t, chosenFor)
	}
	m.add(finding.Warning, t.Position, "tray-heavy", hint,
		"tray %s weighs about %.0f g, more than the %d g that lift out comfortably", t.ID, grams, comfortableG)
}

// weight is about what a tray weighs with its pieces, in grams: whole layers
// less the boxes of its pockets. A kg/m3 is a millionth of a gram in a mm3.
func (m *maker) weight(t *job.Tray) float64 {
	grams, top := 0.0, units.Length(0)
	for _, l := range t.Layers {
		volume := t.Length.MM() * t.Width.MM() * l.Thickness.MM()
		for _, p := range t.Pockets {
			depth := p.Depth
			if depth == 0 {
				depth = t.Layers[0].Thickness
			}
			if p.Through {
				depth = top + l.Thickness
			}
			side := [2]float64{p.Length.MM(), p.Width.MM()}
			if p.Shape == job.RoundShape {
				side = [2]float64{p.Diameter.MM(), p.Diameter.MM() * math.Pi / 4}
			}
			cut := min(max(0, depth-top), l.Thickness)
			volume -= float64(max(1, p.Columns)*max(1, p.Rows)) * side[0] * side[1] * cut.MM()
		}
		if foam, ok := m.Catalog.Foam(l.Foam); ok {
			grams += max(0, volume) * foam.DensityKgM3.Value * 1e-6
		}
		top += l.Thickness
	}
	for _, p := range m.Job.Roster {
		grams += float64(min(m.holds[t.ID][p.ID], p.Count)) * p.WeightG
	}
	return math.Round(grams*10) / 10
}
