package proof

import (
	"math"
	"slices"
)

// edge is how wide a tool cuts. Three cases:
//
//   - Straight: one radius from the top down. All but the next two.
//   - A block glued from layers: a foam's kerf is its own, so the width changes
//     from layer to layer. Each layer's wall is compared at that layer's width.
//   - A beam that tapers: it leaves the foam narrower than it went in, see taper.go.
type edge struct {
	radius float64 // the widest, without flare
	*flank
}

// flank is how an edge is not as wide everywhere. All sweeps of a tool share one: a long
// program has a million of them.
type flank struct {
	layers      blade   // nil: as wide everywhere
	flare, lean float64 // of a beam that tapers: mm beyond radius at the face, and for each mm of height
}

// upright is the flank of an edge that is as wide everywhere.
var upright = &flank{}

// edge is what a tool cuts with; guessed, and false, where nobody has said.
func (d *run) edge(tool int) (edge, bool) {
	width, ok := d.width(tool)
	if e, made := d.edges[tool]; made {
		return e, ok
	}
	if !ok {
		width = guessedMM
	}
	e := d.edgeOf(width, func(layer int) float64 { return d.setup.Layers[layer].KerfMM[tool] })
	d.edges[tool] = e
	return e, ok
}

// edgeOf is an edge of a width, in each layer of a block another where that is said.
func (d *run) edgeOf(width float64, in func(layer int) float64) edge {
	e := edge{width / 2, &flank{layers: d.bladeOf(width, in), flare: d.flareMM(), lean: d.lean()}}
	if e.layers != nil {
		e.radius = e.layers.widest()
	}
	return e
}

// edgeIn is what a motion cuts with: with the kerf of its cut, where the plan has one, else its tool's.
func (d *run) edgeIn(motion int) (edge, bool) {
	e, known := d.edge(d.result.Motions[motion].Tool)
	if k := d.kerf(motion); k != nil {
		return d.edgeFor(k), true
	}
	return e, known
}

func (d *run) edgeFor(k *CutKerf) edge {
	e, made := d.cutEdges[k]
	if !made {
		e = d.edgeOf(k.MM[0], func(layer int) float64 { return k.MM[layer] })
		d.cutEdges[k] = e
	}
	return e
}

// outlineEdge is what the outline is cut with.
func (d *run) outlineEdge() edge {
	for _, l := range d.want.OutlineLimits {
		if l.Kerf != nil {
			return d.edgeFor(l.Kerf)
		}
	}
	e, _ := d.edge(d.want.edgeTool())
	return e
}

// reach is how far from the path the foam is touched.
func (e *edge) reach() float64 { return e.radius + e.flare }

// narrowest is the least radius from the top down to a depth.
func (e *edge) narrowest(depth float64) float64 {
	least := e.radius
	for _, p := range e.layers {
		if p.start < depth {
			least = min(least, p.radius)
		}
	}
	return least
}

// radiusAt is the radius at a depth: in a layer of a block the layer's own,
// under a beam the one at the underside.
func (e *edge) radiusAt(depth float64) float64 {
	if e.layers == nil {
		return e.radius
	}
	return e.layers.at(depth).radius
}

// blade is the radius of a cut in each layer of a block, top to bottom.
type blade []bladePart

type bladePart struct {
	start, end float64 // depths below the top; the last part has no end
	radius     float64
}

// bladeOf is a blade in the setup's layers; nil where it is straight.
func (d *run) bladeOf(width float64, in func(layer int) float64) blade {
	var b blade
	depth, straight := 0.0, true
	for i, l := range d.setup.Layers {
		w := in(i)
		if !(w > 0) {
			w = width
		}
		straight = straight && w == width
		b = append(b, bladePart{depth, depth + l.ThicknessMM, w / 2})
		depth += l.ThicknessMM
	}
	if straight {
		return nil
	}
	b[len(b)-1].end = math.Inf(1)
	return b
}

func (b blade) widest() float64 {
	return slices.MaxFunc(b, func(p, q bladePart) int { return sign(p.radius - q.radius) }).radius
}

// at is the part that cuts at a depth.
func (b blade) at(depth float64) bladePart {
	i := slices.IndexFunc(b, func(p bladePart) bool { return depth < p.end })
	return b[max(i, 0)]
}

// cutLayers is cut for a block whose layers differ in kerf: each layer is opened
// where the foam above it is. Foam that a wider layer below undercuts stays.
func (f *Field) cutLayers(s *sweep, first, end int) (took bool) {
	part := *s
	for _, l := range s.layers {
		if l.start >= s.deepest() {
			break
		}
		part.radius = l.radius
		took = f.deepenAlong(&part, l.radius, l.start-toleranceMM, l.end, first, end, part.depthOver) || took
	}
	return took
}
