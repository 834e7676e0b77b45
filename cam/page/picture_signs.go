package page

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"traywright/cam/finding"
	"traywright/geometry"
)

// The signs of a drawing: each is dark and light at once, so that it shows on
// any shade of foam.

var (
	leftPen    = pen{width: 7, col: purple, dash: []float64{9, 6}}
	plannedPen = pen{width: 4, col: orange, dash: []float64{22, 12}}
	rapidPen   = pen{width: 2, col: ink, dash: []float64{9, 8}}
	haloPen    = pen{width: 5, col: paper}
)

// badge is an order number in a round-ended box.
func (c *canvas) badge(x, y float64, text string) {
	w, h := c.badgeSize(text)
	c.pill(centred(x, y, w, h), paper, ink, 2)
	c.text(x, y+numberType.capHeight()/2, text, numberType, ink, 0.5)
}

func (c *canvas) badgeSize(text string) (w, h float64) {
	h = numberType.size + 10
	return math.Max(h, c.width(text, numberType)+18), h
}

// startPX is the radius of the mark where a cut starts.
const startPX = 6

func (c *canvas) startMark(x, y float64) {
	c.disc(x, y, startPX+1.5, paper, paper, 0)
	c.disc(x, y, startPX, bluishGreen, ink, 2)
}

// bridgeMark is where a bridge is left: a piece of foam, standing on its corner.
func (c *canvas) bridgeMark(x, y float64) {
	for _, d := range []struct {
		reach float64
		col   color.RGBA
	}{{10, paper}, {8, ink}, {5, foamColour}} {
		c.polygon(d.col, x-d.reach, y, x, y-d.reach, x+d.reach, y, x, y+d.reach)
	}
}

// rapidSample is a legend's stretch of rapid.
func (c *canvas) rapidSample(box rect) {
	a, b := geometry.Point{X: box.x, Y: box.y + box.h/2}, geometry.Point{X: box.right(), Y: box.y + box.h/2}
	c.polyline([]geometry.Point{a, b}, rapidPen)
	c.arrow(a, b)
}

// arrow is a small head at the middle of a straight line, pointing from a to b.
func (c *canvas) arrow(a, b geometry.Point) {
	d := b.Sub(a)
	n := d.Norm()
	if n < 40 {
		return
	}
	u := d.Scale(1 / n)
	tip := a.Add(d.Scale(0.5)).Add(u.Scale(9))
	left, right := tip.Sub(u.Scale(18)).Add(u.Left().Scale(6.5)), tip.Sub(u.Scale(18)).Sub(u.Left().Scale(6.5))
	c.polygon(ink, tip.X, tip.Y, left.X, left.Y, right.X, right.Y)
}

// pinchPX is how long a pinch's heads are; its lines reach twice as far.
const pinchPX = 15

// pinch points at one place from outside, at another from outside or along the line from the
// first: a distance that is too short for its number. A light rim keeps it apart from deep
// pockets.
func (c *canvas) pinch(a, b geometry.Point, both bool) {
	d := b.Sub(a)
	n := d.Norm()
	if !(n > 0) {
		return
	}
	const long, wide = pinchPX, 6
	u := d.Scale(1 / n)
	first, last := a.Sub(u.Scale(2*long)), b
	ends := []struct{ tip, back geometry.Point }{{a, a.Sub(u.Scale(long))}}
	if both {
		last = b.Add(u.Scale(2 * long))
		ends = append(ends, struct{ tip, back geometry.Point }{b, b.Add(u.Scale(long))})
	}
	for _, p := range []pen{{width: 6, col: paper}, {width: 2.5, col: ink}} {
		c.polyline([]geometry.Point{first, last}, p)
	}
	for _, end := range ends {
		side := u.Left().Scale(wide)
		left, right := end.back.Add(side), end.back.Sub(side)
		c.polygon(ink, end.tip.X, end.tip.Y, left.X, left.Y, right.X, right.Y)
	}
}

// zeroMark is the datum's sign: a quartered disc.
func (c *canvas) zeroMark(x, y, radius float64) {
	if !c.near(x, y, radius) {
		return
	}
	c.disc(x, y, radius, paper, ink, 2.5)
	for _, start := range []float64{0, math.Pi} {
		c.dc.MoveTo(x, y)
		c.dc.DrawArc(x, y, radius, start, start+math.Pi/2)
		c.dc.ClosePath()
		c.dc.SetColor(ink)
		c.dc.Fill()
	}
	c.line(x-radius*1.7, y, x+radius*1.7, y, pen{width: 2, col: ink})
	c.line(x, y-radius*1.7, x, y+radius*1.7, pen{width: 2, col: ink})
}

// cornerPX is how far a corner's mark reaches into its part.
const cornerPX = 22

// cornerMark is a part's own front left corner: a wedge in it, from the lower left, or of a part that lies a quarter turn to the left
// from the lower right.
func (c *canvas) cornerMark(x, y float64, turned bool) {
	in := float64(cornerPX)
	if turned {
		in = -in
	}
	c.polygon(ink, x, y, x+in, y, x, y-cornerPX)
}

// clampBox is a part of the bed that the tool must not cross.
func (c *canvas) clampBox(box rect) {
	c.fill(box, orange)
	c.frame(box, 3, ink)
	c.line(box.x, box.y, box.right(), box.bottom(), pen{width: 3, col: ink})
	c.line(box.x, box.bottom(), box.right(), box.y, pen{width: 3, col: ink})
}

// worstMark is a cross where foam differs most from the plan.
func (c *canvas) worstMark(x, y float64) {
	c.cross(x, y, 15, paper, 9)
	c.cross(x, y, 13, ink, 4)
}

func (c *canvas) cross(x, y, reach float64, col color.RGBA, width float64) {
	c.line(x-reach, y-reach, x+reach, y+reach, pen{width: width, col: col})
	c.line(x-reach, y+reach, x+reach, y-reach, pen{width: width, col: col})
}

// tick is a check mark.
func (c *canvas) tick(x, y, reach float64, col color.RGBA) {
	c.polyline([]geometry.Point{
		{X: x - reach, Y: y}, {X: x - reach*0.3, Y: y + reach*0.7}, {X: x + reach, Y: y - reach*0.8},
	}, pen{width: 6, col: col})
}

// hazard is the ground of an error: black and yellow stripes. A word goes with it.
func (c *canvas) hazard(r rect) {
	c.fill(r, yellow)
	c.hatch(r, 16, 8, 1, black)
	c.frame(r, 2, black)
}

// The size of a finding's flag.
const (
	flagW = 52
	flagH = 38
)

// flagAt is a finding's flag on its staff; its foot is at (x, y). An error's is
// striped, a warning's plain.
func (c *canvas) flagAt(x, y float64, f flag) {
	box := rect{x, y - flagH - 6, flagW, flagH}
	c.line(x, y, x, box.y, pen{width: 5, col: ink})
	if f.Severity == finding.Error {
		c.hazard(box)
	} else {
		c.fill(box, paper)
		c.frame(box, 2, ink)
	}
	c.fill(box.inset(7), paper)
	c.text(x+flagW/2, box.y+flagH/2+numberType.capHeight()/2, fmt.Sprint(f.number), numberType, ink, 0.5)
}

// upTo is the page without what is below y.
func (c *canvas) upTo(y int) *image.RGBA {
	b := c.im.Bounds()
	y = min(max(y, 1), b.Dy())
	return &image.RGBA{Pix: c.im.Pix[:y*c.im.Stride], Stride: c.im.Stride, Rect: image.Rect(0, 0, b.Dx(), y)}
}
