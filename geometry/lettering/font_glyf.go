package lettering

import "encoding/binary"

// The library that reads fonts rounds the points that a TrueType outline implies, half
// way between two control points, to whole units, half a unit off. To put them where they
// belong, it has to be known which points the outline has and which it implies; that is
// read here from the glyph data themselves.

// simpleGlyph is the data of a simple glyph of a glyf table (OpenType 1.9, "glyf"): a
// header with the number of contours, the last point of each, hinting instructions, then
// the flags of the points.
type simpleGlyph []byte

const glyfHeader = 10

// contours is the number of contours, 0 for a compound or damaged glyph.
func (g simpleGlyph) contours() int {
	if len(g) < glyfHeader {
		return 0
	}
	n := int(int16(binary.BigEndian.Uint16(g)))
	if n < 0 || glyfHeader+2*n+2 > len(g) {
		return 0
	}
	return n
}

// end is the number behind the last point of a contour.
func (g simpleGlyph) end(contour int) int {
	return int(binary.BigEndian.Uint16(g[glyfHeader+2*contour:])) + 1
}

// points is how many points the glyph says it has.
func (g simpleGlyph) points() int {
	if n := g.contours(); n > 0 {
		return g.end(n - 1)
	}
	return 0
}

// onCurve tells for each contour which of its points lie on the curve; the others are control
// points. It is nil for damaged data.
func (g simpleGlyph) onCurve() [][]bool {
	n := g.contours()
	var all []bool
	instructions := glyfHeader + 2*n
	if n == 0 {
		return nil
	}
	at := instructions + 2 + int(binary.BigEndian.Uint16(g[instructions:]))
	for len(all) < g.points() {
		const onCurve, repeat = 1, 8
		if at+1 >= len(g) {
			return nil
		}
		flag, times := g[at], 1
		at++
		if flag&repeat != 0 {
			times += int(g[at])
			at++
		}
		for range times {
			all = append(all, flag&onCurve != 0)
		}
	}
	var list [][]bool
	first := 0
	for i := range n {
		end := g.end(i)
		if end <= first || end > len(all) {
			return nil
		}
		list = append(list, all[first:end])
		first = end
	}
	return list
}

// exactMiddles moves the implied points of a contour to the middle of their neighbours.
// Each quadratic curve belongs to one control point, in order of travel from the first
// point, or from the second if the first is a control point itself.
func exactMiddles(curves []curve, onCurve []bool) {
	first := 0
	if !onCurve[0] {
		first = 1
	}
	var implied []bool // the ends of the quadratic curves
	for i := range onCurve {
		n := len(onCurve)
		if at := (first + i) % n; !onCurve[at] {
			implied = append(implied, !onCurve[(at+1)%n])
		}
	}
	for i, a := range curves {
		if len(a) != 3 {
			continue
		}
		if len(implied) == 0 {
			return
		}
		if b := curves[(i+1)%len(curves)]; implied[0] && len(b) == 3 {
			middle := a[1].Add(b[1]).Scale(0.5)
			a[2], b[0] = middle, middle
		}
		implied = implied[1:]
	}
}
