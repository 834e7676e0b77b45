package process

import (
	"math"

	"traywright/geometry"
	"traywright/profiles"
)

// Time along a chain of moves under one acceleration. Each leg has a greatest
// speed, each junction between two legs too; a pass backward and a pass forward
// bring the junction speeds down to what the acceleration can reach, and every
// leg is then a trapezoid (or triangle) between its two.

// leg is one move as the planner sees it. Speeds in mm/s.
type leg struct {
	length     float64 // mm, of the helix for a helix
	speed      float64 // greatest; +Inf for no limit
	enter, out vector  // unit directions at its two ends
}

// vector is a direction in space.
type vector struct{ x, y, z float64 }

func (v vector) dot(w vector) float64 { return v.x*w.x + v.y*w.y + v.z*w.z }

func newLeg(from Point, move Move, m profiles.Machine) leg {
	if move.Kind == CW || move.Kind == CCW {
		return arcLeg(from, move, m)
	}
	d := vector{move.To.X - from.X, move.To.Y - from.Y, move.To.Z - from.Z}
	length := math.Sqrt(d.dot(d))
	if length == 0 {
		return leg{}
	}
	unit := vector{d.x / length, d.y / length, d.z / length}
	return leg{length, speedOf(move, m), unit, unit}
}

// arcLeg is a helix; its radial acceleration is (v cos slope)² / r.
func arcLeg(from Point, move Move, m profiles.Machine) leg {
	radius := from.DistanceTo(move.Center)
	turn := sweep(from.Point, move)
	flat, rise := radius*math.Abs(turn), move.To.Z-from.Z
	length := math.Hypot(flat, rise)
	if length == 0 {
		return leg{}
	}
	speed := speedOf(move, m)
	if a := m.AccelerationMMPerS2.Value; a > 0 && flat > 0 {
		speed = math.Min(speed, math.Sqrt(a*radius)*length/flat)
	}
	along := func(p geometry.Point) vector {
		t := p.Sub(move.Center).Left().Scale(math.Copysign(flat/length, turn) / radius)
		return vector{t.X, t.Y, rise / length}
	}
	return leg{length, speed, along(from.Point), along(move.To.Point)}
}

// speedOf is a move's programmed speed in mm/s, within the machine's.
func speedOf(move Move, m profiles.Machine) float64 {
	if move.Kind == Rapid {
		return unlessZero(m.RapidMMPerMin.Value) / 60
	}
	return math.Min(unlessZero(move.FeedMMPerMin), unlessZero(m.MaxFeedMMPerMin.Value)) / 60
}

// unlessZero reads a limit of 0 as none.
func unlessZero(limit float64) float64 {
	if limit > 0 {
		return limit
	}
	return math.Inf(1)
}

// travelSeconds is the time along the legs, from rest to rest.
func travelSeconds(legs []leg, acceleration, corner float64) float64 {
	a := unlessZero(acceleration)
	at := junctionSpeeds(legs, a, corner)
	for i := len(legs) - 1; i >= 0; i-- {
		at[i] = math.Min(at[i], reachable(at[i+1], a, legs[i].length))
	}
	total := 0.0
	for i, l := range legs {
		at[i+1] = math.Min(at[i+1], reachable(at[i], a, l.length))
		total += l.seconds(at[i], at[i+1], a)
	}
	return total
}

// reachable is the speed after a length of speeding up from v.
func reachable(v, a, length float64) float64 { return math.Sqrt(v*v + 2*a*length) }

// junctionSpeeds are the limits before the first leg, between legs and after the last.
func junctionSpeeds(legs []leg, a, corner float64) []float64 {
	at := make([]float64, len(legs)+1)
	for i := 1; i < len(legs); i++ {
		before, after := legs[i-1], legs[i]
		at[i] = math.Min(math.Min(before.speed, after.speed), cornerSpeed(before.out.dot(after.enter), a, corner))
	}
	return at
}

// cornerSpeed takes the cosine of the change of direction. A turn of less than
// about 0.1 mrad is what rounding does to a straight line and no corner.
func cornerSpeed(cosTurn, a, corner float64) float64 {
	const straight = 1e-9
	s := math.Sqrt(math.Max(0, (1+cosTurn)/2))
	if 1-s < straight || math.IsInf(a, 1) {
		return math.Inf(1)
	}
	return math.Sqrt(a * corner * s / (1 - s))
}

// seconds along the leg from speed v0 to v1.
func (l leg) seconds(v0, v1, a float64) float64 {
	if math.IsInf(a, 1) {
		return l.length / l.speed
	}
	peak := math.Min(l.speed, math.Sqrt(a*l.length+(v0*v0+v1*v1)/2))
	changing := (2*peak*peak - v0*v0 - v1*v1) / (2 * a) // mm of speeding up and slowing down
	return (2*peak-v0-v1)/a + math.Max(0, l.length-changing)/peak
}
