package proof

import "traywright/geometry"

// Bridges are places on the edge of a cut where foam is left through all of its depth, so
// that what comes free does not tip up. The plan says where; the zero value is none.
type Bridges struct {
	At      []geometry.Point
	WidthMM float64 // of each, along the edge, where the foam is cut narrowest
}

// leastBridge is the part of a bridge's half width that has to stand at its middle.
const leastBridge = 0.5

// onBridge reports whether a place on a cut's edge is where a bridge is left, or as near to
// one as the round end of a cut reaches.
func (d *run) onBridge(x *index, b Bridges, p geometry.Point) bool {
	for _, at := range b.At {
		if p.DistanceTo(at) <= b.WidthMM/2+2*x.widest {
			return true
		}
	}
	return false
}

// judgeBridges: where a bridge is to be, foam stands, all the way down.
func (d *run) judgeBridges(x *index, b Bridges, name string) {
	for _, at := range b.At {
		if f, motion := x.clearance(at, d.throughMM()/2, b.WidthMM); f < leastBridge*b.WidthMM/2 {
			d.wrong(d.lineOf(motion), "bridge-cut", "cuts the bridge of %v at %v, and what it holds can tip up and catch the head", name, at).
				hint("leave %v uncut there, or make the program again with `traywright cut`", length(b.WidthMM))
		}
	}
}

// leastBridgeMM is what has to stand of a bridge in every corner (judged, no source).
const leastBridgeMM = 0.5

// bridges: a wider kerf takes half of what it is wider from either side of each.
func (t *trial) bridges() {
	look := func(name string, held Bridges, tool int) {
		for _, at := range held.At {
			half, _ := t.index.clearance(at, t.throughMM()/2, held.WidthMM)
			t.add(Bridge, "the bridge of "+name, at, tool, 2*(half+t.tolerance)-leastBridgeMM, wider(-1))
		}
	}
	for _, h := range t.cuts {
		look(h.Name, h.Bridged, h.tool())
	}
	look("the outline", t.want.OutlineBridged, t.edgeTool())
}
