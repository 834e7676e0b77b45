package geometry

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// awkward are regions that should never stop anything: the first row is valid, the
// second is not.
func awkward() (valid, invalid map[string]Region) {
	nan, inf := math.NaN(), math.Inf(1)
	square := Rectangle(box(0, 0, 10, 10), 0)
	valid = map[string]Region{
		"zero value":       {},
		"square":           NewRegion(square),
		"disc":             NewRegion(Circle(Point{}, 5)),
		"three quarters":   NewRegion(NewContour(Vertex{Point{5, 0}, 1 + math.Sqrt2}, Vertex{Point{0, -5}, 0})),
		"hair":             NewRegion(Rectangle(box(0, 0, 1e-5, 1000), 0)),
		"speck":            NewRegion(Circle(Point{1, 1}, 1e-5)),
		"touching corners": NewRegion(square, Rectangle(box(10, 10, 5, 5), 0)),
		"touching discs":   NewRegion(Circle(Point{}, 5), Circle(Point{10, 0}, 5)),
		"touching hole":    NewRegion(square, Circle(Point{5, 3}, 3).Reverse()),
		"crescent":         NewRegion(Circle(Point{}, 5), Circle(Point{2, 0}, 3).Reverse()),
		"nested":           NewRegion(Circle(Point{}, 9), Circle(Point{}, 7).Reverse(), Circle(Point{}, 5), Circle(Point{}, 3).Reverse()),
		"far away":         NewRegion(Circle(Point{1e4, -1e4}, 5)),
		"needle":           NewRegion(Polygon(Point{0, 0}, Point{100, 0}, Point{0, 0.001})),
		"cusp":             NewRegion(NewContour(Vertex{Point{0, 0}, -quarterBulge}, Vertex{Point{5, 5}, 0}, Vertex{Point{0, 5}, 0})),
		"nearly straight":  NewRegion(NewContour(Vertex{Point{0, 0}, 1e-12}, Vertex{Point{10, 0}, -1e-9}, Vertex{Point{10, 10}, 1e-300}, Vertex{Point{0, 10}, 1e-7})),
	}
	invalid = map[string]Region{
		"empty contour": NewRegion(Contour{}),
		"one vertex":    NewRegion(Polygon(Point{1, 2})),
		"two points":    NewRegion(Polygon(Point{1, 2}, Point{3, 4})),
		"one place":     NewRegion(Polygon(Point{1, 2}, Point{1, 2}, Point{1, 2})),
		"bow tie":       NewRegion(Polygon(Point{0, 0}, Point{10, 10}, Point{10, 0}, Point{0, 10})),
		"clockwise":     NewRegion(square.Reverse()),
		"overlapping":   NewRegion(square, Rectangle(box(5, 5, 10, 10), 0)),
		"twice":         NewRegion(square, square),
		"repeated":      NewRegion(Polygon(Point{0, 0}, Point{0, 0}, Point{5, 0}, Point{5, 5})),
		"there & back":  NewRegion(Polygon(Point{0, 0}, Point{5, 0}, Point{9, 0}, Point{5, 0}, Point{5, 5})),
		"full turn":     NewRegion(NewContour(Vertex{Point{0, 0}, 1e9}, Vertex{Point{1e-9, 0}, 0})),
		"not a number":  NewRegion(Polygon(Point{0, 0}, Point{nan, 0}, Point{0, 5})),
		"infinite":      NewRegion(Polygon(Point{0, 0}, Point{inf, 0}, Point{0, 5})),
		"huge":          NewRegion(Polygon(Point{0, 0}, Point{1e308, 0}, Point{0, 1e308})),
		"bulge nan":     NewRegion(NewContour(Vertex{Point{0, 0}, nan}, Vertex{Point{5, 5}, 1})),
		"bulge inf":     NewRegion(NewContour(Vertex{Point{0, 0}, inf}, Vertex{Point{5, 5}, 1})),
	}
	return valid, invalid
}

func TestAwkwardShapesThroughEverything(t *testing.T) {
	valid, invalid := awkward()
	for name, r := range valid {
		assert.NoError(t, r.Validate(tol), name)
		throughEverything(t, name, r, true)
	}
	for name, r := range invalid {
		err := r.Validate(tol)
		var fault *Fault
		if assert.ErrorAs(t, err, &fault, name) {
			assert.NotEmpty(t, fault.Rule, name)
			assert.Contains(t, fault.Error(), "mm", name)
		}
		throughEverything(t, name, r, false)
	}
}

// throughEverything asks only that nothing panics or hangs, that errors are faults,
// and that what comes out is valid.
func throughEverything(t *testing.T, name string, r Region, valid bool) {
	check := func(what string, got Region, err error) {
		var fault *Fault
		if err != nil {
			assert.False(t, valid, "%s %s: %v", name, what, err)
			assert.True(t, errors.As(err, &fault), "%s %s", name, what)
			return
		}
		assert.NoError(t, got.Validate(tol), "%s %s", name, what)
	}
	for _, d := range []float64{0, 1e-9, 0.5, -0.5, 3, -3, 50, math.NaN(), math.Inf(-1)} {
		got, err := Offset(r, d, tol)
		sharp, sharpErr := OffsetSharp(r, d, 4, tol)
		if math.IsNaN(d) || math.IsInf(d, 0) {
			assert.Error(t, err, name)
			assert.Error(t, sharpErr, name)
			continue
		}
		if valid || d == 0 {
			check(fmt.Sprintf("offset %g", d), got, err)
			check(fmt.Sprintf("sharp offset %g", d), sharp, sharpErr)
		}
	}
	other := NewRegion(Rectangle(box(3, 3, 10, 10), 2))
	got, err := Union(tol, r, other)
	check("union", got, err)
	got, err = intersection(r, other, tol)
	check("intersection", got, err)
	got, err = Difference(r, other, tol)
	check("difference", got, err)
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err = Union(bad, r)
		assert.Error(t, err, name)
		assert.Error(t, r.Validate(bad), name)
	}
	r.Bounds()
	r.Area()
	r.Length()
	r.Pieces()
	r.Contains(Point{1, 1})
	r.Transform(Rotate(2, Point{}))
	Gaps(append(r.Contours(), other.Contours()...), 5)
	for _, c := range r.Contours() {
		Distance(c, other.contours[0])
		Distance(other.contours[0], c)
		c.StartAt(-3).Reverse()
		for s := range c.Segments() {
			s.Nearest(Point{1, 2})
			intersect(s, Segment{Point{}, Point{10, 10}, 1}, tol)
		}
		p := NewPath(c.Vertices()...)
		p.Bounds()
		Chain(0.1, p)
		points := []Point{}
		for _, v := range p.Vertices() {
			points = append(points, v.Point)
		}
		_, _ = FitPoints(points, 0.01)
	}
	assert.Error(t, checkOffset(other, -1, other, tol), "the check is awake")
}

func TestNothingIsShared(t *testing.T) {
	vertices := []Vertex{{Point{0, 0}, 0}, {Point{5, 0}, 0}, {Point{5, 5}, 0}}
	c := NewContour(vertices...)
	contours := []Contour{c}
	r := NewRegion(contours...)
	vertices[0].X, contours[0] = 99, Contour{}
	c.Vertices()[1].X = 99
	r.Contours()[0] = Contour{}
	assert.InDelta(t, 12.5, r.Area(), 0)
	assert.InDelta(t, 12.5, c.Area(), 0)
	moved := c.StartAt(1)
	moved.Vertices()[0].X = 99
	assert.InDelta(t, 12.5, c.Area(), 0)
}

// TestBooleansAgainstSimpleFeatures compares with an overlay that shares nothing with ours.
func TestBooleansAgainstSimpleFeatures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyPolygons(t), anyPolygons(t)
		ga, gb := simple(t, a), simple(t, b)
		theirs := map[string]geom.Geometry{}
		for name, op := range map[string]func(geom.Geometry, geom.Geometry) (geom.Geometry, error){
			"union": geom.Union, "intersection": geom.Intersection, "difference": geom.Difference,
		} {
			got, err := op(ga, gb)
			if err != nil {
				return // it gives up now and then
			}
			theirs[name] = got
		}
		// Now and then it loses a part; then its own areas do not add up.
		if math.Abs(theirs["union"].Area()+theirs["intersection"].Area()-ga.Area()-gb.Area()) > 1e-6 ||
			math.Abs(theirs["difference"].Area()+theirs["intersection"].Area()-ga.Area()) > 1e-6 {
			return
		}
		ours := map[string]Region{}
		var err error
		ours["union"], err = Union(tol, a, b)
		require.NoError(t, err)
		ours["intersection"], err = intersection(a, b, tol)
		require.NoError(t, err)
		ours["difference"], err = Difference(a, b, tol)
		require.NoError(t, err)
		slack := 1e-5 * (1 + a.Length() + b.Length())
		for name, r := range ours {
			assert.NoError(t, r.Validate(tol), name)
			assert.InDelta(t, theirs[name].Area(), r.Area(), slack, name)
		}
	})
}

// anyPolygons draws straight-sided regions, on a grid as often as not.
func anyPolygons(t *rapid.T) Region {
	var r Region
	grid := rapid.Bool().Draw(t, "grid")
	c := func() float64 {
		if grid {
			return float64(rapid.IntRange(0, 8).Draw(t, "c"))
		}
		return number(0, 8).Draw(t, "c")
	}
	for range rapid.IntRange(1, 3).Draw(t, "n") {
		tri := Polygon(Point{c(), c()}, Point{c(), c()}, Point{c(), c()})
		if tri.Area() < 0 {
			tri = tri.Reverse()
		}
		if tri.Area() < 0.5 {
			tri = Rectangle(box(c(), c(), 3, 2), 0)
		}
		u, err := Union(tol, r, NewRegion(tri))
		r = must(t, u, err)
	}
	return r
}

func simple(t require.TestingT, r Region) geom.Geometry {
	var polygons []geom.Polygon
	for _, piece := range r.Pieces() {
		var rings []geom.LineString
		for _, c := range piece.contours {
			var xy []float64
			for _, v := range append(c.Vertices(), c.vertices[0]) {
				xy = append(xy, v.X, v.Y)
			}
			rings = append(rings, geom.NewLineString(geom.NewSequence(xy, geom.DimXY)))
		}
		polygons = append(polygons, geom.NewPolygon(rings))
	}
	return geom.NewMultiPolygon(polygons).AsGeometry()
}

func FuzzOffset(f *testing.F) {
	f.Add(0.0, 0.0, 10.0, 0.0, 10.0, 10.0, 0.5, 1.0)
	f.Add(0.0, 0.0, 10.0, 0.0, 5.0, 1e-5, -0.9, -1.0)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, bulge, d float64) {
		r := NewRegion(NewContour(Vertex{Point{ax, ay}, bulge}, Vertex{Point{bx, by}, -bulge / 3}, Vertex{Point{cx, cy}, bulge / 2}))
		r, err := Union(tol, r)
		if err != nil || math.Abs(d) > 1000 {
			return
		}
		b := r.Bounds()
		if !r.Empty() && b.Width()+b.Height() > 1000 {
			return
		}
		require.NoError(t, r.Validate(tol))
		got, err := Offset(r, d, tol)
		require.NoError(t, err)
		require.NoError(t, got.Validate(tol))
		if d < 0 {
			require.LessOrEqual(t, got.Area(), r.Area()+tol*(1+r.Length()))
		} else {
			require.GreaterOrEqual(t, got.Area(), r.Area()-tol*(1+r.Length()))
		}
	})
}
