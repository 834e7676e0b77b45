package drawing

import (
	"fmt"

	"traywright/geometry"
)

// mapped is the spline's image: that of its control points.
func (s spline) mapped(m Affine) Curve {
	control := make([]geometry.Point, len(s.Control))
	for i, p := range s.Control {
		control[i] = m.apply(p)
	}
	s.Control = control
	return s
}

// validate checks that
//  1. the degree is 1 to 10,
//  2. there are more control points than the degree says,
//  3. there are as many knots as control points and degree and one together,
//  4. no knot is smaller than the one before it, and the curve's range is not empty,
//  5. there are no weights, or as many as control points, all positive.
func (s spline) validate() error {
	n, p := len(s.Control), s.Degree
	switch {
	case p < 1 || p > 10:
		return fmt.Errorf("has the degree %d", p)
	case n <= p:
		return fmt.Errorf("has %d control points for the degree %d", n, p)
	case len(s.Knots) != n+p+1:
		return fmt.Errorf("has %d knots, not %d", len(s.Knots), n+p+1)
	case len(s.Weights) != 0 && len(s.Weights) != n:
		return fmt.Errorf("has %d weights for %d control points", len(s.Weights), n)
	}
	for i, k := range s.Knots[1:] {
		if !(k >= s.Knots[i]) {
			return fmt.Errorf("has a knot %g behind %g", k, s.Knots[i])
		}
	}
	if !(s.Knots[n] > s.Knots[p]) {
		return fmt.Errorf("has an empty range of knots")
	}
	for _, w := range s.Weights {
		if !(w > 0) {
			return fmt.Errorf("has the weight %g", w)
		}
	}
	return nil
}

// ends are the points at the ends of the spline's range.
func (s spline) ends() (geometry.Point, geometry.Point) {
	return s.at(s.Knots[s.Degree]), s.at(s.Knots[len(s.Control)])
}

// at is the point at parameter t within the range, by de Boor's recurrence
// (de Boor, "On calculating with B-splines", J. Approx. Theory 6, 1972), in
// homogeneous coordinates where there are weights.
func (s spline) at(t float64) geometry.Point {
	p := s.Degree
	span := p
	for span < len(s.Control)-1 && s.Knots[span+1] <= t {
		span++
	}
	points, weights := make([]geometry.Point, p+1), make([]float64, p+1)
	for i := range points {
		weights[i] = s.weight(span - p + i)
		points[i] = s.Control[span-p+i].Scale(weights[i])
	}
	for level := 1; level <= p; level++ {
		for i := p; i >= level; i-- {
			low, high := s.Knots[span-p+i], s.Knots[span+1+i-level]
			k := 0.0
			if high > low {
				k = (t - low) / (high - low)
			}
			points[i] = points[i-1].Scale(1 - k).Add(points[i].Scale(k))
			weights[i] = (1-k)*weights[i-1] + k*weights[i]
		}
	}
	return points[p].Scale(1 / weights[p])
}

func (s spline) weight(i int) float64 {
	if len(s.Weights) == 0 {
		return 1
	}
	return s.Weights[i]
}
