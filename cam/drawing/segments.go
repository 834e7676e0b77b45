package drawing

import (
	"math"
	"slices"

	"traywright/geometry"
)

// segmentsOf is a curve as lines and arcs of at most half a turn: exact where
// it is made of them, else within fit mm.
func segmentsOf(c Curve, fit float64) ([]geometry.Segment, error) {
	var path geometry.Path
	var err error
	switch c := c.(type) {
	case segment:
		return halves(geometry.Segment(c)), nil
	case arc:
		if round(c.U, c.V) {
			return c.circular(), nil
		}
		path, err = c.elliptical(fit)
	case bezier:
		path, err = geometry.FitBezier(fit, c[:]...)
	case spline:
		path, err = geometry.FitSpline(c.Degree, c.Knots, c.Control, c.Weights, fit)
	}
	return slices.Collect(path.Segments()), err
}

// halves cuts an arc of more than half a turn in two.
func halves(s geometry.Segment) []geometry.Segment {
	if math.Abs(s.Bulge) <= 1 {
		return []geometry.Segment{s}
	}
	return []geometry.Segment{s.Part(0, 0.5), s.Part(0.5, 1)}
}

// circular is an arc of a circle in pieces of at most half a turn.
func (a arc) circular() []geometry.Segment {
	sweep := a.To - a.From
	pieces := max(1, math.Ceil(math.Abs(sweep)/math.Pi-1e-9))
	bulge := math.Copysign(math.Tan(sweep/pieces/4), sweep*a.U.Cross(a.V))
	var out []geometry.Segment
	for i := 0.0; i < pieces; i++ {
		from, to := a.at(a.From+sweep*i/pieces), a.at(a.From+sweep*(i+1)/pieces)
		out = append(out, geometry.Segment{A: from, B: to, Bulge: bulge})
	}
	return out
}

// elliptical follows an arc of an ellipse. U and V may be any two conjugate half
// axes; turned by phi in the parameter they are the main ones, the longer first:
// tan(2 phi) = 2 U·V / (U·U - V·V).
func (a arc) elliptical(fit float64) (geometry.Path, error) {
	phi := math.Atan2(2*a.U.Dot(a.V), a.U.Dot(a.U)-a.V.Dot(a.V)) / 2
	sin, cos := math.Sincos(phi)
	major, minor := a.U.Scale(cos).Add(a.V.Scale(sin)), a.V.Scale(cos).Sub(a.U.Scale(sin))
	from, to := a.From-phi, a.To-phi
	if major.Cross(minor) < 0 { // the minor axis on the right: the parameter runs the other way
		from, to = -from, -to
	}
	start, end := math.Min(from, to), math.Max(from, to)
	if end-start > 2*math.Pi-1e-9 {
		end = start // a whole turn
	}
	path, err := geometry.FitEllipse(a.Center, major, minor.Norm()/major.Norm(), start, end, fit)
	if from > to {
		path = path.Reverse()
	}
	return path, err
}
