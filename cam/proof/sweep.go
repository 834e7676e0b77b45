package proof

import (
	"math"

	"traywright/geometry"
)

// sweep is a cutting disc, flat at its end, that goes along a line or an arc of
// at most half a turn while its depth changes evenly. What it removes is every
// point within radius of the path, down to the disc's depth there; a disc that
// is not as wide everywhere removes what blade.go and taper.go say.
type sweep struct {
	motion         int // index of the motion it is part of
	a, b           geometry.Point
	depthA, depthB float64 // below the foam's top, positive down
	most           float64 // of foam that it may take anywhere; 0 is not known
	wall           float64 // and how far in from its edge it may take more
	edge
	arc         bool
	center      geometry.Point
	r           float64 // of the arc
	start, turn float64 // angle at a; signed sweep, counter-clockwise positive
}

// sweepsOf is a motion as sweeps: see appendSweeps.
func sweepsOf(index int, m Motion, radius, depthA, depthB float64) []sweep {
	return appendSweeps(nil, index, m, radius, depthA, depthB)
}

// appendSweeps adds a motion as sweeps: one, or several for an arc of more than
// half a turn. A motion that stays in place is a disc.
func appendSweeps(list []sweep, index int, m Motion, radius, depthA, depthB float64) []sweep {
	whole := sweep{motion: index, a: m.From.Point, b: m.To.Point, depthA: depthA, depthB: depthB, edge: edge{radius, upright}}
	if !m.Arc {
		return append(list, whole)
	}
	whole.arc, whole.center, whole.r = true, m.Center, m.From.DistanceTo(m.Center)
	d := m.From.Sub(m.Center)
	whole.start, whole.turn = math.Atan2(d.Y, d.X), m.sweep()
	n := max(math.Ceil(math.Abs(whole.turn)/math.Pi-1e-9), 1)
	for i := 0.0; i < n; i++ {
		list = append(list, whole.part(i/n, (i+1)/n))
	}
	return list
}

// part is the piece of an arc from t0 to t1, parts of its whole.
func (s sweep) part(t0, t1 float64) sweep {
	p := s
	p.start, p.turn = s.start+t0*s.turn, (t1-t0)*s.turn
	p.depthA, p.depthB = s.depthAt(t0), s.depthAt(t1)
	if t0 > 0 {
		p.a = s.at(t0)
	}
	if t1 < 1 {
		p.b = s.at(t1)
	}
	return p
}

// at is the place a part t of the way along.
func (s *sweep) at(t float64) geometry.Point {
	if !s.arc {
		return s.a.Add(s.b.Sub(s.a).Scale(t))
	}
	sin, cos := math.Sincos(s.start + t*s.turn)
	return s.center.Add(geometry.Point{X: s.r * cos, Y: s.r * sin})
}

func (s *sweep) depthAt(t float64) float64 { return s.depthA + t*(s.depthB-s.depthA) }
func (s *sweep) deepest() float64          { return max(s.depthA, s.depthB) }
func (s *sweep) level() bool               { return s.depthA == s.depthB }

// bounds of the path, without the disc.
func (s *sweep) bounds() geometry.Box {
	box := geometry.Box{Min: s.a, Max: s.a}.Union(geometry.Box{Min: s.b, Max: s.b})
	if !s.arc {
		return box
	}
	for quarter := 0.0; quarter < 4; quarter++ {
		angle := quarter * math.Pi / 2
		if _, ok := s.parameter(angle); ok {
			sin, cos := math.Sincos(angle)
			p := s.center.Add(geometry.Point{X: s.r * cos, Y: s.r * sin})
			box = box.Union(geometry.Box{Min: p, Max: p})
		}
	}
	return box
}

// parameter is where on the arc an angle lies, 0 to 1, if it does.
func (s *sweep) parameter(angle float64) (t float64, on bool) {
	if s.turn == 0 {
		return
	}
	d := math.Mod(angle-s.start, 2*math.Pi)
	if d*s.turn < 0 {
		d += math.Copysign(2*math.Pi, s.turn)
	}
	t = d / s.turn
	return t, t <= 1
}

// deepPart is the part of the way, t0 to t1, on which the disc is at least at
// depth; false when it never is.
func (s *sweep) deepPart(depth float64) (t0, t1 float64, ok bool) {
	if s.deepest() < depth {
		return
	}
	if min(s.depthA, s.depthB) >= depth {
		return 0, 1, true
	}
	t := (depth - s.depthA) / (s.depthB - s.depthA)
	if s.depthB > s.depthA {
		return t, 1, true
	}
	return 0, t, true
}

// distance is how far p is from the part of the path on which the disc is at
// least at depth; +Inf when there is none. It is exact: no sampling.
func (s *sweep) distance(p geometry.Point, depth float64) float64 {
	t0, t1, ok := s.deepPart(depth)
	if !ok {
		return math.Inf(1)
	}
	if !s.arc {
		return s.lineDistance(p, t0, t1)
	}
	q := p.Sub(s.center)
	if t, on := s.parameter(math.Atan2(q.Y, q.X)); on && t >= t0 && t <= t1 {
		return math.Abs(q.Norm() - s.r)
	}
	return min(p.DistanceTo(s.end(t0)), p.DistanceTo(s.end(t1)))
}

// end is at(t), with the path's own ends exactly.
func (s *sweep) end(t float64) geometry.Point {
	switch t {
	case 0:
		return s.a
	case 1:
		return s.b
	}
	return s.at(t)
}

func (s *sweep) lineDistance(p geometry.Point, t0, t1 float64) float64 {
	d := s.b.Sub(s.a)
	t := t0
	if square := d.Dot(d); square > 0 {
		t = min(max(p.Sub(s.a).Dot(d)/square, t0), t1)
	}
	return p.DistanceTo(s.a.Add(d.Scale(t)))
}

// depthOver is the greatest depth of the disc while it covers p; false when it
// never does. While the depth changes evenly that is at one end of a stay over p.
func (s *sweep) depthOver(p geometry.Point) (depth float64, covered bool) {
	if s.arc {
		return s.arcDepthOver(p)
	}
	d := s.b.Sub(s.a)
	square := d.Dot(d)
	if square == 0 {
		return s.deepest(), p.DistanceTo(s.a) <= s.radius
	}
	q := p.Sub(s.a)
	middle := q.Dot(d) / square
	off := q.Cross(d)
	half := s.radius*s.radius - off*off/square
	if half < 0 {
		return
	}
	half = math.Sqrt(half / square)
	return s.deepestBetween(middle-half, middle+half)
}

// deepestBetween is the greatest depth on the way from t0 to t1, as far as that
// is on the path.
func (s *sweep) deepestBetween(t0, t1 float64) (depth float64, on bool) {
	t0, t1 = max(t0, 0), min(t1, 1)
	if t0 > t1 {
		return
	}
	return max(s.depthAt(t0), s.depthAt(t1)), true
}

// arcDepthOver: the disc covers p while the angle between its centre and p, seen
// from the arc's centre, is at most acos((rho^2 + r^2 - radius^2) / (2 rho r)).
func (s *sweep) arcDepthOver(p geometry.Point) (deepest float64, covered bool) {
	q := p.Sub(s.center)
	rho := q.Norm()
	half := math.Pi
	if rho*s.r > 0 {
		c := (rho*rho + s.r*s.r - s.radius*s.radius) / (2 * rho * s.r)
		if c > 1 {
			return
		}
		half = math.Acos(max(c, -1))
	} else if max(rho, s.r) > s.radius {
		return
	}
	middle := math.Remainder(math.Atan2(q.Y, q.X)-s.start, 2*math.Pi)
	for _, around := range [3]float64{-2 * math.Pi, 0, 2 * math.Pi} {
		t0, t1 := (middle+around-half)/s.turn, (middle+around+half)/s.turn
		if d, ok := s.deepestBetween(min(t0, t1), max(t0, t1)); ok {
			deepest, covered = max(deepest, d), true
		}
	}
	return deepest, covered
}
