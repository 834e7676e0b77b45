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
)

// Okabe and Ito (2008), "Color Universal Design", the set for the colour-blind; the
// rest as the design has it.
func TestColours(t *testing.T) {
	for want, got := range map[uint32]color.RGBA{
		0x000000: black, 0xe69f00: orange, 0x009e73: bluishGreen, 0xf0e442: yellow, 0x0072b2: blue, 0xcc79a7: purple,
		0xf7f3ea: paper, 0xe9e2d2: foamColour, 0x1f2326: ink, 0xb4472c: rust,
	} {
		assert.Equal(t, want, uint32(got.R)<<16|uint32(got.G)<<8|uint32(got.B))
	}
}

// contrast of two colours (WCAG 2.1, definition of contrast ratio).
func contrast(a, b color.RGBA) float64 {
	la, lb := lightness(a), lightness(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// WCAG 2.1, success criterion 1.4.3: 4.5 to 1 for text, on every ground that text
// stands on.
func TestTextCanBeRead(t *testing.T) {
	assert.InDelta(t, 21, contrast(black, white), 1e-9)
	for _, ground := range []color.RGBA{paper, white, foamColour, mix(paper, hairline, 0.35), mix(paper, blue, 0.2)} {
		assert.Greater(t, contrast(ink, ground), 4.5)
		assert.Greater(t, contrast(softInk, ground), 4.5)
	}
	for i, ground := range shadesOfDepth {
		assert.Greater(t, contrast(lettersOn(ground), ground), 4.5, "on shade %d", i)
	}
}

// Lightness after IEC 61966-2-1, on both sides of where its line becomes a power, and the
// letters on either side of a contrast of 4.58 : 1.
func TestLightnessOfGreys(t *testing.T) {
	for v, want := range map[uint8]float64{0: 0, 5: 5 / 255.0 / 12.92, 10: 10 / 255.0 / 12.92, 11: 0.003346536, 15: 0.004776953, 20: 0.006995410, 128: 0.215860500, 188: 0.502886458, 255: 1} {
		assert.InDelta(t, want, lightness(color.RGBA{v, v, v, 0xff}), 1e-8, v)
	}
	assert.InDelta(t, 0.2126, lightness(color.RGBA{R: 255}), 1e-12)
	assert.InDelta(t, 0.7152, lightness(color.RGBA{G: 255}), 1e-12)
	assert.InDelta(t, 0.0722, lightness(color.RGBA{B: 255}), 1e-12)
	assert.Equal(t, []color.RGBA{white, black}, []color.RGBA{lettersOn(color.RGBA{117, 117, 117, 0xff}), lettersOn(color.RGBA{118, 118, 118, 0xff})})
	for share, want := range map[float64]uint8{0: 10, 0.5: 60, 1: 110} {
		assert.Equal(t, color.RGBA{want, want, 220 - want, 0xff}, mix(color.RGBA{10, 10, 210, 9}, color.RGBA{110, 110, 110, 7}, share))
	}
}

func TestEncodeKeepsTheCommonestColours(t *testing.T) {
	im := image.NewRGBA(image.Rect(0, 0, 64, 64))
	for i := range 64 * 64 {
		c := color.RGBA{uint8(i), uint8(i >> 4), uint8(i >> 8), 0xff}
		if i < 2000 {
			c = rust
		}
		im.SetRGBA(i%64, i/64, c)
	}
	var b bytes.Buffer
	require.NoError(t, encode(&b, im, false))
	got, err := png.Decode(&b)
	require.NoError(t, err)
	assert.Len(t, got.ColorModel().(color.Palette), 256)
	for i := range 2000 {
		require.Equal(t, rust, got.At(i%64, i/64))
	}
}

func TestEncodeIsExactUpTo256Colours(t *testing.T) {
	im := image.NewRGBA(image.Rect(0, 0, 16, 16))
	for i := range 256 {
		im.SetRGBA(i%16, i/16, color.RGBA{uint8(i), uint8(255 - i), 7, 0xff})
	}
	var b bytes.Buffer
	require.NoError(t, encode(&b, im, false))
	got, err := png.Decode(&b)
	require.NoError(t, err)
	for i := range 256 {
		require.Equal(t, im.At(i%16, i/16), got.At(i%16, i/16))
	}
}
