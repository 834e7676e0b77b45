package process

import (
	"math"

	"traywright/geometry"
	"traywright/profiles"
)

// Measure adds a program up: lengths, extents and time on machine m. The
// machine starts over the tray's lower-left corner, at the height of the first
// move; that place counts only as the beginning of the first rapid.
//
// Seconds is for a machine that looks ahead over the whole program, speeds up
// and slows down at its acceleration a, goes round a circle of radius r no
// faster than sqrt(a r), and passes a corner no faster than on the arc that
// touches both sides and strays from the corner by CornerMM:
//
//	v² = a CornerMM s / (1 - s),  s = sin(half the angle between the sides)
//
// A CornerMM of 0 stops at every corner. Not counted: tool changes, the
// spindle's running up, and how a controller spreads acceleration over its
// axes. A speed or an acceleration of 0 in the profile counts as unlimited.
//
// LowerBoundSeconds is cut length over programmed feed, no acceleration and no
// rapids: the language itself knows no other (NISTIR 6556 2.1.2.16).
func Measure(p Program, m profiles.Machine) Stats {
	var s Stats
	var legs []leg
	at, begun := Point{}, false
	for _, op := range p.Ops {
		s.Passes = max(s.Passes, op.Passes)
		for _, move := range op.Moves {
			if !begun {
				at.Z = move.To.Z
				s.Min, s.Max = move.To, move.To
				begun = true
			}
			l := newLeg(at, move, m)
			s.include(at, move)
			s.count(move, l.length)
			if l.length > 0 {
				legs = append(legs, l)
			}
			at = move.To
		}
	}
	s.Seconds = travelSeconds(legs, m.AccelerationMMPerS2.Value, m.CornerMM.Value)
	return s
}

func (s *Stats) count(move Move, length float64) {
	if move.Kind == Rapid {
		s.RapidLengthMM += length
		return
	}
	s.CutLengthMM += length
	if move.FeedMMPerMin > 0 {
		s.LowerBoundSeconds += length / (move.FeedMMPerMin / 60)
	}
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
