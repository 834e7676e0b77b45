package page

import (
	"traywright/cam/plan"
	"traywright/geometry"
)

// drawMark draws a label or an emblem: what is cut as a hole, what is engraved
// as a line.
func (t *trueSize) drawMark(k plan.Mark, v sheetView) {
	switch {
	case len(k.Paths) == 0:
		t.fill(hairline)
		t.region(k.Design, v, "B*")
	case !k.Design.Empty():
		t.region(k.Design, v, "D")
	default:
		for _, p := range k.Paths {
			t.path(p, v)
		}
		t.DrawPath("D")
	}
}

// path adds an open chain to the path. Arcs become Bézier curves.
func (d *document) path(p geometry.Path, v sheetView) {
	if vertices := p.Vertices(); len(vertices) > 0 {
		start := v.at(vertices[0].Point)
		d.MoveTo(start.X, start.Y)
	}
	for s := range p.Segments() {
		d.follow(s, v)
	}
}

// follow adds a segment.
func (d *document) follow(s geometry.Segment, v sheetView) {
	if s.IsArc() {
		d.arcTo(s, v)
		return
	}
	end := v.at(s.B)
	d.LineTo(end.X, end.Y)
}
