package plan

import (
	"fmt"
	"math"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// Plugs. Under a cutter a pocket that goes through need not be milled to chips: a groove goes
// around it, a skin holds the plug until the machine has stopped, and a hand cuts the skin and
// lifts the plug out, as it does with the tray itself. That is done where it is quicker and
// where the plug stands as firmly as a wall has to:
//
//   - it is of one layer: a block's glue may not reach under it;
//   - the skin is the one that the recipe leaves under an outline; with tabs, or nothing, the
//     pocket is milled;
//   - the plug is one piece, somewhere at least leastPlugMM across and as thick as its height
//     over tallPlug and over what a wall may have (check_slender.go), and it has hardly any part
//     so thin that it bends;
//   - no other cut shares its foam.
const (
	leastPlugMM = 12.0 // across a plug, where it is widest (judged, no source)
	tallPlug    = 2.5  // how often that goes into its height at most: only its foot holds it (judged, no source)
	thinPlugMM  = 4.0  // a part of a plug that is thinner may bend into the cutter (judged, no source)
	mostThin    = 0.05 // and how much of its area may be as thin: sharp corners are (judged, no source)
)

// plugs cuts round what can be lifted out of a sheet.
func (m *maker) plugs(b *board, sheet *Sheet) {
	if m.wholeLayers() {
		return
	}
	alone := sheet.alone(m.TolMM)
	for i := range sheet.Cuts {
		c := &sheet.Cuts[i]
		wish := m.wasteOf(b, c)
		if wish == job.ClearWaste {
			continue
		}
		no := noPlug{"another pocket shares its foam", ", or move what shares its foam off it"}
		switch {
		case m.Machine.DrawingsOnly():
			no = noPlug{"a drawing cannot tell a machine to leave a skin", ""}
		case alone[i]:
			no = m.plug(b, sheet.ThicknessMM(), wish == job.PlugWaste, c)
		}
		if wish == job.PlugWaste && no.why != "" {
			m.log.warn(b.holes[c.Pockets[0]].at, "no-plug", "is milled away, not cut round: "+no.why, "write `waste: clear`"+no.or)
		}
	}
}

// Plugs is how many pockets of the sheet are cut round.
func (s Sheet) Plugs() int {
	n := 0
	for _, c := range s.Cuts {
		if c.Plug {
			n++
		}
	}
	return n
}

// PlugSkinMM is what its plugs stand on, at least; 0 without any.
func (s Sheet) PlugSkinMM() float64 {
	least := 0.0
	for _, c := range s.Cuts {
		if skin := s.ThicknessMM() - c.DepthMM; c.Plug && (least == 0 || skin < least) {
			least = skin
		}
	}
	return least
}

// wasteOf is what the job wants of a cut that goes through; to mill it where there is none.
func (m *maker) wasteOf(b *board, c *Cut) job.Waste {
	if !c.Through || len(c.Pockets) == 0 || len(c.Recipes) == 0 {
		return job.ClearWaste
	}
	wish := job.QuickerWaste
	for _, i := range c.Pockets {
		wish = max(wish, b.holes[i].source.Waste)
		if b.holes[i].source.Waste == job.ClearWaste {
			return job.ClearWaste
		}
	}
	return wish
}

// alone reports of each cut whether no other shares its foam.
func (s *Sheet) alone(tol float64) []bool {
	shapes := make([]geometry.Region, len(s.Cuts))
	list := make([]bool, len(s.Cuts))
	for i := range s.Cuts {
		shapes[i], list[i] = s.Cuts[i].Shape, true
	}
	for _, pair := range nesting(shapes, tol) {
		list[pair[0]], list[pair[1]] = false, false
	}
	return list
}

// noPlug is why a cut is milled and not cut round, and what would help, beside having it milled.
type noPlug struct{ why, or string }

// tellBlind refuses a plug to a pocket that ends within its layer. In a block no depth gives one.
func (m *maker) tellBlind(b *board, at place, depth units.Length) {
	hint := fmt.Sprintf("write `waste: clear`, or take its `depth` out: it then ends where its layer does, %s down", m.length(b.Layers[0].Thickness))
	if b.source.Cut == job.Block {
		hint = "write `waste: clear`: a glued block has no plugs"
	}
	m.log.fail(at, "blind-plug", "ends "+m.length(depth)+" down, within its layer, and has no plug to lift out", hint)
}

// plug makes a cut one that goes round; it says why where it is milled.
func (m *maker) plug(b *board, thickMM float64, asked bool, c *Cut) (no noPlug) {
	hold, loose := m.Means.Hold(c.Recipes[len(c.Recipes)-1], thickMM)
	kerf := c.Recipes[0].KerfMM.Value
	switch {
	case loose != "" || hold.SkinMM == 0:
		return noPlug{"its recipe leaves no skin that would hold a plug", ", or a `skin_mm` in its recipe, thinner than the layer"}
	case len(c.Recipes) > 1:
		return noPlug{"a plug of glued layers may hang on the glue alone", ""}
	case len(c.Shape.Contours()) != 1:
		return noPlug{"it has islands", ""}
	}
	wide := plugMM(b, thickMM)
	line, ok := m.ring(c.Shape, kerf/2)
	if !ok {
		return m.weak(c.Shape, kerf, wide)
	}
	if swept := c.Shape.Area() / (c.Recipes[0].Stepover.Value * kerf); !asked && swept < line.Length() {
		return noPlug{why: "milling is as quick"}
	}
	plug, ok := m.ring(c.Shape, kerf)
	if !ok || !m.firm(plug, wide) {
		return m.weak(c.Shape, kerf, wide)
	}
	hole := c.Shape.Contours()[0]
	for _, i := range c.Pockets {
		b.holes[i].Waste = "plug"
	}
	c.Plug, c.Along = true, line
	c.Shape = geometry.NewRegion(hole, plug.Reverse())
	c.Through, c.DepthMM = false, thickMM-hold.SkinMM
	return noPlug{}
}

// plugMM is how wide a plug of a height is to be somewhere, to stand beside the cutter.
func plugMM(b *board, highMM float64) float64 {
	wide := math.Max(leastPlugMM, highMM/tallPlug)
	for _, l := range b.Layers {
		wide = math.Max(wide, highMM/slenderOf(l.Foam))
	}
	return wide
}

// weak is what keeps the plug of a hole from standing: its size, or its shape alone.
func (m *maker) weak(hole geometry.Region, kerf, wide float64) noPlug {
	if m.roomy(hole, kerf+wide/2) {
		return noPlug{fmt.Sprintf("parts of its plug would be thinner than %s, and bend into the cutter", m.mm(thinPlugMM)), ""}
	}
	const past = 0.01 // just as wide is not wide enough
	return noPlug{fmt.Sprintf("the groove of %s on all sides leaves a plug narrower than the %s that it needs to stand", m.mm(kerf), m.more(wide)),
		fmt.Sprintf(", or make it at least %s in length and width", m.above(wide+2*kerf+past))}
}

// ring is the line at a distance inside a hole, where it is one: the middle of a groove, or what
// the groove leaves.
func (m *maker) ring(hole geometry.Region, in float64) (line geometry.Contour, ok bool) {
	lines, err := geometry.Offset(hole, -in, m.TolMM)
	if err != nil || len(lines.Contours()) != 1 {
		return line, false
	}
	return lines.Contours()[0], true
}

// firm reports whether a plug stands that is to be so wide somewhere.
func (m *maker) firm(plug geometry.Contour, wide float64) bool {
	whole := geometry.NewRegion(plug)
	if !m.roomy(whole, wide/2) {
		return false
	}
	core, err := geometry.Offset(whole, -thinPlugMM/2, m.TolMM)
	if err != nil || len(core.Contours()) != 1 {
		return false
	}
	// Grown back, the core is no smaller than a disc of its area would be (Brunn, Minkowski).
	least, enough := math.Sqrt(core.Area())+math.Sqrt(math.Pi)*thinPlugMM/2, (1-mostThin)*whole.Area()
	if least*least >= enough {
		return true
	}
	thick, err := geometry.Offset(core, thinPlugMM/2, m.TolMM)
	return err == nil && thick.Area() >= enough
}

// roomy reports whether a place of the region is so deep inside it. Mostly its middle is; else
// an offset tells.
func (m *maker) roomy(whole geometry.Region, deep float64) bool {
	walls, at := geometry.NewWalls(whole), middle(whole.Bounds())
	if walls.Contains(at) && walls.DistanceTo(at, deep+m.TolMM) > deep+m.TolMM {
		return true
	}
	inside, err := geometry.Offset(whole, -deep, m.TolMM)
	return err == nil && !inside.Empty()
}
