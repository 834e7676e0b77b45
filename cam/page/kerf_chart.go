package page

import (
	"image/color"
	"math"
	"strconv"

	"traywright/cam/kerf"
)

// plot is a page of charts under way.
type plot struct{ *canvas }

const plotWidth = 1600

// newPlot begins a page: what it is of, in two lines, and at the right the number
// that it is about.
func newPlot(t *typesetter, height int, title, of, figure string) plot {
	p := plot{newCanvas(t, plotWidth, height)}
	y := p.heading(title, figure, plotWidth-marginPX) + bodyType.lineHeight()
	p.text(marginPX, y-8, p.shorten(of, bodyType, plotWidth-2*marginPX), bodyType, softInk, 0)
	return p
}

// foot writes lines at the page's lower end.
func (p plot) foot(lines ...string) {
	y := p.bounds().bottom() - 28 - float64(len(lines)-1)*32
	for _, line := range lines {
		p.text(marginPX, y, p.shorten(line, smallType, plotWidth-2*marginPX), smallType, ink, 0)
		y += 32
	}
}

// chart is a rectangle with axes.
type chart struct {
	plot
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
	if math.Abs(v) < step/2 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', max(0, int(math.Ceil(-math.Log10(step)-1e-9))), 64)
}

// axes draws grid, numbers and the names of both axes.
func (c chart) axes(xName, yName string, xTicks, yTicks int) {
	grid, axis := pen{width: 1.5, col: hairline}, pen{width: 1.5, col: softInk}
	step := tickStep(c.x1-c.x0, xTicks)
	for v := math.Ceil(c.x0/step) * step; v <= c.x1+step*1e-9; v += step {
		c.line(c.px(v), c.top, c.px(v), c.top+c.height, grid)
		c.text(c.px(v), c.top+c.height+28, tickText(v, step), smallType, softInk, 0.5)
	}
	step = tickStep(c.y1-c.y0, yTicks)
	for v := math.Ceil(c.y0/step) * step; v <= c.y1+step*1e-9; v += step {
		c.line(c.left, c.py(v), c.left+c.width, c.py(v), grid)
		c.text(c.left-10, c.py(v)+smallType.capHeight()/2, tickText(v, step), smallType, softInk, 1)
	}
	c.line(c.left, c.top+c.height, c.left+c.width, c.top+c.height, axis)
	c.line(c.left, c.top, c.left, c.top+c.height, axis)
	c.text(c.left+c.width, c.top+c.height+60, xName, smallType, ink, 1)
	c.text(c.left, c.top-14, yName, smallType, ink, 0)
}

// level draws a line across the chart.
func (c chart) level(y float64) {
	c.line(c.left, c.py(y), c.left+c.width, c.py(y), pen{width: 2, col: softInk})
}

// trail adds a function from one place to another to the current path.
func (c chart) trail(f func(float64) float64, from, to float64) {
	const pieces = 200
	for i := range pieces + 1 {
		x := from + (to-from)*float64(i)/pieces
		c.dc.LineTo(c.px(x), c.py(f(x)))
	}
}

// curve draws a function.
func (c chart) curve(f func(float64) float64, from, to float64, p pen) {
	c.trail(f, from, to)
	c.stroke(p)
}

// band fills between two functions.
func (c chart) band(low, high func(float64) float64, from, to float64, col color.RGBA) {
	c.trail(high, from, to)
	c.trail(low, to, from)
	c.dc.ClosePath()
	c.dc.SetColor(mix(paper, col, 0.2))
	c.dc.Fill()
}

// bar is an interval: a line up and down with feet.
func (c chart) bar(x, low, high float64) {
	const foot = 9
	p := pen{width: 2.5, col: ink}
	a, b := c.py(low), c.py(high)
	c.line(c.px(x), a, c.px(x), b, p)
	c.line(c.px(x)-foot, a, c.px(x)+foot, a, p)
	c.line(c.px(x)-foot, b, c.px(x)+foot, b, p)
}

// partColour tells the holes from the pieces, and their lines with them.
func partColour(part kerf.Part) color.RGBA {
	if part == kerf.PlugPart {
		return orange
	}
	return blue
}

// mark draws a point: a disc for a hole, a square for a piece, hollow where it is
// said so.
func (c chart) mark(x, y float64, part kerf.Part, hollow bool) {
	const r = 8
	inside, edge := partColour(part), pen{width: 2.5, col: ink}
	if hollow {
		inside, edge.col, edge.width = paper, inside, 4
	}
	if part == kerf.PlugPart {
		box := centred(c.px(x), c.py(y), 2*r, 2*r)
		c.fill(box, inside)
		c.frame(box, edge.width, edge.col)
		return
	}
	c.disc(c.px(x), c.py(y), r, inside, edge.col, edge.width)
}
