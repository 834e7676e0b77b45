package page

import (
	"fmt"
	"image/color"
	"math"
)

// Every colour that a person sees is here. Depth is a ramp of sea blue. What
// needs a colour to be told from its neighbour takes one of Okabe and Ito (2008),
// "Color Universal Design", and a shape or a line of its own besides.
var (
	paper      = rgb(0xf7f3ea)
	foamColour = rgb(0xe9e2d2) // that nothing has touched
	ink        = rgb(0x1f2326)
	rust       = rgb(0xb4472c) // the moving tool, and nothing else

	unprinted = color.RGBA{} // on real paper, which has its own colour

	softInk  = mix(ink, paper, 0.25)
	hairline = mix(ink, paper, 0.8)

	black       = rgb(0x000000)
	white       = rgb(0xffffff)
	orange      = rgb(0xe69f00)
	bluishGreen = rgb(0x009e73)
	yellow      = rgb(0xf0e442)
	blue        = rgb(0x0072b2)
	skyBlue     = rgb(0x56b4e9)
	vermillion  = rgb(0xd55e00)
	purple      = rgb(0xcc79a7)
)

// depths are the anchors of the depth ramp, shallow to deep: tints and shades
// of blue whose lightness falls evenly, so that it survives printing in grey.
var depths = []color.RGBA{rgb(0xc3dbea), rgb(0x93bedb), rgb(0x5698c4), blue, rgb(0x005080), rgb(0x003050)}

// shadesOfDepth are the ramp as pictures show it, in even steps: few enough for a
// PNG to keep each of them exactly.
var shadesOfDepth = func() (list [64]color.RGBA) {
	for i := range list {
		at := (float64(i) + 0.5) / float64(len(list)) * float64(len(depths)-1)
		k := min(int(at), len(depths)-2)
		list[i] = mix(depths[k], depths[k+1], at-float64(k))
	}
	return list
}()

// foamTints tell foams in section from each other, with a pattern each.
var foamTints = []color.RGBA{
	foamColour, mix(paper, orange, 0.35), mix(paper, purple, 0.4),
	mix(paper, bluishGreen, 0.35), mix(paper, yellow, 0.5), hairline,
}

// hexOf is a colour as pages write it: #rrggbb.
func hexOf(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func rgb(code uint32) color.RGBA {
	return color.RGBA{uint8(code >> 16), uint8(code >> 8), uint8(code), 0xff}
}

// mix is a with part t of b, 0 to 1.
func mix(a, b color.RGBA, t float64) color.RGBA {
	part := func(x, y uint8) uint8 { return uint8(float64(x) + (float64(y)-float64(x))*t + 0.5) }
	return color.RGBA{part(a.R, b.R), part(a.G, b.G), part(a.B, b.B), 0xff}
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
		return white
	}
	return black
}

// linesOn are lines on a shade of the ramp: light on dark, dark on light.
func linesOn(c color.RGBA) color.RGBA { return mix(c, lettersOn(c), 0.5) }
