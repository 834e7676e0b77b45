package page

import (
	"math"
	"strconv"
	"strings"

	"traywright/geometry"
)

// svgPath is a region as the data of an SVG path, in mm, Y up as in the foam: whoever
// draws it turns it over. Arcs stay arcs.
func svgPath(r geometry.Region) string {
	var b strings.Builder
	for _, c := range r.Contours() {
		first := true
		for s := range c.Segments() {
			if first {
				b.WriteString("M" + svgPoint(s.A))
				first = false
			}
			svgSegment(&b, s)
		}
		b.WriteString("Z")
	}
	return b.String()
}

// svgWays are open paths alike.
func svgWays(paths []geometry.Path) string {
	var b strings.Builder
	for _, p := range paths {
		first := true
		for s := range p.Segments() {
			if first {
				b.WriteString("M" + svgPoint(s.A))
				first = false
			}
			svgSegment(&b, s)
		}
	}
	return b.String()
}

func svgSegment(b *strings.Builder, s geometry.Segment) {
	if !s.IsArc() {
		b.WriteString("L" + svgPoint(s.B))
		return
	}
	large, turn := "0", "0"
	if math.Abs(s.Bulge) > 1 {
		large = "1"
	}
	if s.Bulge > 0 {
		turn = "1"
	}
	r := svgNumber(s.Radius())
	b.WriteString("A" + r + " " + r + " 0 " + large + " " + turn + " " + svgPoint(s.B))
}

func svgPoint(p geometry.Point) string { return svgNumber(p.X) + " " + svgNumber(p.Y) }

// svgNumber is a length to a hundredth of a mm, which is finer than any screen shows.
func svgNumber(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*100)/100+0, 'f', -1, 64)
}
