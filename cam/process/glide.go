package process

import (
	"math"

	"traywright/geometry"
)

// glide is a way from the end of one lap to the beginning of the next: two arcs that touch both, so that the
// tool neither stops nor turns in between, as it has to at the ends of a straight way.
type glide [2]geometry.Segment

// no reports whether there is none.
func (g glide) no() bool { return g[0].A == g[1].B }

// mostGlides is how long a glide may be, in parts of its least radius: one between neighbouring laps is no longer.
const mostGlides = 8

// glideTo is a glide from a place with its heading to another with the heading there: the two arcs whose tangents are
// equally long (a biarc). There is none where that lies behind or beside, where an arc turns by more than a
// quarter or is smaller than least, or where the tool's centre would leave its room.
func (w room) glideTo(from, heading, begin, arrival geometry.Point, least float64) glide {
	way := begin.Sub(from)
	if way.Norm() > mostGlides*least || way.Dot(heading) <= 0 || way.Dot(arrival) <= 0 {
		return glide{}
	}
	along, turn := way.Dot(heading.Add(arrival)), 2*(1-heading.Dot(arrival))
	tangent := way.Dot(way) / (2 * along)
	if turn > 1e-9 {
		tangent = (math.Sqrt(along*along+turn*way.Dot(way)) - along) / turn
	}
	first, last := from.Add(heading.Scale(tangent)), begin.Sub(arrival.Scale(tangent))
	middle := first.Add(last).Scale(0.5)
	g := glide{touching(from, heading, middle), touching(begin, arrival.Scale(-1), middle)}
	g[1] = geometry.Segment{A: middle, B: begin, Bulge: -g[1].Bulge}
	for _, s := range g {
		if math.Abs(s.Bulge) > math.Sqrt2-1 || s.IsArc() && s.Radius() < least || !w.touches(s) && !w.holdsSegment(s) {
			return glide{}
		}
	}
	return g
}

// touches reports whether an arc lies in the room with all of its circle: it may then end on the wall, as a lead-in does.
func (w room) touches(s geometry.Segment) bool {
	return s.IsArc() && w.depth(s.Center()) >= s.Radius()-rounding
}

// touching is the arc from a to b that sets out in a direction.
func touching(a, heading, b geometry.Point) geometry.Segment {
	way := b.Sub(a)
	return geometry.Segment{A: a, B: b, Bulge: math.Tan(math.Atan2(heading.Cross(way), heading.Dot(way)) / 2)}
}

// glides are the laps that a glide may arrive at, from a place with its heading: made for places on the contour that lie
// ahead, the nearest as far as two arcs of the radius go.
func (w room) glides(c geometry.Contour, from, heading geometry.Point, radius float64, at func(near geometry.Point) lap) (lap, glide) {
	aside := nearestOn(c, from).distance
	reach := math.Sqrt(max(0, aside*(4*radius-aside)))
	var best lap
	var way glide
	for _, share := range []float64{1, 1.5, 2} {
		l := at(from.Add(heading.Scale(share * reach)))
		if g := w.glideTo(from, heading, l.begin(), l.heading(), radius/2); !g.no() && (way.no() || g.tightest() > way.tightest() && way.tightest() < radius) {
			best, way = l, g
		}
	}
	return best, way
}

// tightest is the lesser of its radii.
func (g glide) tightest() float64 { return math.Min(g[0].Radius(), g[1].Radius()) }
