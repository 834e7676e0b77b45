package page

import (
	"fmt"
	"image/color"
)

// LineColour is the colour of lines in the drawings that machines and other programs
// read: in SVG, and the number of a colour near to it in DXF. The colours are Okabe's and
// Ito's, the darker ones mixed with ink; which line has which is our own choice.
type LineColour struct {
	Stroke string // #RRGGBB
	Index  int    // 1 to 255; 7 is black on a white ground, white on a black one
}

// Lines of the kinds of path.
var (
	MarkLine     = line(blue, 163)
	PocketLine   = line(vermillion, 30)
	OutlineLine  = line(black, 7)
	BridgedLine  = line(mix(vermillion, ink, 0.4), 34)
	FinishedLine = line(bluishGreen, 122)
)

// DepthLines are of pockets that end inside a sheet, a colour for each depth of a job.
func DepthLines() []LineColour {
	return []LineColour{
		line(orange, 40), line(skyBlue, 140), line(purple, 233), line(mix(yellow, ink, 0.4), 53),
		line(mix(orange, ink, 0.4), 44), line(mix(purple, ink, 0.4), 235), line(mix(skyBlue, ink, 0.4), 145),
	}
}

func line(c color.RGBA, index int) LineColour {
	return LineColour{fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B), index}
}
