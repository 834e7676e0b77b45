package lettering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// grille is a plate with n x n wavy holes of 150 sides, as a traced picture may have.
func join(t require.TestingT, regions ...geometry.Region) geometry.Region {
	r, err := geometry.Union(joinMM, regions...)
	require.NoError(t, err)
	return r
}

func grille(t require.TestingT, n int) geometry.Region {
	var holes []geometry.Region
	for i := range n * n {
		var points []geometry.Point
		for k := range 150 {
			angle := 2 * math.Pi * float64(k) / 150
			r := 8 + 0.7*math.Sin(9*angle+float64(i%n))
			sin, cos := math.Sincos(angle)
			points = append(points, geometry.Point{X: 15 + 28*float64(i%n) + r*cos, Y: 15 + 28*float64(i/n) + r*sin})
		}
		holes = append(holes, geometry.NewRegion(geometry.Polygon(points...)))
	}
	side := 28*float64(n) + 2
	plate := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: side, Y: side}}, 0))
	r, err := geometry.Difference(plate, join(t, holes...), joinMM)
	require.NoError(t, err)
	return r
}

func BenchmarkShipped(b *testing.B) {
	for b.Loop() {
		shippedFace(b, "go")
	}
}

func BenchmarkAlphabet(b *testing.B) {
	for b.Loop() {
		shippedFace(b, Strokes)
	}
}

func BenchmarkSet(b *testing.B) {
	for _, name := range []string{Strokes, "go"} {
		b.Run(name, func(b *testing.B) {
			face := shippedFace(b, name)
			for b.Loop() {
				_, err := face.Set("Tidewrack Gull Watch 12", Setting{HeightMM: 12})
				require.NoError(b, err)
			}
		})
	}
}

func BenchmarkFit(b *testing.B) {
	face := shippedFace(b, "go")
	for b.Loop() {
		_, err := face.Fit("Tidewrack Gull Watch 12", 100, 20, Setting{})
		require.NoError(b, err)
	}
}

func BenchmarkStencil(b *testing.B) {
	region := grille(b, 4)
	for b.Loop() {
		_, _, err := Stencil(region, StencilOptions{BridgeMM: 1}, joinMM)
		require.NoError(b, err)
	}
}
