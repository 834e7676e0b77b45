package page

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"traywright/geometry"
	"traywright/geometry/units"
)

// Printed is what a printer makes of a template's bars, as shares of what they should be: of the one
// along the paper's short side, and of the one along its long side. The zero value is nobody has measured.
type Printed struct{ Short, Long float64 }

// LeastPrinted and MostPrinted are what may come out of a bar: what is farther off was fitted to the
// page, and is printed again without that.
const (
	LeastPrinted = 0.9
	MostPrinted  = 1.1
)

// Bar is a template's bar to measure a print by: what its ruler is sure to have a line at.
func Bar(u units.Unit) units.Length {
	if u == units.Inch {
		return 4 * 25_400_000
	}
	return 100_000_000
}

// PrintedExample is how --printed is written: what both bars measure, in the unit that lengths are printed in.
func PrintedExample(u units.Unit) string {
	if u == units.Inch {
		return "3.98x3.99"
	}
	return "99.4x99.6"
}

// words are what a printer makes of both bars.
func (p Printed) words(u units.Unit) string {
	bar := Bar(u).MM()
	return bare(p.Short*bar, u) + " and " + Length(p.Long*bar, u)
}

// scale is how many mm come out for one, along the paper's short and its long side.
func (p Printed) scale() (short, long float64) {
	if p == (Printed{}) {
		return 1, 1
	}
	return p.Short, p.Long
}

// shrunk is a paper's width and height, upright, in true mm of what the printer puts on it:
// no more than the paper's own, which is all that stays on it.
func (p Printed) shrunk(size Paper) (width, height float64) {
	width, height = size.mm()
	short, long := p.scale()
	return width * math.Min(short, 1), height * math.Min(long, 1)
}

// stretch draws what follows as much larger as the printer makes it smaller; stretched ends that.
func (t *trueSize) stretch() {
	if t.o.Printed == (Printed{}) {
		return
	}
	short, long := t.o.Printed.scale()
	if t.lying {
		short, long = long, short
	}
	t.TransformBegin()
	t.TransformScale(100/short, 100/long, 0, 0)
}

func (t *trueSize) stretched() {
	if t.o.Printed != (Printed{}) {
		t.TransformEnd()
	}
}

// longBar is the bar along the paper's long side: from the upper right corner of the band down,
// in the margin, where no line of the foam is.
func (t *trueSize) longBar(x, y float64) {
	const gap, thick = 0.5, 1.0
	t.fill(ink)
	t.Rect(x+gap, y, thick, t.o.bar().MM(), "F")
	t.text(x-1, y+edgeStyle.capMM(), t.o.edge(), edgeStyle, ink, 1)
}

// The band of what a hand cuts: the bar under two lines about the layer, how to print under that,
// and the map under what belongs to the bar down the edge.
const (
	handBandMM = 36.0
	handBarMM  = 17.0
	handNoteMM = 28.0
	edgeMM     = 5.0
)

// edge is what belongs to the long bar.
func (t templateOptions) edge() string { return t.bar().Format(t.Unit) + " down this edge too" }

var edgeStyle = style{leastPT, false}

// beside is how much of the band's right end its texts keep free.
func (t *trueSize) beside() float64 {
	wide := t.mapScale() * t.tiles.whole.Width()
	if t.byHand {
		wide = math.Max(wide, t.width(t.o.edge(), edgeStyle)+1)
	}
	return wide
}

// bandLine is a line of text, y mm under the band's top.
type bandLine struct {
	text   string
	y      float64
	colour color.RGBA
}

// handLines are the lines about the layer, two at most, and those on how to print.
func (t *trueSize) handLines(n int, width float64) (list []bandLine) {
	about := t.wrap(t.aboutPage(n), noteStyle, width, 0)
	if len(about) > 2 {
		about = []string{about[0], t.shorten(strings.Join(about[1:], " "), noteStyle, width)}
	}
	for i, line := range about {
		list = append(list, bandLine{line, 10 + float64(i)*noteStyle.lineMM(), softInk})
	}
	for i, line := range t.wrap(t.note, noteStyle, width, 0) {
		list = append(list, bandLine{line, handNoteMM + float64(i)*noteStyle.lineMM(), ink})
	}
	return list
}

// cornerMM is how far the lines of a page's corner crosses reach.
const cornerMM = 1.5

// corners are crosses at the corners of the part that a page shows: its diagonals are alike
// where the print is square, and those of all pages joined where they lie straight.
func (t *trueSize) corners(tile geometry.Box, v sheetView) {
	if !t.byHand {
		return
	}
	t.stroke(blue, 0.15)
	for _, x := range []float64{tile.Min.X, tile.Max.X} {
		for _, y := range []float64{tile.Min.Y, tile.Max.Y} {
			at := v.at(geometry.Point{X: x, Y: y})
			t.Line(at.X-cornerMM, at.Y, at.X+cornerMM, at.Y)
			t.Line(at.X, at.Y-cornerMM, at.X, at.Y+cornerMM)
		}
	}
}

// diagonal is that of a box, in words.
func (t templateOptions) diagonal(b geometry.Box) string {
	return tenth(math.Hypot(b.Width(), b.Height()), t.Unit)
}

// checks says what to measure of a template that is cut along.
func (t templateOptions) checks(tiles tiling) string {
	text := fmt.Sprintf("Print at 100 %%, no fit to page. Measure both black bars, %s each, and from corner cross to corner cross: both diagonals %s.", t.bar().Format(t.Unit), t.diagonal(tiles.box(0)))
	if tiles.count() > 1 {
		text += fmt.Sprintf(" Joined: both %s.", t.diagonal(tiles.whole))
	}
	return text
}
