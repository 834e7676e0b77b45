package arrange

import (
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// roomForNew is the height that reused trays and the cover leave for new ones.
func (k *choosing) roomForNew() units.Length {
	above := heightOf(k.cover)
	if len(k.cover) == 0 {
		above = stockFor(1, k.under)
	}
	return k.c.Inside.Height - heightOf(k.reused) - above
}

func heightOf(trays []*job.Tray) units.Length {
	var sum units.Length
	for _, t := range trays {
		for _, l := range t.Layers {
			sum += l.Thickness
		}
	}
	return sum
}

// leastTray is the least height of a new tray: pad and base.
func (k *choosing) leastTray(t chosen) units.Length {
	return stockFor(k.leastPad(t.depth), k.pad) + k.base
}

// leastPad is how thick a new tray's pad must be at least for its deepest
// pocket: without a base it is its own floor.
func (k *choosing) leastPad(depth units.Length) units.Length {
	if len(k.model.Layers) == 1 && k.router {
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
