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
	for _, pocket := range batch() {
		lines = append(lines, line{"batch-of-400", flat(pocket), batchOffset})
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
	b.Run("batch-of-400", benchmarkBatch)
}

// comb is a bar with a notch beside every tooth, all corners of the notches round.
func comb(teeth int) Contour {
	vertices := []Vertex{{Point{0, -10}, 0}, {Point{10 * float64(teeth), -10}, 0}}
	for i := teeth; i > 0; i-- {
		x := 10 * float64(i)
		vertices = append(vertices, Vertex{Point{x, 0}, 0}, Vertex{Point{x - 4, 0}, 0}, Vertex{Point{x - 4, -3}, -1},
			Vertex{Point{x - 10, -3}, 0})
	}
	return Contour{append(vertices, Vertex{Point{0, 0}, 0})}
}

// plate is a sheet with round holes in rows, two segments each.
func plate(holes int) Region {
	side := int(math.Ceil(math.Sqrt(float64(holes))))
	contours := []Contour{Rectangle(box(-20, -20, 30*float64(side)+20, 30*float64(side)+20), 5)}
	for i := range holes {
		contours = append(contours, Circle(Point{30 * float64(i%side), 30 * float64(i/side)}, 12.875).Reverse())
	}
	return Region{contours}
}

// benchmarkBatch is what a job of 400 pockets asks for, one after the other.
func benchmarkBatch(b *testing.B) {
	pockets := batch()
	b.ReportAllocs()
	for b.Loop() {
		for _, pocket := range pockets {
			if _, err := Offset(pocket, batchOffset, 1e-6); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkGrowing grows by tens: n log n keeps the time per segment nearly level.
func BenchmarkGrowing(b *testing.B) {
	for _, shape := range []struct {
		name string
		make func(segments int) Region
		do   func(Region) (Region, error)
	}{
		{"offset-gear", func(n int) Region { return NewRegion(gear(n/4, float64(n)*0.19)) }, offsetBy(-1)},
		{"offset-comb", func(n int) Region { return NewRegion(comb(n / 4)) }, offsetBy(-1)},
		{"offset-plate", func(n int) Region { return plate(n / 2) }, offsetBy(-1)},
		{"union-coins", func(n int) Region { return plate(n / 2) }, func(r Region) (Region, error) {
			return Difference(r, r.Transform(Translate(7, 5)), 1e-6)
		}},
		{"validate-plate", func(n int) Region { return plate(n / 2) }, func(r Region) (Region, error) { return r, r.Validate(1e-6) }},
		{"pieces-of-plate", func(n int) Region { return plate(n / 2) }, func(r Region) (Region, error) { return r.Pieces()[0], nil }},
	} {
		for _, n := range []int{100, 1000, 10_000, 100_000} {
			r := shape.make(n)
			b.Run(fmt.Sprintf("%s/%d", shape.name, n), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := shape.do(r); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*r.size()), "ns/segment")
			})
		}
	}
}

func offsetBy(d float64) func(Region) (Region, error) {
	return func(r Region) (Region, error) { return Offset(r, d, 1e-6) }
}

// batchOffset is that of a cutter of 3.175 mm.
const batchOffset = -3.175 / 2

// batch is 400 pockets: round corners, discs, slots and notched ones, no two alike.
func batch() []Region {
	pockets := make([]Region, 400)
	for i := range pockets {
		size := 20 + 0.1*float64(i)
		switch i % 4 {
		case 0:
			pockets[i] = NewRegion(Rectangle(box(0, 0, size, 30), 3))
		case 1:
			pockets[i] = NewRegion(Circle(Point{}, size/2))
		case 2:
			pockets[i] = NewRegion(Slot(Point{}, Point{size, 5}, 12))
		default:
			r, err := Union(1e-6, NewRegion(Rectangle(box(0, 0, size, 40), 2)), NewRegion(Slot(Point{-8, 20}, Point{size + 8, 20}, 18)))
			if err != nil {
				panic(err)
			}
			pockets[i] = r
		}
	}
	return pockets
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
