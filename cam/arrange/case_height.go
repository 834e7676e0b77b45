package arrange

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
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
			sum += l.Real()
		}
	}
	return sum
}

// leastTray is the least height of a new tray: pad and base.
func (k *choosing) leastTray(t chosen) units.Length {
	return k.padFor(k.leastPad(t.depth)) + k.base
}

// leastHeight is a height that no trays for what is left go below: each pocket, in the pose in which that
// is least, takes its area of a tray with half a wall around it, as high as a tray for it alone.
func (k *choosing) leastHeight() units.Length {
	r := k.newRoom()
	l, w := r.inner()
	volume := 0.0 // mm3
	for _, one := range k.rest {
		least := math.Inf(1)
		for _, n := range one.needs {
			height := k.padFor(k.leastPad(n.Depth)) + k.base
			least = min(least, (n.Length+r.wall).MM()*(n.Width+r.wall).MM()*height.MM())
		}
		volume += float64(one.count) * least
	}
	return outward(volume/((l+r.wall).MM()*(w+r.wall).MM()), -1)
}

// leastPad is how thick a new tray's pad must be at least for its deepest
// pocket: without a base it is its own floor.
func (k *choosing) leastPad(depth units.Length) units.Length {
	if len(k.model.Layers) == 1 && k.router {
		return depth + plan.LeastFloor
	}
	return depth
}

// stockFor is the least thickness of a sheet of at least a depth.
func stockFor(depth units.Length, f supply) units.Length {
	if list := sheets(f, depth, 1, 0, false); len(list) > 0 {
		return lowest([][]option{list})
	}
	return depth
}

// padFor is the least thickness of a pad of at least a depth.
func (k *choosing) padFor(depth units.Length) units.Length {
	if known, ok := k.padsFor[depth]; ok {
		return known
	}
	least := depth
	if list := k.pads(depth, 1); len(list) > 0 {
		least = lowest([][]option{list})
	}
	k.padsFor[depth] = least
	return least
}

// pads are the ways to make a pad of at least a depth: single sheets, or, where
// none is as thick, two of them glued.
func (k *choosing) pads(depth units.Length, areaMM2 float64) []option {
	if single := k.whole(sheets(k.pad, depth, areaMM2, 0, false)); len(single) > 0 {
		return single
	}
	return k.whole(sheets(k.pad, depth, areaMM2, 0, true))
}

// whole are the pads that can be cut with all that is glued to them, where trays are cut so.
func (k *choosing) whole(list []option) []option {
	if k.model.Cut != job.Block {
		return list
	}
	return slices.DeleteFunc(list, func(o option) bool { return k.refused(k.model, k.layersOn(o)) != nil })
}

// depthIn is plan.DepthFor, and more in a pad of two sheets without a base: that is its own floor,
// so a tool that stops goes on into its lower sheet, and one that does not through both.
func (m *maker) depthIn(n plan.Need, layers []job.Layer) (units.Length, bool) {
	depth, ok := plan.DepthFor(n.Depth, layers, m.router, m.step)
	if ok || len(layers) != 2 || len(m.Job.Defaults.Layers) > 1 {
		return depth, ok
	}
	top := layers[0].Thickness
	depth, ok = plan.DepthFor(n.Depth-top, layers[1:], m.router, m.step)
	return top + depth, ok
}

// layersOn are a pad's sheets with the base under them.
func (k *choosing) layersOn(pad option) []job.Layer {
	layers := slices.Clone(pad.layers)
	if n := len(k.model.Layers); n > 1 {
		layers = append(layers, k.model.Layers[n-1])
	}
	return layers
}

// leastLayers are the layers of the lowest tray for a pocket; none where there is none.
func (k *choosing) leastLayers(n plan.Need) []job.Layer {
	list := k.pads(k.leastPad(n.Depth), 1)
	if len(list) == 0 {
		return nil
	}
	return k.layersOn(slices.MinFunc(list, func(a, b option) int { return cmp.Compare(a.height, b.height) }))
}
