package proof

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry"
)

// Bridges are places on the edge of a cut where foam is left through all of its depth, so
// that what comes free does not tip up. The plan says where; the zero value is none.
type Bridges struct {
	At      []geometry.Point
	WidthMM float64 // of each, along the edge, where the foam is cut narrowest
	// Left is what a blade does not fit and leaves to a hand, along the middle of its kerf.
	Left []geometry.Path
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
	for _, path := range b.Left {
		for s := range path.Segments() {
			if on, _ := s.Nearest(p); on.DistanceTo(p) <= x.widest+d.tolerance {
				return true
			}
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
	look("the outline", t.want.OutlineBridged, t.want.edgeTool())
}

// hanging is what does not fall out because the blade leaves it to a hand.
type hanging struct {
	names  []string
	places int
	mm     float64
	first  geometry.Point
}

// hangs adds what a contour bounds.
func (g *hanging) hangs(reach float64, c geometry.Contour, held Bridges, what string) {
	edge, before := geometry.NewRegion(c), g.places
	for _, path := range held.Left {
		at := halfWay(path)
		if distanceTo(at, edge) > reach {
			continue
		}
		if g.places++; g.places == 1 {
			g.first = at
		}
		g.mm += path.Length()
	}
	if g.places > before {
		g.names = append(g.names, what)
	}
}

func places(n int) string {
	if n == 1 {
		return "one place"
	}
	return strconv.Itoa(n) + " places"
}

// tellHanging notes all of it once.
func (d *run) tellHanging(g hanging) {
	const most = 8
	if more := len(g.names) - most; more > 0 {
		g.names = append(g.names[:most], fmt.Sprintf("%d more", more))
	}
	if g.places > 0 {
		d.add(finding.Finding{Severity: finding.Note, Line: d.lastLine(), Rule: "hangs", Message: d.say("is planned not to fall out by itself: it hangs in %v, %v in all, the first at %v; whether a cut inside of it frees it is not measured: %v", places(g.places), length(g.mm), g.first, strings.Join(g.names, ", "))}).
			hint("cut it there by hand when the machine has stopped and its tool is off")
	}
}

// halfWay is the middle of a path's middle segment.
func halfWay(p geometry.Path) geometry.Point {
	list := slices.Collect(p.Segments())
	return list[len(list)/2].At(0.5)
}
