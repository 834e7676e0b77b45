package process

import (
	"math"

	"traywright/geometry"
)

// Measure adds a program up: extents and the length of its cuts. How long it
// takes is the proof's to say, from the text. The machine starts over the tray's
// lower-left corner, at the height of the first move.
func Measure(p Program) Stats {
	var s Stats
	at, begun := Point{}, false
	for _, op := range p.Ops {
		s.Passes = max(s.Passes, op.Passes)
		for _, move := range op.Moves {
			if !begun {
				at.Z = move.To.Z
				s.Min, s.Max = move.To, move.To
				begun = true
			}
			s.include(at, move)
			if move.Kind != Rapid {
				s.CutLengthMM += wayOf(at, move)
			}
			at = move.To
		}
	}
	return s
}

// wayOf is the length of a move, mm, of the helix for a helix.
func wayOf(from Point, move Move) float64 {
	flat := from.DistanceTo(move.To.Point)
	if move.Kind == CW || move.Kind == CCW {
		flat = from.DistanceTo(move.Center) * math.Abs(sweep(from.Point, move))
	}
	return math.Hypot(flat, move.To.Z-from.Z)
}

// include grows the extents by a move's end and, of an arc, by its bulge.
func (s *Stats) include(from Point, move Move) {
	box := geometry.Box{Min: move.To.Point, Max: move.To.Point}
	if move.Kind == CW || move.Kind == CCW {
		box = box.Union(arcBounds(from.Point, move))
	}
	s.Min.X, s.Min.Y = math.Min(s.Min.X, box.Min.X), math.Min(s.Min.Y, box.Min.Y)
	s.Max.X, s.Max.Y = math.Max(s.Max.X, box.Max.X), math.Max(s.Max.Y, box.Max.Y)
	s.Min.Z, s.Max.Z = math.Min(s.Min.Z, move.To.Z), math.Max(s.Max.Z, move.To.Z)
}

// sweep is the signed angle of an arc move, counter-clockwise positive; a whole
// turn when it ends where it starts.
func sweep(from geometry.Point, move Move) float64 {
	a, b := from.Sub(move.Center), move.To.Sub(move.Center)
	angle := math.Atan2(a.Cross(b), a.Dot(b))
	switch {
	case move.Kind == CCW && angle <= 0:
		return angle + 2*math.Pi
	case move.Kind == CW && angle >= 0:
		return angle - 2*math.Pi
	}
	return angle
}

// arcBounds holds an arc move: its ends and the extreme points of its circle
// that it passes.
func arcBounds(from geometry.Point, move Move) geometry.Box {
	box := geometry.Box{Min: from, Max: from}.Union(geometry.Box{Min: move.To.Point, Max: move.To.Point})
	radius := from.DistanceTo(move.Center)
	start := from.Sub(move.Center)
	turn := sweep(from, move)
	for _, axis := range [4]geometry.Point{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		angle := math.Copysign(1, turn) * math.Atan2(start.Cross(axis), start.Dot(axis))
		if angle < 0 {
			angle += 2 * math.Pi
		}
		if angle <= math.Abs(turn) {
			p := move.Center.Add(axis.Scale(radius))
			box = box.Union(geometry.Box{Min: p, Max: p})
		}
	}
	return box
}
