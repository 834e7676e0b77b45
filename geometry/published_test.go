package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Values and formulas that others have published, or that follow from them by a line of
// arithmetic ("derived").

func TestPublishedAreas(t *testing.T) {
	// ISO/IEC 7810 ID-1 card with corner radius 3.18 mm: area 4612.007, perimeter 273.701, derived.
	card := Rectangle(box(0, 0, 85.60, 53.98), 3.18)
	assert.InDelta(t, 4612.007, card.Area(), 5e-4)
	assert.InDelta(t, 273.701, card.Length(), 5e-4)
	// A euro coin of 25.75 mm: area of the disc, π d²/4.
	assert.InDelta(t, 520.768, Circle(Point{3, 4}, 25.75/2).Area(), 5e-4)
	assert.InDelta(t, 562.002, Circle(Point{3, 4}, 26.75/2).Area(), 2e-3)
	assert.InDelta(t, 10*4+math.Pi*4, Slot(Point{1, 1}, Point{11, 1}, 4).Area(), 1e-12)
}

func TestPublishedOffsets(t *testing.T) {
	// Minkowski-Steiner formula (round) A + P r + π r²; mitred, for a rectangle, A + P r + 4 r². The
	// sums are derived.
	for _, c := range []struct {
		name         string
		r            Region
		d            float64
		round, sharp float64
	}{
		{"ID-1 card, ISO/IEC 7810", NewRegion(Rectangle(box(0, 0, 85.60, 53.98), 0)), 1, 4902.990, 4903.848},
		{"A7 sheet, ISO 216", NewRegion(Rectangle(box(0, 0, 74, 105), 0)), 1, 8131.142, 8132},
		{"poker card 63.5 x 88.9", NewRegion(Rectangle(box(0, 0, 63.5, 88.9), 0)), 0.5, 5798.335, 5798.550},
		{"card 63 x 88", NewRegion(Rectangle(box(0, 0, 63, 88), 0)), 0.5, 5695.785, 5696},
		{"2 euro coin, 25.75 mm", NewRegion(Circle(Point{}, 25.75/2)), 0.5, 562.002, 562.002},
	} {
		got, err := Offset(c.r, c.d, tol)
		got = must(t, got, err)
		assert.InDelta(t, c.round, got.Area(), 1e-3, c.name)
		got, err = OffsetSharp(c.r, c.d, 2, tol)
		got = must(t, got, err)
		assert.InDelta(t, c.sharp, got.Area(), 1e-3, c.name)
	}
}

// anyConvex draws a convex polygon, 3 to 9 corners on an ellipse, and S, the sum of
// cot(angle/2) over its corners.
func anyConvex(t *rapid.T) (r Region, s float64) {
	n := rapid.IntRange(3, 9).Draw(t, "n")
	a, b := number(10, 30).Draw(t, "a"), number(10, 30).Draw(t, "b")
	points := make([]Point, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + number(0, 0.6).Draw(t, "at")) / float64(n))
		points[i] = Point{a * cos, b * sin}
	}
	for i, p := range points {
		q, o := points[(i+1)%n].Sub(p), points[(i+n-1)%n].Sub(p)
		angle := math.Atan2(q.Cross(o), q.Dot(o))
		s += 1 / math.Tan(angle/2)
	}
	return NewRegion(Polygon(points...)), s
}

// TestFormulasOfConvexPolygons: Minkowski-Steiner for the round offset; for the mitred
// ones area A ± P r + S r² and perimeter P ± 2 S r, and r²(S - π) left in the corners by a
// round tool (derived, from the kite r² cot(angle/2) at each corner).
func TestFormulasOfConvexPolygons(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, s := anyConvex(t)
		area, around, d := r.Area(), r.Length(), number(0.1, 3).Draw(t, "d")
		round := offsets(t, r, d)
		assert.InDelta(t, area+around*d+math.Pi*d*d, round.Area(), 1e-4)
		assert.InDelta(t, around+2*math.Pi*d, round.Length(), 1e-4)
		sharp, err := OffsetSharp(r, d, 100, tol)
		sharp = must(t, sharp, err)
		assert.InDelta(t, area+around*d+s*d*d, sharp.Area(), 1e-4)
		assert.InDelta(t, around+2*s*d, sharp.Length(), 1e-4)
		inner := offsets(t, r, -d)
		if len(inner.contours) != 1 || inner.size() != r.size() {
			return // an edge has vanished, from where on the formula does not hold
		}
		assert.InDelta(t, area-around*d+s*d*d, inner.Area(), 1e-4)
		assert.InDelta(t, around-2*s*d, inner.Length(), 1e-4)
		assert.InDelta(t, d*d*(s-math.Pi), area-offsets(t, inner, d).Area(), 1e-4)
	})
}

func TestToolInARectangle(t *testing.T) {
	// A round tool leaves (4 - π) r² = 0.8584 r² in the corners of a rectangle (derived).
	pocket := NewRegion(Rectangle(box(0, 0, 40, 30), 0))
	inner, err := Offset(pocket, -3, tol)
	inner = must(t, inner, err)
	reached, err := Offset(inner, 3, tol)
	reached = must(t, reached, err)
	assert.InDelta(t, 0.8584*9, pocket.Area()-reached.Area(), 1e-3)
}

func TestBulgeValues(t *testing.T) {
	// DXF reference, LWPOLYLINE group 42: the tangent of a quarter of the included angle, negative
	// when clockwise. The values are derived from it: 60°, 90°, 120°, 180°, 270°.
	for bulge, degrees := range map[float64]float64{
		0.267949: 60, 0.414214: 90, 0.577350: 120, 1: 180, -1: -180, -0.414214: -90, 1 + math.Sqrt2: 270,
	} {
		const chord = 2.0
		s := Segment{Point{}, Point{X: chord}, bulge}
		assert.InDelta(t, degrees*math.Pi/180, s.Sweep(), 2e-6)
		assert.InDelta(t, chord*(1+bulge*bulge)/(4*math.Abs(bulge)), s.Radius(), 1e-12)
		middle := s.At(0.5).Sub(Point{X: chord / 2})
		assert.InDelta(t, math.Abs(bulge)*chord/2, middle.Norm(), 1e-12, "sagitta")
		assert.InDelta(t, math.Abs(s.Sweep())*s.Radius(), s.Length(), 1e-12)
		assert.InDelta(t, s.Radius(), s.Center().DistanceTo(s.A), 1e-12)
		assert.InDelta(t, 1/s.Radius(), math.Abs(s.curvature()), 1e-12)
		assert.Positive(t, -s.Sweep()*s.At(0.5).Y, "left of travel is the centre's side")
	}
	half := Segment{Point{0, -1}, Point{0, 1}, 1}
	assert.InDelta(t, 1, half.At(0.5).X, 1e-15)
	assert.Equal(t, Box{Point{0, -1}, Point{1, 1}}, half.Bounds())
}

func TestGCodeArc(t *testing.T) {
	// NISTIR 6556 3.5.3.2: from X7 Y7, "G17 G2 x10 y16 i3 j4 z9" is a clockwise arc about (10, 11) with
	// radius 5. Its angle, from 3-4-5 triangles: 90° + atan(4/3).
	sweep := -(math.Pi/2 + math.Atan(4.0/3))
	s := Segment{Point{7, 7}, Point{10, 16}, math.Tan(sweep / 4)}
	assert.InDelta(t, 0, s.Center().DistanceTo(Point{10, 11}), 1e-14)
	assert.InDelta(t, 5, s.Radius(), 1e-14)
	assert.InDelta(t, sweep, s.Sweep(), 1e-15)
	assert.InDelta(t, -5*sweep, s.Length(), 1e-13)
	assert.InDelta(t, 5, s.At(0.5).DistanceTo(Point{10, 11}), 1e-14)
}
