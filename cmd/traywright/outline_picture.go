package main

import (
	"bytes"
	"image"
	"image/png"
	"math"

	"github.com/fogleman/gg"
	"golang.org/x/image/draw"
	"golang.org/x/image/font/basicfont"

	"traywright/geometry"
	"traywright/geometry/trace"
)

// checkPixels is the longer side of the check picture.
const checkPixels = 1800

// checkPicture draws the card as it was found, the piece and its pocket over the
// photograph, with a grid of centimetres on the plane that was measured. Colours are
// from the set of Okabe and Ito (2008); each line is its own width as well.
func checkPicture(img *trace.Picture, p *trace.Photo) ([]byte, error) {
	d := newOverlay(img)
	d.grid(p)
	d.card(p.Sight)
	d.region(p, p.Piece, "#000000", 1.2)
	d.region(p, p.Outline, "#0072b2", 2.4)
	d.legend("card as found", "#d55e00", "edge of the piece", "#000000", "pocket", "#0072b2", "grid of 10 mm", "#009e73")
	return d.encoded()
}

// overlay draws in pixels of the photograph.
type overlay struct {
	*gg.Context
	scale float64
}

// newOverlay is the photograph, no larger than checkPixels.
func newOverlay(img *trace.Picture) overlay {
	b := img.Bounds()
	scale := min(float64(checkPixels)/float64(max(b.Dx(), b.Dy())), 1)
	under := image.NewRGBA(image.Rect(0, 0, max(int(float64(b.Dx())*scale), 1), max(int(float64(b.Dy())*scale), 1)))
	draw.ApproxBiLinear.Scale(under, under.Rect, img, b, draw.Src, nil)
	return overlay{gg.NewContextForRGBA(under), scale}
}

func (d overlay) encoded() ([]byte, error) {
	var out bytes.Buffer
	err := png.Encode(&out, d.Image())
	return out.Bytes(), err
}

func (d overlay) line(colour string, width float64) {
	d.SetHexColor("#ffffffc0")
	d.SetLineWidth(width + 1.6)
	d.StrokePreserve()
	d.SetHexColor(colour)
	d.SetLineWidth(width)
	d.Stroke()
}

func (d overlay) region(p *trace.Photo, r geometry.Region, colour string, width float64) {
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			n := 1 + int(s.Length()) // the photograph bends arcs; a chord a mm is short enough to see
			for i := range n {
				x, y := p.Pixel(s.At(float64(i) / float64(n)))
				d.LineTo(x*d.scale, y*d.scale)
			}
		}
		d.ClosePath()
		d.line(colour, width)
	}
}

func (d overlay) card(s trace.Sight) {
	outline, corners := s.CardPixels()
	for _, q := range outline {
		d.LineTo(q[0]*d.scale, q[1]*d.scale)
	}
	d.ClosePath()
	d.line("#d55e00", 1.6)
	for _, q := range corners {
		const arm = 9
		x, y := q[0]*d.scale, q[1]*d.scale
		d.MoveTo(x-arm, y)
		d.LineTo(x+arm, y)
		d.MoveTo(x, y-arm)
		d.LineTo(x, y+arm)
		d.line("#d55e00", 1.6)
	}
}

// grid draws a line each centimetre around the pocket.
func (d overlay) grid(p *trace.Photo) {
	const step = 10
	b := p.Outline.Bounds().Grow(step)
	low := geometry.Point{X: math.Floor(b.Min.X/step) * step, Y: math.Floor(b.Min.Y/step) * step}
	high := geometry.Point{X: math.Ceil(b.Max.X/step) * step, Y: math.Ceil(b.Max.Y/step) * step}
	line := func(a, b geometry.Point) {
		x, y := p.Pixel(a)
		d.MoveTo(x*d.scale, y*d.scale)
		x, y = p.Pixel(b)
		d.LineTo(x*d.scale, y*d.scale)
	}
	for x := low.X; x <= high.X; x += step {
		line(geometry.Point{X: x, Y: low.Y}, geometry.Point{X: x, Y: high.Y})
	}
	for y := low.Y; y <= high.Y; y += step {
		line(geometry.Point{X: low.X, Y: y}, geometry.Point{X: high.X, Y: y})
	}
	d.SetHexColor("#009e7390")
	d.SetLineWidth(0.8)
	d.Stroke()
}

// legend says what colours mean: a text and its colour, and so on.
func (d overlay) legend(entries ...string) {
	d.SetFontFace(basicfont.Face7x13)
	d.SetHexColor("#ffffffe0")
	d.DrawRectangle(6, 6, 160, float64(8*len(entries)+8))
	d.Fill()
	for i := 0; i+1 < len(entries); i += 2 {
		y := 18 + 8*float64(i)
		d.SetHexColor(entries[i+1])
		d.DrawRectangle(12, y-3, 18, 5)
		d.Fill()
		d.SetHexColor("#000000")
		d.DrawString(entries[i], 36, y+4)
	}
}
