package page

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"sync"

	"github.com/fogleman/gg"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"

	"traywright/geometry"
)

// rect is a box on the page, in pixels.
type rect struct{ x, y, w, h float64 }

func (r rect) right() float64  { return r.x + r.w }
func (r rect) bottom() float64 { return r.y + r.h }

// inset is r with d less on every side.
func (r rect) inset(d float64) rect { return rect{r.x + d, r.y + d, r.w - 2*d, r.h - 2*d} }

func (r rect) overlaps(s rect) bool {
	return r.x < s.right() && s.x < r.right() && r.y < s.bottom() && s.y < r.bottom()
}

// canvas is a page being drawn.
type canvas struct {
	*typesetter
	im *image.RGBA
	dc *gg.Context
}

func newCanvas(t *typesetter, width, height int) *canvas {
	im := newPage(width, height)
	draw.Draw(im, im.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
	return &canvas{typesetter: t, im: im, dc: gg.NewContextForRGBA(im)}
}

// pages keeps the memory of pages that are done with: a page has some 16 MB,
// and fetching that anew for every picture costs as much as drawing it.
var pages sync.Pool

// newPage is a page of any content; it is handed back by done.
func newPage(width, height int) *image.RGBA {
	size := 4 * width * height
	if kept, ok := pages.Get().(*[]uint8); ok && cap(*kept) >= size {
		return &image.RGBA{Pix: (*kept)[:size], Stride: 4 * width, Rect: image.Rect(0, 0, width, height)}
	}
	return image.NewRGBA(image.Rect(0, 0, width, height))
}

// done hands a page back; nobody may look at it after that.
func done(im *image.RGBA) { pages.Put(&im.Pix) }

// fillBytes sets every byte, by doubling what is set.
func fillBytes(b []uint8, v uint8) {
	if len(b) == 0 {
		return
	}
	b[0] = v
	for n := 1; n < len(b); n *= 2 {
		copy(b[n:], b[:n])
	}
}

func (c *canvas) bounds() rect {
	size := c.im.Bounds().Size()
	return rect{0, 0, float64(size.X), float64(size.Y)}
}

// fill covers r, rounded to whole pixels, with one colour.
func (c *canvas) fill(r rect, col color.RGBA) {
	draw.Draw(c.im, pixels(r), image.NewUniform(col), image.Point{}, draw.Over)
}

// pixels is r in whole pixels.
func pixels(r rect) image.Rectangle {
	return image.Rect(round(r.x), round(r.y), round(r.right()), round(r.bottom()))
}

// farthestPX bounds whole pixels, far beyond any page.
const farthestPX = 1 << 20

// round is the nearest whole pixel; 0 for what is not a number.
func round(v float64) int {
	if math.IsNaN(v) {
		return 0
	}
	return int(math.Round(min(max(v, -farthestPX), farthestPX)))
}

// near reports whether a place is on the page or close to it: the rasterizer
// must not be given anything else.
func (c *canvas) near(x, y, reach float64) bool {
	b := c.bounds().inset(-200)
	return x-reach >= b.x && x+reach <= b.right() && y-reach >= b.y && y+reach <= b.bottom()
}

// frame strokes the edge of r inside it.
func (c *canvas) frame(r rect, width float64, col color.RGBA) {
	c.fill(rect{r.x, r.y, r.w, width}, col)
	c.fill(rect{r.x, r.bottom() - width, r.w, width}, col)
	c.fill(rect{r.x, r.y, width, r.h}, col)
	c.fill(rect{r.right() - width, r.y, width, r.h}, col)
}

// hatch rules r with lines 45 degrees up (slope 1) or down (-1), every step
// pixels, width thick. It counts from the page's corner, so that neighbours join.
func (c *canvas) hatch(r rect, step, width, slope int, col color.RGBA) {
	p := pixels(r).Intersect(c.im.Bounds())
	for y := p.Min.Y; y < p.Max.Y; y++ {
		for x := p.Min.X; x < p.Max.X; x++ {
			if onHatch(x, y, step, width, slope) {
				c.im.SetRGBA(x, y, col)
			}
		}
	}
}

// onHatch reports whether a pixel is on a line of a hatch.
func onHatch(x, y, step, width, slope int) bool {
	at := (x + slope*y) % step
	return (at+step)%step < width
}

// text writes s with its baseline at y; anchor 0 puts its left end at x, 0.5
// its middle, 1 its right end.
func (c *canvas) text(x, y float64, s string, st style, col color.RGBA, anchor float64) {
	s = c.clean(s)
	if s == "" {
		return
	}
	if anchor != 0 {
		x -= anchor * c.width(s, st)
	}
	d := font.Drawer{
		Dst: c.im, Src: image.NewUniform(col), Face: c.face(st),
		Dot: fixed.P(round(x), round(y)),
	}
	c.write(&d, s, st)
}

// textUp writes s upwards, with its baseline at x and its middle at y.
func (c *canvas) textUp(x, y float64, s string, st style, col color.RGBA) {
	s = c.clean(s)
	long, high := int(c.width(s, st))+4, int(st.size*1.5)
	lying := image.NewAlpha(image.Rect(0, 0, long, high))
	d := font.Drawer{Dst: lying, Src: image.Opaque, Face: c.face(st), Dot: fixed.P(2, int(st.size*1.1))}
	c.write(&d, s, st)
	standing := image.NewAlpha(image.Rect(0, 0, high, long))
	for v := range high {
		for u := range long {
			standing.Pix[(long-1-u)*standing.Stride+v] = lying.Pix[v*lying.Stride+u]
		}
	}
	at := image.Pt(round(x)-int(st.size*1.1), round(y)-long/2)
	draw.DrawMask(c.im, standing.Bounds().Add(at), image.NewUniform(col), image.Point{}, standing, image.Point{}, draw.Over)
}

// pen is a way of drawing lines.
type pen struct {
	width float64
	col   color.RGBA
	dash  []float64
}

// stroke draws the lines of the current path and forgets it.
func (c *canvas) stroke(p pen) {
	c.dc.SetLineWidth(p.width)
	c.dc.SetDash(p.dash...)
	c.dc.SetColor(p.col)
	c.dc.SetLineCapButt()
	c.dc.Stroke()
	c.dc.SetDash()
}

// line draws one straight line.
func (c *canvas) line(x1, y1, x2, y2 float64, p pen) {
	if c.addLine(x1, y1, x2, y2) {
		c.stroke(p)
	}
}

// addLine adds the part of a straight line that is on the page to the current
// path, going on with it where it ends at the line's start, so that dashes and
// corners run through. The rasterizer's numbers are 26.6 fixed point and its time grows with
// length, so nothing far away may reach it.
func (c *canvas) addLine(x1, y1, x2, y2 float64) bool {
	b := c.bounds().inset(-50)
	t0, t1, ok := clip(x1, y1, x2-x1, y2-y1, b)
	if !ok {
		return false
	}
	from := gg.Point{X: x1 + t0*(x2-x1), Y: y1 + t0*(y2-y1)}
	if at, on := c.dc.GetCurrentPoint(); !on || at != from {
		c.dc.MoveTo(from.X, from.Y)
	}
	c.dc.LineTo(x1+t1*(x2-x1), y1+t1*(y2-y1))
	return true
}

// clip is the part of x + t dx, y + t dy, 0 <= t <= 1, inside b (Liang and
// Barsky 1984).
func clip(x, y, dx, dy float64, b rect) (t0, t1 float64, ok bool) {
	t0, t1 = 0, 1
	for _, edge := range [4][2]float64{{-dx, x - b.x}, {dx, b.right() - x}, {-dy, y - b.y}, {dy, b.bottom() - y}} {
		p, q := edge[0], edge[1]
		switch {
		case math.IsNaN(p) || math.IsNaN(q) || p == 0 && q < 0:
			return 0, 0, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	return t0, t1, t0 <= t1
}

// polyline draws a chain of points of the page.
func (c *canvas) polyline(points []geometry.Point, p pen) {
	drawn := false
	for i := 1; i < len(points); i++ {
		drawn = c.addLine(points[i-1].X, points[i-1].Y, points[i].X, points[i].Y) || drawn
	}
	if drawn {
		c.stroke(p)
	}
}

// polygon fills a closed chain of points, if all are on the page.
func (c *canvas) polygon(col color.RGBA, points ...float64) {
	for i := 0; i+1 < len(points); i += 2 {
		if !c.near(points[i], points[i+1], 0) {
			return
		}
	}
	c.dc.MoveTo(points[0], points[1])
	for i := 2; i+1 < len(points); i += 2 {
		c.dc.LineTo(points[i], points[i+1])
	}
	c.dc.ClosePath()
	c.dc.SetColor(col)
	c.dc.Fill()
}

// disc fills a circle and strokes its edge.
func (c *canvas) disc(x, y, radius float64, inside, edge color.RGBA, width float64) {
	if !c.near(x, y, radius) {
		return
	}
	c.dc.DrawCircle(x, y, radius)
	c.dc.SetColor(inside)
	c.dc.FillPreserve()
	c.dc.SetColor(edge)
	c.dc.SetLineWidth(width)
	c.dc.Stroke()
}

// pill fills a box with round ends.
func (c *canvas) pill(r rect, inside, edge color.RGBA, width float64) {
	if !c.near(r.x, r.y, 0) || !c.near(r.right(), r.bottom(), 0) {
		return
	}
	c.dc.DrawRoundedRectangle(r.x, r.y, r.w, r.h, min(r.w, r.h)/2)
	c.dc.SetColor(inside)
	c.dc.FillPreserve()
	c.dc.SetColor(edge)
	c.dc.SetLineWidth(width)
	c.dc.Stroke()
}
