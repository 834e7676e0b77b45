package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
)

// star is a star of five points, 96 mm wide and more, its tips cut off by so much as a picture's pixels do.
func star() geometry.Region {
	var points []geometry.Point
	for i := range 10 {
		r := 50.0
		if i%2 == 1 {
			r = 19.1
		}
		p := geometry.Point{X: r * math.Cos(float64(i)*math.Pi/5), Y: r * math.Sin(float64(i)*math.Pi/5)}
		if i%2 == 1 {
			points = append(points, p)
			continue
		}
		side := geometry.Point{X: -math.Sin(float64(i) * math.Pi / 5), Y: math.Cos(float64(i) * math.Pi / 5)}.Scale(0.1)
		points = append(points, p.Sub(side), p.Add(side))
	}
	return geometry.NewRegion(geometry.Polygon(points...))
}

// makeDrawn plans a cover with an emblem of a drawing, as wide as the emblem asks for.
func makeDrawn(t *testing.T, e job.Emblem, shape geometry.Region) (*Plan, finding.List) {
	box := shape.Bounds()
	shape = shape.Transform(geometry.Translate(-box.Min.X, -box.Min.Y)).Transform(geometry.Scale(e.Length.MM()/box.Width(), geometry.Point{}))
	in := input(t, bench(cover(nil, e)), "bench-router")
	in.Pictures = map[job.Picture]geometry.Region{e.Picture: shape}
	return Make(in)
}

// A star's points come out round with a warning, at any size and however it is made; a line that would vanish is refused.
func TestPointsOfAStar(t *testing.T) {
	for _, how := range []job.Make{job.Marked, job.Outlined, job.Cut} {
		for _, size := range []float64{50, 100} {
			e := emblem(20, 20, size, how)
			plan, found := makeDrawn(t, e, star())
			require.Equal(t, "warning:points-rounded", rules(found), "%v", found)
			assert.Contains(t, found[0].Message, "flat-3, which cuts 3.18 mm wide")
			assert.Len(t, plan.Trays[0].Marks, 1)
		}
	}
	for _, width := range []float64{0.8, 1.6, 2.4} { // a bar of it sticks out of a square
		bar, err := geometry.Union(1e-3, geometry.NewRegion(geometry.Polygon(geometry.Point{}, geometry.Point{X: 30}, geometry.Point{X: 30, Y: 30}, geometry.Point{Y: 30})),
			geometry.NewRegion(geometry.Polygon(geometry.Point{X: 30, Y: 10}, geometry.Point{X: 36, Y: 10}, geometry.Point{X: 36, Y: 10 + width}, geometry.Point{X: 30, Y: 10 + width})))
		require.NoError(t, err)
		e := emblem(20, 20, 36, job.Cut)
		_, found := makeDrawn(t, e, bar)
		assert.Equal(t, "error:letter-too-fine", rules(found), "%g mm: %v", width, found)
	}
}
