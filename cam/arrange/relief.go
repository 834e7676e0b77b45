package arrange

import (
	"math"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// reliefOf is how far the relief of a tray's pockets reaches beyond their sides: of the
// widest cut that a tool for the tray makes, for the plan has yet to choose one. A dogbone
// takes the tool into the corner along its bisector, a tbone along one side.
func (m *maker) reliefOf(t *job.Tray) units.Length {
	if t.Habits.Relief == job.NoRelief {
		return 0
	}
	const play = 0.05 // of the relief around the tool, mm, and more than enough
	widest := 0.0
	for _, tool := range m.Machine.Tools {
		if t.Tool == "" || t.Tool == tool.ID {
			widest = math.Max(widest, tool.DiameterMM.Value)
		}
	}
	for _, r := range m.Catalog.Recipes() {
		if r.Machine == m.Machine.ID && (t.Tool == "" || t.Tool == r.Tool) {
			widest = math.Max(widest, r.KerfMM.Value)
		}
	}
	beyond := widest/2 + play
	if t.Habits.Relief == job.Dogbone {
		beyond *= 1 - math.Sqrt2/2
	}
	l, err := units.FromMM(beyond)
	if err != nil {
		return 0
	}
	return l
}
