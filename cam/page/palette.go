package page

import (
	"image/color"
	"math"
)

// The colours of Okabe and Ito (2008), "Color Universal Design".
var (
	black       = color.RGBA{0x00, 0x00, 0x00, 0xff}
	orange      = color.RGBA{0xe6, 0x9f, 0x00, 0xff}
	skyBlue     = color.RGBA{0x56, 0xb4, 0xe9, 0xff}
	bluishGreen = color.RGBA{0x00, 0x9e, 0x73, 0xff}
	yellow      = color.RGBA{0xf0, 0xe4, 0x42, 0xff}
	blue        = color.RGBA{0x00, 0x72, 0xb2, 0xff}
	vermillion  = color.RGBA{0xd5, 0x5e, 0x00, 0xff}
	purple      = color.RGBA{0xcc, 0x79, 0xa7, 0xff}
)

// The page's own neutrals. Every text colour is at least 4.5 : 1 against the
// paper (WCAG 2.1, success criterion 1.4.3).
var (
	paper    = color.RGBA{0xff, 0xff, 0xff, 0xff}
	ink      = color.RGBA{0x1c, 0x1f, 0x23, 0xff}
	softInk  = color.RGBA{0x52, 0x58, 0x60, 0xff}
	hairline = color.RGBA{0xc9, 0xcd, 0xd2, 0xff}
	top      = color.RGBA{0xf4, 0xf1, 0xe9, 0xff} // foam that nothing has touched

	pocketTint = color.RGBA{0xe9, 0xf2, 0xf8, 0xff} // of a pocket on a template
)

// depths are the anchors of the depth ramp, shallow to deep: tints and shades
// of blue whose lightness falls evenly, so that it survives printing in grey.
var depths = []color.RGBA{
	{0xc9, 0xdf, 0xed, 0xff},
	{0x93, 0xbe, 0xdb, 0xff},
	{0x56, 0x98, 0xc4, 0xff},
	blue,
	{0x00, 0x50, 0x80, 0xff},
	{0x00, 0x30, 0x50, 0xff},
}

// thisFoam is the layer that a cut sheet is about.
var thisFoam = depths[0]

// throughColour is foam cut right through: the darkest, and hatched as well.
var throughColour = color.RGBA{0x00, 0x1e, 0x34, 0xff}

// mix is a with part t of b, 0 to 1.
func mix(a, b color.RGBA, t float64) color.RGBA {
	part := func(x, y uint8) uint8 { return uint8(float64(x) + (float64(y)-float64(x))*t + 0.5) }
	return color.RGBA{part(a.R, b.R), part(a.G, b.G), part(a.B, b.B), 0xff}
}

// ramp is the depth ramp at t, 0 shallow to 1 deep.
func ramp(t float64) color.RGBA {
	at := min(max(t, 0), 1) * float64(len(depths)-1)
	i := min(int(at), len(depths)-2)
	return mix(depths[i], depths[i+1], at-float64(i))
}

// lightness is the relative luminance of WCAG 2.1, 0 black to 1 white.
func lightness(c color.RGBA) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

func linear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}

// lettersOn is black or white, whichever reads better on a colour: both have a
// contrast of 4.58 : 1 at the lightness where they change over.
func lettersOn(c color.RGBA) color.RGBA {
	if lightness(c) < 0.179 {
		return paper
	}
	return black
}
