package geometry

import (
	"cmp"
	"math"
	"slices"
)

// tidy makes contours of loops: neighbours on one line or circle joined, slivers
// dropped, in an order that depends only on the shape.
func (a *arrangement) tidy(loops [][]half) Region {
	contours := make([]Contour, 0, len(loops))
	for _, loop := range loops {
		contours = append(contours, a.contour(loop))
	}
	return inOrder(contours, a.tol)
}

// inOrder drops slivers and puts contours and their starts in order. It takes the
// contours over.
func inOrder(all []Contour, tol float64) Region {
	contours := all[:0]
	for _, c := range all {
		if math.Abs(c.Area()) > tol*c.Length()/2 {
			c.startLowest(tol)
			contours = append(contours, c)
		}
	}
	if len(contours) == 0 {
		return Region{}
	}
	slices.SortStableFunc(contours, func(c, d Contour) int {
		p, q := c.vertices[0], d.vertices[0]
		if p.Point == q.Point {
			return cmp.Compare(d.Area(), c.Area())
		}
		return cmp.Or(cmp.Compare(p.Y, q.Y), cmp.Compare(p.X, q.X))
	})
	return Region{contours}
}

// startLowest starts the contour at its lowest vertex; of those within tol of the
// lowest, at the leftmost.
func (c Contour) startLowest(tol float64) {
	low := math.Inf(1)
	for _, v := range c.vertices {
		low = min(low, v.Y)
	}
	best := -1
	for i, v := range c.vertices {
		if v.Y <= low+tol && (best < 0 || v.X < c.vertices[best].X) {
			best = i
		}
	}
	slices.Reverse(c.vertices[:best])
	slices.Reverse(c.vertices[best:])
	slices.Reverse(c.vertices)
}

// run is a row of halves on one line or circle.
type run struct {
	a, b  Point
	sweep float64
	bulge float64 // that of its only half
	count int
	base  half // the first one, whose curve the others must follow
	t1    float64
}

// contour joins runs of halves to segments.
func (a *arrangement) contour(loop []half) Contour {
	start := a.firstBreak(loop)
	if start < 0 {
		return a.fullCircle(loop)
	}
	var vertices []Vertex
	var r run
	for i := range loop {
		h := loop[(start+i)%len(loop)]
		if i > 0 && a.extends(&r, &h) {
			r.extend(&h, &a.curves[r.base.curve])
			continue
		}
		if i > 0 {
			vertices = a.emit(vertices, &r)
		}
		r = run{h.A, h.B, h.Sweep(), h.Bulge, 1, h, h.t1}
	}
	return Contour{a.emit(vertices, &r)}
}

// firstBreak is a place of the loop where a new line or circle begins, -1 for a
// full circle.
func (a *arrangement) firstBreak(loop []half) int {
	for i := range loop {
		before := loop[(i+len(loop)-1)%len(loop)]
		r := run{base: before, t1: before.t1}
		if !a.extends(&r, &loop[i]) {
			return i
		}
	}
	if loop[0].Bulge == 0 || len(loop) < 2 {
		return 0
	}
	// Neighbours may agree all around where the whole does not: a spiral of arcs.
	r := run{base: loop[0], t1: math.NaN()}
	for i := range loop {
		if !a.extends(&r, &loop[i]) {
			return 0
		}
	}
	return -1
}

// extends reports whether h goes on along the run's curve: the same one, or another
// that is the same but for rounding. Where contours touch, a vertex stays.
func (a *arrangement) extends(r *run, h *half) bool {
	if h.pinned {
		return false
	}
	forward := r.base.t1 > r.base.t0
	if h.curve == r.base.curve && h.t0 == r.t1 && h.t1 > h.t0 == forward {
		return true
	}
	c, rounding := &a.curves[r.base.curve], a.tol/64
	if (c.k == 0) != (h.Bulge == 0) {
		return false
	}
	if !(c.off(h.A) <= rounding && c.off(h.B) <= rounding) {
		return false
	}
	if c.k == 0 {
		return c.tangent.Dot(h.B.Sub(h.A)) > 0 == forward
	}
	if !(c.off(h.At(0.5)) <= rounding) {
		return false
	}
	return a.followsCircle(c, h, forward)
}

// followsCircle compares the direction of h with that of the circle of c at the
// middle of h.
func (a *arrangement) followsCircle(c *curve, h *half, forward bool) bool {
	middle := h.At(0.5)
	radial := middle.Sub(c.A).Scale(c.k).Sub(c.normal()) // away from the centre, when k > 0
	travel := radial.Left()
	if !forward {
		travel = travel.Scale(-1)
	}
	return travel.Dot(h.B.Sub(h.A)) > 0
}

// extend adds h to the run. Its share of the sweep is what it takes of the base
// circle, which may differ a little from its own.
func (r *run) extend(h *half, c *curve) {
	r.b, r.t1 = h.B, h.t1
	r.count++
	if h.curve == r.base.curve {
		r.sweep += h.Sweep()
		return
	}
	center := c.Center()
	a, b := h.A.Sub(center), h.B.Sub(center)
	turn := math.Atan2(a.Cross(b), a.Dot(b))
	r.sweep += turn + 2*math.Pi*math.Round((h.Sweep()-turn)/(2*math.Pi))
}

// emit adds the run as one segment, or as two if it is more than three quarters of
// a circle.
func (a *arrangement) emit(vertices []Vertex, r *run) []Vertex {
	switch k := a.curves[r.base.curve].k; {
	case r.count == 1:
		return append(vertices, Vertex{r.a, r.bulge})
	case k == 0:
		return append(vertices, Vertex{r.a, 0})
	}
	s := Segment{r.a, r.b, math.Tan(r.sweep / 4)}
	if math.Abs(r.sweep) <= 1.5*math.Pi {
		return append(vertices, Vertex{s.A, s.Bulge})
	}
	// Nearly closed: the chord is short, so the middle comes from the circle itself.
	c := a.curves[r.base.curve].Segment
	center, radius := c.Center(), c.Radius()
	middle := center.Add(center.Sub(s.A.Add(s.B).Scale(0.5)).unit().Scale(radius))
	half := math.Tan(r.sweep / 8)
	return append(vertices, Vertex{s.A, half}, Vertex{middle, half})
}

// unit is p at length 1; the zero Point stays.
func (p Point) unit() Point {
	n := p.Norm()
	if n == 0 {
		return p
	}
	return p.Scale(1 / n)
}

// fullCircle is a loop all of whose halves lie on one circle.
func (a *arrangement) fullCircle(loop []half) Contour {
	s := a.curves[loop[0].curve].Segment
	c := Circle(s.Center(), s.Radius())
	if loop[0].Bulge < 0 {
		return c.Reverse()
	}
	return c
}
