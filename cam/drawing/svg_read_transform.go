package drawing

import (
	"math"
	"strings"
)

// transformArguments says how many numbers each transform takes.
var transformArguments = map[string][]int{
	"matrix": {6}, "translate": {1, 2}, "scale": {1, 2}, "rotate": {1, 3}, "skewX": {1}, "skewY": {1},
}

// transform is the element's transform attribute; identity without one. The
// first of a list is applied last (SVG 1.1, section 7.6, from memory).
func (a *attributes) transform() (Affine, error) {
	m := identity()
	if strings.Contains(a.text("style"), "transform") {
		return m, fault(a.line, "a transform in a style cannot be read", "apply the transform in the drawing program and export again")
	}
	s := scanner{text: a.text("transform")}
	for s.skipSpace(); s.more(); s.skipSeparator() {
		name := s.word()
		values, ok := s.bracketed()
		t, known := transformOf(name, values)
		if !ok || !known {
			return m, fault(a.line, "transform="+quote(a.text("transform"))+" cannot be read", "apply the transform in the drawing program and export again")
		}
		m = m.of(t)
	}
	return m, nil
}

func transformOf(name string, v []float64) (Affine, bool) {
	known := false
	for _, n := range transformArguments[name] {
		known = known || len(v) == n
	}
	if !known {
		return Affine{}, false
	}
	second := func(missing float64) float64 {
		if len(v) > 1 {
			return v[1]
		}
		return missing
	}
	switch name {
	case "matrix":
		return Affine{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]}, true
	case "translate":
		return Affine{A: 1, D: 1, E: v[0], F: second(0)}, true
	case "scale":
		return Affine{A: v[0], D: second(v[0])}, true
	case "rotate":
		return rotation(v), true
	case "skewX":
		return Affine{A: 1, C: math.Tan(v[0] * math.Pi / 180), D: 1}, true
	}
	return Affine{A: 1, B: math.Tan(v[0] * math.Pi / 180), D: 1}, true // skewY
}

// rotation turns by degrees, about the origin or about a point.
func rotation(v []float64) Affine {
	sin, cos := math.Sincos(v[0] * math.Pi / 180)
	turn := Affine{A: cos, B: sin, C: -sin, D: cos}
	if len(v) == 1 {
		return turn
	}
	return Affine{A: 1, D: 1, E: v[1], F: v[2]}.of(turn).of(Affine{A: 1, D: 1, E: -v[1], F: -v[2]})
}
