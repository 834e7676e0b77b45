package kerf

import (
	"math"

	"traywright/geometry"
	"traywright/geometry/lettering"
)

// Height of the labels' letters, mm: what reads well when a beam draws it, and
// how many widths of a cutter make a letter that can be read. Common practice, no
// source.
const (
	letterMM      = 4
	lettersWidth  = 3.5
	trackingWidth = 0.5 // added between letters, so that they do not run together
	letterGapMM   = 1.5 // free foam around a label
)

// strokeMM is the width of the line that marks.
func (d *designer) strokeMM() float64 {
	if d.grooves() {
		return math.Max(d.kerfMM(), d.coupon.Tool.DiameterMM.Value)
	}
	return d.kerfMM()
}

func (d *designer) letterMM() float64 { return math.Max(letterMM, lettersWidth*d.strokeMM()) }

// labelRoom is the height of the strip under a square for its label.
func (d *designer) labelRoom() float64 {
	return onGrid(d.letterMM() + d.strokeMM() + letterGapMM)
}

// labelUnder sets the first of the texts that fits into the strip below a patch
// of that width.
func (d *designer) labelUnder(at geometry.Point, width float64, texts ...string) {
	d.setInto(d.strip(at, width), texts...)
}

// fitsUnder reports whether a label fits under a patch of that width.
func (d *designer) fitsUnder(text string, width float64) bool {
	_, ok := d.set(text, d.strip(geometry.Point{}, width))
	return ok
}

// strip is the room for a label under a patch.
func (d *designer) strip(at geometry.Point, width float64) geometry.Box {
	return geometry.Box{Min: at, Max: at.Add(geometry.Point{X: width, Y: d.labelRoom() - letterGapMM})}
}

// labelIn sets the first of the texts that fits in the middle of a plug.
func (d *designer) labelIn(plug geometry.Box, texts ...string) {
	d.setInto(plug.Grow(-letterGapMM), texts...)
}

// setInto sets the first text that fits into the box; none where none does.
func (d *designer) setInto(box geometry.Box, texts ...string) {
	for _, text := range texts {
		if line, ok := d.set(text, box); ok {
			d.coupon.labels = append(d.coupon.labels, line)
			return
		}
	}
}

// set puts a text into the middle of a box, if it fits with its stroke.
func (d *designer) set(text string, box geometry.Box) (lettering.Line, bool) {
	face, ok := lettering.Shipped(lettering.Strokes)
	if !ok || text == "" {
		return lettering.Line{}, false
	}
	line, err := face.Set(text, lettering.Setting{HeightMM: d.letterMM(), TrackingMM: trackingWidth * d.strokeMM()})
	if err != nil || line.Box.Width()+d.strokeMM() > box.Width() || line.Box.Height()+d.strokeMM() > box.Height() {
		return lettering.Line{}, false
	}
	to := box.Min.Add(box.Max).Sub(line.Box.Min.Add(line.Box.Max)).Scale(0.5)
	return line.Transform(geometry.Translate(to.X, to.Y)), true
}

// marks are the labels' strokes.
func (c *Coupon) marks() []geometry.Path {
	var list []geometry.Path
	for _, l := range c.labels {
		list = append(list, l.Strokes()...)
	}
	return list
}
