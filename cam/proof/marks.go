package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// Marks are held against the plan along their paths, in both directions: every
// place of a wanted mark is engraved, at its depth and, where no pocket takes it away, no deeper, and nothing
// is engraved anywhere else. A beam's mark removes nothing, so it is looked for
// among the moves that have too little energy to cut.

// marksOp is what our programs call the operation that engraves.
const marksOp = "marks"

// anywhereMM is how deep a cut may be that is nowhere wanted. Where the plan
// does not say where its marks are, any of them may be there.
func (d *run) anywhereMM() float64 {
	if d.want.Marks != nil {
		return 0
	}
	return d.want.MarkDepthMM
}

// skipGrooves takes the wanted marks' grooves out of what the floors' cells
// tell: judgeMarks answers for them.
func (d *run) skipGrooves(f *Field, classes []uint8) {
	skip := func(s geometry.Segment, width float64) {
		reach := width/2 + f.CellMM*math.Sqrt2/2 + d.tolerance
		for _, w := range sweepsOf(0, motionAlong(s), reach, 0, 0) {
			f.eachSpan(&w, reach, 0, f.Rows, func(row, c0, c1 int) { setBits(classes[row*f.Columns+c0:row*f.Columns+c1], inGroove) })
		}
	}
	for _, m := range d.want.Marks {
		for s := range m.Path.Segments() {
			skip(s, m.WidthMM)
		}
	}
	for _, s := range d.want.Slits { // judgeWire answers for them
		skip(s.segment(), s.WidthMM)
	}
}

// judgeMarks compares what is engraved with the wanted marks.
func (d *run) judgeMarks(x *index, cuts []hole) {
	if d.want.Marks == nil {
		return
	}
	engraved := x
	if d.beam {
		engraved = newIndex(d.faint())
		d.judgeFaint(engraved)
	}
	var lacking, deep miss
	for _, m := range d.want.Marks {
		for _, p := range placesOn(m.Path) {
			// The groove's middle is where the tool's is.
			if f, motion := engraved.nearestMiddle(p, d.want.MarkDepthMM-toleranceMM); f > d.tolerance {
				lacking.worse(f, p, motion)
			}
			if slices.ContainsFunc(cuts, func(h hole) bool { return h.depth > d.want.MarkDepthMM && inside(h, p) }) {
				continue
			}
			if f, motion := x.clearance(p, d.want.MarkDepthMM+toleranceMM, 0); f < 0 {
				deep.worse(-f, p, motion)
			}
		}
	}
	if lacking.by > 0 {
		d.wrong(d.lineOf(lacking.motion), "mark-missing", "leaves a part of a label or an emblem out at %v", lacking.at).hint("engrave it there as well, or make the program again with `traywright cut`")
	}
	if deep.by > 0 {
		d.wrong(d.lineOf(deep.motion), "mark-too-deep", "cuts deeper than the %v of a mark at %v", length(d.want.MarkDepthMM), deep.at).hint("raise Z or lower the power there, or make the program again with `traywright cut`")
	}
}

// placesOn are places along a path, at most a probe's step apart.
func placesOn(p geometry.Path) []geometry.Point {
	var list []geometry.Point
	for s := range p.Segments() {
		n := math.Ceil(s.Length() / probeStepMM)
		for i := 0.0; i <= n && n > 0; i++ {
			list = append(list, s.At(i/n))
		}
	}
	return list
}

// farMarkMM is how far from a wanted mark one is looked for.
const farMarkMM = 2

// faint are the moves of the lit beam that do not cut, as sweeps.
func (d *run) faint() []sweep {
	var list []sweep
	for i, m := range d.result.Motions {
		if !m.Rapid && m.On && d.laid[i].pass == 0 {
			list = append(list, sweepsOf(i, m, 0, 0, 0)...)
		}
	}
	return list
}

// mostAgain is how many times its marks' length a beam may mark: they are planned once, and where
// strokes meet it goes over a little of them again (judged, no source).
const mostAgain = 1.5

// judgeFaint finds what the beam marks and nobody wants.
func (d *run) judgeFaint(engraved *index) {
	var wanted []sweep
	for _, m := range d.want.Marks {
		for s := range m.Path.Segments() {
			wanted = append(wanted, sweepsOf(0, motionAlong(s), 0, 0, 0)...)
		}
	}
	planned, length := 0.0, 0.0
	for i := range wanted {
		planned += wanted[i].length()
	}
	for _, s := range d.faint() {
		if length += s.length(); length > mostAgain*planned+samePathMM {
			d.wrong(d.lineOf(s.motion), "marked-again", "by this line the beam has marked more than %v times as long as all that is to be marked: it goes over marks again, the heat adds up, and it cuts", number(mostAgain)).hint("take what goes over them again out")
			break
		}
	}
	x := newIndex(wanted)
	var stray miss
	for i := range engraved.sweeps {
		s := &engraved.sweeps[i]
		n := math.Ceil(s.length() / probeStepMM)
		for k := 0.0; k <= n; k++ {
			at := s.at(k / max(n, 1))
			if f, _ := x.nearestMiddle(at, 0); f > d.tolerance {
				stray.worse(f, at, s.motion)
			}
		}
	}
	if stray.by > 0 {
		d.wrong(d.lineOf(stray.motion), "stray-mark", "marks at %v, where the plan wants no mark", stray.at).hint("take that move out, or make the program again with `traywright cut`")
	}
}

// length of a sweep's path, mm.
func (s *sweep) length() float64 {
	if s.arc {
		return math.Abs(s.turn) * s.r
	}
	return s.a.DistanceTo(s.b)
}
