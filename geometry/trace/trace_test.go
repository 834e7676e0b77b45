package trace

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// render draws a region, in pixels with Y up, as dark ink on light ground: each pixel
// as dark as the share of it that is inside, by 64 lines through it.
func render(r geometry.Region, w, h int) *image.Gray {
	inside := make([]float64, w*h)
	const lines = 64
	boundary := chords(r)
	for j := range h * lines {
		y := (float64(j) + 0.5) / lines
		for _, span := range spans(boundary, y) {
			for x := max(int(span[0]), 0); x < min(int(span[1])+1, w); x++ {
				share := min(span[1], float64(x+1)) - max(span[0], float64(x))
				inside[(h-1-j/lines)*w+x] += max(share, 0) / lines
			}
		}
	}
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i, share := range inside {
		img.Pix[i] = uint8(math.Round(230 - 200*share))
	}
	return img
}

// chords are the boundary of a region, arcs as 200 short chords.
func chords(r geometry.Region) (found [][2]geometry.Point) {
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			n := 1
			if s.IsArc() {
				n = 200
			}
			for k := range n {
				found = append(found, [2]geometry.Point{s.At(float64(k) / float64(n)), s.At(float64(k+1) / float64(n))})
			}
		}
	}
	return found
}

// spans are the stretches of a horizontal line inside a boundary.
func spans(boundary [][2]geometry.Point, y float64) (found [][2]float64) {
	var xs []float64
	for _, c := range boundary {
		if a, b := c[0], c[1]; (a.Y < y) != (b.Y < y) {
			xs = append(xs, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
		}
	}
	slices.Sort(xs)
	for k := 0; k+1 < len(xs); k += 2 {
		found = append(found, [2]float64{xs[k], xs[k+1]})
	}
	return found
}

// compress takes a picture through JPEG.
func compress(t *testing.T, img image.Image, quality int) image.Image {
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}))
	p, err := Decode(&b, Limits{})
	require.NoError(t, err)
	return p
}

// grain adds normal noise of a standard deviation in levels.
func grain(img *image.Gray, sigma float64, seed uint64) *image.Gray {
	random := rand.New(rand.NewPCG(seed, 1))
	out := image.NewGray(img.Rect)
	for i, v := range img.Pix {
		out.Pix[i] = uint8(min(max(math.Round(float64(v)+sigma*random.NormFloat64()), 0), 255))
	}
	return out
}

// gear has straight flanks, so every corner of it is one.
func gear(center geometry.Point, inner, outer float64, teeth int, turn float64) geometry.Contour {
	var points []geometry.Point
	for k := range teeth {
		for _, p := range [4][2]float64{{inner, -0.3}, {outer, -0.125}, {outer, 0.125}, {inner, 0.3}} {
			sin, cos := math.Sincos(turn + (float64(k)+p[1])*2*math.Pi/float64(teeth))
			points = append(points, center.Add(geometry.Point{X: p[0] * cos, Y: p[0] * sin}))
		}
	}
	return geometry.Polygon(points...)
}

func polygon(center geometry.Point, radius float64, n int, turn float64) geometry.Contour {
	var points []geometry.Point
	for k := range n {
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(k)/float64(n))
		points = append(points, center.Add(geometry.Point{X: radius * cos, Y: radius * sin}))
	}
	return geometry.Polygon(points...)
}

// hausdorff is the largest distance of a point of either boundary from the other,
// at points a tenth of a unit apart.
func hausdorff(a, b geometry.Region) float64 {
	return max(oneWay(a, b), oneWay(b, a))
}

func oneWay(a, b geometry.Region) float64 {
	var segments []geometry.Segment
	for _, c := range b.Contours() {
		for s := range c.Segments() {
			segments = append(segments, s)
		}
	}
	worst := 0.0
	for _, c := range a.Contours() {
		for s := range c.Segments() {
			n := int(s.Length()*10) + 1
			for i := range n {
				p := s.At(float64(i) / float64(n))
				best := math.Inf(1)
				for _, u := range segments {
					q, _ := u.Nearest(p)
					best = min(best, q.DistanceTo(p))
				}
				worst = max(worst, best)
			}
		}
	}
	return worst
}

func TestTracedShapesLieWithinAQuarterPixel(t *testing.T) {
	center := geometry.Point{X: 50.3, Y: 48.8}
	ring := geometry.NewRegion(geometry.Circle(center, 40), geometry.Circle(center, 25).Reverse(), geometry.Circle(center, 10))
	for _, c := range []struct {
		name  string
		shape geometry.Region
		most  int // segments
	}{
		{"circle", geometry.NewRegion(geometry.Circle(center, 37.4)), 8},
		{"island in a hole", ring, 24},
		{"square", geometry.NewRegion(polygon(center, 45, 4, math.Pi/4)), 4},
		{"turned square", geometry.NewRegion(polygon(center, 45, 4, 0.3)), 4},
		{"triangle", geometry.NewRegion(polygon(center, 45, 3, 0.1)), 3},
		{"hexagon", geometry.NewRegion(polygon(center, 45, 6, 0.2)), 6},
		{"gear", geometry.NewRegion(gear(center, 36, 46, 12, 0.05), geometry.Circle(center, 9).Reverse()), 60},
		{"box with round corners", geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: center, Max: center}.Grow(35), 4).Transform(geometry.Rotate(0.3, center))), 16},
		{"star", geometry.NewRegion(gear(center, 20, 46, 5, 0.05)), 20},
	} {
		clean := render(c.shape, 100, 98)
		for _, p := range []struct {
			name    string
			picture image.Image
		}{
			{"clean", clean}, {"noise", grain(clean, 6, 1)}, {"jpeg 80", compress(t, clean, 80)}, {"both", compress(t, grain(clean, 4, 2), 85)},
		} {
			t.Run(c.name+"/"+p.name, func(t *testing.T) {
				g, _ := grayOf(p.picture, workPixels)
				level := otsu(histogram(g)).level
				rings, _, err := contours(g, level, false, smallestSpeck)
				require.NoError(t, err)
				got, err := regionOf(rings, defaultTolerance, inPixels)
				require.NoError(t, err)
				require.NoError(t, got.Validate(1e-6))
				segments := 0
				for _, c := range got.Contours() {
					segments += c.Len()
				}
				d := hausdorff(c.shape, got)
				t.Logf("%.3f px, %d segments, level %.1f", d, segments, level)
				assert.Less(t, d, 0.25)
				assert.LessOrEqual(t, segments, c.most)
			})
		}
	}
}
