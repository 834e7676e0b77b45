package outline

import (
	"errors"
	"math"

	"traywright/geometry"
)

// segmentsOf is a curve as lines and arcs of at most half a turn: exact where
// it is made of them, else within fit mm.
func segmentsOf(c Curve, fit float64) ([]geometry.Segment, error) {
	switch c := c.(type) {
	case Segment:
		return halves(geometry.Segment(c)), nil
	case Arc:
		if round(c.U, c.V) {
			return c.circular(), nil
		}
	}
	return nil, errors.New("ellipses, Béziers and splines cannot be read")
}

// halves cuts an arc of more than half a turn in two.
func halves(s geometry.Segment) []geometry.Segment {
	if math.Abs(s.Bulge) <= 1 {
		return []geometry.Segment{s}
	}
	middle := s.At(0.5)
	half := math.Tan(math.Atan(s.Bulge) / 2)
	return []geometry.Segment{{A: s.A, B: middle, Bulge: half}, {A: middle, B: s.B, Bulge: half}}
}

// circular is an arc of a circle in pieces of at most half a turn.
func (a Arc) circular() []geometry.Segment {
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
