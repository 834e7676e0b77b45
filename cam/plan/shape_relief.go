package plan

import (
	"math"

	"traywright/cam/job"
	"traywright/geometry"
)

// A round tool of radius r leaves a corner of angle t uncut by up to
// r(1/sin(t/2) - 1). A relief takes the tool on until its edge touches the
// corner: the dog-bone along the bisector, the T-bone along one side. Either way
// the centre ends r from the corner, so what is cut is the area within r of the
// way there.

// reliefPlayMM is how much wider than the tool a relief is drawn, so that
// offsetting the finished shape inward by the tool's radius leaves a way to go,
// not a line of no width. It cannot be seen in foam.
const reliefPlayMM = 0.02

// leastReliefMM is the uncut depth below which a corner counts as round enough.
const leastReliefMM = 0.05

// corner is a convex corner of a region, where the inside is less than half
// a turn.
type corner struct {
	at        geometry.Point
	in, out   geometry.Point // unit directions of travel before and after it
	before    float64        // length of the segment that arrives, mm
	after     float64        // of the segment that leaves
	halfAngle float64        // half of the inside angle, radians
}

// left is how deep a tool of radius r leaves the corner uncut.
func (c corner) left(r float64) float64 { return r * (1/math.Sin(c.halfAngle) - 1) }

// sharpCorners are the convex corners that a tool of radius r leaves uncut by
// more than leastReliefMM.
func sharpCorners(region geometry.Region, r float64) []corner {
	var list []corner
	for _, contour := range region.Contours() {
		var segments []geometry.Segment
		for s := range contour.Segments() {
			segments = append(segments, s)
		}
		for i, s := range segments {
			before := segments[(i+len(segments)-1)%len(segments)]
			c, ok := cornerBetween(before, s)
			if ok && c.left(r) > leastReliefMM {
				list = append(list, c)
			}
		}
	}
	return list
}

func cornerBetween(before, after geometry.Segment) (corner, bool) {
	in, out := before.Tangent(1), after.Tangent(0)
	turn := math.Atan2(in.Cross(out), in.Dot(out))
	c := corner{after.A, in, out, before.Length(), after.Length(), (math.Pi - turn) / 2}
	return c, turn > 0 && c.halfAngle > 0
}

// reliefPath is where the centre of a tool of radius r goes: from its place
// touching both sides of the corner to where it touches the corner itself.
func (c corner) reliefPath(kind job.Relief, r float64) (from, to geometry.Point) {
	bisector := c.out.Sub(c.in)
	bisector = bisector.Scale(1 / bisector.Norm())
	from = c.at.Add(bisector.Scale(r / math.Sin(c.halfAngle)))
	if kind == job.Dogbone {
		return from, c.at.Add(bisector.Scale(r))
	}
	// The T-bone runs along the longer side, so its ears stand at the ends.
	along := c.out
	if c.before > c.after {
		along = c.in
	}
	return from, c.at.Add(along.Left().Scale(r))
}

// relieved adds reliefs for a tool of radius r at the given corners.
func relieved(region geometry.Region, corners []corner, kind job.Relief, r, tol float64) (geometry.Region, error) {
	if len(corners) == 0 {
		return region, nil
	}
	parts := []geometry.Region{region}
	for _, c := range corners {
		from, to := c.reliefPath(kind, r+reliefPlayMM)
		parts = append(parts, geometry.NewRegion(geometry.Slot(from, to, 2*(r+reliefPlayMM))))
	}
	return geometry.Union(tol, parts...)
}
