package geometry

import "math"

// A curve is a segment of at most a little over a half circle with what the
// intersections ask of it again and again. Lines and circles share one
// equation: with q measured from A, unit left normal n and curvature k,
//
//	f(q) = k|q|² - 2 q·n = 0
//
// and it keeps its digits when k goes to 0.
type curve struct {
	Segment
	tangent  Point // unit, at A
	k, sweep float64
	length   float64
	box      Box

	// Of an arc only:
	center  Point
	radius  float64
	middle  Point   // unit, from the centre to the middle of the arc
	cosHalf float64 // cosine of half the sweep
}

// normal is the unit left normal at A.
func (c *curve) normal() Point { return c.tangent.Left() }

func newCurve(s Segment) curve {
	chord := s.B.Sub(s.A)
	length := chord.Norm()
	c := curve{Segment: s, box: Box{s.A, s.A}.Union(Box{s.B, s.B})}
	if s.Bulge == 0 {
		c.tangent, c.length = chord.Scale(1/length), length
		return c
	}
	sin, cos := s.halfSweep()
	direction := chord.Scale(1 / length)
	c.tangent = direction.turn(-sin, cos)
	c.k, c.sweep = 2*sin/length, s.Sweep()
	c.length = c.sweep / c.k
	c.radius = 1 / math.Abs(c.k)
	c.center = s.A.Add(c.normal().Scale(1 / c.k))
	c.middle, c.cosHalf = direction.Left().Scale(-math.Copysign(1, s.Bulge)), cos
	c.growBox()
	return c
}

// growBox adds to the box the places where the arc is farthest along an axis,
// without cancellation as in Segment.extreme.
func (c *curve) growBox() {
	out := c.normal().Scale(-math.Copysign(1, c.k))
	rise := func(dx, dy float64) float64 { return (dx*dx + dy*dy) * c.radius / 2 }
	if c.middle.X >= c.cosHalf {
		c.box.Max.X = max(c.box.Max.X, c.A.X+rise(1-out.X, out.Y))
	}
	if -c.middle.X >= c.cosHalf {
		c.box.Min.X = min(c.box.Min.X, c.A.X-rise(1+out.X, out.Y))
	}
	if c.middle.Y >= c.cosHalf {
		c.box.Max.Y = max(c.box.Max.Y, c.A.Y+rise(out.X, 1-out.Y))
	}
	if -c.middle.Y >= c.cosHalf {
		c.box.Min.Y = min(c.box.Min.Y, c.A.Y-rise(out.X, 1+out.Y))
	}
}

// off is the distance of p from the whole line or circle of c.
func (c *curve) off(p Point) float64 {
	q := p.Sub(c.A)
	f := c.k*q.Dot(q) - 2*q.Dot(c.normal())
	return math.Abs(f) / (1 + math.Sqrt(max(1+c.k*f, 0)))
}

// along is the share of the length at which p, on the whole line or circle, lies.
func (c *curve) along(p Point) float64 {
	q := p.Sub(c.A)
	x := q.Dot(c.tangent)
	if c.k == 0 {
		return x / c.length
	}
	angle := math.Atan2(c.k*x, 1-c.k*q.Dot(c.normal()))
	turns := math.Round((angle - c.sweep/2) / (2 * math.Pi))
	return (angle - 2*math.Pi*turns) / c.sweep
}

// share is along, cut to 0..1, and whether it needed no cutting.
func (c *curve) share(p Point) (t float64, ok bool) {
	t = c.along(p)
	return min(max(t, 0), 1), t >= 0 && t <= 1
}

// touches reports whether p lies within tol of c, between its ends, and at which
// share. Beyond the ends is beyond: what is within tol of an end becomes one vertex
// with it anyhow, and what is not does not touch.
func (c *curve) touches(p Point, tol float64) (t float64, ok bool) {
	if p.X < c.box.Min.X-tol || p.X > c.box.Max.X+tol || p.Y < c.box.Min.Y-tol || p.Y > c.box.Max.Y+tol {
		return 0, false
	}
	if !(c.off(p) <= tol) {
		return 0, false
	}
	return c.share(p)
}

// hits are places common to two whole lines or circles; apart means that they
// pass by each other there, for the caller to judge how near.
type hits struct {
	at    [2]Point
	n     int
	apart bool
}

func (h *hits) add(p Point) {
	h.at[h.n] = p
	h.n++
}

// lineHits are the places where the line through p along unit d meets the whole
// line or circle of c, or passes nearest to the circle.
func (c *curve) lineHits(p, d Point) (found hits) {
	// Start at the foot of A on the line: then nothing below is larger than the
	// circle, however far away p is.
	foot := p.Add(d.Scale(c.A.Sub(p).Dot(d)))
	height := d.Cross(foot.Sub(c.A)) // signed distance of the line from A
	h := d.Left().Scale(height)
	b := -d.Dot(c.normal())
	f := c.k*height*height - 2*h.Dot(c.normal())
	// c.k s² + 2 b s + f = 0 in the distance s along the line.
	disc := b*b - c.k*f
	if disc < 0 {
		found.apart = true
		found.add(foot.Add(d.Scale(-b / c.k)))
		return found
	}
	w := -(b + math.Copysign(math.Sqrt(disc), b))
	if w != 0 {
		found.add(foot.Add(d.Scale(f / w)))
	}
	if c.k != 0 {
		found.add(foot.Add(d.Scale(w / c.k)))
	}
	return found
}

// circleHits are the places where the circles of c and e meet, or pass nearest
// when they do not: where the smaller one meets the radical line of the two.
func circleHits(c, e *curve) hits {
	if math.Abs(c.k) < math.Abs(e.k) {
		c, e = e, c
	}
	a := e.A.Sub(c.A)
	m := e.normal().Scale(c.k).Sub(c.normal().Scale(e.k)).Add(a.Scale(c.k * e.k))
	size := m.Norm()
	if size == 0 { // same centre
		return hits{}
	}
	unit := m.Scale(1 / size)
	h := (c.k*e.k*a.Dot(a)/2 + c.k*a.Dot(e.normal())) / size
	return c.lineHits(c.A.Add(unit.Scale(h)), unit.Left())
}

// meetings reports every place where c and e cross or pass within tol, or where an end of one lies
// within tol of the other, as a place to split c (first true) or e. Where the
// two run together the ends of the common run are reported, which is enough to
// cut it out of both.
func meetings(c, e *curve, tol float64, report func(first bool, t float64, p Point)) {
	if c.k == 0 && e.k == 0 && (e.besideLine(c, 4*tol) || c.besideLine(e, 4*tol)) {
		return // as nearly all lines whose boxes overlap: this is the cheapest way to tell
	}
	ends := 0
	reportEnds(c, e, tol, func(t float64, p Point) { report(true, t, p); ends++ })
	reportEnds(e, c, tol, func(t float64, p Point) { report(false, t, p); ends++ })
	if ends > 1 && c.k == 0 && e.k == 0 {
		return // they run together
	}
	found := wholeHits(c, e)
	for _, p := range found.at[:found.n] {
		tc, ok := c.touches(p, tol)
		if !ok {
			continue
		}
		if te, ok := e.touches(p, tol); ok {
			report(true, tc, p)
			report(false, te, p)
		}
	}
}

// wholeHits are the places where the whole lines or circles of c and e meet.
func wholeHits(c, e *curve) hits {
	switch {
	case c.k == 0 && e.k == 0:
		return lineCrossing(c, e)
	case c.k == 0:
		return e.lineHits(c.A, c.tangent)
	case e.k == 0:
		return c.lineHits(e.A, e.tangent)
	default:
		return circleHits(c, e)
	}
}

// reportEnds reports the ends of other that lie on c between c's own ends.
func reportEnds(c, other *curve, tol float64, report func(t float64, p Point)) {
	for _, p := range [2]Point{other.A, other.B} {
		if p == c.A || p == c.B {
			continue
		}
		if t, ok := c.touches(p, tol); ok {
			report(t, p)
		}
	}
}

func lineCrossing(c, e *curve) (found hits) {
	if c.A == e.A || c.B == e.B || c.A == e.B || c.B == e.A {
		return found // two lines that share an end meet nowhere else, or run together
	}
	sine := c.tangent.Cross(e.tangent)
	// Below this the place is lost in rounding and the ends say all there is to say.
	if math.Abs(sine) >= 1e-14 {
		found.add(c.A.Add(c.tangent.Scale(e.A.Sub(c.A).Cross(e.tangent) / sine)))
	}
	return found
}
