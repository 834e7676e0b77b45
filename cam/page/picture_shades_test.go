package page

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
)

// strip is a field of one row.
func strip(depths ...float32) proof.Field {
	return proof.Field{CellMM: 1, Columns: len(depths), Rows: 1, DepthMM: depths}
}

func TestClassOfDepth(t *testing.T) {
	s := newShades(64, 25)
	for depth, want := range map[float32]uint8{
		0: untouched, -1: untouched, 0.005: untouched, 0.02: 1, 0.5: 1, 9.9: 10, 10.5: 11, 24.9: 25, 24.99: through, 25: through, 400: through,
		float32(math.NaN()): untouched, float32(math.Inf(1)): through, float32(math.Inf(-1)): untouched,
	} {
		assert.Equal(t, want, s.class(depth), "depth %g", depth)
	}
	assert.Equal(t, deepestClass, newShades(64, 0).class(400), "nobody said how thick the foam is")
	assert.Equal(t, s.colours[26], s.colours[through], "through has the colour of its depth")
}

// One depth has one colour on all pictures of a job: sheets of several
// thicknesses, and the trays of the overview.
func TestADepthHasOneColourInAJob(t *testing.T) {
	p := demoPlan(t)
	r, wanted := trayResult()
	o := routerOptions(wanted)
	o.Job = p
	first := newSheet(setter(t), r, o).shades
	o.ThicknessMM = 50.8
	second := newSheet(setter(t), r, o).shades
	overview := newOverview(setter(t), p, OverviewOptions{}, false)
	for depth := 0.5; depth < 25; depth += 0.1 {
		assert.Equal(t, first.colour(depth), second.colour(depth), "%g mm", depth)
		for i := range p.Trays {
			if depth > p.Trays[i].Thickness().MM()-0.1 {
				continue
			}
			require.Equal(t, first.colour(depth), overview.shadesOf(&p.Trays[i]).colour(depth), "%g mm in tray %d", depth, i)
		}
	}
}

func TestTheLegendSaysWhoseScaleItIs(t *testing.T) {
	p := demoPlan(t)
	for _, c := range []struct {
		o     PictureOptions
		field proof.Field
		mm    float64
		whose string
	}{
		{PictureOptions{Job: p, ThicknessMM: 12}, proof.Field{}, 44.45, ", on every picture of this job"},
		{PictureOptions{Job: &plan.Plan{}, ThicknessMM: 12}, proof.Field{}, 12, ", the thickness of this foam"},
		{PictureOptions{ThicknessMM: 12}, proof.Field{}, 12, ", the thickness of this foam"},
		{PictureOptions{}, strip(3, 9, 4), 9, ", the deepest cut here"},
	} {
		s := newSheet(setter(t), proof.Result{Field: c.field}, c.o)
		assert.InDelta(t, c.mm, s.shades.scaleMM, 1e-6)
		assert.Equal(t, c.whose, s.whose)
	}
}

// The depth ramp has to survive a grey printer: each shade is darker than the one
// before, evenly enough that an eighth of the scale is a step that can be seen.
func TestRampFallsInLightness(t *testing.T) {
	for i := 1; i < len(shadesOfDepth); i++ {
		assert.Less(t, lightness(shadesOfDepth[i]), lightness(shadesOfDepth[i-1]), i)
		if i >= 8 {
			assert.Greater(t, math.Sqrt(lightness(shadesOfDepth[i-8]))-math.Sqrt(lightness(shadesOfDepth[i])), 0.03, i)
		}
	}
	assert.Less(t, lightness(shadesOfDepth[0]), lightness(foamColour))
}

// A picture of very many colours keeps the shades of depth exactly.
func TestTheFileKeepsEveryShade(t *testing.T) {
	im := image.NewRGBA(image.Rect(0, 0, 256, 256))
	for i := range 256 * 256 {
		im.SetRGBA(i%256, i/256, color.RGBA{uint8(i), uint8(i >> 8), 77, 0xff})
	}
	for i, shade := range shadesOfDepth {
		im.SetRGBA(i, 9, shade)
	}
	var b bytes.Buffer
	require.NoError(t, encode(&b, im, false))
	got, err := png.Decode(&b)
	require.NoError(t, err)
	for i, shade := range shadesOfDepth {
		assert.Equal(t, shade, got.At(i, 9))
	}
}

// The gauge shows each depth where its ruler says it is.
func TestGauge(t *testing.T) {
	c := newCanvas(setter(t), 700, 120)
	s := newShades(60, 0)
	c.gauge(rect{20, 10, 600, 30}, s, 0)
	for _, mm := range []float64{1, 12.5, 30, 44, 59} {
		assert.Equal(t, s.colour(mm), c.im.RGBAAt(20+int(mm*10), 25), "%g mm", mm)
	}
	assert.Equal(t, paper, c.im.RGBAAt(640, 25))
}

func TestWhatStandsBesideAGradient(t *testing.T) {
	assert.Equal(t, []float64{1.5, 11.999, 20}, named([]float64{20, 12.001, math.NaN(), 1.5, 11.999, 0, -3, math.Inf(1)}))
	var many []float64
	for i := range 40 {
		many = append(many, float64(i+1))
	}
	list := named(many)
	assert.Len(t, list, mostDepths)
	assert.Equal(t, 40.0, list[len(list)-1], "the deepest is named")
}

// A wall is a line wherever the foam's depth changes, and nowhere else.
func TestWallsAreLines(t *testing.T) {
	field := newField(0, 0, 40, 20, 0.2)
	each(field, 10, 0, 20, 20, func(x, y float64) float64 { return 8 })
	each(field, 20, 0, 30, 20, func(x, y float64) float64 { return 12 })
	s := newSheet(setter(t), proof.Result{Field: field}, PictureOptions{ThicknessMM: 15})
	im := s.draw()
	dark := func(x float64) bool {
		p := s.v.at(geometry.Point{X: x, Y: 10.5})
		least, beside := 1.0, lightness(im.RGBAAt(int(p.X)-60, int(p.Y)))
		for dx := -20; dx <= 20; dx++ {
			least = min(least, lightness(im.RGBAAt(int(p.X)+dx, int(p.Y))))
		}
		return least < beside*0.7
	}
	for _, x := range []float64{10, 20, 30} {
		assert.True(t, dark(x), "wall at %g", x)
	}
	for _, x := range []float64{5, 15, 35} {
		assert.False(t, dark(x), "no wall at %g", x)
	}
}
