package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// checkFloors looks at pockets that end inside the slab: only a router can
// stop there, and what is left below should hold.
func (m *maker) checkFloors(b *board, s slab) {
	for _, h := range b.holes {
		floor := s.bottom - h.Depth
		if h.Depth <= s.top || floor <= 0 {
			continue
		}
		if m.wholeLayers() {
			m.log.fail(h.at, "depth-off-layer",
				fmt.Sprintf("is %s deep, and a %s cuts whole layers", m.length(h.Depth), m.Machine.Process),
				m.wholeHint(b, s, h.Depth))
			continue
		}
		if into := h.Depth - s.top; into < leastCut {
			m.log.fail(h.at, "hardly-a-cut", fmt.Sprintf("goes %s into a layer, where a cutter rubs on the foam instead of cutting it", m.length(into)), m.hardlyCut(s.top))
			continue
		}
		if floor.MM() < LeastFloor.MM() {
			m.log.warn(h.at, "floor-too-thin",
				fmt.Sprintf("leaves %s of foam below it in a layer of %s", m.length(floor), m.length(s.bottom-s.top)),
				"cut it through the layer, or leave "+m.more(LeastFloor.MM())+" or more")
		}
	}
}

// buriedMM is how much deeper than it was to be a pocket may become, and its piece still be
// reached (judged, no source).
const buriedMM = 10.0

// wholeHint says how deep a pocket can be where only whole layers are cut, and how its piece then
// comes out.
func (m *maker) wholeHint(b *board, s slab, depth units.Length) string {
	hint, deeper := "make it "+m.boundaries(b, depth)+" deep, where a layer ends", s.bottom-depth
	if deeper.MM() <= buriedMM {
		return hint
	}
	if s.top > 0 {
		hint += "; the deeper one"
	} else {
		hint += ","
	}
	hint += " with " + m.length(deeper) + " of foam under the piece (from the plug), which no finger reaches otherwise"
	upper := s.bottom
	for _, l := range s.layers[0].Foam.Thicknesses {
		if end := s.top + l; end >= depth && end < upper {
			upper = end
		}
	}
	if upper < s.bottom {
		hint += "; or write that layer as two, the upper one " + (upper - s.top).Exact(m.unit) + " thick, and make it " + upper.Exact(m.unit) + " deep"
	}
	return hint
}

// leastCut is the least depth that a cutter cuts, 0.1 mm; with less it rubs (judged, no source).
const leastCut units.Length = 100_000

// hardlyCut is what to do about a depth just below one where a layer ends, or the tray begins.
func (m *maker) hardlyCut(top units.Length) string {
	deeper := m.up((top + leastCut).MM(), 0.1)
	if top == 0 {
		return "make it " + deeper + " deep or more"
	}
	return "make it " + top.Exact(m.unit) + " deep, where the layer above ends, or " + deeper + " or more"
}

// underIslandMM is how much thicker than an outline's skin a floor has to be under foam that stands
// alone in a pocket: a cutter works all around it, and what only a skin holds can come up with
// the cutter. In thin foam half of what lies between the skin and the marks (judged, no source).
const underIslandMM = 1.0

// checkIslands looks at what stands alone on the floor of a pocket that a cutter clears.
func (m *maker) checkIslands(b *board, s slab, sheet *Sheet) {
	skinAt := sheet.Edge.DepthMM
	if m.wholeLayers() {
		return
	}
	most := skinAt - math.Min(underIslandMM, math.Max(0, skinAt-sheet.Marking.DepthMM)/2)
	if sheet.Edge.Hold.SkinMM == 0 {
		most = math.Inf(1) // tabs hold the tray, and a floor an island
	}
	for _, c := range sheet.Cuts {
		if c.Plug || !c.Through && c.DepthMM <= most+m.slackMM() || !slices.ContainsFunc(c.Shape.Contours(), func(c geometry.Contour) bool { return c.Area() < 0 }) {
			continue
		}
		at := s.at.with(c.Name)
		if len(c.Pockets) > 0 {
			at = b.holes[c.Pockets[0]].at
		}
		if c.Through {
			m.log.fail(at, "island-loose", "goes through a sheet, and the foam in its middle would fly loose", "end it above the sheet's bottom, or leave the island out")
			continue
		}
		m.log.fail(at, "island-on-skin", fmt.Sprintf("has an island that would stand on %s of foam while the cutter works around it, and can come up with it", m.mm(sheet.ThicknessMM()-c.DepthMM)),
			fmt.Sprintf("make it %s deep or less, or leave the island out", m.down(s.top.MM()+most, 0.1)))
	}
}

// boundaries names the layer boundaries next to a depth.
func (m *maker) boundaries(b *board, depth units.Length) string {
	var names []string
	end := units.Length(0)
	for _, l := range b.Layers {
		start := end
		end += l.Thickness
		if start < depth && depth < end {
			if start > 0 {
				names = append(names, start.Exact(m.unit))
			}
			names = append(names, end.Exact(m.unit))
		}
	}
	return strings.Join(names, " or ")
}

// inFoam is a depth that the job asks for in the sheets as they are: one that ends
// where a layer does by its label ends where that layer really does. Any other is
// measured from the top and stays what it is.
func (b *board) inFoam(depth units.Length) units.Length {
	var label, real units.Length
	for _, l := range b.Layers {
		label, real = label+l.Sold(), real+l.Thickness
		if depth == label {
			return real
		}
	}
	return depth
}

// checkStock warns of a thickness that the foam is not sold in.
func (m *maker) checkStock(at place, foam profiles.Foam, thickness units.Length) {
	var stock []string
	for _, s := range foam.Thicknesses {
		if s == thickness {
			return
		}
		stock = append(stock, s.Exact(m.unit))
	}
	if len(stock) > 0 {
		m.log.warn(at, "thickness-not-stock", fmt.Sprintf("is %s of %s, which is not a usual thickness of it", m.length(thickness), foam.ID),
			"measure your sheet, or choose from "+strings.Join(stock, ", "))
	}
}
