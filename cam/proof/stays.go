package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// How long a cutter is in one place of the foam, whatever it does between, is told by the clock
// that knows how fast a machine gathers speed, both of the plan's own way and of the program's
// with its waits: short strokes and stops take long, and are short.

const (
	// placeMM is the side of a place, lookMM how finely arcs are looked at but in mostLooks pieces,
	// and lessMM how far the plan's own may be beside a place and counts there: in other pieces, or
	// as chords, a way along a border may lie on its other side.
	placeMM, lookMM, mostLooks, lessMM = 10, 0.1, 100_000, 0.05
	// placeS is how long a cutter may be in a place beyond the plan's own time there, and rub there
	// without cutting, in all (judged, no source: a program said in other words takes no longer).
	placeS, placeShare = 1, 0.05
)

// stays are the seconds in each place, by its number along X and Y.
type stays map[geometry.Point]float64

// add counts what of a motion that takes so long lies in the foam, in all places that are so near;
// seen is given each of them, with what it has then.
func (p stays) add(m Motion, seconds, near float64, seen func(at geometry.Point, seconds float64)) {
	if m.lowest() >= 0 {
		return
	}
	whole := m.length()
	for _, s := range sweepsOf(0, m, 0, -m.From.Z, -m.To.Z) {
		share, last := seconds*math.Hypot(s.length(), s.depthB-s.depthA)/whole, 0.0
		for _, t := range s.borders(near) {
			if middle := (last + t) / 2; t > last && s.depthAt(middle) > 0 {
				p.spend(s.at(middle), near, share*(t-last), seen)
			}
			last = t
		}
	}
}

// borders are the parts of a way where it comes to foam, to a place or as near to one, in order:
// of a line exactly, of an arc as finely as it is looked at.
func (s *sweep) borders(near float64) []float64 {
	list := []float64{1}
	if s.depthA*s.depthB < 0 {
		list = append(list, s.depthA/(s.depthA-s.depthB))
	}
	if s.arc {
		n := math.Min(math.Ceil(s.length()/lookMM), mostLooks)
		for k := range int(n) {
			list = append(list, float64(k)/n)
		}
	} else {
		for _, axis := range [2][2]float64{{s.a.X, s.b.X}, {s.a.Y, s.b.Y}} {
			from, to := axis[0], axis[1]
			for _, off := range [2]float64{-near, near} {
				for at := math.Ceil((min(from, to)-off)/placeMM)*placeMM + off; at < max(from, to); at += placeMM {
					list = append(list, (at-from)/(to-from))
				}
			}
		}
	}
	slices.Sort(list)
	return list
}

func (p stays) spend(at geometry.Point, near, seconds float64, seen func(geometry.Point, float64)) {
	low, high := stayOf(at.X-near, at.Y-near), stayOf(at.X+near, at.Y+near)
	for x := low.X; x <= high.X; x++ {
		for y := low.Y; y <= high.Y; y++ {
			place := geometry.Point{X: x, Y: y}
			if p[place] += seconds; seen != nil {
				seen(place, p[place])
			}
		}
	}
}

func stayOf(x, y float64) geometry.Point {
	return geometry.Point{X: math.Floor(x / placeMM), Y: math.Floor(y / placeMM)}
}

// plannedStays are the seconds that the plan itself is in each place.
func (d *run) plannedStays() stays {
	p := &run{setup: d.setup, result: Result{Motions: slices.Collect(d.want.Way)}}
	p.took = make([]span, len(p.result.Motions))
	var legs []leg
	for i := range p.result.Motions {
		legs = p.appendLeg(legs, i)
	}
	p.runLegs(legs)
	list := stays{}
	for i, m := range p.result.Motions {
		if took := p.took[i]; !m.Rapid && took.to > took.from {
			list.add(m, took.to-took.from, lessMM, nil)
		}
	}
	return list
}

// visitStays gives each motion that turns in the foam, and the seconds that the program waits
// before it.
func (d *run) visitStays(visit func(motion int, waited, took float64)) {
	ended := 0.0
	for i, m := range d.result.Motions {
		waited, took := d.took[i].from-ended, d.took[i].to-d.took[i].from
		ended = m.EndS
		if !m.On || took <= 0 {
			continue
		}
		if m.From.Z >= 0 {
			waited = 0
		}
		if m.Rapid || m.flatLength() == 0 && m.To.Z > m.From.Z { // a lift, which a rapid may do as well
			took = 0
		}
		visit(i, waited, took)
	}
}

// judgeStays finds a cutter that rubs in one place beyond the time that the plan itself is
// there, however often it goes away between. Where it waits it rubs.
func (d *run) judgeStays(cuts []bool) {
	if d.want == nil || d.want.Way == nil {
		return
	}
	planned, all, idle := d.plannedStays(), stays{}, stays{}
	d.visitStays(func(i int, waited, took float64) {
		m := d.result.Motions[i]
		all.spend(m.From.Point, 0, waited, nil)
		all.add(m, took, 0, nil)
	})
	told := false
	d.visitStays(func(i int, waited, took float64) {
		m := d.result.Motions[i]
		judge := func(at geometry.Point, seconds float64) {
			if beyond := math.Min(all[at]-(1+placeShare)*planned[at], seconds); !told && beyond > placeS {
				told = true
				d.wrong(m.Line, "rubs", "by this line the cutter has turned within %v for %v s without cutting, beyond what the plan does there: it rubs, and melts what stands beside it", length(placeMM), number(math.Round(10*beyond)/10)).
					hint("take out what waits there, or goes over this place again")
			}
		}
		idle.spend(m.From.Point, 0, waited, judge)
		if !cuts[i] {
			idle.add(m, took, 0, judge)
		}
	})
}
