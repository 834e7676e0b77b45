package geometry

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What must hold of every offset and boolean, each as a test that draws and as a
// fuzz target that go test -fuzz drives through the same draws.

func TestOffsetIsAtTheDistance(t *testing.T)   { rapid.Check(t, offsetIsAtTheDistance) }
func FuzzOffsetIsAtTheDistance(f *testing.F)   { f.Fuzz(rapid.MakeFuzz(offsetIsAtTheDistance)) }
func TestInThenOutIsContained(t *testing.T)    { rapid.Check(t, inThenOutIsContained) }
func FuzzInThenOutIsContained(f *testing.F)    { f.Fuzz(rapid.MakeFuzz(inThenOutIsContained)) }
func TestOffsetAreaIsMonotone(t *testing.T)    { rapid.Check(t, offsetAreaIsMonotone) }
func FuzzOffsetAreaIsMonotone(f *testing.F)    { f.Fuzz(rapid.MakeFuzz(offsetAreaIsMonotone)) }
func TestInclusionExclusion(t *testing.T)      { rapid.Check(t, inclusionExclusion) }
func FuzzInclusionExclusion(f *testing.F)      { f.Fuzz(rapid.MakeFuzz(inclusionExclusion)) }
func TestOffsetsAreInvariant(t *testing.T)     { rapid.Check(t, offsetsAreInvariant) }
func FuzzOffsetsAreInvariant(f *testing.F)     { f.Fuzz(rapid.MakeFuzz(offsetsAreInvariant)) }
func TestBooleansAreInvariant(t *testing.T)    { rapid.Check(t, booleansAreInvariant) }
func FuzzBooleansAreInvariant(f *testing.F)    { f.Fuzz(rapid.MakeFuzz(booleansAreInvariant)) }
func TestReversalIsTheComplement(t *testing.T) { rapid.Check(t, reversalIsTheComplement) }
func FuzzReversalIsTheComplement(f *testing.F) { f.Fuzz(rapid.MakeFuzz(reversalIsTheComplement)) }

// anyDistance draws an offset, a whole number as often as not.
func anyDistance(t *rapid.T) float64 {
	d := number(0.01, 4).Draw(t, "d")
	if rapid.Bool().Draw(t, "whole") {
		return math.Ceil(d)
	}
	return d
}

// offsetIsAtTheDistance: no place of the boundary is nearer to the source than |d|,
// nor farther, to 1e-6 mm.
func offsetIsAtTheDistance(t *rapid.T) {
	r, d := anyRegion(t, 4), anyDistance(t)
	if rapid.Bool().Draw(t, "inward") {
		d = -d
	}
	got, err := Offset(r, d, 1e-7)
	require.NoError(t, err)
	for _, c := range got.contours {
		for s := range c.Segments() {
			for _, u := range []float64{0, 0.1, 0.25, 0.5, 0.75, 0.9} {
				assert.InDelta(t, math.Abs(d), r.distanceTo(s.At(u)), 1e-6)
			}
		}
	}
}

// inThenOutIsContained: opening loses, closing gains, and neither reaches across.
func inThenOutIsContained(t *rapid.T) {
	r, d := anyRegion(t, 4), anyDistance(t)
	slack := 1e-5 * (1 + r.Length())
	opening := offsets(t, r, -d, d)
	assert.LessOrEqual(t, lost(t, opening, r), slack, "opening is contained")
	closing := offsets(t, r, d, -d)
	assert.LessOrEqual(t, lost(t, r, closing), slack, "closing contains")
}

// offsets applies one offset after the other.
func offsets(t *rapid.T, r Region, distances ...float64) Region {
	for _, d := range distances {
		got, err := Offset(r, d, tol)
		r = must(t, got, err)
	}
	return r
}

// lost is the area of a that is not in b.
func lost(t *rapid.T, a, b Region) float64 {
	rest, err := Difference(a, b, tol)
	require.NoError(t, err)
	return rest.Area()
}

// offsetAreaIsMonotone: a greater offset has no less area, and contains a smaller one;
// Steiner's formula bounds what it gains.
func offsetAreaIsMonotone(t *rapid.T) {
	r := anyRegion(t, 4)
	d, e := number(-4, 4).Draw(t, "d"), number(-4, 4).Draw(t, "e")
	d, e = min(d, e), max(d, e)
	small, large := offsets(t, r, d), offsets(t, r, e)
	slack := 1e-5 * (1 + r.Length())
	assert.LessOrEqual(t, small.Area(), large.Area()+slack)
	assert.LessOrEqual(t, lost(t, small, large), slack)
	if e > 0 {
		steiner := r.Area() + e*r.Length() + e*e*math.Pi*float64(len(r.contours))
		assert.LessOrEqual(t, large.Area(), steiner+slack)
	}
}

func inclusionExclusion(t *rapid.T) {
	a, b := anyRegion(t, 3), anyRegion(t, 3)
	three := booleans(t, a, b, tol)
	slack := 2 * tol * (a.Length() + b.Length())
	union, both, less := three[0].Area(), three[1].Area(), three[2].Area()
	assert.InDelta(t, a.Area()+b.Area(), union+both, slack)
	assert.InDelta(t, a.Area(), both+less, slack)
}

// booleans is union, intersection and difference.
func booleans(t *rapid.T, a, b Region, tol float64) [3]Region {
	var three [3]Region
	var errs [3]error
	three[0], errs[0] = Union(tol, a, b)
	three[1], errs[1] = intersection(a, b, tol)
	three[2], errs[2] = Difference(a, b, tol)
	for i, err := range errs {
		require.NoError(t, err)
		require.NoError(t, three[i].Validate(tol))
	}
	return three
}

// similarity is a motion with its factor of length.
type similarity struct {
	name   string
	t      motion
	factor float64
}

func similarities() []similarity {
	list := []similarity{
		{"three times as large", motion{Scale(3, Point{1, -2}), false}, 3},
		{"a quarter as large", motion{Scale(0.25, Point{}), true}, 0.25},
	}
	for name, t := range symmetries() {
		list = append(list, similarity{name, t, 1})
	}
	return list
}

// otherwiseWritten is the same region with its contours in the opposite order, each from
// another vertex.
func otherwiseWritten(r Region, start int) Region {
	n := len(r.contours)
	contours := make([]Contour, n)
	for i, c := range r.contours {
		contours[n-1-i] = c.StartAt(start)
	}
	return Region{contours}
}

// assertSame compares by what is in one and not in the other.
func assertSame(t *rapid.T, want, got Region, tol float64, what string) {
	slack := 20 * tol * (1 + want.Length())
	assert.InDelta(t, want.Area(), got.Area(), slack, what)
	over, err := Difference(got, want, tol)
	require.NoError(t, err, what)
	under, err := Difference(want, got, tol)
	require.NoError(t, err, what)
	assert.LessOrEqual(t, over.Area()+under.Area(), slack, what)
}

// offsetsAreInvariant under start vertex, order, mirror, rotation, translation, scale.
func offsetsAreInvariant(t *rapid.T) {
	r, d := anyRegion(t, 3), anyDistance(t)
	if rapid.Bool().Draw(t, "inward") {
		d = -d
	}
	want := offsets(t, r, d)
	for _, s := range similarities() {
		got, err := Offset(s.t.region(r), d*s.factor, tol*s.factor)
		require.NoError(t, err, s.name)
		assertSame(t, s.t.region(want), got, tol*s.factor, s.name)
	}
	for start := range 3 {
		assertSame(t, want, offsets(t, otherwiseWritten(r, start), d), tol, "otherwise written")
	}
}

// booleansAreInvariant likewise.
func booleansAreInvariant(t *rapid.T) {
	a, b := anyRegion(t, 3), anyRegion(t, 3)
	want := booleans(t, a, b, tol)
	for _, s := range similarities() {
		for i, got := range booleans(t, s.t.region(a), s.t.region(b), tol*s.factor) {
			assertSame(t, s.t.region(want[i]), got, tol*s.factor, s.name)
		}
	}
	for i, got := range booleans(t, otherwiseWritten(a, 1), otherwiseWritten(b, 2), tol) {
		assertSame(t, want[i], got, tol, "otherwise written")
	}
}

// reversalIsTheComplement: contours that all run the other way, in a frame, bound what is
// left of the frame. Shrinking it is growing them, and what one boolean does to regions
// another does to their complements (De Morgan).
func reversalIsTheComplement(t *rapid.T) {
	a, b, d := anyRegion(t, 3), anyRegion(t, 3), anyDistance(t)
	frame := Rectangle(box(-40, -40, 80, 80), 0)
	complement := func(r Region) Region {
		contours := []Contour{frame}
		for _, c := range r.contours {
			contours = append(contours, c.Reverse())
		}
		return Region{contours}
	}
	require.NoError(t, complement(a).Validate(tol))
	inset := NewRegion(Rectangle(box(-40, -40, 80, 80).Grow(-d), 0))
	grown, err := Difference(inset, offsets(t, a, d), tol)
	require.NoError(t, err)
	assertSame(t, grown, offsets(t, complement(a), -d), tol, "offset")
	want := booleans(t, a, b, tol)
	got := booleans(t, complement(a), complement(b), tol)
	assertSame(t, complement(want[1]), got[0], tol, "union")
	assertSame(t, complement(want[0]), got[1], tol, "intersection")
	less, err := Difference(b, a, tol)
	require.NoError(t, err)
	assertSame(t, less, got[2], tol, "difference")
	for _, c := range a.contours {
		assert.InDelta(t, -c.Area(), c.Reverse().Area(), 1e-9)
		assert.InDelta(t, c.Length(), c.Reverse().Length(), 1e-9)
		p := Point{number(-10, 10).Draw(t, "x"), number(-10, 10).Draw(t, "y")}
		if a.distanceTo(p) > tol {
			assert.Equal(t, -c.Winding(p), c.Reverse().Winding(p))
		}
		d, _, _ := Distance(c, frame)
		back, _, _ := Distance(c.Reverse(), frame.Reverse())
		assert.InDelta(t, d, back, 1e-9)
	}
}
