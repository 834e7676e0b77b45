package page

import (
	"bytes"
	"image/color"
	"math"
	"strconv"

	"github.com/fogleman/gg"
	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font"

	"traywright/cam/kerf"
)

// gridLine is a chart's thinnest.
var gridLine = color.RGBA{0xd8, 0xdb, 0xdf, 0xff}

// plot is a picture under way.
type plot struct {
	*gg.Context
	regular, bold *truetype.Font
}

const plotWidth = 1600

func newPlot(height int) (*plot, error) {
	regular, bold, err := parseFonts()
	if err != nil {
		return nil, err
	}
	p := &plot{gg.NewContext(plotWidth, height), regular, bold}
	p.SetColor(color.White)
	p.Clear()
	return p, nil
}

func (p *plot) face(size float64, bold bool) font.Face {
	f := p.regular
	if bold {
		f = p.bold
	}
	return truetype.NewFace(f, &truetype.Options{Size: size, DPI: 72})
}

// text draws a line at a size; anchors as in gg: 0 left and 1 right of x.
func (p *plot) text(s string, x, y, anchor, size float64, bold bool, c color.Color) {
	p.SetFontFace(p.face(size, bold))
	p.SetColor(c)
	p.DrawStringAnchored(s, x, y, anchor, 0)
}

func (p *plot) png() ([]byte, error) {
	var b bytes.Buffer
	if err := p.EncodePNG(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// chart is a rectangle with axes.
type chart struct {
	*plot
	left, top, width, height float64 // of the plotted area, pixels
	x0, x1, y0, y1           float64 // of the data
}

// extent grows a range to hold values.
type extent struct{ low, high float64 }

func newExtent() extent { return extent{math.Inf(1), math.Inf(-1)} }

func (s *extent) add(values ...float64) {
	for _, v := range values {
		if !math.IsInf(v, 0) && !math.IsNaN(v) {
			s.low, s.high = math.Min(s.low, v), math.Max(s.high, v)
		}
	}
}

// padded is the range with a little room on both sides.
func (s extent) padded(share float64) (low, high float64) {
	if s.low > s.high {
		return 0, 1
	}
	room := (s.high - s.low) * share
	if room < 1e-9 {
		room = math.Max(math.Abs(s.high)*0.1, 0.01)
	}
	return s.low - room, s.high + room
}

func (c chart) px(x float64) float64 { return c.left + (x-c.x0)/(c.x1-c.x0)*c.width }
func (c chart) py(y float64) float64 { return c.top + c.height - (y-c.y0)/(c.y1-c.y0)*c.height }

// tickStep is a step of 1, 2 or 5 times a power of ten, at most so many in a range.
func tickStep(size float64, most int) float64 {
	rough := size / float64(most)
	ten := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, m := range []float64{1, 2, 5} {
		if m*ten >= rough*(1-1e-9) {
			return m * ten
		}
	}
	return 10 * ten
}

// tickText has as many decimals as the step needs.
func tickText(v, step float64) string {
	digits := max(0, int(math.Ceil(-math.Log10(step)-1e-9)))
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if v == 0 || math.Abs(v) < step/2 {
		return "0"
	}
	return text
}

// axes draws grid, numbers and the names of both axes.
func (c chart) axes(xName, yName string, xTicks, yTicks int) {
	c.SetLineWidth(1.5)
	step := tickStep(c.x1-c.x0, xTicks)
	for v := math.Ceil(c.x0/step) * step; v <= c.x1+step*1e-9; v += step {
		c.rule(c.px(v), c.top, c.px(v), c.top+c.height, gridLine)
		c.text(tickText(v, step), c.px(v), c.top+c.height+26, 0.5, 20, false, softInk)
	}
	step = tickStep(c.y1-c.y0, yTicks)
	for v := math.Ceil(c.y0/step) * step; v <= c.y1+step*1e-9; v += step {
		c.rule(c.left, c.py(v), c.left+c.width, c.py(v), gridLine)
		c.text(tickText(v, step), c.left-10, c.py(v)+7, 1, 20, false, softInk)
	}
	c.rule(c.left, c.top+c.height, c.left+c.width, c.top+c.height, softInk)
	c.rule(c.left, c.top, c.left, c.top+c.height, softInk)
	c.text(xName, c.left+c.width, c.top+c.height+56, 1, 21, false, ink)
	c.text(yName, c.left, c.top-14, 0, 21, false, ink)
}

func (c chart) rule(xa, ya, xb, yb float64, col color.Color) {
	c.SetColor(col)
	c.DrawLine(xa, ya, xb, yb)
	c.Stroke()
}

// line draws a function across the chart, where it is inside.
func (c chart) line(f func(float64) float64, from, to, width float64, col color.Color) {
	const pieces = 200
	c.SetColor(col)
	c.SetLineWidth(width)
	for i := range pieces + 1 {
		x := from + (to-from)*float64(i)/pieces
		c.LineTo(c.px(x), c.py(f(x)))
	}
	c.Stroke()
}

// band fills between two functions.
func (c chart) band(low, high func(float64) float64, from, to float64, col color.RGBA) {
	const pieces = 200
	at := func(i int) float64 { return from + (to-from)*float64(i)/pieces }
	for i := range pieces + 1 {
		c.LineTo(c.px(at(i)), c.py(high(at(i))))
	}
	for i := pieces; i >= 0; i-- {
		c.LineTo(c.px(at(i)), c.py(low(at(i))))
	}
	c.ClosePath()
	c.SetColor(color.NRGBA{col.R, col.G, col.B, 0x38})
	c.Fill()
}

// bar is an interval: a line up and down with feet.
func (c chart) bar(x, low, high float64, col color.Color) {
	const foot = 9
	c.SetColor(col)
	c.SetLineWidth(2.5)
	a, b := c.py(low), c.py(high)
	c.DrawLine(c.px(x), a, c.px(x), b)
	c.DrawLine(c.px(x)-foot, a, c.px(x)+foot, a)
	c.DrawLine(c.px(x)-foot, b, c.px(x)+foot, b)
	c.Stroke()
}

// mark draws a point: a disc for a hole, a square for a piece, hollow at the bottom face.
func (c chart) mark(x, y float64, part kerf.Part, hollow bool, col color.Color) {
	const r = 8
	if part == kerf.PlugPart {
		c.DrawRectangle(c.px(x)-r, c.py(y)-r, 2*r, 2*r)
	} else {
		c.DrawCircle(c.px(x), c.py(y), r)
	}
	c.SetColor(color.White)
	if !hollow {
		c.SetColor(col)
	}
	c.FillPreserve()
	c.SetColor(col)
	c.SetLineWidth(2.5)
	c.Stroke()
}
