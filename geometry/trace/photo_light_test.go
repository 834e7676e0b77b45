package trace

import (
	"image"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// pictureOf is a picture of a size from its values, Y down.
func pictureOf(w, h int, value func(x, y int) float64) grid {
	g := newGrid(w, h)
	for y := range h {
		for x := range w {
			g.v[y*w+x] = float32(value(x, y))
		}
	}
	return g
}

// Values between pixels lie on the straight line between them, and go on past the border
// as they are there; Y is up, and a pixel's value is that of its middle.
func TestNearIsLinear(t *testing.T) {
	g := pictureOf(12, 9, func(x, y int) float64 { return 0.5*(float64(x)+0.5) + 0.25*(9-float64(y)-0.5) })
	rapid.Check(t, func(t *rapid.T) {
		p := pt{X: rapid.Float64Range(-1, 13).Draw(t, "x"), Y: rapid.Float64Range(-1, 10).Draw(t, "y")}
		x, y := min(max(p.X, 0.5), 11.5), min(max(p.Y, 0.5), 8.5)
		require.InDelta(t, 0.5*x+0.25*y, g.near(p), 1e-5)
	})
	checks := pictureOf(4, 4, func(x, y int) float64 { return float64((x + y) % 2) })
	assert.InDelta(t, 0.5, checks.near(pt{X: 2, Y: 2}), 1e-9, "between four")
	assert.InDelta(t, 0, checks.near(pt{X: 0.5, Y: 3.5}), 1e-9)
}

// A ramp from outside to inside crosses its middle in its middle, and has a tenth and nine
// tenths where it has.
func TestEdgeInARamp(t *testing.T) {
	for _, c := range []struct{ from, to, low, high float64 }{{18, 22, 0, 1}, {15, 27, 0.1, 0.5}, {20, 21, 0.3, 0.4}, {12, 20, -0.5, 0.5}} {
		profile := make([]float64, 41)
		for k := range profile {
			share := min(max((float64(k)-c.from)/(c.to-c.from), 0), 1)
			profile[k] = c.low + share*(c.high-c.low)
		}
		at, width, ok := edgeIn(profile)
		require.True(t, ok)
		assert.InDelta(t, (c.from+c.to)/2, at, 1e-9, "%v", c)
		assert.InDelta(t, 0.8*(c.to-c.from), width, 2, "%v, counted in whole steps", c)
		for k := range profile {
			profile[k] = c.low + (profile[k]-c.low)*0.055/(c.high-c.low)
		}
		_, _, ok = edgeIn(profile)
		assert.False(t, ok, "less than the least contrast")
	}
	falling := make([]float64, 40)
	for k := range 20 {
		falling[k] = 1
	}
	_, _, ok := edgeIn(falling)
	assert.False(t, ok, "the wrong way")
	// Of several crossings the one nearest to the middle.
	twice := make([]float64, 41)
	for k := range twice {
		if k >= 8 && k < 12 || k >= 23 {
			twice[k] = 1
		}
	}
	at, _, ok := edgeIn(twice)
	assert.True(t, ok)
	assert.InDelta(t, 22.5, at, 1e-9)
}

func TestMiddleOf(t *testing.T) {
	assert.Equal(t, 3.0, middleOf([]float64{9, 1, 3}))
	assert.Equal(t, 4.0, middleOf([]float64{9, 1, 3, 4}), "of an even number the upper one")
	v := []float64{2, 1}
	middleOf(v)
	assert.Equal(t, []float64{2, 1}, v)
}

// shade is the share of a pixel that a shape covers, by a grid of 8 x 8 places where the
// shape's edge is near.
func shade(g grid, r geometry.Region) grid {
	corner := pictureOf(g.w+1, g.h+1, func(x, y int) float64 {
		if r.Contains(pt{X: float64(x) + 1e-4, Y: float64(g.h-y) - 1e-4}) {
			return 0.6
		}
		return 0
	})
	return pictureOf(g.w, g.h, func(x, y int) float64 {
		at := y*(g.w+1) + x
		if v := corner.v[at]; v == corner.v[at+1] && v == corner.v[at+g.w+1] && v == corner.v[at+g.w+2] {
			return float64(v)
		}
		in := 0
		for j := range 8 {
			for i := range 8 {
				if r.Contains(pt{X: float64(x) + (float64(i)+0.5)/8, Y: float64(g.h-y) - (float64(j)+0.5)/8}) {
					in++
				}
			}
		}
		return 0.6 * float64(in) / 64
	})
}

// A card drawn by its area in each pixel, seen straight from above: found at its place, as
// large as it is, with the radius of its corners and no tilt.
func TestCardIsMeasured(t *testing.T) {
	const scale = 2.0
	at := geometry.Scale(scale, pt{}).Then(geometry.Rotate(0.1, pt{})).Then(geometry.Translate(40, 30))
	shape := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: pt{X: isoLength, Y: isoWidth}}, isoRadius)).Transform(at)
	g := shade(newGrid(250, 190), shape)
	cards, nearest := findCards(g, 0.05)
	require.NoError(t, nearest)
	require.Len(t, cards, 1)
	c := cards[0]
	for k, want := range []pt{{}, {X: isoLength}, {X: isoLength, Y: isoWidth}, {Y: isoWidth}} {
		best := math.Inf(1)
		for _, q := range c.corners {
			best = min(best, q.DistanceTo(want.Transform(at)))
		}
		assert.Less(t, best, 0.1, "corner %d, in pixels", k)
	}
	f := c.fit
	assert.InDelta(t, scale, f.PixelsPerMM, 0.005)
	assert.InDelta(t, isoRadius, f.RadiusMM, 0.6)
	assert.Less(t, f.EdgeRMSMM, 0.05)
	assert.Less(t, f.EdgeWorstMM, 0.05)
	assert.Less(t, f.ShapePercent, 0.15)
	assert.InDelta(t, f.ShapePercent/100*math.Hypot(isoLength, isoWidth)/2, f.CornerMM, 1e-9)
	assert.Less(t, f.TiltDegrees, 5.0)
	assert.InDelta(t, 0.75, f.EdgeWidthMM, 0.25, "a pixel, and what lies between two")
	assert.Less(t, math.Abs(c.bend), 0.03)
}

// What is no card is none, whatever it is like.
func TestWhatIsNoCard(t *testing.T) {
	mid := pt{X: 100, Y: 75}
	for name, r := range map[string]geometry.Region{
		"a disc":             geometry.NewRegion(geometry.Circle(mid, 60)),
		"a triangle":         geometry.NewRegion(polygon(mid, 70, 3, 0.1)),
		"a hexagon":          geometry.NewRegion(polygon(mid, 65, 6, 0.1)),
		"a bay":              geometry.NewRegion(gear(mid, 35, 60, 4, 0.1)),
		"too small":          geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: mid, Max: pt{X: 100 + 62, Y: 75 + 39}}, 2)),
		"sharp, and square":  geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: pt{X: 50, Y: 30}, Max: pt{X: 150, Y: 130}}, 0)),
		"over the border":    geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: pt{X: -9, Y: 30}, Max: pt{X: 162, Y: 138}}, 6)),
		"of a square's size": geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: pt{X: 20, Y: 20}, Max: pt{X: 130, Y: 130}}, 4)),
	} {
		cards, _ := findCards(shade(newGrid(200, 150), r), 0.05)
		assert.Empty(t, cards, name)
	}
}

// 1 2 1 both ways, of a single bright pixel; at the border the pixel stands for its missing
// neighbour, so that plain stays plain.
func TestSoften(t *testing.T) {
	p := planes{w: 5, h: 4}
	for k := range p.c {
		p.c[k] = make([]float32, 20)
		p.c[k][1*5+2] = 16 * float32(k+1)
	}
	p.soften()
	for k := range p.c {
		var want []float32
		for _, row := range [][]float32{{0, 1, 2, 1, 0}, {0, 2, 4, 2, 0}, {0, 1, 2, 1, 0}, {0, 0, 0, 0, 0}} {
			for _, v := range row {
				want = append(want, v*float32(k+1))
			}
		}
		assert.Equal(t, want, p.c[k])
	}
	plain := planes{w: 3, h: 3}
	for k := range plain.c {
		plain.c[k] = []float32{.5, .5, .5, .5, .5, .5, .5, .5, .5}
	}
	plain.soften()
	assert.Equal(t, []float32{.5, .5, .5, .5, .5, .5, .5, .5, .5}, plain.c[0])
	corner := []float32{8, 0, 0}
	soften(corner, 1, make([]float32, 3))
	assert.Equal(t, []float32{6, 2, 0}, corner)
}

// IEC 61966-2-1: 188 is 0.5029 of the light, 10 lies on the straight part, 10/255/12.92. The
// weights of luminance are ITU-R BT.709's.
func TestLinearLight(t *testing.T) {
	table := linearLight()
	for i, want := range map[int]float64{0: 0, 10: 10 / 255.0 / 12.92, 11: 0.003347, 188: 0.502886, 255: 1} {
		assert.InDelta(t, want, table[i], 1e-6, i)
	}
	img := image.NewRGBA(image.Rect(10, 20, 17, 25))
	for y := range 5 {
		for x := range 7 {
			img.SetRGBA(10+x, 20+y, color.RGBA{uint8(36 * x), uint8(50 * y), uint8(10 * (x + y)), 255})
		}
	}
	p, shrunk := linearOf(img, 35)
	assert.Equal(t, []int{7, 5, 1}, []int{p.w, p.h, shrunk})
	p, shrunk = linearOf(img, 34)
	assert.Equal(t, []int{3, 2, 2}, []int{p.w, p.h, shrunk}, "a row and a column are left out")
	for y := range 2 {
		for x := range 3 {
			want := [3]float64{}
			for j := range 2 {
				for i := range 2 {
					u, v := 2*x+i, 2*y+j
					for k, level := range []int{36 * u, 50 * v, 10 * (u + v)} {
						want[k] += float64(table[level]) / 4
					}
				}
			}
			for k := range 3 {
				assert.InDelta(t, want[k], p.c[k][y*3+x], 1e-6)
			}
			assert.InDelta(t, 0.2126*want[0]+0.7152*want[1]+0.0722*want[2], p.luminance(y*3+x), 1e-6)
		}
	}
}

// A surface that is known comes back out of its values, with three terms or six.
func TestSurfaceIsFitted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		terms := rapid.SampledFrom([]int{3, 6}).Draw(t, "terms")
		var want surface
		for k := range terms {
			want[k] = rapid.Float64Range(-2, 2).Draw(t, "term")
		}
		var f fitting
		for i := range 5 {
			for j := range 5 {
				x, y := float64(i)/2-1, float64(j)/2-0.9
				value := want[0] + want[1]*x + want[2]*y + want[3]*x*x + want[4]*x*y + want[5]*y*y
				require.InDelta(t, value, want.at(x, y), 1e-12)
				f.add(x, y, value, terms)
			}
		}
		got, ok := f.solve(terms)
		require.True(t, ok)
		require.InDeltaSlice(t, want[:], got[:], 1e-9)
	})
	var few fitting
	few.add(0, 0, 1, 3)
	few.add(1, 1, 1, 3)
	_, ok := few.solve(3)
	assert.False(t, ok, "two places tell no plane")
}

// Paper under a lamp at one side, with a dark thing on it: paper differs by nothing, the
// thing by its share of the light, a thing of one colour by the root of a third.
func TestPaperIsFoundUnderALamp(t *testing.T) {
	p := planes{w: 120, h: 90}
	light := func(x, y int) float64 { return 0.7 * math.Exp(-0.004*float64(x)+0.002*float64(y)) }
	thing := func(x, y int) bool { return x >= 30 && x < 60 && y >= 20 && y < 50 }
	for k := range p.c {
		p.c[k] = make([]float32, p.w*p.h)
		for y := range p.h {
			for x := range p.w {
				v := light(x, y) * []float64{1, 0.9, 0.8}[k]
				if thing(x, y) && (k == 0 || x < 45) {
					v *= 0.4
				}
				p.c[k][y*p.w+x] = float32(v)
			}
		}
	}
	found, err := p.findPaper()
	require.NoError(t, err)
	assert.InDelta(t, 1-900.0/(120*90), found.share, 0.06)
	g := found.difference(p)
	for y := range p.h {
		for x := range p.w {
			want := 0.0
			switch {
			case thing(x, y) && x < 45:
				want = 0.6
			case thing(x, y):
				want = 0.6 / math.Sqrt(3)
			}
			require.InDelta(t, want, g.v[y*p.w+x], 0.01, "%d, %d", x, y)
		}
	}
	assert.Less(t, grainOf(g), 0.01)
	dark := planes{w: 56, h: 56}
	for k := range dark.c {
		dark.c[k] = make([]float32, 56*56)
		for i := range dark.c[k] {
			// Each square of two by two pixels is of another light: no paper.
			dark.c[k][i] = float32(math.Exp(-float64(i%56/2*7%28+i/112*11%28) / 4))
		}
	}
	_, err = dark.findPaper()
	assert.ErrorContains(t, err, "no plain paper")
}

// The brightest light that more than a quarter share, though some is brighter still.
func TestCommonLight(t *testing.T) {
	var tiles []tile
	for i := range 100 {
		light := -3.0
		switch {
		case i < 10:
			light = 0.9 + 0.1*float64(i)
		case i < 40:
			light = 0.1 + 0.001*float64(i)
		}
		tiles = append(tiles, tile{bright: light})
	}
	assert.InDelta(t, 0.125, commonLight(tiles), 0.02)
	var apart []tile
	for i := range 9 {
		apart = append(apart, tile{bright: float64(i)})
	}
	assert.Equal(t, 4.0, commonLight(apart), "no light is shared: the middle one")
}

// The middle one of those that could be paper, of every seventh.
func TestGrain(t *testing.T) {
	g := newGrid(70, 10)
	for i := range g.v {
		g.v[i] = 0.9
		if i%7 == 0 {
			g.v[i] = float32(i%70) / 700 // 0, 0.01 ... 0.09
		}
	}
	assert.InDelta(t, 0.05, grainOf(g), 1e-6)
	assert.Equal(t, 1.0, grainOf(pictureOf(9, 9, func(int, int) float64 { return 0.5 })), "there is no paper")
}

// The edge of a half plane, wherever it lies, is found where it lies.
func TestAcrossAnEdge(t *testing.T) {
	for _, c := range []struct{ a, b pt }{{pt{X: 20, Y: 30}, pt{X: 120, Y: 30}}, {pt{X: 30, Y: 100}, pt{X: 30, Y: 20}}, {pt{X: 20, Y: 20}, pt{X: 110, Y: 90}}} {
		along := c.b.Sub(c.a).Scale(1 / c.b.DistanceTo(c.a))
		g := pictureOf(140, 120, func(x, y int) float64 {
			d := along.Cross(pt{X: float64(x) + 0.5, Y: 120 - float64(y) - 0.5}.Sub(c.a)) - 1.3
			return min(max(0.5+d/2, 0), 1)
		})
		points, widths := g.across(c.a, c.b, 6)
		require.Len(t, points, int(c.a.DistanceTo(c.b)))
		for i, p := range points {
			require.InDelta(t, 1.3, along.Cross(p.Sub(c.a)), 0.05, "%v", p)
			share := along.Dot(p.Sub(c.a)) / c.a.DistanceTo(c.b)
			require.InDelta(t, 0.1+0.8*(float64(i)+0.5)/float64(len(points)), share, 1e-9)
			require.InDelta(t, 2, widths[i], 0.8, "and what lies between two pixels")
		}
	}
}
