package main

import (
	"fmt"

	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font/gofont/gobold"

	"traywright/geometry"
	"traywright/geometry/trace"
)

// measuredPicture draws over the photograph what was measured: the card, each piece's
// edge and box with its number, and what was given up, hatched, as X1 and on. Colours are from the set
// of Okabe and Ito (2008).
func measuredPicture(img *trace.Picture, p *trace.Pieces, labels []string) ([]byte, error) {
	d, err := numberedOverlay(img, p.Sight)
	if err != nil {
		return nil, err
	}
	for i, m := range p.Measured {
		for _, c := range m.Region.Contours() {
			for s := range c.Segments() {
				n := 1 + int(s.Length())
				for k := range n {
					d.to(p.Sight, s.At(float64(k)/float64(n)))
				}
			}
		}
		d.ClosePath()
		d.line("#000000", 1.2)
		for _, c := range m.Axes {
			if m.Form != trace.Disc {
				d.to(p.Sight, c)
			}
		}
		d.ClosePath()
		d.line("#0072b2", 2)
		d.number(p.Sight, m.Middle(), labels[i], "#0072b2")
	}
	for i, g := range p.Given {
		d.hatched(p.Sight, g)
		d.number(p.Sight, g.At, fmt.Sprintf("X%d", i+1), "#000000")
	}
	d.legend("card as found", "#d55e00", "edge of a piece", "#000000", "its box, measured", "#0072b2", "X: not measured", "#e69f00")
	return d.encoded()
}

// numberedOverlay is the photograph with the card drawn over it, and letters for numbers.
func numberedOverlay(img *trace.Picture, sight trace.Sight) (overlay, error) {
	bold, err := truetype.Parse(gobold.TTF)
	if err != nil {
		return overlay{}, err
	}
	d := newOverlay(img)
	d.SetFontFace(truetype.NewFace(bold, &truetype.Options{Size: 22}))
	d.card(sight)
	return d, nil
}

func (d overlay) to(s trace.Sight, place geometry.Point) {
	x, y := s.Seen(place)
	d.LineTo(x*d.scale, y*d.scale)
}

// number writes on a plate that any photograph leaves legible.
func (d overlay) number(s trace.Sight, place geometry.Point, text, colour string) {
	x, y := s.Seen(place)
	w, h := d.MeasureString(text)
	d.SetHexColor("#ffffffe0")
	d.DrawRoundedRectangle(x*d.scale-w/2-5, y*d.scale-h/2-5, w+10, h+10, 4)
	d.Fill()
	d.SetHexColor(colour)
	d.DrawStringAnchored(text, x*d.scale, y*d.scale, 0.5, 0.35)
}

// hatched strikes out what was given up.
func (d overlay) hatched(s trace.Sight, g trace.GivenUp) {
	path := func() {
		for _, p := range g.Edge {
			d.to(s, p)
		}
		d.ClosePath()
	}
	path()
	d.line("#e69f00", 2)
	path()
	d.Clip()
	const step = 14
	for x := -d.Height(); x < d.Width(); x += step {
		d.DrawLine(float64(x), 0, float64(x+d.Height()), float64(d.Height()))
	}
	d.SetHexColor("#e69f00")
	d.SetLineWidth(3)
	d.Stroke()
	d.ResetClip()
}
