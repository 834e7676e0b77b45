package page

import (
	"traywright/cam/job"
	"traywright/cam/plan"
)

// markDepths are the depths of labels and emblems, mm.
func markDepths(p *plan.Plan) []float64 {
	var depths []float64
	for _, t := range p.Trays {
		for _, k := range t.Marks {
			if k.Make == job.Cut && !k.Through {
				depths = append(depths, k.Depth.MM())
			}
		}
		for _, s := range t.Sheets {
			if len(s.Marks) > 0 {
				depths = append(depths, s.Marking.DepthMM)
			}
		}
	}
	return depths
}

// drawMarks draws the lines that a beam engraves, which take no foam away.
func (v *overview) drawMarks(t *plan.Tray, on view) {
	for _, s := range t.Sheets {
		if s.Marking.DepthMM > 0 {
			continue
		}
		for _, p := range s.Marks {
			v.c.polyline(on.all(chain(p.Segments(), on.scale)), pen{width: 1.5, col: ink})
		}
	}
}

// inMark reports whether a place of a tray, mm, is in the box of a label or an
// emblem.
func inMark(t *plan.Tray, x, y float64) bool {
	for _, k := range t.Marks {
		if x >= k.Box.Min.X && x <= k.Box.Max.X && y >= k.Box.Min.Y && y <= k.Box.Max.Y {
			return true
		}
	}
	return false
}
