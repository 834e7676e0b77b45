package process

import (
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// emitter builds the moves of one operation. A move to where it is already is
// left out.
type emitter struct {
	moves     []Move
	at        Point
	clearZ    float64 // height of rapids
	clearance float64 // of a rapid downwards, above the floor under it
	sink      float64 // the lowest that one goes above foam that nobody has cut
	power     float64 // of cutting moves, laser
	tol       float64 // mm: a shorter way is none
	// straightMM is the farthest that it goes straight down into foam, for want of room for a ramp.
	straightMM float64
}

func (e *emitter) push(m Move) {
	if len(e.moves) > 0 && m.To == e.at {
		return
	}
	e.moves = append(e.moves, m)
	e.at = m.To
}

func (e *emitter) rapid(to Point) { e.push(Move{Kind: Rapid, To: to}) }

// wait stays where it is, with the beam off.
func (e *emitter) wait(seconds float64) {
	if seconds > 0 {
		e.moves = append(e.moves, Move{Kind: Rapid, To: e.at, WaitS: seconds})
	}
}

func (e *emitter) line(to Point, feed float64) {
	e.push(Move{Kind: Line, To: to, FeedMMPerMin: feed, PowerPercent: e.power})
}

// vertical goes straight up or down to a height, cutting.
func (e *emitter) vertical(z, feed float64) { e.line(Point{e.at.Point, z}, feed) }

// retract goes straight up.
func (e *emitter) retract() {
	if len(e.moves) > 0 {
		e.rapid(Point{e.at.Point, e.clearZ})
	}
}

// done is the finished list, without room to spare: there may be many.
func (e *emitter) done() []Move { return append(make([]Move, 0, len(e.moves)), e.moves...) }

// hop goes over a place through the air and down to a floor that lies open, or to the foam's
// top, the last of the way at the plunge feed: it stays a clearance above a floor.
func (e *emitter) hop(to geometry.Point, floor, plunge float64) {
	above := floor + e.clearance
	if floor == 0 {
		above = e.sink
	}
	e.over(to, above)
	e.vertical(floor, plunge)
}

// over goes over a place through the air, and so far down. A rapid is always level or straight up or down.
func (e *emitter) over(to geometry.Point, above float64) {
	e.retract()
	e.rapid(Point{to, e.clearZ})
	if above < e.clearZ {
		e.rapid(Point{to, above})
	}
}

// sinkShare is how near to the foam a rapid straight down may come as a part of the clearance, which is
// larger where foam is known to be wavy (judged, no source).
const sinkShare = 0.25

// sinkMM is how far above the foam's planned top a rapid straight down ends: what stands up of foam
// that is not flat, and above that all by which the top may be higher than planned: Z zero is off, and from
// the bed the sheet is thicker. Where nobody knows by how much, it ends at the clearance.
func sinkMM(sheet plan.Sheet, m profiles.Machine) float64 {
	clearance, off := m.ClearanceMM.Value, m.ZeroMM.Value
	if sheet.On(m).ZZero == profiles.ZBed {
		for _, l := range sheet.Layers {
			_, thicker := l.MayBeOff()
			if off += thicker; thicker <= 0 {
				return clearance
			}
		}
	}
	return math.Min(clearance, math.Max(profiles.LeastAboveMM+off, sinkShare*clearance))
}

// segment cuts along s, from where the emitter is, to height z at its end.
// Arcs of more than half a turn become two.
func (e *emitter) segment(s geometry.Segment, z, feed float64) {
	if s.Length() < e.tol {
		return
	}
	if math.Abs(s.Bulge) > 1+1e-9 {
		first, second := s.Part(0, 0.5), s.Part(0.5, 1)
		e.arc(first, (e.at.Z+z)/2, feed)
		s = second
	}
	e.arc(s, z, feed)
}

// arc cuts along an arc of at most about half a turn; one that bulges less than
// the tolerance is a line.
func (e *emitter) arc(s geometry.Segment, z, feed float64) {
	to := Point{s.B, z}
	if math.Abs(s.Bulge)*s.Chord()/2 < e.tol {
		e.line(to, feed)
		return
	}
	kind := CCW
	if s.Bulge < 0 {
		kind = CW
	}
	e.push(Move{Kind: kind, To: to, Center: s.Center(), FeedMMPerMin: feed, PowerPercent: e.power})
}

// feeds are a recipe's within the machine's limit.
type feeds struct {
	cut, plunge, ramp float64 // mm/min
	slope             float64 // of a ramp, mm down per mm along
}

// feedsOf: a ramp goes at the cutting feed as long as it sinks no faster than
// the plunge feed.
func feedsOf(r profiles.Recipe, m profiles.Machine) feeds {
	f := feeds{cut: r.FeedMMPerMin.Value, plunge: r.PlungeMMPerMin.Value}
	if most := m.MaxFeedMMPerMin.Value; most > 0 {
		f.cut, f.plunge = math.Min(f.cut, most), math.Min(f.plunge, most)
	}
	sin, cos := math.Sincos(r.RampDegrees.Value * math.Pi / 180)
	f.slope = sin / cos
	f.ramp = f.sinking(sin, cos)
	return f
}

// sinking is the feed of a way down, so much down on so much along: flatter ones than a ramp's need not be as slow.
func (f feeds) sinking(down, along float64) float64 {
	return math.Min(f.cut, f.plunge*math.Hypot(down, along)/down)
}
