package process

import (
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
)

// descent is the way down to the start of a lap, from one floor to the next: on
// a ramp along the end of the lap itself, which on a round lap is a helix; where
// the lap is shorter than a helix of the tool's own radius about its middle, on
// that helix; and straight down, at the plunge feed, where the pocket leaves the
// tool's middle no room to go round in. What a way down leaves standing goes
// with the laps that follow, which clear the whole pocket without it.
type descent struct {
	track    track          // the lap, or the helix's circle, either ending at its start
	length   float64        // of the ramp; 0 straight down
	straight geometry.Point // the lap's start
}

// mostTurns is how often a way narrower than plan.LeastTurn may wind before it is a plunge drawn
// out: common practice, no source.
const mostTurns = 20

// descent to the lap's start, drop mm down in steps of slope mm per mm.
func (c *clearing) descent(l lap, radius, drop, slope float64) descent {
	d := descent{track: newTrack(l.contour), length: drop / slope, straight: l.begin()}
	if circle, ok := c.helix(l, radius); ok {
		d.track = newTrack(circle)
		d.length = d.track.length() * math.Ceil(d.length/d.track.length())
	}
	const rounded = 1e-6 // what a turn of just that radius may be off
	if turn := d.track.length(); d.length > mostTurns*turn && turn < 2*math.Pi*plan.LeastTurn*2*radius*(1-rounded) {
		return descent{straight: l.begin()}
	}
	return d
}

// helix is the circle of a helix about the middle of the lap, starting where it
// is nearest to the lap's start; false when the lap itself is the longer way.
// Its radius is at most the tool's, so that no core stays standing that a plunge
// would have to break.
func (c *clearing) helix(l lap, radius float64) (geometry.Contour, bool) {
	box := l.contour.Bounds()
	center := box.Min.Add(box.Max).Scale(0.5)
	radius = math.Min(radius, c.room.depth(center))
	away := l.begin().Sub(center)
	if 2*math.Pi*radius <= l.contour.Length()*(1+rounding) || away.Norm() == 0 {
		return geometry.Contour{}, false
	}
	away = away.Scale(radius / away.Norm())
	circle := geometry.NewContour(
		geometry.Vertex{Point: center.Add(away), Bulge: 1},
		geometry.Vertex{Point: center.Sub(away), Bulge: 1},
	)
	return circle, c.room.holds(center.Add(away), l.begin())
}

// round is the circle of the tool's own sure radius that clears all that an innermost lap does, where that lap is shorter: a way
// down that winds along it ends in it, and is not left by a turn.
func (c *clearing) round(lap geometry.Contour, sure float64) (geometry.Contour, bool) {
	box := lap.Bounds()
	center := box.Min.Add(box.Max).Scale(0.5)
	radius := math.Min(sure, c.room.depth(center)-c.first)
	short := 2*math.Pi*radius > lap.Length() && math.Hypot(box.Width(), box.Height())/2 <= radius
	return geometry.Circle(center, radius), short && lap.Area() > 0
}

// start is where the descent begins, seen from above.
func (d descent) start() geometry.Point {
	if d.length == 0 {
		return d.straight
	}
	return d.track.at(-d.length)
}

// cut goes down from where the emitter is to height z.
func (d descent) cut(e *emitter, z float64, f feeds) {
	if d.length == 0 {
		e.straightMM = max(e.straightMM, e.at.Z-z)
		e.vertical(z, f.plunge)
		return
	}
	e.ramp(d.track.part(-d.length, 0), d.length, z, f.sinking(e.at.Z-z, d.length)) // a helix of whole turns is flatter than the recipe's ramp
	e.line(Point{d.straight, z}, f.cut)
}

// ramp goes along the segments, of the given length together, evenly to height z.
func (e *emitter) ramp(segments []geometry.Segment, length, z, feed float64) {
	from, done := e.at.Z, 0.0
	for i, s := range segments {
		done += s.Length()
		height := from + (z-from)*done/length
		if i == len(segments)-1 {
			height = z
		}
		e.segment(s, height, feed)
	}
}
