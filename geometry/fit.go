package geometry

import (
	"fmt"
	"math"
)

// Curves of other kinds become lines and arcs here. The plan:
//
//  1. Write the curve as rational Bézier pieces, exactly: an ellipse in quarters or
//     less (weights 1, cos, 1), a B-spline by its polar form, a row of points as pieces
//     of degree 1.
//  2. From the start, find the longest stretch that one line or arc follows, by
//     doubling and halving; go on from its end. Since a part of a stretch that can be
//     followed can be followed too, taking the longest each time takes the
//     fewest segments, among those that begin and end on the curve.
//  3. Whether a segment follows a stretch is proved, not sampled, piece by piece:
//     - a line: every control point lies within the tolerance of it, so the curve, which
//     lies in their hull, does;
//     - an arc about C with radius r: with Q = P - C·w, P and w the numerator and the weight
//     of the curve p = P/w, the distance of p from C is r to within tol if
//     |Q² - r²w²| <= tol (2r - tol) w², and p goes around C one way if Q × Q' keeps its
//     sign. Both are polynomials, and lie between their Bernstein coefficients
//     (R. T. Farouki, "The Bernstein polynomial basis: a centennial retrospective",
//     Computer Aided Geometric Design 29, 2012).
//
// Every segment runs from curve point to curve point, so the other way round holds
// as well: no point of the segment is farther than tol from the curve.

// FitEllipse follows an ellipse, or a part of it, to within tol mm. major reaches from
// the centre to the end of the longer axis, ratio (above 0) is minor axis by major
// axis, with the minor axis on the left of the major one; start and end are the parameters of
// a DXF ELLIPSE in radians, 0 at the major axis, counter-clockwise; 0 and 2π are
// the whole. An end at or before start means a turn further. The error is a *Fault
// for numbers that are not finite or a tolerance that they cannot be held to.
func FitEllipse(center, major Point, ratio, start, end, tol float64) (Path, error) {
	if !(ratio > 0) || math.IsInf(ratio, 1) || math.IsNaN(start-start) || math.IsNaN(end-end) {
		return Path{}, &Fault{ruleFinite, center, fmt.Sprintf("an ellipse with the ratio %g from %g to %g is none", ratio, start, end)}
	}
	sweep := math.Mod(end-start, 2*math.Pi)
	if sweep <= 0 {
		sweep += 2 * math.Pi
	}
	minor := major.Left().Scale(ratio)
	n := int(math.Ceil(sweep/(math.Pi/2) - 1e-9))
	step := sweep / float64(n)
	pieces := make([]rational, n)
	place := func(angle, reach, w float64) weightedPoint {
		sin, cos := math.Sincos(angle)
		p := center.Scale(w).Add(major.Scale(cos * reach * w)).Add(minor.Scale(sin * reach * w))
		return weightedPoint{p.X, p.Y, w}
	}
	for i := range pieces {
		a := start + step*float64(i)
		w := math.Cos(step / 2)
		pieces[i] = rational{place(a, 1, 1), place(a+step/2, 1/w, w), place(a+step, 1, 1)}
	}
	pieces[n-1][2] = place(start+sweep, 1, 1)
	if math.Abs(sweep-2*math.Pi) < 1e-12 {
		pieces[n-1][2] = pieces[0][0]
	}
	return fit(pieces, tol, false)
}

// FitBezier follows the Bézier curve of the control points to within tol mm: four
// points make it cubic, three quadratic, and any other number from two on will do.
// The error is a *Fault as in FitEllipse, or too few points.
func FitBezier(tol float64, control ...Point) (Path, error) {
	if len(control) < 2 {
		return Path{}, &Fault{ruleVertices, Point{}, fmt.Sprintf("a Bézier curve needs two control points or more, not %d", len(control))}
	}
	piece := make(rational, len(control))
	for i, p := range control {
		piece[i] = weightedPoint{p.X, p.Y, 1}
	}
	return fit([]rational{piece}, tol, false)
}

// maxDegree keeps binomials well inside a double.
const maxDegree = 30

// FitSpline follows a B-spline to within tol mm: degree 1 to 30, len(control) +
// degree + 1 knots that never fall, and as many weights as control points, all above
// 0, or none for all equal (NURBS). It covers the span from knot number degree to
// knot number len(control), as a DXF SPLINE does. The error is a *Fault.
func FitSpline(degree int, knots []float64, control []Point, weights []float64, tol float64) (Path, error) {
	if err := checkSpline(degree, knots, control, weights); err != nil {
		return Path{}, err
	}
	points := make([]weightedPoint, len(control))
	for i, p := range control {
		points[i] = weightedPoint{p.X, p.Y, 1}
		if len(weights) > 0 {
			w := weights[i]
			points[i] = weightedPoint{p.X * w, p.Y * w, w}
		}
	}
	var pieces []rational
	for i := degree; i < len(control); i++ {
		if knots[i] < knots[i+1] {
			pieces = append(pieces, splinePiece(degree, i, knots, points))
		}
	}
	return fit(pieces, tol, false)
}

func checkSpline(degree int, knots []float64, control []Point, weights []float64) error {
	fault := func(format string, args ...any) error {
		return &Fault{ruleVertices, Point{}, "the spline " + fmt.Sprintf(format, args...)}
	}
	switch {
	case degree < 1 || degree > maxDegree:
		return fault("has degree %d, it must be 1 to %d", degree, maxDegree)
	case len(control) <= degree:
		return fault("has %d control points, it needs %d for degree %d", len(control), degree+1, degree)
	case len(knots) != len(control)+degree+1:
		return fault("has %d knots, it needs %d", len(knots), len(control)+degree+1)
	case len(weights) != 0 && len(weights) != len(control):
		return fault("has %d weights for %d control points", len(weights), len(control))
	}
	for i, k := range knots {
		if math.IsNaN(k-k) || i > 0 && k < knots[i-1] {
			return fault("has a knot %g that is not a number or falls", k)
		}
	}
	if !(knots[degree] < knots[len(control)]) {
		return fault("has no span of knots with a length")
	}
	for _, w := range weights {
		if !(w > 0) || math.IsInf(w, 1) {
			return fault("has a weight %g, it must be above 0", w)
		}
	}
	return nil
}

// splinePiece is the Bézier form of the span from knot i to knot i+1: control point j
// is the polar form of the spline at the span's start, degree-j times, and its end, j
// times (L. Ramshaw, "Blossoms are polar forms", CAGD 6, 1989).
func splinePiece(degree, i int, knots []float64, points []weightedPoint) rational {
	piece := make(rational, degree+1)
	for j := range piece {
		row := append([]weightedPoint(nil), points[i-degree:i+1]...)
		for r := 1; r <= degree; r++ {
			u := knots[i]
			if r > degree-j {
				u = knots[i+1]
			}
			for k := degree; k >= r; k-- {
				low, high := knots[i-degree+k], knots[i+1+k-r]
				row[k] = mix(row[k-1], row[k], (u-low)/(high-low))
			}
		}
		piece[j] = row[degree]
	}
	return piece
}

// FitPoints follows the straight lines through the points to within tol mm, with
// arcs where the points lie along them. Its vertices are some of the points, the
// first and the last among them; points that repeat are passed over. The error is
// a *Fault as in FitEllipse.
func FitPoints(points []Point, tol float64) (Path, error) {
	var pieces []rational
	for i := 1; i < len(points); i++ {
		p, q := points[i-1], points[i]
		if p != q {
			pieces = append(pieces, rational{{p.X, p.Y, 1}, {q.X, q.Y, 1}})
		}
	}
	return fit(pieces, tol, true)
}

// fitter follows a row of pieces; a place on it is the number of a piece and, behind
// the point, the share of its parameter.
type fitter struct {
	pieces []rational
	tol    float64
	whole  bool // segments end only between pieces
}

func fit(pieces []rational, tol float64, whole bool) (Path, error) {
	if err := checkPieces(pieces, tol); err != nil {
		return Path{}, err
	}
	f := fitter{pieces, tol, whole}
	var vertices []Vertex
	end := float64(len(pieces))
	stride := 1.0
	for from := 0.0; from < end; {
		to, s, ok := f.longest(from, stride)
		if !ok {
			return Path{}, &Fault{ruleFinite, f.at(from), fmt.Sprintf("the curve cannot be followed to %g mm", tol)}
		}
		vertices = append(vertices, Vertex{s.A, s.Bulge})
		stride, from = to-from, to
	}
	if len(pieces) > 0 {
		vertices = append(vertices, Vertex{Point: f.at(end)})
	}
	return Path{vertices}, nil
}

// checkPieces refuses numbers that are not finite and a tolerance near their rounding.
func checkPieces(pieces []rational, tol float64) error {
	for _, piece := range pieces {
		for _, c := range piece {
			p := c.point()
			if size := math.Abs(p.X) + math.Abs(p.Y); !(size < tol*1e12) || math.IsInf(tol, 1) {
				return &Fault{ruleFinite, p, fmt.Sprintf("a curve as far out as %g mm cannot be followed to %g mm", size, tol)}
			}
		}
	}
	return nil
}

func (f *fitter) at(place float64) Point {
	i := min(int(place), len(f.pieces)-1)
	switch u := place - float64(i); u {
	case 0:
		return f.pieces[i][0].point()
	case 1:
		return f.pieces[i][len(f.pieces[i])-1].point()
	default:
		return f.pieces[i].at(u)
	}
}

// longest finds how far from the place from one segment reaches. It starts with the
// reach of the segment before.
func (f *fitter) longest(from, stride float64) (to float64, best Segment, ok bool) {
	end := float64(len(f.pieces))
	good, bad := from, math.Inf(1)
	try := func(place float64) bool {
		s, follows := f.follow(from, place)
		if follows {
			good, best, ok = place, s, true
		} else {
			bad = place
		}
		return follows
	}
	for reach := stride; bad > end && good < end; reach *= 2 {
		try(f.clip(from, from+reach))
	}
	for !ok && bad-from > 1e-12*end {
		if next := f.clip(from, (from+bad)/2); next >= bad || try(next) {
			break
		}
	}
	for ok && bad <= end && bad-good > 1e-3*(good-from) {
		next := f.clip(from, (good+bad)/2)
		if next <= good || next >= bad {
			break
		}
		try(next)
	}
	return good, best, ok
}

// clip keeps a place on the curve, and between pieces if they are to stay whole.
func (f *fitter) clip(from, place float64) float64 {
	if f.whole {
		place = max(math.Floor(place), math.Floor(from)+1)
	}
	return min(place, float64(len(f.pieces)))
}

// follow is the line or arc that follows the curve between two places, if one does.
func (f *fitter) follow(from, to float64) (Segment, bool) {
	s := Segment{A: f.at(from), B: f.at(to)}
	parts := f.parts(from, to)
	if f.line(s, parts) {
		return s, true
	}
	bulge, ok := f.bulge(s, from, to)
	if !ok {
		return s, false
	}
	s.Bulge = bulge
	return s, f.arc(s, parts)
}

func (f *fitter) parts(from, to float64) []rational {
	first := int(from)
	var parts []rational
	for i := first; float64(i) < to; i++ {
		u, v := max(from-float64(i), 0), min(to-float64(i), 1)
		parts = append(parts, f.pieces[i].part(u, v))
	}
	return parts
}

// line proves that the line follows the parts.
func (f *fitter) line(s Segment, parts []rational) bool {
	for _, part := range parts {
		for _, c := range part {
			p := c.point()
			if q, _ := s.Nearest(p); !(q.DistanceTo(p) <= f.tol) {
				return false
			}
		}
	}
	return true
}

// bulge guesses the best arc between two places of the curve. A point of the curve at
// the share x of the chord c asks for a bulge, and lets it be wrong by tol/(2x(1-x)c),
// because so much the arc moves there; the middle of what all allow is taken.
func (f *fitter) bulge(s Segment, from, to float64) (float64, bool) {
	chord := s.B.Sub(s.A)
	length := chord.Dot(chord)
	low, high := -1.0, 1.0
	see := func(p Point) {
		a, b := p.Sub(s.A), s.B.Sub(p)
		x := a.Dot(chord) / length
		if !(x > 0.02 && x < 0.98) {
			return
		}
		wanted := math.Tan(math.Atan2(a.Cross(b), a.Dot(b)) / 2)
		slack := f.tol / (2 * x * (1 - x) * math.Sqrt(length))
		low, high = max(low, wanted-slack), min(high, wanted+slack)
	}
	if f.whole && to-from > samples {
		for i := int(from) + 1; i < int(to); i++ {
			see(f.at(float64(i)))
		}
	} else {
		for i := range samples - 1 {
			see(f.at(from + (to-from)*float64(i+1)/samples))
		}
	}
	return (low + high) / 2, low <= high && length > 0 && low+high != 0
}

// samples is how many places of a stretch the guess of an arc looks at.
const samples = 8

// proofDepth is how often a polynomial is halved before a proof is given up: the
// bounds close in by a factor of four each time.
const proofDepth = 4

// arc proves that the arc follows the parts.
func (f *fitter) arc(s Segment, parts []rational) bool {
	center, radius := s.Center(), s.Radius()
	band := f.tol * (2*radius - f.tol)
	// Squared, a radius of 1e11 tolerances or more has no digits left for one of them;
	// such an arc is a line, and that has been tried.
	if !(radius > f.tol && radius < 1e11*f.tol) {
		return false
	}
	for _, part := range parts {
		qx, qy, w := part.about(center)
		square := qx.times(qx).combine(1, qy.times(qy), 1)
		ww := w.times(w)
		around := qx.times(qy.derivative()).combine(1, qy.times(qx.derivative()), -1)
		if s.Bulge < 0 {
			around = around.combine(-1, around, 0)
		}
		outside := square.combine(-1, ww, radius*radius+band) // what is left to the outer edge of the band
		inside := square.combine(1, ww, band-radius*radius)   // and to the inner edge
		if !outside.nonNegative(proofDepth) || !inside.nonNegative(proofDepth) || !around.nonNegative(proofDepth) {
			return false
		}
	}
	return true
}

// about is the numerator of the curve less w times the centre, and w.
func (r rational) about(center Point) (x, y, w bernstein) {
	x, y, w = make(bernstein, len(r)), make(bernstein, len(r)), make(bernstein, len(r))
	for i, c := range r {
		x[i], y[i], w[i] = c.x-center.X*c.w, c.y-center.Y*c.w, c.w
	}
	return x, y, w
}
