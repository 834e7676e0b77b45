package geometry

import "math"

// Every formula here works from the chord and the bulge, not from the centre:
// an arc that is nearly straight has its centre far away, and going there and
// back would lose the digits that make it an arc. With b = tan(sweep/4):
//
//	sin(sweep/2) = 2b / (1+b²)      cos(sweep/2) = (1-b²) / (1+b²)

// IsArc reports whether the segment is curved.
func (s Segment) IsArc() bool { return s.Bulge != 0 }

// isPoint reports whether the segment is too short for its direction to be told:
// the square of its length, less than 1e-300 mm², is near the end of a double's range.
func (s Segment) isPoint() bool { return !(s.Chord() > 1e-150) }

// Chord is the distance from A to B in mm.
func (s Segment) Chord() float64 { return s.A.DistanceTo(s.B) }

// halfSweep is the sine and cosine of half the included angle.
func (s Segment) halfSweep() (sin, cos float64) {
	b := s.Bulge
	if math.Abs(b) > 1 { // the same two fractions, without squaring a huge bulge
		inverse := 1 / b
		return 2 * inverse / (1 + inverse*inverse), (inverse*inverse - 1) / (1 + inverse*inverse)
	}
	return 2 * b / (1 + b*b), (1 - b*b) / (1 + b*b)
}

// Sweep is the signed included angle in radians: positive counter-clockwise, 0
// for a line, always inside (-2π, 2π).
func (s Segment) Sweep() float64 { return 4 * math.Atan(s.Bulge) }

// curvature is 1/radius, positive when the segment turns left, 0 for a line.
// Of an arc whose ends coincide it is infinite.
func (s Segment) curvature() float64 {
	if s.Bulge == 0 {
		return 0
	}
	sin, _ := s.halfSweep()
	return 2 * sin / s.Chord()
}

// Radius of an arc in mm; +Inf for a line.
func (s Segment) Radius() float64 {
	if s.Bulge == 0 {
		return math.Inf(1)
	}
	b := math.Abs(s.Bulge)
	return s.Chord() * (1/b + b) / 4
}

// Center of an arc. Of a line, which has none, it is the middle of the chord.
func (s Segment) Center() Point {
	middle := s.A.Add(s.B).Scale(0.5)
	if s.Bulge == 0 {
		return middle
	}
	return middle.Add(s.B.Sub(s.A).Left().Scale((1/s.Bulge - s.Bulge) / 4))
}

// Length along the segment in mm.
func (s Segment) Length() float64 {
	if s.Bulge == 0 {
		return s.Chord()
	}
	sin, _ := s.halfSweep()
	return s.Chord() * s.Sweep() / (2 * sin)
}

// At is the point after the share t of the segment's length; t outside 0..1
// goes on along the same line or circle. At(0) is A and At(1) is B, exactly.
func (s Segment) At(t float64) Point {
	switch {
	case t == 0:
		return s.A
	case t == 1:
		return s.B
	case s.Bulge == 0:
		return s.A.Add(s.B.Sub(s.A).Scale(t))
	}
	// The chord from A to the wanted point is the whole chord turned by half of
	// the angle that is left to go.
	half := s.Sweep() / 2
	sinHalf, _ := s.halfSweep()
	sin, cos := math.Sincos((t - 1) * half)
	return s.A.Add(s.B.Sub(s.A).turn(sin, cos).Scale(math.Sin(t*half) / sinHalf))
}

// Part is the piece between two shares of the segment's length, on the same line
// or circle. Part(0, 1) is the segment itself, exactly.
func (s Segment) Part(from, to float64) Segment {
	if from == 0 && to == 1 {
		return s
	}
	part := Segment{A: s.At(from), B: s.At(to)}
	if s.Bulge != 0 {
		part.Bulge = math.Tan(s.Sweep() * (to - from) / 4)
	}
	return part
}

// Tangent is the unit direction of travel at the share t of the length; the
// zero Point when A and B coincide.
func (s Segment) Tangent(t float64) Point {
	chord := s.Chord()
	if chord == 0 {
		return Point{}
	}
	direction := s.B.Sub(s.A).Scale(1 / chord)
	if s.Bulge == 0 {
		return direction
	}
	sin, cos := math.Sincos((t - 0.5) * s.Sweep())
	return direction.turn(sin, cos)
}

// startTangent is Tangent(0) without an inverse trigonometric function.
func (s Segment) startTangent() Point {
	chord := s.Chord()
	if chord == 0 {
		return Point{}
	}
	sin, cos := s.halfSweep()
	return s.B.Sub(s.A).Scale(1/chord).turn(-sin, cos)
}

// endTangent is Tangent(1) without an inverse trigonometric function.
func (s Segment) endTangent() Point {
	chord := s.Chord()
	if chord == 0 {
		return Point{}
	}
	sin, cos := s.halfSweep()
	return s.B.Sub(s.A).Scale(1/chord).turn(sin, cos)
}

// turn rotates p by the angle with that sine and cosine.
func (p Point) turn(sin, cos float64) Point {
	return Point{cos*p.X - sin*p.Y, sin*p.X + cos*p.Y}
}

// reverse is the same curve travelled from B to A.
func (s Segment) reverse() Segment { return Segment{s.B, s.A, 0 - s.Bulge} }

// Bounds is the smallest box that holds the segment.
func (s Segment) Bounds() Box {
	b := Box{s.A, s.A}.Union(Box{s.B, s.B})
	if s.Bulge == 0 || s.isPoint() {
		return b
	}
	for _, direction := range [4]Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		if s.faces(direction) {
			p := s.extreme(direction)
			b = b.Union(Box{p, p})
		}
	}
	return b
}

// extreme is the place of the whole circle farthest in the unit direction, an
// axis. From A it is (direction - outward)/|κ| away, and along the direction
// itself that is |direction - outward|²/(2|κ|), which does not cancel.
func (s Segment) extreme(direction Point) Point {
	k := s.curvature()
	outward := s.startTangent().Left().Scale(-math.Copysign(1, k))
	step := direction.Sub(outward)
	rise := step.Dot(step) / (2 * math.Abs(k))
	if direction.X != 0 {
		return Point{s.A.X + direction.X*rise, s.A.Y + step.Y/math.Abs(k)}
	}
	return Point{s.A.X + step.X/math.Abs(k), s.A.Y + direction.Y*rise}
}

// faces reports whether the arc passes the place where its outward normal
// (away from the centre) points in the given direction.
func (s Segment) faces(direction Point) bool {
	// The outward normals run from that of A to that of B; the middle one is the
	// chord turned a quarter to the right (left for a clockwise arc).
	middle := s.B.Sub(s.A).Left().Scale(-math.Copysign(1/s.Chord(), s.Bulge))
	_, cos := s.halfSweep()
	return middle.Dot(direction) >= cos
}

// lensArea is the signed area between the chord and the arc, in mm²:
// positive when the arc turns left.
func (s Segment) lensArea() float64 {
	if s.Bulge == 0 {
		return 0
	}
	sweep := s.Sweep()
	sin, _ := s.halfSweep()
	chord := s.Chord()
	return chord * chord * sweepMinusSine(sweep) / (8 * sin * sin)
}

// sweepMinusSine is x - sin(x), by its series where the difference would cancel.
func sweepMinusSine(x float64) float64 {
	if math.Abs(x) > 0.1 {
		return x - math.Sin(x)
	}
	q := x * x
	return x * q / 6 * (1 - q/20*(1-q/42*(1-q/72)))
}

// Nearest is the point of s nearest to p, and its share t of the length. Where
// several are equally near (p is the centre) it is one of them.
func (s Segment) Nearest(p Point) (Point, float64) {
	t := s.shareOf(p)
	if t >= 0 && t <= 1 {
		return s.At(t), t
	}
	if p.DistanceTo(s.A) <= p.DistanceTo(s.B) {
		return s.A, 0
	}
	return s.B, 1
}

// shareOf is the share t of the place on the whole line or circle that is
// nearest to p. For a circle it is the choice of turns nearest to 0..1.
func (s Segment) shareOf(p Point) float64 {
	q := p.Sub(s.A)
	if s.Bulge == 0 {
		d := s.B.Sub(s.A)
		if n := d.Dot(d); n > 0 {
			return q.Dot(d) / n
		}
		return 0
	}
	chord := s.Chord()
	if chord == 0 {
		return 0
	}
	return s.shareOfArc(q, chord)
}

// shareOfArc measures the angle of A+q about the centre, from A, as
// atan2(κx, 1-κy) in the frame of the tangent at A: no digits are lost when the
// curvature κ is small.
func (s Segment) shareOfArc(q Point, chord float64) float64 {
	sin, cos := s.halfSweep()
	tangent := s.B.Sub(s.A).Scale(1/chord).turn(-sin, cos)
	k := 2 * sin / chord
	angle := math.Atan2(k*tangent.Dot(q), 1-k*tangent.Cross(q))
	sweep := s.Sweep()
	// The angle is known up to whole turns: centre the choice on the arc's middle.
	turns := math.Round((angle - sweep/2) / (2 * math.Pi))
	return (angle - 2*math.Pi*turns) / sweep
}
