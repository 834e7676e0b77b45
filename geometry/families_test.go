package geometry_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	. "traywright/geometry"
	"traywright/geometry/lettering"
)

// family is one kind of shapes for the comparison with another library. None is chosen for its
// result: all that a shape is made of is drawn.
type family struct {
	name string
	draw func(t testing.TB, r *rand.Rand) Region
}

var families = []family{
	{"arcs", func(t testing.TB, r *rand.Rand) Region {
		parts := []Region{NewRegion(Circle(Point{}, 20))}
		for range 4 + r.IntN(8) {
			a, b := Point{60*r.Float64() - 30, 60*r.Float64() - 30}, Point{60*r.Float64() - 30, 60*r.Float64() - 30}
			parts = append(parts, NewRegion(Slot(a, b, 8+12*r.Float64())))
		}
		return united(t, parts...)
	}},
	{"lines", func(_ testing.TB, r *rand.Rand) Region {
		return ring(12+r.IntN(60), func(float64) float64 { return 15 + 30*r.Float64() })
	}},
	{"traced", func(_ testing.TB, r *rand.Rand) Region {
		var high, phase [9]float64
		for k := range high {
			high[k], phase[k] = 8*r.Float64()/float64(k+1), 7*r.Float64()
		}
		return ring(512, func(angle float64) float64 {
			at := 40 + 0.02*r.Float64()
			for k := range high {
				at += high[k] * math.Sin(float64(k+2)*angle+phase[k])
			}
			return at
		})
	}},
	{"lettering", func(t testing.TB, r *rand.Rand) Region {
		face, ok := lettering.Shipped("go")
		require.True(t, ok)
		word := make([]byte, 3+r.IntN(8))
		for i := range word {
			word[i] = byte('a' + r.IntN(26))
		}
		set, err := face.Set(string(word), lettering.Setting{HeightMM: 12 + 30*r.Float64()})
		require.NoError(t, err)
		region, err := set.Region(1e-6)
		require.NoError(t, err)
		return region
	}},
	{"gears", func(_ testing.TB, r *rand.Rand) Region {
		teeth, radius, high := 8+r.IntN(50), 20+40*r.Float64(), 1+4*r.Float64()
		var v []Vertex
		for i := range teeth {
			for _, p := range [][3]float64{{0, 0, 0.1}, {0.3, high, 0.3}, {0.5, high, -0.1}, {0.8, 0, -0.2}} { // share of a tooth, mm, bulge
				sin, cos := math.Sincos(2 * math.Pi * (float64(i) + p[0]) / float64(teeth))
				v = append(v, Vertex{Point: Point{X: cos, Y: sin}.Scale(radius + p[1]), Bulge: p[2]})
			}
		}
		return NewRegion(NewContour(v...))
	}},
	{"plans", func(_ testing.TB, r *rand.Rand) Region {
		columns, rows := 2+r.IntN(6), 2+r.IntN(6)
		list := []Contour{Rectangle(Box{Max: Point{X: 40*float64(columns) + 10, Y: 40*float64(rows) + 10}}, 8)}
		for i := range columns * rows {
			at := Point{X: 40*float64(i%columns) + 10, Y: 40*float64(i/columns) + 10}
			size := Point{X: 12 + 18*r.Float64(), Y: 12 + 18*r.Float64()}
			list = append(list, Rectangle(Box{Min: at, Max: at.Add(size)}, 5*r.Float64()).Reverse())
		}
		return NewRegion(list...)
	}},
	{"near-touching", func(_ testing.TB, r *rand.Rand) Region {
		var list []Contour
		for i := range 25 {
			gap := 4 + 2e-3*(r.Float64()-0.5) // about what two offsets of 2 mm fill
			list = append(list, Circle(Point{X: float64(i%5) * (20 + gap), Y: float64(i/5) * (20 + gap)}, 10))
		}
		return NewRegion(list...)
	}},
}

func ring(n int, radius func(angle float64) float64) Region {
	points := make([]Point, n)
	for i := range points {
		angle := 2 * math.Pi * float64(i) / float64(n)
		sin, cos := math.Sincos(angle)
		points[i] = Point{X: cos, Y: sin}.Scale(radius(angle))
	}
	return NewRegion(Polygon(points...))
}

func united(t testing.TB, parts ...Region) Region {
	r, err := Union(1e-6, parts...)
	require.NoError(t, err)
	return r
}

// drawnShape is one of a family, and the offset that it is given.
type drawnShape struct {
	name   string
	region Region
	d      float64
}

// drawnShapes are six of each family, three grown and three shrunk, from TRAYWRIGHT_BENCH_SEED.
func drawnShapes(t testing.TB) (list []drawnShape) {
	seed, err := strconv.ParseUint(os.Getenv("TRAYWRIGHT_BENCH_SEED"), 10, 64)
	if err != nil {
		seed = 1
	}
	for k, f := range families {
		r := rand.New(rand.NewPCG(seed, uint64(k)))
		for i := range 6 {
			d := 0.3 + 3*r.Float64()
			if f.name == "near-touching" {
				d = 2
			}
			if i%2 == 1 {
				d = -d
			}
			list = append(list, drawnShape{fmt.Sprintf("%s-%d", f.name, i), f.draw(t, r), d})
		}
	}
	return list
}

// TestDrawnShapes holds that each has its offset, and writes them to the file named by
// TRAYWRIGHT_DRAWN_OUT, for the comparison with another library.
func TestDrawnShapes(t *testing.T) {
	type line struct {
		Name     string         `json:"name"`
		Contours [][][3]float64 `json:"contours"`
		D        float64        `json:"d"`
	}
	var lines []line
	for _, s := range drawnShapes(t) {
		require.NoError(t, s.region.Validate(1e-6), s.name)
		_, err := Offset(s.region, s.d, 1e-6)
		require.NoError(t, err, s.name)
		l := line{Name: s.name, D: s.d}
		for _, c := range s.region.Contours() {
			var vertices [][3]float64
			for _, v := range c.Vertices() {
				vertices = append(vertices, [3]float64{v.X, v.Y, v.Bulge})
			}
			l.Contours = append(l.Contours, vertices)
		}
		lines = append(lines, l)
	}
	if name := os.Getenv("TRAYWRIGHT_DRAWN_OUT"); name != "" {
		text, err := json.Marshal(lines)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(name, text, 0o644))
	}
}

func BenchmarkDrawn(b *testing.B) {
	for _, s := range drawnShapes(b) {
		b.Run(s.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Offset(s.region, s.d, 1e-6); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
