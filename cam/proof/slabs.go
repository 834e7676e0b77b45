package proof

import (
	"fmt"
	"math"
	"slices"
)

// A block's walls are compared layer by layer. On its way into a lower layer
// the tool passes the layers above, so its path must keep from their walls by
// their own, wider kerf: where the lower foam has a narrower one, its wall is
// left standing by half the difference, whatever path is taken. That much is no
// fault of the program. It is told once for each layer, as a warning.

// slab is a range of depths in which a wall is looked at once.
type slab struct{ top, bottom float64 }

// slabs divides a range of depths at the layers' boundaries, where the layers'
// kerfs are known apart. There is always at least one.
func (d *run) slabs(top, bottom float64) []slab {
	if len(d.setup.Layers) == 0 {
		return []slab{{top, bottom}}
	}
	var list []slab
	start := 0.0
	for _, l := range d.setup.Layers {
		end := start + l.ThicknessMM
		s := slab{math.Max(start, top), math.Min(end, bottom)}
		if s.bottom-s.top > 2*toleranceMM {
			list = append(list, s)
		}
		start = end
	}
	if len(list) == 0 {
		return []slab{{top, bottom}}
	}
	return list
}

// held is how much foam the layers from the top to a depth make a motion's tool
// leave at the walls of a slab. It says so.
func (d *run) held(motion int, s slab, depth float64) float64 {
	if motion == -1 || len(d.setup.Layers) == 0 {
		return 0
	}
	e := d.edgeAt(motion)
	if e.layers == nil {
		return 0
	}
	held := e.widestTo(depth) - e.radiusAt(s.top)
	if held > d.tolerance {
		d.tellHeld(motion, s, held)
	}
	return held
}

// tellHeld warns of a layer's narrow walls, once for each layer.
func (d *run) tellHeld(motion int, s slab, held float64) {
	n, start := 0, 0.0
	for n+1 < len(d.setup.Layers) && start+d.setup.Layers[n].ThicknessMM <= s.top {
		start += d.setup.Layers[n].ThicknessMM
		n++
	}
	if d.heldIn[n] {
		return
	}
	d.heldIn[n] = true
	name := fmt.Sprintf("layer %d", n+1)
	if foam := d.setup.Layers[n].Name; foam != "" {
		name += " (" + foam + ")"
	}
	d.warn(d.lineOf(motion), "layer-kerf", "in %v the tool cuts %v narrower than in the block's other foam, so walls stand %v too far in there", name, length(2*held), length(held)).hint("cut the layers as sheets where that matters")
}

// blockSpreadMM is the most by which the radii of a block's layers differ.
func (d *run) blockSpreadMM() float64 {
	least, most := math.Inf(1), 0.0
	for _, l := range d.setup.Layers {
		for _, w := range l.KerfMM {
			least, most = math.Min(least, w/2), math.Max(most, w/2)
		}
	}
	for _, l := range d.planned {
		if l.Kerf != nil && len(d.setup.Layers) > 0 {
			least, most = math.Min(least, slices.Min(l.Kerf.MM)/2), math.Max(most, slices.Max(l.Kerf.MM)/2)
		}
	}
	return math.Max(0, most-least)
}

// widestTo is the widest radius from the top down to a depth.
func (e *edge) widestTo(depth float64) float64 {
	most := 0.0
	for _, p := range e.layers {
		if p.start < depth-toleranceMM {
			most = max(most, p.radius)
		}
	}
	return most
}
