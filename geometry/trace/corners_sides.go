package trace

import (
	"math"
	"slices"

	"traywright/geometry"
)

// side is a line through a point along a direction or, with a radius, a circle.
type side struct {
	p, d   geometry.Point // d is the line's direction; p is on the line, or the centre
	radius float64
}

func (s side) distance(q geometry.Point) float64 {
	if s.radius > 0 {
		return math.Abs(q.DistanceTo(s.p) - s.radius)
	}
	return math.Abs(s.d.Cross(q.Sub(s.p)))
}

func (s side) worst(points []geometry.Point) float64 {
	w := 0.0
	for _, q := range points {
		w = max(w, s.distance(q))
	}
	return w
}

// tangent is the direction of the side at q, the way its points run.
func (s side) tangent(q geometry.Point) geometry.Point {
	if s.radius == 0 {
		return s.d
	}
	t := q.Sub(s.p).Left()
	if n := t.Norm(); n > 0 {
		t = t.Scale(1 / n)
	}
	if t.Dot(s.d) < 0 {
		t = t.Scale(-1)
	}
	return t
}

// fitLine is the line with the least squares of distances from the points: their mean
// and the direction in which they run.
func fitLine(points []geometry.Point) (mean, along geometry.Point) {
	n := float64(len(points))
	for _, p := range points {
		mean = mean.Add(p.Scale(1 / n))
	}
	var xx, xy, yy float64
	for _, p := range points {
		d := p.Sub(mean)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
	}
	angle := math.Atan2(2*xy, xx-yy) / 2
	sin, cos := math.Sincos(angle)
	along = geometry.Point{X: cos, Y: sin}
	if along.Dot(points[len(points)-1].Sub(points[0])) < 0 {
		along = along.Scale(-1)
	}
	return mean, along
}

// fitCircle is the circle that fits the points best, by Taubin's algebraic distance,
// which favours no radius even on short arcs (G. Taubin, IEEE Transactions on Pattern
// Analysis and Machine Intelligence 13, 1991; the root by Newton's method as in N.
// Chernov, "Circular and Linear Regression", 2010). Points along a line give that line.
func fitCircle(points []geometry.Point) side {
	mean, d := fitLine(points)
	line := side{p: mean, d: d}
	var xx, yy, xy, xz, yz, zz float64
	n := float64(len(points))
	for _, p := range points {
		q := p.Sub(mean)
		z := q.Dot(q)
		xx, yy, xy = xx+q.X*q.X/n, yy+q.Y*q.Y/n, xy+q.X*q.Y/n
		xz, yz, zz = xz+q.X*z/n, yz+q.Y*z/n, zz+z*z/n
	}
	z := xx + yy
	cov := xx*yy - xy*xy
	a3, a2 := 4*z, -3*z*z-zz
	a1 := zz*z + 4*cov*z - xz*xz - yz*yz - z*z*z
	a0 := xz*xz*yy + yz*yz*xx - zz*cov - 2*xz*yz*xy + z*z*cov
	x := 0.0
	for range 30 {
		slope := a1 + x*(2*a2+3*a3*x)
		step := (a0 + x*(a1+x*(a2+x*a3))) / slope
		if math.IsNaN(step) || math.Abs(step) < 1e-14*z {
			break
		}
		x -= step
	}
	det := x*x - x*z + cov
	center := geometry.Point{X: xz*(yy-x) - yz*xy, Y: yz*(xx-x) - xz*xy}.Scale(1 / (2 * det))
	radius := math.Sqrt(center.Dot(center) + z)
	if !(radius < largestRadius) || math.Abs(det) < 1e-12*z*z {
		return line
	}
	return side{mean.Add(center), d, radius}
}

// largestRadius in pixels is that of a circle which no side tells from a line.
const largestRadius = 1e4

// meet is the intersection of two sides that is nearest to a place.
func meet(a, b side, near geometry.Point) (geometry.Point, bool) {
	var all []geometry.Point
	switch {
	case a.radius == 0 && b.radius == 0:
		cross := a.d.Cross(b.d)
		if math.Abs(cross) < 1e-9 {
			return near, false
		}
		return a.p.Add(a.d.Scale(b.p.Sub(a.p).Cross(b.d) / cross)), true
	case a.radius == 0:
		all = lineCircle(a, b)
	case b.radius == 0:
		all = lineCircle(b, a)
	default:
		all = circleCircle(a, b)
	}
	if len(all) == 0 {
		return near, false
	}
	return slices.MinFunc(all, func(p, q geometry.Point) int {
		if p.DistanceTo(near) < q.DistanceTo(near) {
			return -1
		}
		return 1
	}), true
}

func lineCircle(l, c side) []geometry.Point {
	along := l.d.Dot(c.p.Sub(l.p))
	off := l.d.Cross(c.p.Sub(l.p))
	h := c.radius*c.radius - off*off
	if h < 0 {
		return nil
	}
	h = math.Sqrt(h)
	return []geometry.Point{l.p.Add(l.d.Scale(along - h)), l.p.Add(l.d.Scale(along + h))}
}

func circleCircle(a, b side) []geometry.Point {
	d := b.p.Sub(a.p)
	length := d.Norm()
	if length == 0 {
		return nil
	}
	x := (length*length + a.radius*a.radius - b.radius*b.radius) / (2 * length)
	h := a.radius*a.radius - x*x
	if h < 0 {
		return nil
	}
	d = d.Scale(1 / length)
	foot := a.p.Add(d.Scale(x))
	up := d.Left().Scale(math.Sqrt(h))
	return []geometry.Point{foot.Add(up), foot.Sub(up)}
}
