package plan

import (
	"math"

	"traywright/cam/job"
	"traywright/geometry"
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
		why := "another pocket shares its foam"
		switch {
		case m.Machine.DrawingsOnly():
			why = "a drawing cannot tell a machine to leave a skin"
		case alone[i]:
			why = m.plug(b, sheet.ThicknessMM(), wish == job.PlugWaste, c)
		}
		if wish == job.PlugWaste && why != "" {
			m.log.warn(b.holes[c.Pockets[0]].at, "no-plug", "is milled away, not cut round: "+why, "write `waste: clear`, or change what is in the way")
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

// plug makes a cut one that goes round; it says why where it is milled.
func (m *maker) plug(b *board, thickMM float64, asked bool, c *Cut) (why string) {
	hold, loose := m.Means.Hold(c.Recipes[len(c.Recipes)-1], thickMM)
	kerf := c.Recipes[0].KerfMM.Value
	switch {
	case loose != "" || hold.SkinMM == 0:
		return "its recipe leaves no skin that would hold a plug"
	case len(c.Recipes) > 1:
		return "a plug of glued layers may hang on the glue alone"
	case len(c.Shape.Contours()) != 1:
		return "it has islands"
	}
	const weak = "what a groove leaves inside it is too small or too slender to stand"
	line, ok := m.ring(c.Shape, kerf/2)
	if !ok {
		return weak
	}
	if swept := c.Shape.Area() / (c.Recipes[0].Stepover.Value * kerf); !asked && swept < line.Length() {
		return "milling is as quick"
	}
	plug, ok := m.ring(c.Shape, kerf)
	if !ok || !m.firm(b, plug, thickMM) {
		return weak
	}
	hole := c.Shape.Contours()[0]
	for _, i := range c.Pockets {
		b.holes[i].Waste = "plug"
	}
	c.Plug, c.Along = true, line
	c.Shape = geometry.NewRegion(hole, plug.Reverse())
	c.Through, c.DepthMM = false, thickMM-hold.SkinMM
	return ""
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

// firm reports whether a plug of a height stands beside the cutter.
func (m *maker) firm(b *board, plug geometry.Contour, highMM float64) bool {
	wide := math.Max(leastPlugMM, highMM/tallPlug)
	for _, l := range b.Layers {
		wide = math.Max(wide, highMM/slenderOf(l.Foam))
	}
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
