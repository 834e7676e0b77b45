package proof

import (
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
		if !cuts[i].Through {
			continue
		}
		for _, c := range cuts[i].Shape.Contours() {
			if c.Area() < 0 {
				fly = d.judgeIsland(x, c, cuts[i], depth) || fly
			} else if d.beam {
				d.judgePlug(x, c, cuts[i], depth)
			}
		}
	}
	fly = d.judgeTray(x, depth) || fly
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
	if d.beam {
		d.warn(d.lineOf(motion), "loose-island", "the island in %v at %v comes free here and falls or tips", h.Name, at).hint("keep it, or leave a bridge")
		return false
	}
	d.wrong(d.lineOf(motion), "loose-island", "the island in %v at %v comes free here with the cutter beside it, and can fly", h.Name, at).
		hint("leave a bridge or a skin under it")
	return true
}

// judgePlug: the beam comes back to a plug that has dropped already.
func (d *run) judgePlug(x *index, c geometry.Contour, h hole, depth float64) {
	motion, free := d.freedBy(x, c, depth)
	if !free {
		return
	}
	if s := x.laterCut(motion, c.Bounds(), func(p geometry.Point) bool {
		return inside(h, p) && h.away(p, probeStepMM) && !x.cutBefore(p, motion)
	}); s != nil {
		d.warn(d.lineOf(s.motion), "loose-plug", "cuts in the plug of %v at %v, which came free at line %d", h.Name, s.at(0.5), d.lineOf(motion)).hint("cut what is inside first")
	}
}

// judgeTray: the tray itself. It reports whether that comes loose under a tool, or is worked on.
func (d *run) judgeTray(x *index, depth float64) (told bool) {
	for _, c := range d.want.Outline.Contours() {
		motion, free := d.freedBy(x, c, depth)
		if !free {
			told = d.judgeHeld(x, c) || told
			continue
		}
		if !d.beam {
			d.wrong(d.lineOf(motion), "loose-tray", "the tray comes free here with the cutter beside it, and can fly").hint("leave a skin or tabs")
			told = true
			continue
		}
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
	if d.beam || !down || d.want.OutlineDepthMM <= 0 {
		return false
	}
	s := d.laterInTray(x, c, motion)
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
