package trace

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

type pt = geometry.Point

// From the definition: a hull has its points among those given, turns left at each of
// them, and leaves none of the others on its right.
func TestHullByItsDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := make([]pt, rapid.IntRange(3, 30).Draw(t, "count"))
		for i := range points {
			points[i] = pt{X: float64(rapid.IntRange(0, 6).Draw(t, "x")), Y: float64(rapid.IntRange(0, 6).Draw(t, "y"))}
		}
		h := hull(points)
		for i, a := range h {
			b, c := h[(i+1)%len(h)], h[(i+2)%len(h)]
			require.Contains(t, points, a)
			if len(h) > 2 {
				require.Positive(t, b.Sub(a).Cross(c.Sub(b)))
				for _, p := range points {
					require.GreaterOrEqual(t, b.Sub(a).Cross(p.Sub(a)), 0.0)
				}
			}
		}
	})
	assert.Len(t, hull([]pt{{X: 1}, {X: 2}, {X: 3}}), 2, "of points on a line its ends")
	assert.Empty(t, hull(nil))
}

// Against every choice of four of the points, in their order.
func TestLargestQuadAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := make([]pt, rapid.IntRange(4, 14).Draw(t, "count"))
		for i := range points {
			points[i] = pt{X: rapid.Float64Range(0, 100).Draw(t, "x"), Y: rapid.Float64Range(0, 100).Draw(t, "y")}
		}
		h := hull(points)
		best := 0.0
		for a := range h {
			for b := a + 1; b < len(h); b++ {
				for c := b + 1; c < len(h); c++ {
					for d := c + 1; d < len(h); d++ {
						best = max(best, h[c].Sub(h[a]).Cross(h[d].Sub(h[b]))/2)
					}
				}
			}
		}
		quad, ok := largestQuad(h)
		require.Equal(t, best > 0, ok)
		if ok {
			require.InDelta(t, best, quadArea(quad), 1e-9)
		}
	})
	// Of many points it looks at some hundred, which are near enough.
	var round []pt
	for i := range 1000 {
		sin, cos := math.Sincos(float64(i) / 500 * math.Pi)
		round = append(round, pt{X: cos, Y: sin})
	}
	quad, ok := largestQuad(round)
	assert.True(t, ok)
	assert.InDelta(t, 2, quadArea(quad), 0.01, "a square in a circle has 2 r²")
}

// A rhombus of an angle has corners of that and of the rest to 180°, wherever it begins.
func TestConvexIsThirtyDegreesAndMore(t *testing.T) {
	for angle, want := range map[float64]bool{29: false, 31: true, 90: true, 149: true, 151: false} {
		sin, cos := math.Sincos(angle / 180 * math.Pi)
		for first := range 4 {
			// Sides of 4 and 3: a parallelogram, turned to begin anywhere.
			q := [4]pt{{}, {X: 4}, {X: 4 + 3*cos, Y: 3 * sin}, {X: 3 * cos, Y: 3 * sin}}
			slices.Reverse(q[:first])
			slices.Reverse(q[first:])
			slices.Reverse(q[:])
			assert.Equal(t, want, convex(q), "%g from %d", angle, first)
			assert.InDelta(t, 3, shortest(q), 1e-12)
			slices.Reverse(q[:])
			assert.False(t, convex(q), "clockwise")
		}
	}
	for k := range 4 {
		q := [4]pt{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}}
		q[k] = q[(k+2)%4].Scale(0.7).Add(q[k].Scale(0.3)) // pushed in past the diagonal
		assert.False(t, convex(q), "corner %d", k)
		short := [4]pt{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}}
		short[k] = short[(k+1)%4].Scale(0.8).Add(short[k].Scale(0.2))
		assert.InDelta(t, 2, shortest(short), 1e-12, "side %d", k)
	}
}

// rounded is a rectangle with round corners, a point each 0.8 along it, turned about its
// lower-left corner.
func rounded(width, height, radius, turn float64) (r ring, corners [4]pt) {
	tr := geometry.Rotate(turn, pt{}).Then(geometry.Translate(50, 20))
	for s := range geometry.Rectangle(geometry.Box{Max: pt{X: width, Y: height}}, radius).Segments() {
		n := int(s.Length()/0.8) + 1
		for i := range n {
			r = append(r, s.At(float64(i)/float64(n)).Transform(tr))
		}
	}
	for k, p := range []pt{{}, {X: width}, {X: width, Y: height}, {Y: height}} {
		corners[k] = p.Transform(tr)
	}
	return r, corners
}

// The sides' lines meet in the sharp corners, from wherever near them one begins, and
// with crumbs along the sides.
func TestSettleFindsSharpCorners(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, turn := range []float64{0, 0.3, 1.2, 2.9} {
		r, want := rounded(171.2, 107.96, 6.36, turn)
		for i := range r {
			if i%13 == 0 {
				r[i] = r[i].Add(pt{X: 1.5, Y: 1})
			}
		}
		q := want
		for k := range q {
			q[k] = q[k].Add(pt{X: random.Float64()*4 - 2, Y: random.Float64()*4 - 2})
		}
		got, ok := r.settle(q)
		require.True(t, ok)
		for k := range got {
			assert.InDelta(t, 0, got[k].DistanceTo(want[k]), 0.02, "corner %d turned by %g", k, turn)
		}
	}
	r, want := rounded(100, 60, 3, 0)
	_, ok := r.settle([4]pt{want[0], want[0], want[2], want[3]})
	assert.False(t, ok, "no side")
	_, ok = r[:20].settle(want)
	assert.False(t, ok, "a side without points")
}

func TestMeetAll(t *testing.T) {
	lines := [4]side{{p: pt{X: 3}, d: pt{X: 1}}, {p: pt{X: 9, Y: 4}, d: pt{Y: 1}}, {p: pt{X: 2, Y: 7}, d: pt{X: -1}}, {p: pt{X: 1, Y: 3}, d: pt{Y: -1}}}
	q, ok := meetAll(lines)
	require.True(t, ok)
	for k, want := range []pt{{X: 1}, {X: 9}, {X: 9, Y: 7}, {X: 1, Y: 7}} {
		assert.InDelta(t, 0, q[k].DistanceTo(want), 1e-12, "corner %d", k)
	}
	lines[1] = lines[0]
	_, ok = meetAll(lines)
	assert.False(t, ok, "lines that do not meet")
}

// What strays is left out, what does not stays; fewer than eight points are no line.
func TestSteadyLine(t *testing.T) {
	var points []pt
	for i := range 90 {
		points = append(points, pt{X: float64(i), Y: 2 + float64(i)/3 + 0.01*float64(i%2)})
	}
	line, kept, ok := steadyLine(points)
	require.True(t, ok)
	assert.Len(t, kept, 90)
	assert.InDelta(t, 0.0, line.distance(pt{X: 30, Y: 12.005}), 1e-3)
	for i := range 9 {
		points = append(points, pt{X: float64(10 * i), Y: 12 + float64(10*i)/3})
	}
	line, kept, ok = steadyLine(points)
	require.True(t, ok)
	assert.Len(t, kept, 90)
	assert.InDelta(t, 1.0/3, math.Abs(line.d.Y/line.d.X), 1e-4)
	for n, want := range map[int]bool{0: false, 7: false, 8: true} {
		_, _, ok = steadyLine(points[:n])
		assert.Equal(t, want, ok, n)
	}
}

// Parabola 4, 1, 0, 1, 4 less its mean 2; a slope makes no difference. Least squares leave
// what is at right angles to 1 and x.
func TestLessLine(t *testing.T) {
	x := []float64{-2, -1, 0, 1, 2}
	assert.InDeltaSlice(t, []float64{2, -1, -2, -1, 2}, lessLine(x, []float64{4, 1, 0, 1, 4}), 1e-12)
	assert.InDeltaSlice(t, []float64{2, -1, -2, -1, 2}, lessLine(x, []float64{4 + 6, 1 + 3, 0, 1 - 3, 4 - 6}), 1e-12)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 20).Draw(t, "n")
		number := rapid.Float64Range(-50, 50)
		x, y := make([]float64, n), make([]float64, n)
		for i := range x {
			x[i], y[i] = float64(i)+number.Draw(t, "x")/200, number.Draw(t, "y")
		}
		sum, dot := 0.0, 0.0
		for i, v := range lessLine(x, y) {
			sum += v
			dot += v * x[i]
		}
		require.InDelta(t, 0, sum, 1e-9)
		require.InDelta(t, 0, dot, 1e-7)
	})
}

func TestWorstTenth(t *testing.T) {
	v := make([]float64, 40)
	v[8], v[9], v[10], v[36] = 3, 3, 2, -12
	assert.InDelta(t, 3, worstTenth(v), 1e-12, "-12 among four")
	assert.InDelta(t, 2.5, worstTenth(v[9:29]), 1e-12, "3 and 2")
	assert.InDelta(t, 7, worstTenth([]float64{1, -7, 2}), 1e-12, "each for itself")
	assert.Zero(t, worstTenth(nil))
}

// Brown's first term: what is moved outwards by bend r³/R² tells bend, without noise; noise
// of a deviation tells a bend's deviation, twice what independent places would.
func TestLensTellsHowItBends(t *testing.T) {
	g := grid{w: 1000, h: 750}
	middle := pt{X: 500, Y: 375}
	bent := func(bend, noise float64) (float64, float64) {
		_, corners := rounded(300, 190, 5, 0.2)
		c := card{corners: corners}
		random := rand.New(rand.NewPCG(3, 4))
		for k := range 4 {
			a, b := corners[k], corners[(k+1)%4]
			n := b.Sub(a).Left().Scale(1 / b.Sub(a).Norm())
			for i := range 150 {
				p := a.Add(b.Sub(a).Scale(0.1 + 0.8*float64(i)/150))
				q := p.Sub(middle)
				p = p.Add(q.Scale(bend * q.Dot(q) / middle.Dot(middle)))
				c.edges[k] = append(c.edges[k], p.Add(n.Scale(noise*random.NormFloat64())))
			}
		}
		return c.lens(g, asSeen)
	}
	for _, bend := range []float64{0, 0.002, -0.004} {
		got, noise := bent(bend, 0)
		assert.InDelta(t, bend, got, 0.05*math.Abs(bend)+1e-9)
		assert.Less(t, noise, 0.02*math.Abs(bend)+1e-9)
	}
	_, small := bent(0, 0.01)
	got, noise := bent(0, 0.1)
	assert.InDelta(t, 10, noise/small, 0.5, "in proportion")
	assert.InDelta(t, 0, got, 3*noise)
	_, noise = (&card{}).lens(g, asSeen)
	assert.True(t, math.IsInf(noise, 1), "no edges tell nothing")
}

// Against points put through the map and moved.
func TestCentredAndScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-0.3, 0.3)
		h := homography{3 + number.Draw(t, "a"), number.Draw(t, "b"), 100, number.Draw(t, "c"), 3 + number.Draw(t, "d"), 50, number.Draw(t, "e") / 1000, number.Draw(t, "f") / 1000, 1}
		p := pt{X: rapid.Float64Range(0, 100).Draw(t, "x"), Y: rapid.Float64Range(0, 100).Draw(t, "y")}
		want := h.apply(p).Sub(pt{X: 320, Y: 240})
		got := (&card{toPixels: h}).centred(grid{w: 640, h: 480}).apply(p)
		require.InDelta(t, want.X, got.X, 1e-9)
		require.InDelta(t, want.Y, got.Y, 1e-9)
		// The determinant of the derivative is the ratio of areas.
		const d = 1e-4
		x, y := h.apply(p.Add(pt{X: d})).Sub(h.apply(p)), h.apply(p.Add(pt{Y: d})).Sub(h.apply(p))
		require.InEpsilon(t, math.Sqrt(x.Cross(y))/d, h.scale(p), 0.01)
		corners := [4]pt{{}, {X: 80}, {X: 80, Y: 50}, {Y: 50}}
		var to [4]pt
		for k, c := range corners {
			to[k] = h.apply(c)
		}
		again, ok := homographyOf(corners, to)
		require.True(t, ok)
		require.InDelta(t, 0, again.apply(p).DistanceTo(h.apply(p)), 1e-6)
	})
	_, ok := homographyOf([4]pt{{}, {X: 1}, {X: 2}, {X: 3}}, [4]pt{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}})
	assert.False(t, ok, "points on a line")
}

// Whichever corner comes first and however the card lies, its long side gets 85.60 mm and
// the side that runs most to the right lies along X.
func TestCardOnPaperLiesAsItIsSeen(t *testing.T) {
	for _, c := range []struct{ turn, width, height float64 }{
		{0, isoLength, isoWidth}, {0.6, isoLength, isoWidth}, {-0.6, isoLength, isoWidth}, {math.Pi, isoLength, isoWidth},
		{math.Pi / 2, isoWidth, isoLength}, {math.Pi/2 + 0.5, isoWidth, isoLength}, {-math.Pi/2 - 0.5, isoWidth, isoLength},
	} {
		_, corners := rounded(isoLength, isoWidth, 3, c.turn)
		for first := range 4 {
			var q [4]pt
			for k := range q {
				q[k] = corners[(k+first)%4]
			}
			size := cardOnPaper(q)
			box := card{size: size}.box()
			assert.Equal(t, geometry.Box{Max: pt{X: c.width, Y: c.height}}, box)
			assert.InDelta(t, isoLength*isoWidth, quadArea(size), 1e-9, "counter-clockwise, each corner once")
			most := math.Inf(-1)
			var along pt
			for k := range q {
				if d := q[(k+1)%4].Sub(q[k]); d.X/d.Norm() > most {
					most, along = d.X/d.Norm(), size[(k+1)%4].Sub(size[k])
				}
			}
			assert.Positive(t, along.X)
			assert.Zero(t, along.Y)
			assert.InDelta(t, 0, card{corners: q}.middle().DistanceTo(corners[0].Add(corners[2]).Scale(0.5)), 1e-9)
		}
	}
}

// Each limit by itself: just within it is accepted, just beyond it is refused and says so.
func TestLimitsOfACard(t *testing.T) {
	good := CardFit{EdgeWidthMM: 1.49, EdgeRMSMM: 0.099, EdgeWorstMM: 0.249, ShapePercent: 0.59, RadiusMM: cardRadiusMM}
	assert.NoError(t, (&card{fit: good}).check())
	for want, change := range map[string]func(*CardFit){
		"blurred":            func(f *CardFit) { f.EdgeWidthMM = 1.51 },
		"0.10 mm (RMS)":      func(f *CardFit) { f.EdgeRMSMM = 0.101 },
		"0.25 mm at the":     func(f *CardFit) { f.EdgeWorstMM = 0.251 },
		"shape is 0.61 %":    func(f *CardFit) { f.ShapePercent = 0.61 },
		"of radius 1.8 mm":   func(f *CardFit) { f.RadiusMM = 1.8 },
		"of radius 4.7 mm":   func(f *CardFit) { f.RadiusMM = 4.7 },
		"edge is 9.0 mm":     func(f *CardFit) { f.EdgeWidthMM, f.RadiusMM = 9, 9 },
		"edges are not":      func(f *CardFit) { f.EdgeWorstMM, f.ShapePercent = 1, 1 },
		"off 85.60 : 53.98":  func(f *CardFit) { f.ShapePercent, f.RadiusMM = 1, 0 },
		"has 3.18 mm":        func(f *CardFit) { f.RadiusMM = 0 },
		"its corners by 0.4": func(f *CardFit) { f.ShapePercent, f.CornerMM = 0.7, 0.4 },
	} {
		f := good
		change(&f)
		assert.ErrorContains(t, (&card{fit: f}).check(), want)
		worse := card{fit: f}
		assert.LessOrEqual(t, worse.likeness(), (&card{fit: CardFit{}}).likeness())
	}
	assert.NoError(t, (&card{fit: CardFit{RadiusMM: 1.95}}).check())
	assert.NoError(t, (&card{fit: CardFit{RadiusMM: 4.55}}).check())
	assert.InDelta(t, 1, (&card{}).likeness(), 1e-12)
	assert.InDelta(t, 0.25, (&card{fit: CardFit{ShapePercent: 0.6, EdgeRMSMM: 0.1, EdgeWorstMM: 0.25}}).likeness(), 1e-12, "each at its limit counts one")
}

func TestOneCardIsFoundOnce(t *testing.T) {
	at := func(x, rms float64) card {
		_, q := rounded(100, 60, 3, 0)
		for k := range q {
			q[k].X += x
		}
		return card{corners: q, fit: CardFit{EdgeRMSMM: rms}}
	}
	var cards []card
	for _, c := range []card{at(0, 0.3), at(19, 0.2), at(18, 0.25), at(45, 0.1)} {
		cards = addCard(cards, c)
	}
	require.Len(t, cards, 2)
	assert.Equal(t, 0.2, cards[0].fit.EdgeRMSMM)
	assert.Equal(t, 0.1, cards[1].fit.EdgeRMSMM)
}

// A ring a pixel from the border keeps clear of it, a nearer one does not, at each side.
func TestTouchesTheBorder(t *testing.T) {
	g := grid{w: 40, h: 30}
	for _, c := range []struct {
		box  geometry.Box
		want bool
	}{
		{geometry.Box{Min: pt{X: 1, Y: 1}, Max: pt{X: 39, Y: 29}}, false},
		{geometry.Box{Min: pt{X: 0.9, Y: 5}, Max: pt{X: 20, Y: 20}}, true},
		{geometry.Box{Min: pt{X: 5, Y: 0.9}, Max: pt{X: 20, Y: 20}}, true},
		{geometry.Box{Min: pt{X: 5, Y: 5}, Max: pt{X: 39.1, Y: 20}}, true},
		{geometry.Box{Min: pt{X: 5, Y: 5}, Max: pt{X: 20, Y: 29.1}}, true},
	} {
		assert.Equal(t, c.want, g.touches(ring{c.box.Min, {X: c.box.Max.X, Y: c.box.Min.Y}, c.box.Max, {X: c.box.Min.X, Y: c.box.Max.Y}}), "%v", c.box)
	}
}

// Points at even steps along a ring that is known: each as far along it as its number says.
func TestResampleIsEven(t *testing.T) {
	square := ring{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}}
	along := func(s float64) pt {
		side := int(s / 10)
		a, b := square[side], square[(side+1)%4]
		return a.Add(b.Sub(a).Scale(s/10 - float64(side)))
	}
	for _, n := range []int{1, 3, 8, 40, 97} {
		got := square.resample(n)
		require.Len(t, got, n)
		for i, p := range got {
			require.InDelta(t, 0, p.DistanceTo(along(40*float64(i)/float64(n))), 1e-9, "%d of %d", i, n)
		}
	}
	assert.InDelta(t, 40, square.length(), 1e-12)
	for i := -9; i < 9; i++ {
		assert.Equal(t, square[(i+12)%4], square.at(i))
	}
	assert.Equal(t, []pt{{Y: 10}, {}, {X: 10}}, square.arc(-1, 1))
}

// Against the winding number of the same contour.
func TestRingContains(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "n")
		var r ring
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := rapid.Float64Range(1, 10).Draw(t, "d")
			r = append(r, pt{X: d * cos, Y: d * sin})
		}
		c := geometry.Polygon(r...)
		for range 20 {
			p := pt{X: rapid.Float64Range(-11, 11).Draw(t, "x"), Y: rapid.Float64Range(-11, 11).Draw(t, "y")}
			require.Equal(t, c.Winding(p) != 0, r.contains(p), "%v", p)
		}
		require.InDelta(t, c.Area(), r.area(), 1e-9)
	})
}

// Any solution put in comes out; a parabola's own points give its value, others do not.
func TestThreeEquationsAndParabola(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-2, 2)
		var m [3][3]float64
		var x, v [3]float64
		for r := range 3 {
			x[r] = number.Draw(t, "x")
			for c := range 3 {
				m[r][c] = number.Draw(t, "m")
			}
			m[r][r] += 7 // so that they can be told apart
		}
		for r := range 3 {
			for c := range 3 {
				v[r] += m[r][c] * x[c]
			}
		}
		got := solve3(m, v)
		require.InDeltaSlice(t, x[:], got[:], 1e-9)
		points := make([]pt, 9)
		for k := range points {
			s := float64(k)
			points[k] = pt{X: s + x[0]*s*s/10, Y: x[1]*s + x[2]*s*s/10}
		}
		i := rapid.IntRange(0, 8).Draw(t, "i")
		p, ok := parabola(points, i)
		require.True(t, ok)
		require.InDelta(t, 0, p.DistanceTo(points[i]), 1e-9)
		points[4].Y += 1
		_, ok = parabola(points, i)
		require.False(t, ok, "a point a pixel aside")
	})
	_, ok := parabola(make([]pt, 3), 0)
	assert.False(t, ok)
}
