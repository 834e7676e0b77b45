package proof

import (
	"math"

	"traywright/geometry"
)

// A ramp is as long as it needs to be only if it gets somewhere: to and fro within a hair, a
// cutter's middle never clears, however long its way is. So no part of a way down may sink more
// than a ramp once around the box that it keeps within, but for the plan's own that wind there:
// helices, and laps shorter than their ramp.

const (
	// windMM is how finely ways down are looked at.
	windMM = 0.5
	// leastWindMM is the least that a piece sinks: what is flatter is looked at in fewer.
	leastWindMM = 1e-4
	// windMost is how much tighter than the plan's a way down may wind, where it is written in
	// other pieces (judged, no source).
	windMost = 1.1
)

// sunkWay is a piece of a way: the box it keeps within, and how much it sinks there, mm.
type sunkWay struct {
	box  geometry.Box
	sunk float64
}

// tightness is how much a way sinks beyond steepMM for each mm of half the girth of its box.
func (l sunkWay) tightness() float64 {
	if l.sunk <= steepMM {
		return 0
	}
	return (l.sunk - steepMM) / (l.box.Width() + l.box.Height())
}

// around reports whether another way lies in this one's box, but for how finely both are looked at.
func (l sunkWay) around(other sunkWay) bool {
	box := l.box.Grow(windMM)
	return box.Union(other.box) == box
}

// winding is a way down so far, as far back as parts of it may still be tight; what does not
// sink is one piece. All of it is judged, and no piece is looked at often: a look comes once in
// steepMM/4 of sinking, and before a way has sunk by what its box allows, a step down at most, it is
// told or left behind. So a piece is looked at about 4 (most + steepMM)/steepMM times, or as often
// as the plan's own way winds in one place; and there are no more pieces than sweeps and sunk/leastWindMM.
type winding struct {
	ways      []sunkWay
	unchecked float64 // mm sunk since the last look
}

// add goes on with a sweep that sinks so many mm. It hands on the tightest part of the way that
// ends with each piece of it, of those that wind more than once around their box at the slope given. Parts that could sink most mm so, a step down, are no longer looked at.
func (w *winding) add(s *sweep, sunk, slope, most float64, winds func(sunkWay)) {
	pieces := math.Max(1, math.Ceil(math.Min(s.length()/windMM, sunk/leastWindMM)))
	if sunk == 0 {
		if last := len(w.ways) - 1; last >= 0 && w.ways[last].sunk == 0 {
			w.ways[last].box = w.ways[last].box.Union(s.bounds())
			return
		}
		pieces = 1
	}
	for k := range int(pieces) {
		l := sunkWay{s.bounds(), sunk / pieces}
		if pieces > 1 {
			a, b := s.at(float64(k)/pieces), s.at(float64(k+1)/pieces)
			l.box = geometry.Box{Min: a, Max: a}.Union(geometry.Box{Min: b, Max: b})
		}
		w.ways = append(w.ways, l)
		if w.unchecked += l.sunk; w.unchecked < steepMM/4 {
			continue
		}
		w.unchecked = 0
		if found := w.tightest(slope, most); found.sunk > 0 {
			winds(found)
		}
	}
}

// tightest is the tightest part that ends where the way does: see add.
func (w *winding) tightest(slope, most float64) (worst sunkWay) {
	part := sunkWay{box: geometry.EmptyBox()}
	for i := len(w.ways) - 1; i >= 0; i-- {
		part.box, part.sunk = part.box.Union(w.ways[i].box), part.sunk+w.ways[i].sunk
		around := 2 * slope * (part.box.Width() + part.box.Height())
		if part.sunk > around+steepMM && part.tightness() > worst.tightness() {
			worst = part
		}
		if !(around <= most) {
			w.ways = w.ways[i:]
			break
		}
	}
	return worst
}

// plannedWindings are the parts of the plan's own way down that wind more than once around
// their box, and how tight the tightest of each is.
func (d *run) plannedWindings(slope, most float64) (list []sunkWay, tight []float64) {
	note := func(part sunkWay) {
		last := len(list) - 1
		if last < 0 || !list[last].around(part) {
			list, tight, last = append(list, part), append(tight, 0), last+1
		}
		list[last].box, tight[last] = list[last].box.Union(part.box), math.Max(tight[last], part.tightness())
	}
	var w winding
	for m := range d.want.Way {
		if m.Rapid {
			continue
		}
		for _, s := range sweepsOf(0, m, 0, -m.From.Z, -m.To.Z) {
			sunk := math.Max(0, s.depthB-math.Max(0, s.depthA))
			if m.flatLength() == 0 && !m.Arc { // one of the plan's plunges
				sunk = 0
			}
			w.add(&s, sunk, slope, most, note)
		}
	}
	return list, tight
}

// judgeWinding finds a way down that goes to and fro in one place, or winds there, where the
// plan's does not; list has what was found under the tools' middles, in order of sweeps.
func (d *run) judgeWinding(list []sunk, planned plunges) {
	if d.want.Way == nil {
		return
	}
	slope, most := math.Inf(1), 0.0
	for _, l := range d.want.allLimits() {
		most = math.Max(most, l.StepDownMM)
		if l.RampDegrees > 0 {
			slope = math.Min(slope, math.Tan(l.RampDegrees*math.Pi/180))
		}
	}
	own, tight := d.plannedWindings(slope, most)
	var m Motion
	told := false
	judge := func(part sunkWay) {
		for i := range own {
			if own[i].around(part) && part.tightness() <= windMost*tight[i] {
				return
			}
		}
		if !told {
			d.wrong(m.Line, "plunge-too-steep", "has sunk %v into the foam within %v by %v: so short a way to and fro is a plunge, and a cutter's middle does not cut, it tears and melts", length(part.sunk), length(part.box.Width()), length(part.box.Height())).
				hint("go down on a long ramp along the way, as the plan does")
		}
		told = true
	}
	var w winding
	for i := 0; i < len(d.sweeps) && !told; i++ {
		s := &d.sweeps[i]
		mm, top := 0.0, 0.0
		for ; len(list) > 0 && list[0].sweep == i; list = list[1:] {
			mm, top = list[0].mm, list[0].top
		}
		if s.motion < 0 {
			continue
		}
		m = d.result.Motions[s.motion]
		if mm > 0 && planned.allow(m, top) {
			mm = 0
		}
		w.add(s, mm, steeper*d.ramp(s.motion), most, judge)
	}
}
