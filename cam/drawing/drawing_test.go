package drawing

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
)

func TestWriteRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	on := func(layer string, open ...geometry.Vertex) Drawing {
		return Drawing{Layers: sampleLayers, Paths: []Path{{Layer: layer, Open: geometry.NewPath(open...)}}}
	}
	cases := []struct {
		name string
		d    Drawing
		want string
	}{
		{"nothing", Drawing{}, "the drawing has no path"},
		{"layers alone", Drawing{Layers: sampleLayers}, "the drawing has no path"},
		{"not a number", pocket(vx(nan, 0, 0), vx(1, 0, 0)), "path 1 of the drawing, layer POCKET: the point XNaN Y0, bulge 0, is not finite"},
		{"infinite", pocket(vx(0, 0, 0), vx(1, inf, 0)), "path 1 of the drawing, layer POCKET: the point X1 Y+Inf, bulge 0, is not finite"},
		{"infinite bulge", pocket(vx(0, 0, inf), vx(1, 0, 0)), "path 1 of the drawing, layer POCKET: the point X0 Y0, bulge +Inf, is not finite"},
		{"one point", pocket(vx(0, 0, 0)), "path 1 of the drawing, layer POCKET: a path needs two points, this one has 1"},
		{"no point", on("MARK"), "path 1 of the drawing, layer MARK: a path needs two points, this one has 0"},
		{"unknown layer", on("SAND", vx(0, 0, 0), vx(1, 0, 0)), "path 1 of the drawing, layer SAND: there is no such layer"},
	}
	for _, c := range cases {
		for _, f := range everyFormat {
			t.Run(c.name+" "+f.name, func(t *testing.T) {
				text, err := f.write(c.d)
				assert.EqualError(t, err, c.want)
				assert.Empty(t, text, "nothing is written beside an error")
			})
		}
	}
	text, err := dxfText(sample(false), 7)
	assert.EqualError(t, err, "there is no DXF version 7; choose r2000 or r12")
	assert.Empty(t, text)
}

func TestWriteReturnsTheWritersError(t *testing.T) {
	assert.EqualError(t, WriteDXF(brokenWriter{}, sample(false), R2000), "the disk is full")
	assert.EqualError(t, WriteSVG(brokenWriter{}, sample(false)), "the disk is full")
}

func TestSameBytesEveryTime(t *testing.T) {
	for _, f := range everyFormat {
		first, err := f.write(sample(true))
		assert.NoError(t, err)
		again, err := f.write(sample(true))
		assert.NoError(t, err)
		assert.Equal(t, first, again, f.name)
	}
}

func TestDecimal(t *testing.T) {
	cases := map[float64]string{
		0: "0", math.Copysign(0, -1): "0", -4e-7: "0", 1: "1", -1.5: "-1.5", 100: "100", 25.4 / 64: "0.396875",
		1e-6: "0.000001", 123456.7890123: "123456.789012", 1e15: "1000000000000000", 2.0 / 3: "0.666667",
	}
	for x, want := range cases {
		assert.Equal(t, want, decimal(x, 6))
	}
}
