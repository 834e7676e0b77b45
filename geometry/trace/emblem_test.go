package trace

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

func TestEmblemIsSizedByWhatIsDrawn(t *testing.T) {
	shape := geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: 20, Y: 30}, Max: geometry.Point{X: 80, Y: 50}}, 0))
	img := render(shape, 100, 80)
	for _, c := range []struct {
		name          string
		o             Options
		width, height float64
	}{
		{"by width", Options{WidthMM: 30}, 30, 10},
		{"by height", Options{HeightMM: 30}, 90, 30},
		{"into both, wide", Options{WidthMM: 30, HeightMM: 30}, 30, 10},
		{"into both, low", Options{WidthMM: 90, HeightMM: 6}, 18, 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			res, err := Emblem(img, c.o)
			require.NoError(t, err)
			b := res.Region.Bounds()
			assert.InDelta(t, 0, b.Min.X, 1e-9)
			assert.InDelta(t, 0, b.Min.Y, 1e-9)
			assert.InDelta(t, c.width, b.Max.X, 0.006*c.width)
			assert.InDelta(t, c.height, b.Max.Y, 0.02*c.height)
			assert.InDelta(t, c.width/60, res.PixelMM, 0.01*c.width/60)
			assert.Equal(t, 4, res.Segments)
			assert.Greater(t, res.Separability, 0.95)
			assert.Empty(t, res.Advice)
			assert.NoError(t, res.Region.Validate(1e-9))
		})
	}
}

func TestEmblemInvertedIsTheRest(t *testing.T) {
	ring := geometry.NewRegion(geometry.Circle(geometry.Point{X: 50, Y: 50}, 30), geometry.Circle(geometry.Point{X: 50, Y: 50}, 12).Reverse())
	img := render(ring, 100, 100)
	dark, err := Emblem(img, Options{WidthMM: 60})
	require.NoError(t, err)
	light, err := Emblem(img, Options{WidthMM: 100, Invert: true})
	require.NoError(t, err)
	assert.Len(t, dark.Region.Contours(), 2)
	assert.Len(t, light.Region.Contours(), 3, "the picture's border, the ring, the disc in it")
	assert.InDelta(t, math.Pi*(900-144), dark.Region.Area(), 8)
	assert.InDelta(t, 10000-math.Pi*(900-144), light.Region.Area(), 12)
}

func TestEmblemThresholds(t *testing.T) {
	// Black left third, grey middle, white right.
	img := image.NewGray(image.Rect(0, 0, 90, 30))
	for i := range img.Pix {
		img.Pix[i] = [3]uint8{0, 120, 255}[i%90/30]
	}
	narrow, err := Emblem(img, Options{HeightMM: 30, Threshold: 0.2})
	require.NoError(t, err)
	wide, err := Emblem(img, Options{HeightMM: 30, Threshold: 0.8})
	require.NoError(t, err)
	assert.InDelta(t, 30, narrow.Region.Bounds().Width(), 1)
	assert.InDelta(t, 60, wide.Region.Bounds().Width(), 1)
	assert.Equal(t, 0.2, narrow.Threshold)
}

func TestEmblemDespeckled(t *testing.T) {
	shape := geometry.NewRegion(geometry.Circle(geometry.Point{X: 50, Y: 50}, 35), geometry.Circle(geometry.Point{X: 50, Y: 50}, 4).Reverse())
	img := render(shape, 100, 100)
	kept, err := Emblem(img, Options{WidthMM: 70, DespeckleMM2: 40})
	require.NoError(t, err)
	assert.Len(t, kept.Region.Contours(), 2)
	filled, err := Emblem(img, Options{WidthMM: 70, DespeckleMM2: 60})
	require.NoError(t, err)
	assert.Len(t, filled.Region.Contours(), 1)
	assert.Equal(t, 1, filled.Dropped)
}

// mess is a picture of coarse grain: thousands of blots.
func mess() image.Image {
	random := rand.New(rand.NewPCG(3, 3))
	const blots, size = 220, 3
	img := image.NewGray(image.Rect(0, 0, blots*size, blots*size))
	for y := range blots {
		for x := range blots {
			v := color.Gray{uint8(random.IntN(256))}
			for k := range size * size {
				img.SetGray(size*x+k%size, size*y+k/size, v)
			}
		}
	}
	return img
}

func TestEmblemsThatAreRefused(t *testing.T) {
	disc := render(geometry.NewRegion(geometry.Circle(geometry.Point{X: 20, Y: 20}, 15)), 40, 40)
	blank := image.NewGray(image.Rect(0, 0, 20, 20))
	for _, c := range []struct {
		name string
		img  image.Image
		o    Options
		want string
	}{
		{"no size", disc, Options{}, "no size"},
		{"negative", disc, Options{WidthMM: -3}, "width -3"},
		{"not a number", disc, Options{WidthMM: math.NaN()}, "width NaN"},
		{"threshold", disc, Options{WidthMM: 3, Threshold: 1.5}, "threshold 1.5"},
		{"blank", blank, Options{WidthMM: 3}, "all of one tone"},
		{"despeckled away", disc, Options{WidthMM: 3, DespeckleMM2: 50}, "every part"},
		{"a mess", mess(), Options{WidthMM: 50}, "a mess: it has"},
		{"too many segments", disc, Options{WidthMM: 50, MaxSegments: 1}, "lines and arcs"},
		{"no pixels", image.NewGray(image.Rectangle{}), Options{WidthMM: 50}, "no pixels"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Emblem(c.img, c.o)
			var refused *PictureError
			require.ErrorAs(t, err, &refused)
			assert.Contains(t, err.Error(), c.want)
			assert.NotEmpty(t, refused.Hint)
		})
	}
}

func TestEmblemOfAPhotographGivesAdvice(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 128, 64))
	for i := range img.Pix {
		img.Pix[i] = uint8(2 * (i % 128))
	}
	res, err := Emblem(img, Options{WidthMM: 50})
	require.NoError(t, err)
	assert.Contains(t, res.Advice, "hard to tell apart")
	assert.InDelta(t, 0.75, res.Separability, 0.01)
}

// A large picture is averaged down first, and comes out at the same size.
func TestLargePictureIsAveragedDown(t *testing.T) {
	shape := geometry.NewRegion(polygon(geometry.Point{X: 100, Y: 100}, 80, 6, 0.2))
	img := render(shape, 200, 201)
	g, shrunk := grayOf(img, 100*100)
	assert.Equal(t, 2, shrunk)
	assert.Equal(t, [2]int{100, 100}, [2]int{g.w, g.h})
	rings, _, err := contours(g, 130, false, smallestSpeck)
	require.NoError(t, err)
	assert.InDelta(t, shape.Area()/4, rings[0].area(), 0.005*shape.Area()/4)
}
