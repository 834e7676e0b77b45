package trace

import (
	"fmt"
	"math"

	"traywright/geometry"
)

// pocketTolerance in mm is the distance under which two points of a pocket are one.
const pocketTolerance = 1e-6

// pocket is the piece with room around it, as a tool of a radius can cut it:
//
//  1. grow by the clearance;
//  2. close: foam between two parts of the pocket that is thinner than the tool goes;
//  3. open: what the tool cannot get into goes;
//  4. where that would cut into the piece itself, let the tool reach on until it has
//     room.
func pocket(piece geometry.Region, clearance, radius float64, p *Photo) (geometry.Region, error) {
	grown, err := geometry.Offset(piece, clearance, pocketTolerance)
	if err != nil || radius == 0 {
		return grown, err
	}
	closed, err := offsets(grown, radius, -radius)
	if err != nil {
		return closed, err
	}
	open, err := offsets(closed, -radius, radius)
	if err != nil {
		return open, err
	}
	for range 3 {
		missing, err := geometry.Difference(piece, open, pocketTolerance)
		if err != nil || missing.Area() < leastMissing {
			return open, err
		}
		if open, err = reachOn(open, missing, radius); err != nil {
			return open, err
		}
	}
	missing, err := geometry.Difference(piece, open, pocketTolerance)
	if err == nil && missing.Area() >= leastMissing {
		p.Notes = append(p.Notes, fmt.Sprintf("a tool of radius %g mm leaves %.2f mm² of the piece's place uncut: use a thinner one or more clearance", radius, missing.Area()))
	}
	return open, err
}

// leastMissing in mm² is a place of the piece that no one would notice uncut.
const leastMissing = 0.01

// offsets offsets a region by one distance after the other.
func offsets(r geometry.Region, distances ...float64) (geometry.Region, error) {
	var err error
	for _, d := range distances {
		if r, err = geometry.Offset(r, d, pocketTolerance); err != nil {
			return r, err
		}
	}
	return r, nil
}

// reachOn adds a round hole of the tool for each missing part: it touches the part's
// farthest point from the inside.
func reachOn(open, missing geometry.Region, radius float64) (geometry.Region, error) {
	parts := []geometry.Region{open}
	for _, part := range missing.Pieces() {
		tip, edge, far := farthest(part, open)
		if far < pocketTolerance {
			continue
		}
		inward := edge.Sub(tip).Scale(1 / far)
		// A hair more than the radius, so that the tip is not on the rim.
		parts = append(parts, geometry.NewRegion(geometry.Circle(tip.Add(inward.Scale(radius-0.01)), radius)))
	}
	return geometry.Union(pocketTolerance, parts...)
}

// farthest is the corner of a part that is farthest from a region, and the nearest
// point there.
func farthest(part, from geometry.Region) (tip, edge geometry.Point, far float64) {
	for _, c := range part.Contours() {
		for _, v := range c.Vertices() {
			best, at := math.Inf(1), v.Point
			for _, b := range from.Contours() {
				for s := range b.Segments() {
					if q, _ := s.Nearest(v.Point); q.DistanceTo(v.Point) < best {
						best, at = q.DistanceTo(v.Point), q
					}
				}
			}
			if best > far && !math.IsInf(best, 1) {
				tip, edge, far = v.Point, at, best
			}
		}
	}
	return tip, edge, far
}
