package page

import "traywright/cam/plan"

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
			t.follow(p.Segments(), v)
		}
		t.DrawPath("D")
	}
}
