package trace

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// A camera of any lens, height and lean that takes a picture of the paper is found again
// from the way its picture maps the paper: by its height, or by the view that fits best.
func TestCameraIsFoundAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := plainSetup(geometry.Region{})
		s.tilt, s.azimuth, s.turn = rapid.Float64Range(5, 30).Draw(t, "tilt"), rapid.Float64Range(0, 360).Draw(t, "azimuth"), rapid.Float64Range(0, 360).Draw(t, "turn")
		s.height, s.focal = rapid.Float64Range(200, 900).Draw(t, "height"), rapid.Float64Range(0.5, 3).Draw(t, "focal")
		h := (&card{toPixels: s.lens()}).centred(grid{w: s.w, h: s.h})
		width := float64(s.w)
		// Seen with its own lens, all is as it was set up.
		c := view(h, s.focal*width)
		require.InDelta(t, 0, c.misfit, 1e-9)
		require.InEpsilon(t, s.height, c.height, 1e-6)
		require.InDelta(t, s.tilt*math.Pi/180, c.tilt, 1e-6)
		require.InDelta(t, 0, c.foot.DistanceTo(s.foot()), 1e-6*s.height)
		require.Greater(t, view(h, 1.5*s.focal*width).misfit, 1e-4)
		for _, found := range []camera{bestView(h, width), viewFrom(h, width, s.height)} {
			require.InEpsilon(t, s.focal*width, found.focal, 0.01)
			require.InEpsilon(t, s.height, found.height, 0.01)
			require.InDelta(t, s.tilt*math.Pi/180, found.tilt, 0.01)
			require.InDelta(t, 0, found.foot.DistanceTo(s.foot()), 0.01*s.height)
		}
	})
}

// Lines and circles through given points are found from points on them; each distance is
// from the nearest place, and each tangent goes the way the points run.
func TestSidesAreFitted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-40, 40)
		center := pt{X: number.Draw(t, "x"), Y: number.Draw(t, "y")}
		radius, start := rapid.Float64Range(2, 80).Draw(t, "radius"), rapid.Float64Range(0, 6).Draw(t, "start")
		way := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "way")
		var round, straight []pt
		sin, cos := math.Sincos(start)
		along := pt{X: cos, Y: sin}
		for i := range 20 {
			s, c := math.Sincos(start + way*float64(i)*0.06)
			round = append(round, center.Add(pt{X: c, Y: s}.Scale(radius)))
			straight = append(straight, center.Add(along.Scale(float64(i))))
		}
		circle := fitCircle(round)
		require.InEpsilon(t, radius, circle.radius, 1e-5)
		require.InDelta(t, 0, circle.p.DistanceTo(center), 1e-4*radius)
		require.InDelta(t, 0, circle.worst(round), 1e-4)
		require.InDelta(t, 3, circle.distance(center.Add(along.Scale(radius+3))), 1e-3)
		require.InDelta(t, 1, circle.distance(center.Add(along.Scale(radius-1))), 1e-3)
		require.InDelta(t, 1, circle.tangent(round[9]).Dot(along.Left().Scale(way)), 0.2)
		mean, d := fitLine(straight)
		require.InDelta(t, 0, mean.DistanceTo(center.Add(along.Scale(9.5))), 1e-9)
		require.InDelta(t, 1, d.Dot(along), 1e-9)
		require.Zero(t, fitCircle(straight).radius, "points along a line give that line")
		line := side{p: mean, d: d}
		require.InDelta(t, 2.5, line.distance(center.Add(along.Left().Scale(2.5))), 1e-9)
		require.InDelta(t, 2.5, line.worst([]pt{center, center.Add(along.Left().Scale(-2.5)), center.Add(along.Left())}), 1e-9)
	})
}

// Where two sides meet lies on both of them, and is the nearest such place.
func TestSidesMeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-20, 20)
		draw := func(name string) side {
			sin, cos := math.Sincos(rapid.Float64Range(0, 6.28).Draw(t, name+"'s direction"))
			s := side{p: pt{X: number.Draw(t, name+"'s x"), Y: number.Draw(t, name+"'s y")}, d: pt{X: cos, Y: sin}}
			if rapid.Bool().Draw(t, name+" is round") {
				s.radius = rapid.Float64Range(1, 30).Draw(t, name+"'s radius")
			}
			return s
		}
		a, b := draw("a"), draw("b")
		near := pt{X: number.Draw(t, "x"), Y: number.Draw(t, "y")}
		got, ok := meet(a, b, near)
		gap := b.p.DistanceTo(a.p)
		switch {
		case a.radius == 0 && b.radius == 0:
			require.Equal(t, math.Abs(a.d.Cross(b.d)) >= 1e-9, ok)
		case a.radius == 0:
			require.Equal(t, a.distance(b.p) <= b.radius, ok)
		case b.radius == 0:
			require.Equal(t, b.distance(a.p) <= a.radius, ok)
		default:
			require.Equal(t, gap <= a.radius+b.radius && gap >= math.Abs(a.radius-b.radius), ok)
		}
		if !ok {
			return
		}
		require.InDelta(t, 0, a.distance(got), 1e-5)
		require.InDelta(t, 0, b.distance(got), 1e-5)
		other, _ := meet(a, b, got.Add(got.Sub(near).Scale(100)))
		require.LessOrEqual(t, got.DistanceTo(near), other.DistanceTo(near)+1e-6)
	})
}

// The nearest place where a picture falls through a level, within reach and on the way
// outward; otherwise the point stays.
func TestCrossingOfALevel(t *testing.T) {
	g := pictureOf(60, 40, func(x, _ int) float64 { return min(max((35-float64(x)-0.5)/10, 0), 1) })
	for level, x := range map[float64]float64{0.5: 30, 0.8: 27, 0.2: 33} {
		got := g.crossing(pt{X: 29, Y: 20}, pt{X: 1}, level, 6)
		assert.InDelta(t, x, got.X, 0.05, level)
		assert.InDelta(t, 20, got.Y, 1e-9)
	}
	assert.Equal(t, pt{X: 29, Y: 20}, g.crossing(pt{X: 29, Y: 20}, pt{X: -1}, 0.5, 6), "it rises that way")
	assert.Equal(t, pt{X: 20, Y: 20}, g.crossing(pt{X: 20, Y: 20}, pt{X: 1}, 0.5, 6), "too far")
	two := pictureOf(60, 40, func(x, _ int) float64 { return float64((x / 6) % 2) }) // falls at 12, 24, 36
	assert.InDelta(t, 24, two.crossing(pt{X: 22, Y: 20}, pt{X: 1}, 0.5, 14).X, 0.3)
	assert.InDelta(t, 12, two.crossing(pt{X: 17, Y: 20}, pt{X: 1}, 0.5, 14).X, 0.3)
}

// Each value's middle of those around it, round and round.
func TestEvened(t *testing.T) {
	assert.Equal(t, []float64{2, 2, 2, 3, 4, 4}, evened([]float64{1, 2, 2, 3, 9, 4}, 1))
	assert.Equal(t, []float64{5, 1}, evened([]float64{5, 1}, 0))
	r := ring{{X: 10}, {X: 10, Y: 10}, {Y: 10}, {}}.resample(40)
	for k := 14; k < 17; k++ {
		assert.InDelta(t, 0, r.outward(k).DistanceTo(pt{Y: 1}), 1e-9, "along the top")
	}
}

// What a scene takes for the card's, by a map that is a scale: 2 pixels to the mm.
func TestSceneOnThePaper(t *testing.T) {
	s := &scene{diff: pictureOf(400, 300, func(int, int) float64 { return 0.5 }), shrunk: 2}
	s.card.size = [4]pt{{}, {X: cardLengthMM}, {X: cardLengthMM, Y: cardWidthMM}, {Y: cardWidthMM}}
	s.card.toPaper, s.card.toPixels = homography{0.5, 0, 0, 0, 0.5, 0, 0, 0, 1}, homography{2, 0, 0, 0, 2, 0, 0, 0, 1}
	s.card.fit.PixelsPerMM = 2
	square := func(x, y, side float64) ring {
		return ring{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}}
	}
	assert.InDelta(t, 25, s.onPaper(square(200, 100, 10)), 1e-9)
	hole := ring{{}, {Y: 10}, {X: 10, Y: 10}, {X: 10}}
	assert.Zero(t, s.onPaper(hole))
	for _, c := range []struct {
		x, y float64 // of a square of 10 mm, in mm
		near bool
		far  float64
	}{{90, 10, false, 14.4}, {87, 10, true, 11.4}, {20, 60, false, 16.02}, {20, 55, true, 11.02}, {-20, 10, false, 20}, {-12, 10, true, 12}, {20, -12, true, 12}, {20, -13, false, 13}} {
		near, far := s.fromCard(square(2*c.x, 2*c.y, 20))
		assert.Equal(t, c.near, near, "%v", c)
		assert.InDelta(t, c.far, far, 1e-9, "%v", c)
	}
	s.wipe()
	for x := range 400 {
		for y := range 300 {
			mmX, mmY := (float64(x)+0.5)/2, (300-float64(y)-0.5)/2
			wiped := mmX < cardLengthMM+cardWipeMM && mmY < cardWidthMM+cardWipeMM
			require.Equal(t, wiped, s.diff.v[y*400+x] == 0, "%g, %g mm", mmX, mmY)
		}
	}
	for _, p := range []pt{{X: 3.25, Y: 7.75}, {X: 200.25, Y: 100.25}} {
		shown := s.shown(p)
		assert.InDelta(t, 0, s.placed(shown).DistanceTo(p), 0.51)
		assert.InDelta(t, 2*p.X, float64(shown.X), 1)
		assert.InDelta(t, 2*(300-p.Y), float64(shown.Y), 1)
	}
	island := square(30, 30, 4)
	rings := []ring{square(20, 20, 40), square(100, 100, 50), island}
	assert.True(t, inAnother(island, rings))
	assert.False(t, inAnother(rings[0], rings))
	assert.False(t, inAnother(rings[1], rings))
	assert.Equal(t, []ring{rings[0], island}, holding(rings, pt{X: 31, Y: 33}))
}

// A lens that changes lengths at the piece's far end by more than is allowed is refused, if
// the card's edges are sure of it: by 3 bend r².
func TestLensIsRefused(t *testing.T) {
	s := &scene{diff: grid{w: 800, h: 600}}
	far := ring{{X: 400 + 300, Y: 300}, {X: 400, Y: 310}, {X: 390, Y: 300}} // at 0.6 of the corner's distance
	for bend, refused := range map[float64]bool{0.0055: false, 0.0057: true, -0.0057: true, 0: false} {
		s.card.bend, s.card.bendNoise = bend, 1e-4
		assert.Equal(t, refused, s.checkLens([]ring{far}) != nil, bend)
		assert.InDelta(t, 100*3*4*1e-4*0.36, s.unseen, 1e-9)
	}
	s.card.bend, s.card.bendNoise = 0.01, 0.003
	assert.NoError(t, s.checkLens([]ring{far}), "lost in the noise")
}
