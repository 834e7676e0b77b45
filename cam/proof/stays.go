package proof

import (
	"math"

	"traywright/geometry"
)

// How long a cutter is in one place of the foam, whatever it does between, is told from the
// lengths of its ways at their feeds, both of the plan's own way and of the program's.

const (
	// placeMM is the side of a place, lookMM how finely ways are looked at, and lessMM how far
	// the plan's own may be beside a place and counts there: ways in other pieces are none longer.
	placeMM, lookMM, lessMM = 10, 0.5, 0.5
	// placeS is how long a cutter may be in a place beyond the plan's own time there, and rub there
	// without cutting, in all (judged, no source: a program said in other words takes no longer).
	placeS, placeShare = 1, 0.05
)

// stays are the seconds in each place, by its number along X and Y.
type stays map[geometry.Point]float64

// add counts what of a motion lies in the foam, in all places that are so near; seen is given
// each of them, with what it has then.
func (p stays) add(m Motion, near float64, seen func(at geometry.Point, seconds float64)) {
	if m.Feed <= 0 || m.lowest() >= 0 {
		return
	}
	for _, s := range sweepsOf(0, m, 0, -m.From.Z, -m.To.Z) {
		length := math.Hypot(s.length(), s.depthB-s.depthA)
		n := math.Max(1, math.Ceil(length/lookMM))
		for k := range int(n) {
			t := (float64(k) + 0.5) / n
			if s.depthA+t*(s.depthB-s.depthA) > 0 {
				p.spend(s.at(t), near, 60*length/n/m.Feed, seen)
			}
		}
	}
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

// judgeStays finds a cutter that rubs in one place beyond the time that the plan itself is
// there, however often it goes away between.
func (d *run) judgeStays(cuts []bool) {
	if d.want == nil || d.want.Way == nil {
		return
	}
	planned, all, idle := stays{}, stays{}, stays{}
	for m := range d.want.Way {
		planned.add(m, lessMM, nil)
	}
	for i, m := range d.result.Motions {
		if m.Rapid || !m.On || m.flatLength() == 0 && m.To.Z > m.From.Z { // a lift, which a rapid may do as well
			continue
		}
		all.add(m, 0, nil)
		if cuts[i] {
			continue
		}
		told := false
		idle.add(m, 0, func(at geometry.Point, seconds float64) {
			if beyond := all[at] - (1+placeShare)*planned[at]; !told && math.Min(beyond, seconds) > placeS {
				told = true
				d.wrong(m.Line, "rubs", "by this line the cutter has turned within %v for %v s without cutting, beyond what the plan does there: it rubs, and melts what stands beside it", length(placeMM), number(math.Round(10*math.Min(beyond, seconds))/10)).
					hint("take out what goes over this place again")
			}
		})
		if told {
			return
		}
	}
}
