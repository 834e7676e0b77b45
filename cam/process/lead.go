package process

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// lap is one closed way along a contour, from its first vertex. A lap along a
// wall comes in on a quarter circle that touches the wall at the start, and
// leaves on one, so that the tool neither stops nor turns on the wall.
type lap struct {
	contour geometry.Contour
	radius  float64 // of the quarter circles, mm; 0 for none
}

// middle is the centre of both quarter circles: to the left of the start.
func (l lap) middle() geometry.Point { return middleAt(l.begin(), l.heading(), l.radius) }

func middleAt(begin, heading geometry.Point, radius float64) geometry.Point {
	return begin.Add(heading.Left().Scale(radius))
}

func (l lap) begin() geometry.Point {
	for s := range l.contour.Segments() {
		return s.A
	}
	return geometry.Point{}
}

func (l lap) heading() geometry.Point {
	for s := range l.contour.Segments() {
		return s.Tangent(0)
	}
	return geometry.Point{}
}

// from is where the lap is entered: the beginning of the lead-in.
func (l lap) from() geometry.Point { return l.middle().Sub(l.heading().Scale(l.radius)) }

// leaving is the direction in which the lap is left.
func (l lap) leaving() geometry.Point {
	if l.radius > 0 {
		return l.out().Tangent(1)
	}
	var last geometry.Segment
	for s := range l.contour.Segments() {
		last = s
	}
	return last.Tangent(1)
}

// in and out are the quarter circles.
func (l lap) in() geometry.Segment {
	return geometry.Segment{A: l.from(), B: l.begin(), Bulge: math.Sqrt2 - 1}
}

func (l lap) out() geometry.Segment {
	return geometry.Segment{A: l.begin(), B: l.middle().Add(l.heading().Scale(l.radius)), Bulge: math.Sqrt2 - 1}
}

const rounding = 1e-9 // mm

// wallLap is a lap along a wall of the room, which lies to the left of the
// contour. It starts near the given point, away from the ends of a segment
// where it can, and its quarter circles have the radius wanted or, where the
// room is too narrow for that everywhere, a half, a quarter or none of it.
func (w room) wallLap(c geometry.Contour, near geometry.Point, want, tol float64) lap {
	places := startPlaces(c, near, want)
	vertices, radius := c.Vertices(), want
	for range 3 {
		for _, p := range places {
			first := firstFrom(vertices, p, tol)
			if w.depth(middleAt(first.A, first.Tangent(0), radius)) >= radius-rounding {
				return lap{beginAt(c, p, tol), radius}
			}
		}
		radius /= 2
	}
	return lap{beginAt(c, places[0], tol), 0}
}

// startPlaces has one place of each segment, the best first: those with margin
// to both ends of their segment, nearest to p first, then the middles of the
// shorter segments. A start leaves a mark, if any, and a short segment is most
// often a corner, where foam tears.
func startPlaces(c geometry.Contour, p geometry.Point, margin float64) []place {
	var roomy, short []place
	i := 0
	for s := range c.Segments() {
		length := s.Length()
		switch {
		case length >= 2*margin && length > 0:
			_, share := s.Nearest(p)
			share = math.Min(math.Max(share, margin/length), 1-margin/length)
			q := s.At(share)
			roomy = append(roomy, place{q, i, share, q.DistanceTo(p)})
		case length > 0:
			q := s.At(0.5)
			short = append(short, place{q, i, 0.5, q.DistanceTo(p)})
		}
		i++
	}
	return append(byDistance(roomy), byDistance(short)...)
}

func byDistance(places []place) []place {
	slices.SortStableFunc(places, func(a, b place) int {
		return cmp.Compare(math.Round(a.distance/tieMM), math.Round(b.distance/tieMM))
	})
	return places
}
