package proof

import (
	"slices"
	"strings"

	"traywright/geometry"
)

// What is cut a little wider leaves no bridge between the halves of a letter, and nothing then
// holds the island in it. Where that happens follows from no single distance: an island hangs on
// the widest of its bridges.

// islandMM is how far foam is from all of a cut that is more than a chip of it (judged, no source).
const islandMM = 1

// islands: foam that stands in the tray hangs together with it. The holes are cut once more, as
// wide as can be; only where that cuts some foam round is it found how wide is too wide.
func (t *trial) islands() {
	if !t.turning || t.mostWider() <= 0 || !slices.ContainsFunc(t.cuts, func(h hole) bool { return h.Through }) {
		return
	}
	found, at := t.islandBy(1)
	if !found {
		return
	}
	low, high := 0.0, 1.0
	for range 7 {
		middle := (low + high) / 2
		if is, where := t.islandBy(middle); is {
			at, high = where, middle
		} else {
			low = middle
		}
	}
	var names []string
	tool, widest := 0, -1.0
	for _, h := range t.cuts {
		most := t.mostOf(h.tool())
		if !h.Through || distanceTo(at, h.Shape) > most+islandMM {
			continue
		}
		if !slices.Contains(names, h.Name) {
			names = append(names, h.Name)
		}
		if most > widest {
			tool, widest = h.tool(), most
		}
	}
	t.add(Island, "the foam that is cut round by "+strings.Join(names, " and "), at, tool, low*widest, wider(-1))
}

// mostOf is the most by which a tool's cuts may be wider.
func (t *trial) mostOf(tool int) float64 { return t.KerfMM[tool].High + t.RunoutMM[tool].High }

// islandBy grows all that goes through by a part of what it may be wider by, and finds foam that
// has lost its hold, and a place at its edge.
func (t *trial) islandBy(part float64) (found bool, at geometry.Point) {
	var holes []geometry.Region
	for _, h := range t.cuts {
		if !h.Through {
			continue
		}
		if grown, err := geometry.Offset(h.Shape, part*t.mostOf(h.tool())/2, unionMM); err == nil {
			holes = append(holes, grown)
		}
	}
	all, err := geometry.Union(unionMM, holes...)
	if err != nil {
		return false, at
	}
	for _, c := range all.Contours() {
		if c.Area() >= 0 {
			continue
		}
		if core, err := geometry.Offset(geometry.NewRegion(c.Reverse()), -islandMM, unionMM); err == nil && !core.Empty() {
			return true, c.Vertices()[0].Point
		}
	}
	return false, at
}
