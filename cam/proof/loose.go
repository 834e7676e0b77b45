package proof

import (
	"slices"

	"traywright/geometry"
)

// What comes loose. A part is free from the move on that has cut the last of
// its contour through: the latest, over the contour's probes, of the first move
// that reaches each. Where some probe is never reached, a tab or a skin holds it.
// Between two probes the last bit may still be uncut, so what is cut within a
// probe's step of the contour is no cut in a loose part.

// freedBy is the motion that frees what a contour bounds, if any does.
func (d *run) freedBy(x *index, c geometry.Contour, depth float64) (motion int, free bool) {
	for _, p := range probesOf(c, func(geometry.Point) bool { return false }) {
		first, ok := x.firstReach(p.at, depth, d.tolerance)
		if !ok {
			return 0, false
		}
		motion, free = max(motion, first), true
	}
	return motion, free
}

// judgeLoose looks at what the program cuts free.
func (d *run) judgeLoose(x *index, cuts []hole) {
	depth := d.throughMM() - toleranceMM
	fly := false // a contour of the plan comes free beside a cutter, and that is told
	for i := range cuts {
		if cuts[i].Plug && d.turning {
			d.judgeGroove(x, cuts[i])
		}
		if !cuts[i].Through {
			continue
		}
		for _, c := range cuts[i].Shape.Contours() {
			if c.Area() < 0 {
				fly = d.judgeIsland(x, c, cuts[i], depth) || fly
			} else if !d.turning {
				d.judgePlug(x, c, cuts[i], depth)
			}
		}
	}
	d.judgeSkin(cuts)
	fly = d.judgeTray(x, depth) || fly
	d.tellHanging(d.hanging)
	slices.SortStableFunc(d.result.Freed, func(a, b Freed) int { return a.Line - b.Line })
	if !fly {
		d.judgeStanding(cuts)
	}
}

// judgeIsland: foam that stands alone in a hole that goes through. It reports whether that can fly.
func (d *run) judgeIsland(x *index, c geometry.Contour, h hole, depth float64) bool {
	motion, free := d.freedBy(x, c, depth)
	if !free {
		return false
	}
	at := c.Vertices()[0].Point
	if !d.turning {
		d.warn(d.lineOf(motion), "loose-island", "the island in %v at %v comes free here and falls or tips", h.Name, at).hint("keep it, or leave a bridge")
		return false
	}
	d.wrong(d.lineOf(motion), "loose-island", "the island in %v at %v comes free here with the cutter beside it, and can fly", h.Name, at).
		hint("leave a bridge or a skin under it")
	return true
}

// closingKerfs is how far a cutter may go on in a groove that is down to its skin, in kerfs: a lap
// that runs on past its own start (judged, no source).
const closingKerfs = 4

// judgeGroove: a cutter goes on beside a plug that only its skin still holds.
func (d *run) judgeGroove(x *index, h hole) {
	down := 0
	for _, c := range h.Shape.Contours() {
		motion, all := d.freedBy(x, c, h.DepthMM-toleranceMM)
		if !all {
			return
		}
		down = max(down, motion)
	}
	whole := h.Shape.Contours()[0]
	d.judgeGoingOn(down, "the groove around the plug of "+h.Name, func(p geometry.Point, _ float64) bool {
		return inBox(p, h.box, 0) && whole.Winding(p) != 0
	})
}

// judgeGoingOn: a cutter goes on in a groove after the motion with which it was down to its skin.
func (d *run) judgeGoingOn(down int, name string, in func(p geometry.Point, width float64) bool) {
	on := 0.0
	for i := down + 1; i < len(d.result.Motions); i++ {
		m := d.result.Motions[i]
		width, _ := d.width(m.Tool)
		if m.Rapid || m.lowest() > -slackMM || !in(m.middle(), width) {
			continue
		}
		if on += m.flatLength(); on > closingKerfs*width {
			d.wrong(m.Line, "held-by-skin", "goes on in %v, which went down to its skin at line %d: what it goes round is rubbed hot, and can come up with the cutter", name, d.lineOf(down)).
				hint("take out what goes over the groove again")
			return
		}
	}
}

// judgeSkin: beside the tray nothing goes deeper than to the skin that is to hold it.
func (d *run) judgeSkin(cuts []hole) {
	planned := d.want.OutlineDepthMM
	if !d.turning || planned <= 0 || planned >= d.throughMM() {
		return
	}
	for i, m := range d.result.Motions {
		deep := -m.lowest()
		if deep <= planned+toleranceMM || m.Rapid || d.want.Outline.Contains(m.middle()) || slices.ContainsFunc(cuts, func(h hole) bool { return inside(h, m.middle()) }) {
			continue
		}
		d.wrong(d.lineOf(i), "skin-cut", "cuts %v deep beside the tray, where the plan leaves a skin from %v down, which is to hold it", length(deep), length(planned)).
			hint("end it at Z%v", d.word(d.zWord(-planned)))
		return
	}
}

// free notes what comes loose where nothing throws it.
func (d *run) free(name string, part, motion int) {
	m := d.result.Motions[motion]
	d.result.Freed = append(d.result.Freed, Freed{name, part, m.Line, m.EndS})
}

// judgePlug: what does not throw it comes back to a plug that has dropped already.
func (d *run) judgePlug(x *index, c geometry.Contour, h hole, depth float64) {
	motion, free := d.freedBy(x, c, depth)
	if !free {
		d.hanging.hangs(x.widest+d.tolerance, c, h.Bridged, "the plug of "+h.Name)
		return
	}
	d.free(h.Name, 0, motion)
	if s := x.laterCut(motion, c.Bounds(), func(p geometry.Point) bool {
		return inside(h, p) && h.away(p, probeStepMM) && !x.cutBefore(p, motion)
	}); s != nil {
		d.warn(d.lineOf(s.motion), "loose-plug", "cuts in the plug of %v at %v, which came free at line %d", h.Name, s.at(0.5), d.lineOf(motion)).hint("cut what is inside first")
	}
}

// judgeTray: the tray itself. It reports whether that comes loose under a tool, or is worked on.
func (d *run) judgeTray(x *index, depth float64) (told bool) {
	for i, c := range d.want.Outline.Contours() {
		motion, free := d.freedBy(x, c, depth)
		if !free {
			d.hanging.hangs(x.widest+d.tolerance, c, d.want.OutlineBridged, "the tray")
			told = d.judgeHeld(x, c) || told
			continue
		}
		if d.turning {
			d.wrong(d.lineOf(motion), "loose-tray", "the tray comes free here with the cutter beside it, and can fly").hint("leave a skin or tabs")
			told = true
			continue
		}
		d.free("the tray", i+1, motion)
		if s := d.laterInTray(x, c, motion); s != nil {
			told = true
			d.wrong(d.lineOf(s.motion), "loose-tray", "cuts in the tray at %v after its outline came free at line %d", s.at(0.5), d.lineOf(motion)).hint("cut the outline last")
		}
	}
	return told
}

// judgeHeld: a cutter works in a tray that only its skin still holds; it reports whether one does.
func (d *run) judgeHeld(x *index, c geometry.Contour) bool {
	motion, down := d.freedBy(x, c, d.want.OutlineDepthMM-toleranceMM)
	if !d.turning || !down || d.want.OutlineDepthMM <= 0 {
		return false
	}
	s := d.laterInTray(x, c, motion)
	if s == nil && len(d.want.Outline.Contours()) == 1 {
		rim := geometry.NewRegion(c)
		d.judgeGoingOn(motion, "the outline", func(p geometry.Point, width float64) bool {
			return !d.want.Outline.Contains(p) && distanceTo(p, rim) < width
		})
	}
	if s != nil {
		d.wrong(d.lineOf(s.motion), "held-by-skin", "cuts in the tray at %v after its outline went down to its skin at line %d; a skin is to hold it still, not to be worked on", s.at(0.5), d.lineOf(motion)).
			hint("cut the outline last")
	}
	return s != nil
}

// laterInTray is the first cut in fresh foam of the tray after a motion, away from its rim.
func (d *run) laterInTray(x *index, c geometry.Contour, motion int) *sweep {
	return x.laterCut(motion, c.Bounds(), func(p geometry.Point) bool {
		return d.want.Outline.Contains(p) && away(p, d.want.Outline, probeStepMM) && !x.cutBefore(p, motion)
	})
}
