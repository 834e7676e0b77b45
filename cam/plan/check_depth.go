package plan

import (
	"fmt"
	"strings"

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
				"make it "+m.boundaries(b, h.Depth)+" deep, where a layer ends")
			continue
		}
		if floor.MM() < LeastFloor.MM() {
			m.log.warn(h.at, "floor-too-thin",
				fmt.Sprintf("leaves %s of foam below it in a layer of %s", m.length(floor), m.length(s.bottom-s.top)),
				"cut it through the layer, or leave "+m.mm(LeastFloor.MM())+" or more")
		}
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
				names = append(names, m.length(start))
			}
			names = append(names, m.length(end))
		}
	}
	return strings.Join(names, " or ")
}

// checkStock warns of a thickness that the foam is not sold in.
func (m *maker) checkStock(at place, foam profiles.Foam, thickness units.Length) {
	var stock []string
	for _, s := range foam.Thicknesses {
		if s == thickness {
			return
		}
		stock = append(stock, m.length(s))
	}
	if len(stock) > 0 {
		m.log.warn(at, "thickness-not-stock", fmt.Sprintf("is %s of %s, which is not a usual thickness of it", m.length(thickness), foam.ID),
			"measure your sheet, or choose from "+strings.Join(stock, ", "))
	}
}
