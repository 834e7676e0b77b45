package page

import (
	"fmt"
	"math"

	"traywright/geometry"
)

// Printed is what a printer makes of a template's bars of 100 mm, mm: the one along the paper's
// short side, and the one along its long side. The zero value is nobody has measured.
type Printed struct{ ShortMM, LongMM float64 }

// LeastPrintedMM and MostPrintedMM are what a bar of 100 mm may measure: what is farther off was
// fitted to the page, and is printed again without that.
const (
	LeastPrintedMM = 90.0
	MostPrintedMM  = 110.0
)

// scale is how many mm come out for one, along the paper's short and its long side.
func (p Printed) scale() (short, long float64) {
	if p == (Printed{}) {
		return 1, 1
	}
	return p.ShortMM / barMM, p.LongMM / barMM
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
	t.Rect(x+gap, y, thick, barMM, "F")
	small := style{leastPT, false}
	t.text(x-1, y+small.capMM(), "100 mm down this edge too", small, ink, 1)
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
	return Length(math.Round(math.Hypot(b.Width(), b.Height())*10)/10, t.Unit)
}

// checks says what to measure of a template that is cut along.
func (t templateOptions) checks(tiles tiling) string {
	text := fmt.Sprintf("Print at 100 %%, no fit to page. Measure both black bars, 100 mm each, and from corner cross to corner cross: both diagonals %s.", t.diagonal(tiles.box(0)))
	if tiles.count() > 1 {
		text += fmt.Sprintf(" Joined: both %s.", t.diagonal(tiles.whole))
	}
	return text
}
