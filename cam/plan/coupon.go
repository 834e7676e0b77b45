package plan

import (
	"fmt"

	"traywright/geometry/units"
	"traywright/profiles"
)

// CouponCommand makes a coupon for a recipe: of the layer's foam as thick as it is, or else the
// thickest that is sold, up to the layer's, that the tool's edges cut.
func CouponCommand(r profiles.Recipe, tool profiles.Tool, l Layer, u units.Unit) string {
	thickness := l.Thickness // the real one: a kerf counts for the foam that it was cut in
	if flute := tool.FluteMM.Value; flute > 0 && thickness.MM() > flute {
		for _, sold := range l.Foam.Thicknesses {
			if sold.MM() <= flute && (thickness.MM() > flute || sold > thickness) {
				thickness = sold
			}
		}
	}
	return CouponOf(r, thickness, u)
}

// CouponOf makes a coupon of a recipe in foam of a thickness.
func CouponOf(r profiles.Recipe, thickness units.Length, u units.Unit) string {
	text := fmt.Sprintf("traywright coupon --foam %s --thickness \"%s\" --machine %s --tool %s", r.Foam, thickness.Exact(u), r.Machine, r.Tool)
	if u == units.Inch {
		text += " --units in"
	}
	return text + " --out coupon"
}

// into is how much foam a cut goes through or, where a tool stops in it, into.
func (m *maker) into(t task, l Layer) (mm float64, stops bool) {
	if m.Means.WholeLayers() {
		return l.Thickness.MM(), false
	}
	return t.depthMM, true
}

// tellThickness warns once of a kerf that nobody knows in the foam that is cut.
func (m *maker) tellThickness(t task, c choice) {
	for i, r := range c.recipes {
		if len(r.MeasuredIn) == 0 {
			continue
		}
		mm, stops := m.into(t, t.layers[i])
		_, why := r.MeasuredIn.At(mm, stops)
		name := fmt.Sprintf("recipe for %s on %s with %s", r.Foam, r.Machine, r.Tool)
		if why == "" || m.told["kerf "+name+why] {
			continue
		}
		m.told["kerf "+name+why] = true
		m.log.warn(place{text: name}, "kerf-of-another-thickness", fmt.Sprintf("nobody knows its kerf here: %s; it is taken as %.3g mm, give or take %.3g", why, r.KerfMM.Value, r.KerfOffMM.Value),
			"cut and measure a coupon of that thickness too, and save it into the same folder of profiles; between two thicknesses the kerf is taken from both: `"+CouponCommand(r, c.tool, t.layers[i], m.unit)+"`")
	}
}
