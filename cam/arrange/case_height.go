package arrange

import (
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

func heightOf(trays []*job.Tray) units.Length {
	var sum units.Length
	for _, t := range trays {
		for _, l := range t.Layers {
			sum += l.Thickness
		}
	}
	return sum
}

// leastCover is the thinnest sheet that a cover could be made of.
func (m *maker) leastCover(model job.Tray) units.Length {
	under, _ := m.Catalog.Foam(model.Layers[len(model.Layers)-1].Foam)
	return stockFor(1, under)
}

// atLeast is the least height of a tray: pad and base.
func (m *maker) atLeast(t chosen, model job.Tray, pad profiles.Foam) units.Length {
	height := stockFor(m.padOf(t.depth, model), pad)
	if n := len(model.Layers); n > 1 {
		height += model.Layers[n-1].Thickness
	}
	return height
}

// padOf is how thick a pad must be for a pocket: without a base it is its own
// floor.
func (m *maker) padOf(depth units.Length, model job.Tray) units.Length {
	if len(model.Layers) == 1 && m.router {
		return depth + plan.LeastFloor
	}
	return depth
}

// stockFor is the least thickness of a pad of at least a depth.
func stockFor(depth units.Length, f profiles.Foam) units.Length {
	if list := pads(f, depth, 1); len(list) > 0 {
		return lowest([][]option{list})
	}
	return depth
}

// pads are the ways to make a pad of at least a depth: single sheets, or, where
// none is as thick, two of them glued.
func pads(f profiles.Foam, depth units.Length, areaMM2 float64) []option {
	if single := sheets(f, depth, areaMM2, 0, false); len(single) > 0 {
		return single
	}
	return sheets(f, depth, areaMM2, 0, true)
}
