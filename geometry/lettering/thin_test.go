package lettering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

func polygon(points ...float64) geometry.Region {
	var list []geometry.Point
	for i := 0; i < len(points); i += 2 {
		list = append(list, geometry.Point{X: points[i], Y: points[i+1]})
	}
	return geometry.NewRegion(geometry.Polygon(list...))
}

func disc(x, y, r float64) geometry.Region {
	return geometry.NewRegion(geometry.Circle(geometry.Point{X: x, Y: y}, r))
}

func join(t require.TestingT, regions ...geometry.Region) geometry.Region {
	r, err := geometry.Union(joinMM, regions...)
	require.NoError(t, err)
	return r
}

// Shapes whose widths are known, in every position: turned, mirrored and moved.
func TestThinnestOfKnownShapes(t *testing.T) {
	bar := geometry.Box{Max: geometry.Point{X: 20, Y: 3}}
	for _, c := range []struct {
		name        string
		region      geometry.Region
		stroke, gap float64 // limits
		want        []Thin  // Kind and WidthMM
	}{
		{"bar", geometry.NewRegion(geometry.Rectangle(bar, 0)), 4, 4, []Thin{{Stroke, geometry.Point{X: 10, Y: 1.5}, 3}}},
		{"bar, wide enough", geometry.NewRegion(geometry.Rectangle(bar, 0)), 3, 3, nil},
		{"slot", geometry.NewRegion(geometry.Slot(geometry.Point{}, geometry.Point{X: 20}, 3)), 4, 0, []Thin{{Stroke, geometry.Point{X: 10}, 3}}},
		{"disc", disc(1, 2, 1.5), 4, 4, []Thin{{Stroke, geometry.Point{X: 1, Y: 2}, 3}}},
		{"ring", ring(10, 8), 3, 3, []Thin{{Stroke, geometry.Point{}, 2}}},
		{"hole", ring(10, 1), 3, 3, []Thin{{Gap, geometry.Point{}, 2}}},
		{"two discs", join(t, disc(0, 0, 5), disc(11, 0, 5)), 3, 3, []Thin{{Gap, geometry.Point{X: 5.5}, 1}}},
		{"two bars", join(t, polygon(0, 0, 20, 0, 20, 5, 0, 5), polygon(8, 7, 30, 7, 30, 12, 8, 12)), 4, 4, []Thin{{Gap, geometry.Point{X: 14, Y: 6}, 2}}},
		{"corner to corner", join(t, polygon(0, 0, 9, 0, 9, 9, 0, 9), polygon(10, 10, 19, 10, 19, 19, 10, 19)), 4, 4, []Thin{{Gap, geometry.Point{X: 9.5, Y: 9.5}, math.Sqrt2}}},
		{"point to side", join(t, polygon(0, 0, 20, 0, 20, 5, 0, 5), polygon(10, 6, 15, 16, 5, 16)), 2, 2, []Thin{{Gap, geometry.Point{X: 10, Y: 5.5}, 1}}},
		{"neck", join(t, disc(0, 0, 5), disc(12, 0, 5), polygon(0, -0.5, 12, -0.5, 12, 0.5, 0, 0.5)), 2, 0, []Thin{{Stroke, geometry.Point{X: 6}, 1}}},
		{"square corner", polygon(0, 0, 20, 0, 20, 20, 0, 20), 10, 10, nil},
		{"sharp corner", polygon(0, 0, 20, 0, 10, 20), 5, 5, nil},
		{"notch", polygon(0, 0, 20, 0, 20, 20, 10, 5, 0, 20), 4, 4, nil},
		{"slender taper", polygon(0, 0, 40, 1.5, 40, 2.5, 0, 4), 2, 0, []Thin{{Stroke, geometry.Point{X: 40, Y: 2}, 1}}},
		{"empty", geometry.Region{}, 5, 5, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for turn := range 12 {
				move := geometry.Rotate(float64(turn)*math.Pi/6, geometry.Point{X: 3, Y: 1})
				if turn%2 == 1 {
					move = move.Then(geometry.MirrorX(2))
				}
				got := Thinnest(c.region.Transform(move), c.stroke, c.gap)
				if c.name == "ring" {
					require.NotEmpty(t, got)
					assert.InDelta(t, 2, got[0].WidthMM, 1e-9)
					continue
				}
				require.Len(t, got, len(c.want), "turned by %d twelfths: %v", turn, got)
				for i, want := range c.want {
					assert.Equal(t, want.Kind, got[i].Kind)
					assert.InDelta(t, want.WidthMM, got[i].WidthMM, 1e-6)
					assert.InDelta(t, 0, want.At.Transform(move).DistanceTo(got[i].At), 1e-3)
				}
			}
		})
	}
}

// What comes out at least so wide when a region is opened by a disc has no stroke thinner than
// that disc; and a bar put across it is found.
func TestThinnestFindsABar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.Float64Range(0.2, 1.9).Draw(t, "width")
		length := rapid.Float64Range(6, 20).Draw(t, "length")
		turn := rapid.Float64Range(0, 7).Draw(t, "turn")
		gap := rapid.Bool().Draw(t, "gap")
		bar := geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: -length / 2, Y: -width / 2}, Max: geometry.Point{X: length / 2, Y: width / 2}}, 0)).
			Transform(geometry.Rotate(turn, geometry.Point{}))
		region, kind := join(t, bar, disc(20, 20, 5)), Stroke
		if gap {
			var err error
			region, err = geometry.Difference(disc(0, 0, 15), bar, joinMM)
			require.NoError(t, err)
			kind = Gap
		}
		got := Thinnest(region, 2, 2)
		require.NotEmpty(t, got)
		require.Equal(t, kind, got[0].Kind)
		require.InDelta(t, width, got[0].WidthMM, 1e-6)
	})
}

// The letters of Go Regular are as thin as the font draws them: the bars of its E are 157
// units thick, of a capital height of 1480.
func TestThinnestOfLetters(t *testing.T) {
	line := mustSet(t, "go", "E", Setting{HeightMM: 14.80})
	thin, err := line.Thinnest(2, 0)
	require.NoError(t, err)
	require.NotEmpty(t, thin)
	assert.InDelta(t, thin[0].WidthMM*thin[0].HeightMM/14.80, 2, 1e-9)
	large := mustSet(t, "go", "E", Setting{HeightMM: thin[0].HeightMM * (1 + 1e-9)})
	thin, err = large.Thinnest(2, 0)
	require.NoError(t, err)
	assert.Empty(t, thin, "the height that would do does")
}

// A finding belongs to its letter, also on an arc, and a bridge is known for one.
func TestThinnestNamesTheLetter(t *testing.T) {
	for _, radius := range []float64{0, 60} {
		line := mustSet(t, "go-bold", "HOH", Setting{HeightMM: 20, BridgeMM: 1, ArcRadiusMM: radius})
		thin, err := line.Thinnest(0, 1.5)
		require.NoError(t, err)
		require.Len(t, thin, 2)
		for _, f := range thin {
			assert.Equal(t, 1, f.Letter)
			assert.True(t, f.Bridge)
			assert.Zero(t, f.HeightMM)
			assert.Equal(t, Gap, f.Kind)
			assert.InDelta(t, 1, f.WidthMM, 1e-6)
		}
	}
}

func TestGapsBetweenLettersCount(t *testing.T) {
	line := mustSet(t, "go", "HH", Setting{HeightMM: 14.80, TrackingMM: -2.5})
	thin, err := line.Thinnest(0, 1)
	require.NoError(t, err)
	require.NotEmpty(t, thin)
	want := line.Letters[1].Box.Min.X - line.Letters[0].Box.Max.X
	assert.InDelta(t, want, thin[0].WidthMM, 1e-9)
	assert.False(t, thin[0].Bridge)
}

func TestKinds(t *testing.T) {
	assert.Equal(t, "stroke", Stroke.String())
	assert.Equal(t, "gap", Gap.String())
	assert.Equal(t, "unknown", Kind(7).String())
}
