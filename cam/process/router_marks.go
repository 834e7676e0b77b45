package process

import (
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
)

// Marks are strokes of one depth. Where one ends on another, or begins on it, the tool need not leave the
// foam: it goes back along the groove that it has just cut to where the next one begins, or along the next one
// to its beginning, where that is quicker than up, aside and down.

// meetMM is how near to a stroke an end lies that meets it.
const meetMM = 0.01

// mostRetraced is how much of the length of all strokes is gone over again at the most: a cutter that cuts
// nothing rubs (judged, no source).
const mostRetraced = 0.4

// marks engraves at one depth. The tool goes straight in, at the plunge feed.
func (r *router) marks(paths []geometry.Path) (Op, error) {
	cut := r.sheet.Marking
	if !(cut.DepthMM > 0) {
		return Op{}, unplanned(cut)
	}
	f := feedsOf(cut.Recipes[0], r.machine)
	e := r.newEmitter()
	room := 0.0
	for _, p := range paths {
		room += mostRetraced * p.Length()
	}
	for i, p := range paths {
		way, long := []geometry.Segment(nil), math.Inf(1)
		if i > 0 {
			way, long = backTo(paths[i-1], p)
		}
		if long <= room && r.goesBack(cut, long, paths[max(0, i-1)], p) {
			room -= long
			for _, s := range way {
				e.segment(s, -cut.DepthMM, f.cut)
			}
			e.line(Point{beginOf(p), -cut.DepthMM}, f.cut)
		} else {
			e.hop(beginOf(p), 0, f.plunge)
			e.vertical(-cut.DepthMM, f.plunge)
		}
		for s := range p.Segments() {
			e.segment(s, -cut.DepthMM, f.cut)
		}
	}
	e.retract()
	return r.op(Mark, cut, e.moves, 1), nil
}

// between is how long it takes from one stroke to the next, in seconds.
func (r *router) between(from, to geometry.Path) float64 {
	hop := r.hopSeconds(r.sheet.Marking, apart(from, to))
	if from.Length() == 0 { // it comes from home
		return hop
	}
	if long := backMM(from, to); r.goesBack(r.sheet.Marking, long, from, to) {
		return r.backSeconds(r.sheet.Marking, long)
	}
	return hop
}

func (r *router) goesBack(cut plan.Cut, long float64, from, to geometry.Path) bool {
	return !math.IsInf(long, 1) && r.backSeconds(cut, long) <= r.hopSeconds(cut, apart(from, to))
}

// backSeconds is how long it takes along a groove, and to turn round at its ends.
func (r *router) backSeconds(cut plan.Cut, long float64) float64 {
	return r.fromRest(long, feedsOf(cut.Recipes[0], r.machine).cut)
}

// hopSeconds is how long it takes out of the foam, over so many mm and in again.
func (r *router) hopSeconds(cut plan.Cut, aside float64) float64 {
	fast, plunge := r.machine.RapidMMPerMin.Value, feedsOf(cut.Recipes[0], r.machine).plunge
	return r.fromRest(r.clearZ()+cut.DepthMM, fast) + r.fromRest(aside, fast) + r.fromRest(r.clearZ()-sinkMM(r.sheet, r.machine), fast) +
		r.fromRest(sinkMM(r.sheet, r.machine)+cut.DepthMM, plunge)
}

// fromRest is how long a way takes from rest to rest, in seconds.
func (r *router) fromRest(mm, feed float64) float64 {
	v, a := feed/60, r.machine.AccelerationMMPerS2.Value
	switch {
	case mm == 0 || v <= 0:
		return 0
	case a <= 0:
		return mm / v
	case mm < v*v/a:
		return 2 * math.Sqrt(mm/a)
	}
	return mm/v + v/a
}

// backMM is how long the way along two strokes that meet is, from the end of one to the beginning of the next; +Inf
// where they do not.
func backMM(from, to geometry.Path) float64 {
	mm, off := alongPath(from, beginOf(to))
	back := from.Length() - mm
	if off > meetMM {
		back = math.Inf(1)
	}
	if mm, off := alongPath(to, endOf(from)); off <= meetMM {
		back = math.Min(back, mm)
	}
	return back
}

// backTo is that way: back along the first, or along the second to its beginning.
func backTo(from, to geometry.Path) (way []geometry.Segment, long float64) {
	long = backMM(from, to)
	if math.IsInf(long, 1) || long <= tieMM {
		return nil, long
	}
	part := func(p geometry.Path, first, last float64) []geometry.Segment {
		return trackOf(p.Segments(), len(p.Vertices())).part(first, last)
	}
	if mm, off := alongPath(from, beginOf(to)); off <= meetMM && from.Length()-mm <= long {
		return part(from.Reverse(), 0, long), long
	}
	return part(to.Reverse(), to.Length()-long, to.Length()), long
}
