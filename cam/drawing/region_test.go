package drawing

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/geometry"
)

func line(x0, y0, x1, y1 float64) Piece {
	return Piece{Curves: []Curve{segment{A: pt(x0, y0), B: pt(x1, y1)}}}
}

func circle(x, y, r float64) Piece {
	return Piece{Curves: []Curve{arc{Center: pt(x, y), U: pt(r, 0), V: pt(0, r), To: 2 * math.Pi}}, Closed: true}
}

func polygon(xy ...float64) Piece {
	p := Piece{Closed: true}
	for i := 0; i+3 < len(xy); i += 2 {
		p.Curves = append(p.Curves, segment{A: pt(xy[i], xy[i+1]), B: pt(xy[i+2], xy[i+3])})
	}
	return p
}

var usual = Tolerance{FitMM: 0.005, GapMM: 0.01}

func TestRegion(t *testing.T) {
	cases := []struct {
		name     string
		pieces   []Piece
		contours int
		area     float64
	}{
		{"square", []Piece{polygon(0, 0, 10, 0, 10, 10, 0, 10)}, 1, 100},
		{"square drawn clockwise", []Piece{polygon(0, 0, 0, 10, 10, 10, 10, 0)}, 1, 100},
		{"circle", []Piece{circle(0, 0, 2)}, 1, 4 * math.Pi},
		{"four lines in disorder", []Piece{line(0, 0, 10, 0), line(10, 10, 0, 10), line(10, 0, 10, 10), line(0, 0, 0, 10)}, 1, 100},
		{"lines with small gaps", []Piece{line(0, 0, 10, 0), line(10.005, 0, 10, 10), line(10, 10.005, 0, 10), line(0, 10, 0, 0.005)}, 1, 100.02},
		{"lines and arcs", []Piece{line(0, 0, 10, 0), {Curves: []Curve{segment{A: pt(10, 10), B: pt(10, 0), Bulge: -1}}}, line(10, 10, 0, 10), line(0, 10, 0, 0)}, 1, 100 + 12.5*math.Pi},
		{"an arc and its chord", []Piece{{Curves: []Curve{arc{U: pt(2, 0), V: pt(0, 2), To: math.Pi}}}, line(-2, 0, 2, 0)}, 1, 2 * math.Pi},
		{"a hole", []Piece{circle(0, 0, 1), polygon(-5, -5, 5, -5, 5, 5, -5, 5)}, 2, 100 - math.Pi},
		{"an island in a hole", []Piece{circle(0, 0, 3), circle(0, 0, 2), circle(0, 0, 1)}, 3, 6 * math.Pi},
		{"two side by side", []Piece{circle(0, 0, 1), circle(5, 0, 1)}, 2, 2 * math.Pi},
		{"a piece shorter than the gap", []Piece{line(0, 0, 10, 0), line(10, 0, 10, 0.008), line(10, 0.008, 10, 10), line(10, 10, 0, 0)}, 1, 50},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r, err := Region(context.Background(), c.pieces, usual)
			require.NoError(t, err)
			assert.Len(t, r.Contours(), c.contours)
			assert.InDelta(t, c.area, r.Area(), 0.15*c.area*usual.GapMM)
			assert.NoError(t, r.Validate(samePointMM))
		})
	}
}

func TestRegionRefuses(t *testing.T) {
	at := func(line int, p Piece) Piece { p.Line = line; return p }
	cases := []struct {
		name, want string
		pieces     []Piece
	}{
		{"nothing", "the drawing has no outline", nil},
		{"points", "the drawing has no outline", []Piece{line(1, 1, 1, 1)}},
		{"open", "line 7: the outline does not close at X 10.000 Y 10.000 mm, the nearest other end is 14.1 mm away", []Piece{line(0, 0, 10, 0), at(7, line(10, 0, 10, 10))}},
		{"wide gap", "does not close at X 0.000 Y 0.020 mm, the nearest other end is 0.02 mm away", []Piece{line(0, 0, 10, 0), line(10, 0, 10, 10), line(10, 10, 0, 0.02)}},
		{"a branch", "the outline does not close", []Piece{line(0, 0, 10, 0), line(10, 0, 10, 10), line(10, 0, 20, 0)}},
		{"crossing", "the contours cross, touch or are drawn twice", []Piece{circle(0, 0, 2), circle(3, 0, 2)}},
		{"twice", "the contours cross, touch or are drawn twice", []Piece{circle(0, 0, 2), circle(0, 0, 2)}},
		{"bow tie", "the contour at X 5.000 Y 5.000 mm encloses nothing", []Piece{polygon(0, 0, 10, 10, 10, 0, 0, 10)}},
		{"far away", "a coordinate is beyond 100000 mm", []Piece{circle(1e6, 0, 2)}},
		{"too many", "the drawing has 5001 contours, more than 5000", slices.Repeat([]Piece{circle(0, 0, 2)}, 5001)},
		{"there and back", "encloses nothing", []Piece{polygon(0, 0, 10, 0)}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := Region(context.Background(), c.pieces, usual)
			wantFault(t, err, c.want)
			var list finding.List
			require.ErrorAs(t, err, &list)
			assert.Equal(t, strings.HasPrefix(c.want, "line "), list[0].Line > 0, "a fault of the whole is at no line")
		})
	}
}

// A contour cut into pieces, the pieces shuffled and some turned round, is the
// same contour.
func TestPiecesInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := geometry.Rectangle(geometry.Box{Max: pt(40, 20)}, 5)
		var pieces []Piece
		for s := range whole.Segments() {
			if rapid.Bool().Draw(t, "turned") {
				s = geometry.Segment{A: s.B, B: s.A, Bulge: -s.Bulge}
			}
			pieces = append(pieces, Piece{Curves: []Curve{segment(s)}})
		}
		r, err := Region(context.Background(), rapid.Permutation(pieces).Draw(t, "order"), usual)
		require.NoError(t, err)
		require.Len(t, r.Contours(), 1)
		assert.InDelta(t, whole.Area(), r.Area(), 1e-9)
		assert.InDelta(t, whole.Length(), r.Length(), 1e-9)
	})
}

func TestAffine(t *testing.T) {
	turn := Affine{A: 0, B: 1, C: -1, D: 0}
	move := Affine{A: 1, D: 1, E: 5, F: 6}
	assert.Equal(t, pt(3, 7), move.of(turn).apply(pt(1, 2)))
	assert.Equal(t, pt(-8, 6), turn.of(move).apply(pt(1, 2)))
	assert.Equal(t, pt(1, 2), identity().apply(pt(1, 2)))
}

// Every kind of curve has its image where the image of its points is.
func TestMapKeepsEnds(t *testing.T) {
	coefficient := rapid.Float64Range(-3, 3)
	rapid.Check(t, func(t *rapid.T) {
		m := Affine{coefficient.Draw(t, "a"), coefficient.Draw(t, "b"), coefficient.Draw(t, "c"), coefficient.Draw(t, "d"), coefficient.Draw(t, "e"), coefficient.Draw(t, "f")}
		for _, c := range curves() {
			a, b := c.ends()
			ma, mb := c.mapped(m).ends()
			assert.Less(t, m.apply(a).DistanceTo(ma), 1e-9)
			assert.Less(t, m.apply(b).DistanceTo(mb), 1e-9)
		}
	})
}

// curves has one of each kind.
func curves() []Curve {
	return []Curve{
		segment{A: pt(0, 0), B: pt(3, 1)},
		segment{A: pt(0, 0), B: pt(3, 1), Bulge: 0.5},
		segment{A: pt(0, 0), B: pt(3, 1), Bulge: -2},
		arc{Center: pt(1, 1), U: pt(2, 0), V: pt(0, 1), From: 0.3, To: 4},
		bezier{pt(0, 0), pt(1, 2), pt(3, 2), pt(4, 0)},
		spline{Degree: 2, Knots: []float64{0, 0, 0, 1, 2, 2, 2}, Control: []geometry.Point{pt(0, 0), pt(1, 2), pt(3, 2), pt(4, 0)}},
	}
}

func TestASimilarityKeepsArcs(t *testing.T) {
	s := segment{A: pt(1, 0), B: pt(0, 1), Bulge: math.Tan(math.Pi / 8)}
	assert.IsType(t, segment{}, s.mapped(Affine{A: 0.6, B: 0.8, C: -0.8, D: 0.6, E: 7}))
	assert.IsType(t, arc{}, s.mapped(Affine{A: 2, D: 1}))
	mirrored := s.mapped(Affine{A: -1, D: 1}).(segment)
	assert.Equal(t, -s.Bulge, mirrored.Bulge)
}

// A quarter circle as a rational quadratic spline with the weights 1, cos 45°, 1
// (common knowledge, from memory): all points are at distance 1.
func TestRationalSpline(t *testing.T) {
	s := spline{Degree: 2, Knots: []float64{0, 0, 0, 1, 1, 1}, Control: []geometry.Point{pt(1, 0), pt(1, 1), pt(0, 1)}, Weights: []float64{1, math.Sqrt2 / 2, 1}}
	require.NoError(t, s.validate())
	for i := range 11 {
		assert.InDelta(t, 1, s.at(float64(i)/10).Norm(), 1e-14)
	}
}

// Bernstein's form is the B-spline without inner knots.
func TestSplineWithoutInnerKnotsIsABezier(t *testing.T) {
	s := spline{Degree: 3, Knots: []float64{0, 0, 0, 0, 1, 1, 1, 1}, Control: []geometry.Point{pt(0, 0), pt(1, 2), pt(3, 2), pt(4, 0)}}
	assert.InDelta(t, 2, s.at(0.5).X, 1e-14)
	assert.InDelta(t, 1.5, s.at(0.5).Y, 1e-14)
}

func TestSplineValidate(t *testing.T) {
	good := spline{Degree: 1, Knots: []float64{0, 0, 1, 1}, Control: []geometry.Point{{}, {}}}
	require.NoError(t, good.validate())
	cases := []struct {
		want   string
		change func(*spline)
	}{
		{"has the degree 0", func(s *spline) { s.Degree = 0 }},
		{"has the degree 11", func(s *spline) { s.Degree = 11 }},
		{"has 1 control points for the degree 1", func(s *spline) { s.Control = s.Control[:1] }},
		{"has 3 knots, not 4", func(s *spline) { s.Knots = s.Knots[:3] }},
		{"has 1 weights for 2 control points", func(s *spline) { s.Weights = []float64{1} }},
		{"has the weight 0", func(s *spline) { s.Weights = []float64{1, 0} }},
		{"has a knot 0 behind 1", func(s *spline) { s.Knots = []float64{0, 1, 0, 1} }},
		{"has a knot NaN behind 0", func(s *spline) { s.Knots = []float64{0, 0, math.NaN(), 1} }},
		{"has an empty range of knots", func(s *spline) { s.Knots = []float64{0, 1, 1, 2} }},
	}
	for _, c := range cases {
		s := good
		c.change(&s)
		assert.EqualError(t, s.validate(), c.want)
	}
	assert.Error(t, spline{}.validate())
}

// A run that is stopped reads nothing.
func TestReadingStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	dxf := drawn(strings.TrimSuffix(strings.Repeat("0 LINE, 11 1, ", 2000), ", "))
	svg := onPage(strings.Repeat("<path/>", 2000))
	_, err := readDXF(ctx, []byte(dxf))
	assert.ErrorIs(t, err, context.Canceled)
	_, err = readSVG(ctx, []byte(svg))
	assert.ErrorIs(t, err, context.Canceled)
	_, err = Region(ctx, []Piece{circle(0, 0, 2)}, usual)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = readDXF(context.Background(), []byte(dxf))
	assert.NoError(t, err)
	_, err = readSVG(context.Background(), []byte(svg))
	assert.NoError(t, err)
}

// Every curve's lines and arcs begin and end where it does and stay within the
// tolerance, which is checked at points of the curve. Whole ellipses, skewed and
// mirrored ones and both directions included.
func TestCurvesAreFollowed(t *testing.T) {
	const fit = 0.002 // mm
	coefficient := rapid.Float64Range(-3, 3)
	rapid.Check(t, func(t *rapid.T) {
		a := arc{Center: pt(3, 4), U: pt(coefficient.Draw(t, "ux"), coefficient.Draw(t, "uy")), V: pt(coefficient.Draw(t, "vx"), coefficient.Draw(t, "vy"))}
		a.From = coefficient.Draw(t, "from")
		a.To = a.From + rapid.SampledFrom([]float64{2 * math.Pi, -2 * math.Pi, 4, -4, 0.5, -0.5}).Draw(t, "sweep")
		if math.Abs(a.U.Cross(a.V)) < 0.5 {
			t.Skip("nearly flat")
		}
		segments, err := segmentsOf(a, fit)
		require.NoError(t, err)
		begin, end := a.ends()
		if math.Abs(a.To-a.From) < 6 {
			assert.Less(t, segments[0].A.DistanceTo(begin), 1e-9)
			assert.Less(t, segments[len(segments)-1].B.DistanceTo(end), 1e-9)
		}
		area := 0.0
		for _, s := range segments {
			area += s.A.Sub(a.Center).Cross(s.B.Sub(a.Center))
			if s.IsArc() { // a circle is two half arcs, whose chords enclose nothing
				area += s.Radius() * s.Radius() * (s.Sweep() - math.Sin(s.Sweep()))
			}
		}
		assert.Equal(t, (a.To > a.From) == (a.U.Cross(a.V) > 0), area > 0, "the direction is kept")
		for i := range 50 {
			assert.LessOrEqual(t, offCurve(segments, a.at(a.From+(a.To-a.From)*float64(i)/49)), fit*1.001)
		}
	})
}

func offCurve(segments []geometry.Segment, p geometry.Point) float64 {
	d := math.Inf(1)
	for _, s := range segments {
		q, _ := s.Nearest(p)
		d = min(d, q.DistanceTo(p))
	}
	return d
}

// Areas that are known: an ellipse pi a b; and a parabola's segment two thirds
// of its box (Archimedes).
func TestCurvedRegions(t *testing.T) {
	ellipse := Piece{Closed: true, Curves: []Curve{arc{U: pt(20, 0), V: pt(0, 10), To: 2 * math.Pi}}}
	parabola := bezier{pt(0, 0), pt(10, 20), pt(20, 20), pt(30, 0)} // the quadratic with the middle point 15, 30
	curve := spline{Degree: 2, Knots: []float64{0, 0, 0, 1, 1, 1}, Control: []geometry.Point{pt(0, 0), pt(15, 30), pt(30, 0)}}
	quarter := spline{Degree: 2, Knots: []float64{0, 0, 0, 1, 1, 1}, Control: []geometry.Point{pt(1, 0), pt(1, 1), pt(0, 1)}, Weights: []float64{1, math.Sqrt2 / 2, 1}}
	cases := []struct {
		name   string
		pieces []Piece
		area   float64
	}{
		{"ellipse", []Piece{ellipse}, 200 * math.Pi},
		{"ellipse, skewed", []Piece{ellipse.mapped(Affine{A: 1, C: 0.7, D: 1})}, 200 * math.Pi},
		{"parabola", []Piece{{Curves: []Curve{parabola}}, line(0, 0, 30, 0)}, 2.0 / 3 * 30 * 15},
		{"the same as a spline", []Piece{{Curves: []Curve{curve}}, line(30, 0, 0, 0)}, 2.0 / 3 * 30 * 15},
		{"rational quarter circle", []Piece{{Curves: []Curve{quarter}}, line(0, 0, 1, 0), line(0, 1, 0, 0)}, math.Pi / 4},
	}
	for _, c := range cases {
		r, err := Region(context.Background(), c.pieces, Tolerance{FitMM: 1e-4, GapMM: 1e-3})
		require.NoError(t, err, c.name)
		assert.InDelta(t, c.area, r.Area(), 1e-4*r.Length(), c.name)
	}
}

func TestUnfollowableCurves(t *testing.T) {
	flat := Piece{Line: 4, Closed: true, Curves: []Curve{arc{U: pt(2, 0), V: pt(1, 0), To: 2 * math.Pi}}}
	_, err := Region(context.Background(), []Piece{flat}, usual)
	wantFault(t, err, "encloses nothing")
	far := Piece{Line: 4, Closed: true, Curves: []Curve{bezier{pt(0, 0), pt(1e12, 0), pt(0, 1e12), pt(1, 1)}}}
	_, err = Region(context.Background(), []Piece{far}, usual)
	wantFault(t, err, "line 4: a coordinate is beyond 100000 mm")
	_, err = Region(context.Background(), []Piece{{Line: 4, Curves: []Curve{bezier{pt(0, 0), pt(1, 0), pt(0, 1), pt(1, 1)}}}}, Tolerance{GapMM: 0.01})
	wantFault(t, err, "line 4: the curve cannot be followed")
	_, err = Region(context.Background(), slices.Repeat([]Piece{polygon(0, 0, 9, 0, 9, 9)}, mostSegments/3+1), usual)
	wantFault(t, err, "the drawing comes to more than 200000 lines and arcs")
}
