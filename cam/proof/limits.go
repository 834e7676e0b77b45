package proof

import (
	"slices"

	"traywright/geometry"
)

// Limits is how a cut of the plan is made: the numbers of its recipe, the owner's
// limits taken off. A program is held against them both ways: too weak and too
// slow is as wrong as too strong and too fast. 0 is not known, and not checked.
type Limits struct {
	Tool           int       // by number; 0 is any
	ToMM           float64   // below the foam's top: in a block, where the layer ends that these are for; 0 is all the way down
	FeedMMPerMin   float64   // along the cut
	PlungeMMPerMin float64   // cutter: the fastest that it may sink into foam
	StepDownMM     float64   // cutter: the most foam that one pass may take
	WallMM         float64   // cutter: how much foam it may find beside it on a lap along a wall, however deep; 0 where it may take no more than a step-down anywhere
	RampDegrees    float64   // cutter: the steepest way into foam, but where the plan plunges
	RPM            float64   // cutter
	PowerPercent   float64   // beam
	Passes         int       // beam: that go through; 0 where it only marks
	MMPerPass      float64   // beam: the foam that one pass goes through at that power and feed; 0 is its share of the sheet
	PauseS         float64   // beam: that it stays dark before it goes over a place again
	FocusMM        []float64 // beam: how far below the foam's top each pass is focused; nil where its height is set by hand
	Kerf           *CutKerf  // of the cut, where its tool does not cut everything in the sheet so wide; nil is the setup's
}

// CutKerf is the kerf of one cut: it may hang on how deep a cut goes.
type CutKerf struct {
	Cut string    // that it is of, as the program's comments name it
	MM  []float64 // width removed in each layer, top to bottom
}

// Whose limits rule a motion is decided by where it is, not by what the program
// says of itself: comments may be wrong, or gone. A path belongs to the holes that
// hold its middle, to the outline where it is outside the tray, and to the marks
// where it runs along one. Where several do, any of them may allow it; where none
// does, any of all: the foam will tell that it is astray.

// rulings are the limits of every motion that touches foam; nil of the others, and nil
// where there is no plan.
func (d *run) rulings() [][]Limits {
	if d.want == nil {
		return nil
	}
	if d.planned = d.want.allLimits(); len(d.planned) == 0 {
		return nil
	}
	list := make([][]Limits, len(d.result.Motions))
	holes, marks := newHoles(*d.want, d.throughMM()), d.wantedMarks()
	for i, m := range d.result.Motions {
		if m.Rapid || d.beam && !m.On || !d.beam && m.lowest() > -slackMM {
			continue
		}
		list[i] = d.ruling(m, holes, marks)
	}
	return list
}

// limitsOf is the limits of one motion; none where nobody has said any.
func (d *run) limitsOf(motion int) []Limits {
	if d.limits == nil {
		return nil
	}
	return d.limits[motion]
}

// kerf is what a motion cuts with, where the plan has one for its cut. Where it may be of several cuts, the
// program's word counts, which of these it is, and else the widest, for that could harm.
func (d *run) kerf(motion int) (kerf *CutKerf) {
	m := d.result.Motions[motion]
	for _, l := range d.limitsOf(motion) {
		switch {
		case l.Kerf == nil || l.Tool != m.Tool:
		case l.Kerf.Cut == m.Op:
			return l.Kerf
		case kerf == nil || slices.Max(l.Kerf.MM) > slices.Max(kerf.MM):
			kerf = l.Kerf
		}
	}
	return kerf
}

// allLimits is the limits of every cut of the plan.
func (w *Wanted) allLimits() []Limits {
	var list []Limits
	for _, c := range w.Cuts {
		list = append(list, c.Limits...)
	}
	return append(append(list, w.OutlineLimits...), w.MarkLimits...)
}

// wantedMarks is an index of the paths that are to be engraved.
func (d *run) wantedMarks() *index {
	var list []sweep
	for _, m := range d.want.Marks {
		for s := range m.Path.Segments() {
			list = append(list, sweepsOf(0, motionAlong(s), 0, 0, 0)...)
		}
	}
	return newIndex(list)
}

// ruling is the limits of one motion, those of its depth.
func (d *run) ruling(m Motion, holes []hole, marks *index) []Limits {
	middle := m.middle()
	var list []Limits
	for _, h := range holes {
		if inside(h, middle) {
			list = append(list, atDepth(h.Limits, m)...)
		}
	}
	if !d.want.Outline.Contains(middle) {
		list = append(list, atDepth(d.want.OutlineLimits, m)...)
	}
	if _, mark := marks.clearance(middle, 0, 2*d.tolerance); mark >= 0 {
		list = append(list, atDepth(d.want.MarkLimits, m)...)
	}
	if len(list) > 0 {
		return list
	}
	return d.planned
}

// atDepth is the limits of the layer in which a motion's lowest place lies, for each tool; of
// two layers where it has hardly gone down into the lower one.
func atDepth(all []Limits, m Motion) []Limits {
	var list []Limits
	depth, sinks := -m.lowest(), m.To.Z < m.From.Z
	for i, l := range all {
		last := i+1 == len(all) || all[i+1].Tool != l.Tool
		first := i == 0 || all[i-1].Tool != l.Tool
		above := !first && depth <= all[i-1].ToMM+toleranceMM
		if sinks && above && depth > all[i-1].ToMM+slackMM {
			above = false
		}
		if !above && (last || depth <= l.ToMM+toleranceMM) {
			list = append(list, l)
		}
	}
	return list
}

// middle is the place half way along, seen from above.
func (m Motion) middle() geometry.Point {
	if !m.Arc {
		return m.From.Add(m.To.Sub(m.From.Point).Scale(0.5))
	}
	whole := sweepsOf(0, m, 0, 0, 0)
	if n := len(whole); n%2 == 0 {
		return whole[n/2].a
	}
	return whole[len(whole)/2].at(0.5)
}

// inBox reports whether a place is in a box, or no farther beside it than a reach.
func inBox(p geometry.Point, b geometry.Box, reach float64) bool {
	return p.X >= b.Min.X-reach && p.X <= b.Max.X+reach && p.Y >= b.Min.Y-reach && p.Y <= b.Max.Y+reach
}
