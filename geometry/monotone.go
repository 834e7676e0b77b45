package geometry

import "math"

// A piece is a part of a segment along which Y only rises or only falls. A ray
// to the right meets it at most once, and exactly once when its Y lies in
// [low, high): pieces that share an end share it bit by bit, so a ray can
// neither slip between two of them nor count both.
type piece struct {
	low, high float64 // range of Y, mm
	left      float64 // range of X, mm
	right     float64
	from      Point // a point of its line or circle
	normal    Point // unit left normal there
	curvature float64
	rises     bool
	bulges    bool // lies on the half of its circle that faces +X
}

// pieces splits s, at most a little over a half circle, into one or two pieces.
func (s Segment) pieces(yield func(piece)) {
	if s.isPoint() {
		return
	}
	if s.straight() {
		yield(s.linePiece())
		return
	}
	start, end := s.startTangent(), s.endTangent()
	p := piece{from: s.A, normal: start.Left(), curvature: s.curvature()}
	if (start.Y > 0) == (end.Y > 0) || start.Y == 0 || end.Y == 0 {
		yield(p.between(s.A, s.B, s.B.Y > s.A.Y))
		return
	}
	// The end shared by the two pieces must be no lower than theirs, bit by bit.
	top := s.extreme(Point{Y: math.Copysign(1, start.Y)})
	if start.Y > 0 {
		top.Y = max(top.Y, max(s.A.Y, s.B.Y))
	} else {
		top.Y = min(top.Y, min(s.A.Y, s.B.Y))
	}
	yield(p.between(s.A, top, start.Y > 0))
	yield(p.between(top, s.B, start.Y < 0))
}

// straight reports whether the arc differs from its chord by less than the
// rounding of the chord's own coordinates.
func (s Segment) straight() bool { return math.Abs(s.Bulge) < 1e-15 }

func (s Segment) linePiece() piece {
	p := piece{from: s.A, normal: s.B.Sub(s.A).Scale(1 / s.Chord()).Left()}
	p = p.between(s.A, s.B, s.B.Y > s.A.Y)
	return p
}

// between is the piece from a to b. Its X range is that of its ends, widened on
// the side to which an arc bulges.
func (p piece) between(a, b Point, rises bool) piece {
	p.rises = rises
	p.low, p.high = min(a.Y, b.Y), max(a.Y, b.Y)
	p.left, p.right = min(a.X, b.X), max(a.X, b.X)
	if p.curvature == 0 {
		return p
	}
	p.bulges = (p.curvature > 0) == rises
	// It may reach past them by as much as the circle does, but no more than it rises.
	if p.bulges {
		p.right = max(p.right, min(p.farthest(1), p.right+p.high-p.low))
	} else {
		p.left = min(p.left, max(p.farthest(-1), p.left-(p.high-p.low)))
	}
	return p
}

// farthest is the greatest (side 1) or least (side -1) X of the whole circle.
func (p piece) farthest(side float64) float64 {
	outward := p.normal.Scale(-math.Copysign(1, p.curvature))
	step := Point{X: side}.Sub(outward)
	return p.from.X + side*step.Dot(step)/(2*math.Abs(p.curvature))
}

// xAt is the X of the piece at height y, which lies in its range. The circle
// through from with left normal n and curvature k is k|q|² = 2 q·n; its two
// roots in X are taken in the form that does not cancel.
func (p *piece) xAt(y float64) float64 {
	dy := y - p.from.Y
	k, n := p.curvature, p.normal
	c := dy * (k*dy - 2*n.Y)
	if k == 0 {
		if n.X == 0 {
			return p.left
		}
		return p.clamp(p.from.X + c/(2*n.X))
	}
	root := math.Sqrt(max(n.X*n.X-k*c, 0))
	if p.bulges != (k > 0) {
		root = -root
	}
	sum := n.X + root // the wanted root is sum/k, the other one (n.X-root)/k
	if (n.X > 0) == (root > 0) || n.X-root == 0 {
		return p.clamp(p.from.X + sum/k)
	}
	return p.clamp(p.from.X + c/(n.X-root))
}

func (p piece) clamp(x float64) float64 { return min(max(x, p.left), p.right) }

// crossing is what the piece adds to the winding number of q: +1 when a ray from
// q to the right meets it rising, -1 falling.
func (p piece) crossing(q Point) int {
	if q.Y < p.low || q.Y >= p.high || q.X >= p.right {
		return 0
	}
	if q.X >= p.left && q.X >= p.xAt(q.Y) {
		return 0
	}
	if p.rises {
		return 1
	}
	return -1
}

// crossings is what the segment adds to the winding number of q.
func (s Segment) crossings(q Point) int {
	if s.Bulge > 1 || s.Bulge < -1 {
		first, second := s.halves()
		return first.crossings(q) + second.crossings(q)
	}
	sum := 0
	s.pieces(func(p piece) { sum += p.crossing(q) })
	return sum
}

// halves splits an arc at its middle.
func (s Segment) halves() (Segment, Segment) {
	half := math.Tan(math.Atan(s.Bulge) / 2)
	middle := s.At(0.5)
	return Segment{s.A, middle, half}, Segment{middle, s.B, half}
}
