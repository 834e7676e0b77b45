package geometry

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// benchShapes are the named shapes of all benchmarks, here and in the comparison
// with other libraries.
func benchShapes() []struct {
	name string
	r    Region
} {
	return []struct {
		name string
		r    Region
	}{
		{"rectangle", NewRegion(Rectangle(box(0, 0, 60, 40), 5))},
		{"letter-o", NewRegion(Rectangle(box(0, 0, 60, 80), 30), Rectangle(box(12, 12, 36, 56), 18).Reverse())},
		{"pillar", NewRegion(Rectangle(box(0, 0, 60, 40), 5), Circle(Point{30, 20}, 8).Reverse())},
		{"notched", notched()},
		{"coins", coinGrid(6, 8)},
		{"gear", NewRegion(gear(40, 30))},
	}
}

// notched is a pocket with two finger notches, eight arcs and eight lines.
func notched() Region {
	r, err := Union(1e-6, NewRegion(Rectangle(box(0, 0, 60, 40), 2)), NewRegion(Slot(Point{0, 20}, Point{60, 20}, 22)))
	if err != nil {
		panic(err)
	}
	return r
}

func coinGrid(columns, rows int) Region {
	var contours []Contour
	for i := range columns {
		for j := range rows {
			contours = append(contours, Circle(Point{float64(i) * 30, float64(j) * 30}, 12.875))
		}
	}
	return NewRegion(contours...)
}

// gear has teeth of arcs 3 mm high, four segments each.
func gear(teeth int, radius float64) Contour {
	var vertices []Vertex
	for i := range teeth {
		angle := func(share float64) Point {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + share) / float64(teeth))
			return Point{cos, sin}
		}
		vertices = append(vertices, Vertex{angle(0).Scale(radius), 0.1}, Vertex{angle(0.3).Scale(radius + 3), 0.3},
			Vertex{angle(0.5).Scale(radius + 3), -0.1}, Vertex{angle(0.8).Scale(radius), -0.2})
	}
	return Contour{vertices}
}

// TestBenchShapes writes the shapes and offsets of BenchmarkOffset to the file named by
// TRAYWRIGHT_BENCH_OUT, for a comparison with other libraries.
func TestBenchShapes(t *testing.T) {
	name := os.Getenv("TRAYWRIGHT_BENCH_OUT")
	if name == "" {
		t.Skip("TRAYWRIGHT_BENCH_OUT names no file")
	}
	type line struct {
		Name     string         `json:"name"`
		Contours [][][3]float64 `json:"contours"`
		D        float64        `json:"d"`
	}
	var lines []line
	for _, shape := range benchShapes() {
		for _, d := range []float64{-2, 2} {
			lines = append(lines, line{benchName(shape.name, d), flat(shape.r), d})
		}
	}
	text, err := json.Marshal(lines)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(name, text, 0o644))
}

func benchName(shape string, d float64) string {
	if d < 0 {
		return fmt.Sprintf("%s-in-%g", shape, -d)
	}
	return fmt.Sprintf("%s-out-%g", shape, d)
}

func BenchmarkOffset(b *testing.B) {
	for _, shape := range benchShapes() {
		for _, d := range []float64{-2, 2} {
			b.Run(benchName(shape.name, d), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := Offset(shape.r, d, 1e-6); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// BenchmarkOffsetLarge grows by tens: n log n keeps the time per segment nearly level.
func BenchmarkOffsetLarge(b *testing.B) {
	for _, side := range []int{22, 71, 224} {
		grid := coinGrid(side, side)
		b.Run(fmt.Sprintf("coins/%d-segments", 2*side*side), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Offset(grid, -2, 1e-6); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*2*side*side), "ns/segment")
		})
	}
	for _, teeth := range []int{250, 2500, 25000} {
		wheel := NewRegion(gear(teeth, float64(teeth)*0.75))
		b.Run(fmt.Sprintf("gear/%d-segments", 4*teeth), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Offset(wheel, -1, 1e-6); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*4*teeth), "ns/segment")
		})
	}
}

func BenchmarkUnion(b *testing.B) {
	slots := make([]Region, 200)
	for i := range slots {
		x := float64(i)
		slots[i] = NewRegion(Slot(Point{x, 10 * math.Sin(x)}, Point{x + 20, 10 * math.Cos(x)}, 3))
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Union(1e-6, slots...); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGaps(b *testing.B) {
	contours := coinGrid(100, 100).Contours()
	b.ReportAllocs()
	for b.Loop() {
		Gaps(contours, 6)
	}
}
