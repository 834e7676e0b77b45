package proof

import (
	"math"

	"traywright/geometry"
)

// Which way round a cutter goes decides to which side the foam pushes it, and so the fit, which
// the recipe's kerf was measured with. A beam is not pushed, and neither are the strokes of marks
// held to a fit.

const (
	// headMM is how far apart the plan's heading is noted, nearHeadMM how far from its way a
	// program's may lie, and turnedMM how much of it may go the other way (judged, no source).
	headMM, nearHeadMM, turnedMM = 0.5, 0.05, 5
)

// heading is a place of a way, and the direction that it has there.
type heading struct{ at, along geometry.Point }

// headings are those of the plan, by the cells of a grid.
type headings map[headCell][]heading

// headCell is a cell of a mm. Whole numbers are found many times faster than places.
type headCell [2]int32

func headCellOf(p geometry.Point) headCell {
	return headCell{int32(math.Round(p.X)), int32(math.Round(p.Y))}
}

// visitHeadings gives each piece of a motion's way, seen from above.
func visitHeadings(m Motion, visit func(h heading, mm float64)) {
	for _, s := range sweepsOf(0, m, 0, 0, 0) {
		n := math.Ceil(s.length() / headMM)
		for k := range int(n) {
			a, b := s.at(float64(k)/n), s.at(float64(k+1)/n)
			if way := b.Sub(a); way.Norm() > 0 {
				visit(heading{s.at((float64(k) + 0.5) / n), way.Scale(1 / way.Norm())}, s.length()/n)
			}
		}
	}
}

// plannedHeadings are those of the plan in the foam. Levels below one another are noted once.
func (d *run) plannedHeadings() headings {
	list := headings{}
	for m := range d.want.Way {
		if m.Rapid || m.lowest() >= 0 {
			continue
		}
		visitHeadings(m, func(h heading, _ float64) {
			cell := headCellOf(h.at)
			for _, known := range list[cell] {
				if off := h.at.Sub(known.at); off.Norm() < headMM/4 && math.Abs(off.Cross(known.along)) < slackMM && known.along.Dot(h.along) > 0.999 {
					return
				}
			}
			list[cell] = append(list[cell], h)
		})
	}
	return list
}

// against reports whether the plan goes along there, and only the other way.
func (l headings) against(h heading) bool {
	against := false
	cell := headCellOf(h.at)
	for i := range int32(9) {
		for _, known := range l[headCell{cell[0] + i%3 - 1, cell[1] + i/3 - 1}] {
			off := h.at.Sub(known.at)
			if math.Abs(off.Dot(known.along)) > headMM || math.Abs(off.Cross(known.along)) > nearHeadMM {
				continue
			}
			if known.along.Dot(h.along) > -0.5 {
				return false
			}
			against = true
		}
	}
	return against
}

// judgeTurned finds cuts that go the other way round than the plan's.
func (d *run) judgeTurned(cuts []bool) {
	if d.want == nil || d.want.Way == nil {
		return
	}
	planned := d.plannedHeadings()
	turned := 0.0
	for i, m := range d.result.Motions {
		if m.Rapid || !cuts[i] || -m.lowest() <= d.want.MarkDepthMM+toleranceMM {
			continue
		}
		visitHeadings(m, func(h heading, mm float64) {
			if planned.against(h) {
				turned += mm
			}
		})
		if turned > turnedMM {
			d.wrong(m.Line, "other-way-round", "cuts here the other way round than the plan: the foam pushes the tool to the other side, and the piece fits otherwise").hint("go round as the plan does")
			return
		}
	}
}
