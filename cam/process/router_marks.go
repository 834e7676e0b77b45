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
		way, goes := back{}, false
		if i > 0 {
			way, goes = r.goesBack(cut, paths[i-1], p)
		}
		if goes && way.mm <= room {
			room -= way.mm
			for _, s := range way.segments() {
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
	cut := r.sheet.Marking
	if from.Length() > 0 { // it does not come from home
		if way, goes := r.goesBack(cut, from, to); goes {
			return r.backSeconds(cut, way.mm)
		}
	}
	return r.hopSeconds(cut, apart(from, to))
}

// goesBack is the way back to where the next stroke begins, and whether that is no slower than over the foam.
func (r *router) goesBack(cut plan.Cut, from, to geometry.Path) (way back, goes bool) {
	way, meet := backTo(from, to)
	return way, meet && r.backSeconds(cut, way.mm) <= r.hopSeconds(cut, apart(from, to))
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

// back is a way along one of two strokes that meet, from the end of the first to the beginning of the next.
type back struct {
	along    geometry.Path // the stroke from its end
	from, mm float64       // where on that it begins, and how long it is
}

// backTo is the shorter way back: along the first stroke, or along the next; none where they do not meet.
func backTo(from, to geometry.Path) (way back, meet bool) {
	if at, off := alongPath(from, beginOf(to)); off <= meetMM {
		way, meet = back{from.Reverse(), 0, from.Length() - at}, true
	}
	if at, off := alongPath(to, endOf(from)); off <= meetMM && (!meet || at < way.mm) {
		way, meet = back{to.Reverse(), to.Length() - at, at}, true
	}
	return way, meet
}

func (b back) segments() []geometry.Segment {
	if b.mm <= tieMM {
		return nil
	}
	return trackOf(b.along.Segments(), len(b.along.Vertices())).part(b.from, b.from+b.mm)
}
