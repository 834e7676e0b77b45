package plan

import "fmt"

// bridge decides where what comes free is held, so that it does not tip up in the way of
// the head.
func (s *Sheet) bridge(c *Cut, means Means) {
	c.Hold.Tips, c.Hold.Bridges, c.Hold.BridgeMM, c.Hold.Lacking = 0, nil, 0, 0
	if !c.Through || len(c.Recipes) == 0 || c.Along.Len() > 0 {
		return
	}
	for _, piece := range c.Shape.Contours() {
		if piece.Area() <= 0 {
			continue // an island, which stands beside what falls
		}
		places, width, asked := means.Bridges(piece, c.Recipes[len(c.Recipes)-1], s.ThicknessMM())
		if s.Bridged {
			c.Hold.Lacking += asked - len(places)
		}
		switch {
		case asked == 0: // it does not tip
		case s.Bridged && len(places) > 0:
			c.Hold.Bridges, c.Hold.BridgeMM = append(c.Hold.Bridges, places...), width
		default:
			c.Hold.Tips++
		}
	}
}

// tellBridges says where what may tip is held by fewer bridges than it should be: a warning
// where by none.
func (m *maker) tellBridges(s slab, sheet Sheet) {
	for _, c := range sheet.All() {
		if c.Hold.Lacking == 0 {
			continue
		}
		at, hint := s.at.with(c.Name), "make it larger, or tab_width_mm in the recipe smaller; or watch for it, and stop the machine where it tips"
		if c.Hold.Tips > 0 {
			m.log.warn(at, "no-bridges", fmt.Sprintf("has %s narrower than the foam is thick, too small for any bridge: it may tip up and catch the head", pieces(c.Hold.Tips)), hint)
			continue
		}
		m.log.note(at, "few-bridges", fmt.Sprintf("is held by %d of %d bridges: there is no room for more", len(c.Hold.Bridges), len(c.Hold.Bridges)+c.Hold.Lacking), hint)
	}
}

// tellTabs warns of a sheet that one tab holds: what the cutter pushes turns about it, into the cutter (judged, no source).
func (m *maker) tellTabs(s slab, sheet Sheet) {
	if n := len(sheet.Edge.Recipes); sheet.Edge.Hold.Tabs == 1 && n > 0 {
		bottom := sheet.Edge.Recipes[n-1]
		m.log.warn(s.at, "one-tab", "is held by one tab, and can turn about it into the cutter", fmt.Sprintf("set tab_count to 3 or more in the recipe for %s with %s", bottom.Foam, bottom.Tool))
	}
}

func pieces(n int) string {
	if n == 1 {
		return "a piece that is"
	}
	return fmt.Sprintf("%d pieces that are", n)
}
