package coupon

import (
	"math"

	"traywright/geometry"
	"traywright/geometry/lettering"
)

// label is a text on the coupon's face, its lower-left corner at At.
type label struct {
	at   geometry.Point
	line lettering.Line
}

// Height of the labels' letters, mm: what reads well when a beam draws it, and
// how many widths of a cutter make a letter that can be read. Common practice, no
// source.
const (
	letterMM     = 4
	lettersWidth = 3.5
	letterGapMM  = 1.5 // free foam around a label
)

// strokeMM is the width of the line that marks.
func (d *designer) strokeMM() float64 {
	if d.router() {
		return math.Max(d.kerfMM(), d.coupon.Tool.DiameterMM.Value)
	}
	return d.kerfMM()
}

func (d *designer) letterMM() float64 { return math.Max(letterMM, lettersWidth*d.strokeMM()) }

// labelRoom is the height of the strip under a square for its label.
func (d *designer) labelRoom() float64 {
	return onGrid(d.letterMM() + d.strokeMM() + letterGapMM)
}

// label sets the first of the texts that fits, the longest first, into the
// strip below a square.
func (d *designer) label(at geometry.Point, width float64, short, long string) {
	box := geometry.Box{Min: at, Max: at.Add(geometry.Point{X: width, Y: d.labelRoom() - letterGapMM})}
	d.setInto(box, long, short)
}

// labelIn sets a label in the middle of a plug.
func (d *designer) labelIn(plug geometry.Box, short, long string) {
	d.setInto(plug.Grow(-letterGapMM), long, short)
}

// setInto sets the first text that fits the box with its stroke, in the middle;
// none where none fits.
func (d *designer) setInto(box geometry.Box, texts ...string) {
	face, ok := lettering.Shipped(lettering.Strokes)
	if !ok {
		return
	}
	for _, text := range texts {
		if text == "" {
			continue
		}
		line, err := face.Set(text, lettering.Setting{HeightMM: d.letterMM()})
		if err != nil || line.Box.Width()+d.strokeMM() > box.Width() || line.Box.Height()+d.strokeMM() > box.Height() {
			continue
		}
		middle := box.Min.Add(box.Max).Scale(0.5)
		at := middle.Sub(line.Box.Min.Add(line.Box.Max).Scale(0.5))
		d.coupon.labels = append(d.coupon.labels, label{at, line})
		return
	}
}

// marks are the labels' strokes, where they lie.
func (c *Coupon) marks() []geometry.Path {
	var list []geometry.Path
	for _, l := range c.labels {
		list = append(list, l.line.Transform(geometry.Translate(l.at.X, l.at.Y)).Strokes()...)
	}
	return list
}
