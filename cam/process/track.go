package process

import (
	"iter"
	"math"
	"sort"

	"traywright/geometry"
)

// track is a closed contour, or a path, measured along its length from its first vertex.
type track struct {
	segments []geometry.Segment
	ends     []float64 // mm from the start to the end of each segment
}

func newTrack(c geometry.Contour) track { return trackOf(c.Segments(), c.Len()) }

// trackOf is a track of segments of which each begins where the one before ends.
func trackOf(segments iter.Seq[geometry.Segment], count int) track {
	t := track{make([]geometry.Segment, 0, count), make([]float64, 0, count)}
	sum := 0.0
	for s := range segments {
		if length := s.Length(); length > 0 {
			sum += length
			t.segments, t.ends = append(t.segments, s), append(t.ends, sum)
		}
	}
	return t
}

func (t track) length() float64 {
	if len(t.ends) == 0 {
		return 0
	}
	return t.ends[len(t.ends)-1]
}

func (t track) start() geometry.Point { return t.segments[0].A }

// at is the place s mm along, any number of laps on or back.
func (t track) at(s float64) geometry.Point {
	_, s = t.lap(s)
	i := t.index(s)
	return t.segments[i].At(t.share(i, s))
}

// lap takes the whole laps off a length.
func (t track) lap(s float64) (laps, rest float64) {
	laps = math.Floor(s / t.length())
	return laps, s - laps*t.length()
}

// index is the segment that holds the place s mm along, within the first lap.
func (t track) index(s float64) int {
	return min(sort.Search(len(t.ends), func(i int) bool { return t.ends[i] > s }), len(t.ends)-1)
}

// share is the part of segment i that lies before s mm along.
func (t track) share(i int, s float64) float64 {
	end, length := t.ends[i], t.segments[i].Length()
	return math.Min(math.Max(1-(end-s)/length, 0), 1)
}

// part is the way from one length to another as segments, over the start and
// through several laps if need be. Whole segments come out as they are.
func (t track) part(from, to float64) []geometry.Segment {
	const rounding = 1e-9 // mm: lengths that differ by less are the same
	var list []geometry.Segment
	laps, s := t.lap(from)
	base := laps * t.length()
	for i := t.index(s + rounding); to-from > rounding; i = (i + 1) % len(t.segments) {
		end := math.Min(base+t.ends[i], to)
		first, last := t.share(i, from-base), t.share(i, end-base)
		if to >= base+t.ends[i]-rounding {
			last = 1
		}
		if i > 0 && from-base <= t.ends[i-1]+rounding || i == 0 && from-base <= rounding {
			first = 0
		}
		list = append(list, t.segments[i].Part(first, last))
		if from = end; i == len(t.segments)-1 {
			base += t.length()
		}
	}
	return list
}

// place is a point of a contour: a share of one of its segments.
type place struct {
	geometry.Point
	segment  int
	share    float64
	distance float64 // mm from where one asked
}

// nearestOn is the place of the contour nearest to p; among equals the first.
func nearestOn(c geometry.Contour, p geometry.Point) place {
	best, i := place{distance: math.Inf(1)}, 0
	for s := range c.Segments() {
		q, share := s.Nearest(p)
		if d := q.DistanceTo(p); d < best.distance-tieMM {
			best = place{q, i, share, d}
		}
		i++
	}
	return best
}

// tieMM is the distance below which two ways are equally long and the first one
// is taken, so that rounding, which differs between processors, decides nothing.
const tieMM = 1e-7

// beginAt is the same closed curve with the place as its first vertex. A place
// within tol of a vertex is that vertex.
func beginAt(c geometry.Contour, at place, tol float64) geometry.Contour {
	vertices := c.Vertices()
	s, n := segmentFrom(vertices, at.segment), len(vertices)
	switch length := s.Length(); {
	case at.share*length <= tol:
		return c.StartAt(at.segment)
	case (1-at.share)*length <= tol:
		return c.StartAt(at.segment + 1)
	}
	before, after := s.Part(0, at.share), s.Part(at.share, 1)
	turned := make([]geometry.Vertex, 0, n+1)
	turned = append(turned, geometry.Vertex{Point: after.A, Bulge: after.Bulge})
	turned = append(turned, vertices[at.segment+1:]...)
	turned = append(turned, vertices[:at.segment]...)
	turned = append(turned, geometry.Vertex{Point: before.A, Bulge: before.Bulge})
	return geometry.NewContour(turned...)
}

// firstFrom is the first segment of what beginAt makes.
func firstFrom(vertices []geometry.Vertex, at place, tol float64) geometry.Segment {
	s := segmentFrom(vertices, at.segment)
	switch length := s.Length(); {
	case at.share*length <= tol:
		return s
	case (1-at.share)*length <= tol:
		return segmentFrom(vertices, at.segment+1)
	}
	return s.Part(at.share, 1)
}

// segmentFrom is the segment of a closed curve that begins at a vertex.
func segmentFrom(vertices []geometry.Vertex, i int) geometry.Segment {
	v, next := vertices[i%len(vertices)], vertices[(i+1)%len(vertices)]
	return geometry.Segment{A: v.Point, B: next.Point, Bulge: v.Bulge}
}
