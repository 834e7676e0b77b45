package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// distanceFrom is that of a point from a path, by all its segments.
func (p Path) distanceFrom(q Point) float64 {
	least := math.Inf(1)
	for s := range p.Segments() {
		near, _ := s.Nearest(q)
		least = math.Min(least, near.DistanceTo(q))
	}
	return least
}

// assertFollows samples the curve, at(0..1), and the path, each against the other.
func assertFollows(t require.TestingT, p Path, tol float64, at func(float64) Point) {
	const n = 500
	worst := 0.0
	curve := make([]Point, n+1)
	for i := range curve {
		curve[i] = at(float64(i) / n)
		worst = math.Max(worst, p.distanceFrom(curve[i]))
	}
	assert.LessOrEqual(t, worst, tol*(1+1e-6)+1e-9)
	back, step := 0.0, 0.0
	for i := 1; i <= n; i++ {
		step = math.Max(step, curve[i].DistanceTo(curve[i-1]))
	}
	vertices := p.Vertices()
	for i := 0; i+1 < len(vertices); i += 1 + len(vertices)/50 {
		s := Segment{vertices[i].Point, vertices[i+1].Point, vertices[i].Bulge}
		for _, u := range []float64{0.2, 0.5, 0.8} {
			least := math.Inf(1)
			for _, q := range curve {
				least = math.Min(least, q.DistanceTo(s.At(u)))
			}
			back = math.Max(back, least)
		}
	}
	assert.LessOrEqual(t, back, tol+step)
}

func TestFitEllipse(t *testing.T) {
	center, major := Point{3, 4}, Point{20, 10}
	for _, ratio := range []float64{1, 0.5, 0.1, 0.01, 2} {
		for _, tol := range []float64{0.1, 1e-3, 1e-6} {
			p, err := FitEllipse(center, major, ratio, 0, 2*math.Pi, tol)
			require.NoError(t, err)
			minor := major.Left().Scale(ratio)
			assertFollows(t, p, tol, func(u float64) Point {
				sin, cos := math.Sincos(2 * math.Pi * u)
				return center.Add(major.Scale(cos)).Add(minor.Scale(sin))
			})
			v := p.Vertices()
			assert.Equal(t, v[0].Point, v[len(v)-1].Point)
			c := Contour{v[:len(v)-1]}
			// Area of an ellipse: π a b.
			assert.InDelta(t, math.Pi*500*ratio, c.Area(), tol*c.Length())
		}
	}
	circle, err := FitEllipse(center, major, 1, 0, 2*math.Pi, 1e-9)
	require.NoError(t, err)
	assert.LessOrEqual(t, len(circle.Vertices()), 4, "a circle is two or three arcs")
	// The error of an arc falls with the cube of its length: a thousandth of the
	// tolerance takes ten times the segments.
	coarse, _ := FitEllipse(center, major, 0.5, 0, 2*math.Pi, 1e-2)
	fine, _ := FitEllipse(center, major, 0.5, 0, 2*math.Pi, 1e-5)
	assert.InDelta(t, 10, float64(len(fine.vertices))/float64(len(coarse.vertices)), 3)
	_, err = FitEllipse(center, major, 0, 0, 1, 1e-3)
	assert.Error(t, err)
	_, err = FitEllipse(center, major, 1, 0, math.NaN(), 1e-3)
	assert.Error(t, err)
	_, err = FitEllipse(center, major, 0.5, 0, 1, 1e-13)
	assert.Error(t, err)
}

func TestFitBezier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		control := make([]Point, rapid.IntRange(2, 5).Draw(t, "n"))
		c := number(-50, 50)
		for i := range control {
			control[i] = Point{c.Draw(t, "x"), c.Draw(t, "y")}
		}
		tol := math.Pow(10, number(-4, 0).Draw(t, "log tol"))
		p, err := FitBezier(tol, control...)
		require.NoError(t, err)
		r := make(rational, len(control))
		for i, q := range control {
			r[i] = weightedPoint{q.X, q.Y, 1}
		}
		assertFollows(t, p, tol, r.at)
	})
	_, err := FitBezier(1e-3, Point{})
	assert.Error(t, err)
	p, err := FitBezier(1e-3, Point{}, Point{})
	require.NoError(t, err)
	assert.Zero(t, p.Length())
}

func TestFitSpline(t *testing.T) {
	// A clamped cubic with no inner knots is the Bézier curve of the same points.
	control := []Point{{0, 0}, {10, 20}, {30, -20}, {40, 5}}
	p, err := FitSpline(3, []float64{0, 0, 0, 0, 1, 1, 1, 1}, control, nil, 1e-3)
	require.NoError(t, err)
	q, err := FitBezier(1e-3, control...)
	require.NoError(t, err)
	assert.Equal(t, q, p)
	// A quarter circle as NURBS: weights 1, √½, 1. It is one arc.
	p, err = FitSpline(2, []float64{0, 0, 0, 1, 1, 1}, []Point{{5, 0}, {5, 5}, {0, 5}}, []float64{1, math.Sqrt2 / 2, 1}, 1e-9)
	require.NoError(t, err)
	require.Len(t, p.vertices, 2)
	assert.InDelta(t, quarterBulge, p.vertices[0].Bulge, 1e-9)
	// A uniform cubic passes through (P0+4P1+P2)/6 at its knots.
	control = []Point{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}, {10, 0}, {10, 10}}
	p, err = FitSpline(3, []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, control, nil, 1e-4)
	require.NoError(t, err)
	for i := 1; i+1 < len(control); i++ {
		knot := control[i-1].Add(control[i].Scale(4)).Add(control[i+1]).Scale(1.0 / 6)
		assert.LessOrEqual(t, p.distanceFrom(knot), 1e-4)
	}
	for _, bad := range [][]float64{nil, {0, 1}, {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, {5, 4, 3, 3, 4, 5, 6, 7, 8, 9, 10}, {0, 1, 2, 3, math.NaN(), 5, 6, 7, 8, 9, 10}} {
		_, err = FitSpline(3, bad, control, nil, 1e-4)
		assert.Error(t, err)
	}
	_, err = FitSpline(0, nil, nil, nil, 1)
	assert.Error(t, err)
	_, err = FitSpline(2, []float64{0, 0, 0, 1, 1, 1}, []Point{{5, 0}, {5, 5}, {0, 5}}, []float64{1, 0, 1}, 1e-9)
	assert.Error(t, err)
}

// TestFitNearlyStraight has points on both sides of a line: the arc through the middle of
// what they ask for has a radius of 1e17 mm, and its square no digits for a tolerance.
func TestFitNearlyStraight(t *testing.T) {
	points := []Point{{0.8775825618903728, 0.479425538604203}, {1.719314860931711, 1.0193206550394074},
		{2.716843955337009, 1.0895752336442674}, {3.5585762543783472, 1.6294703500794718}}
	p, err := FitPoints(points, 0.125)
	require.NoError(t, err)
	for _, q := range points {
		assert.LessOrEqual(t, p.distanceFrom(q), 0.125)
	}
}

func TestFitPoints(t *testing.T) {
	// Points along a slot come back as the slot: two lines, two arcs.
	var points []Point
	for s := range Slot(Point{}, Point{30, 0}, 10).Segments() {
		for i := range 200 {
			points = append(points, s.At(float64(i)/200))
		}
	}
	points = append(points, points[0])
	p, err := FitPoints(points, 1e-3)
	require.NoError(t, err)
	assert.LessOrEqual(t, len(p.vertices), 6)
	assert.InDelta(t, Slot(Point{}, Point{30, 0}, 10).Area(), Contour{p.vertices[:len(p.vertices)-1]}.Area(), 0.1)

	rapid.Check(t, func(t *rapid.T) {
		points := make([]Point, rapid.IntRange(0, 60).Draw(t, "n"))
		at := Point{}
		heading := 0.0
		for i := range points {
			heading += number(-0.5, 0.5).Draw(t, "turn")
			sin, cos := math.Sincos(heading)
			at = at.Add(Point{cos, sin})
			points[i] = at
		}
		tol := number(1e-4, 0.3).Draw(t, "tol")
		p, err := FitPoints(points, tol)
		require.NoError(t, err)
		if len(points) > 1 {
			assertFollows(t, p, tol, func(u float64) Point {
				place := u * float64(len(points)-1)
				i := min(int(place), len(points)-2)
				return points[i].Add(points[i+1].Sub(points[i]).Scale(place - float64(i)))
			})
		}
	})
}
