package page

import (
	"fmt"
	"io"
	"strings"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
)

// templateOptions is what templates say beside the trays.
type templateOptions struct {
	Size  Paper
	Unit  units.Unit
	Title string // of the document
}

// templates draws every tray as CutSheet.Templates says. A tray larger than a page is spread over several that overlap and
// have marks to lay them on each other by. The error is w's.
func templates(w io.Writer, trays []plan.Tray, o templateOptions) error {
	d, err := newDocument(o.Size, o.Title)
	if err != nil {
		return err
	}
	for i := range trays {
		t := newTrueSize(d, &trays[i], o)
		for n := range t.tiles.count() {
			t.page(n)
		}
	}
	return d.write(w)
}

// The template's page.
const (
	templateMargin = 8.0 // that printers may not reach
	bandMM         = 24.0
	bandGap        = 2.0
	barMM          = 100.0
)

var (
	nameStyle = style{11, true}
	noteStyle = style{8, false}
	bandTitle = style{11, true}
	// the largest figure on a page is the tray's size
	bandFigure = style{18, true}
)

// trueSize is one tray on its way to paper.
type trueSize struct {
	*document
	tray  *plan.Tray
	o     templateOptions
	tiles tiling
	lying bool // the page, with the band at its left
}

func newTrueSize(d *document, t *plan.Tray, o templateOptions) *trueSize {
	width, height := o.Size.mm()
	upright := room{width - 2*templateMargin, height - 2*templateMargin - bandMM - bandGap}
	lying := room{height - 2*templateMargin - bandMM - bandGap, width - 2*templateMargin}
	box := t.Outline.Bounds().Grow(0.2) // the line's own width
	for _, k := range t.Pockets {
		box = box.Union(k.Design.Bounds())
	}
	p := &trueSize{document: d, tray: t, o: o, tiles: newTiling(box, upright)}
	if other := newTiling(box, lying); other.count() < p.tiles.count() {
		p.tiles, p.lying = other, true
	}
	for _, k := range t.Pockets {
		p.tiles.avoid = append(p.tiles.avoid, k.Design.Bounds().Grow(markMM))
	}
	for _, k := range t.Marks {
		p.tiles.avoid = append(p.tiles.avoid, k.Box.Grow(markMM))
	}
	return p
}

// page draws one of the tray's pages.
func (t *trueSize) page(n int) {
	t.document.page(t.o.Size, t.lying)
	tile := t.tiles.box(n)
	v := sheetView{geometry.Point{X: tile.Min.X, Y: tile.Max.Y}, geometry.Point{X: templateMargin, Y: templateMargin + bandMM + bandGap}}
	if t.lying {
		v.corner = geometry.Point{X: templateMargin + bandMM + bandGap, Y: templateMargin}
	}
	t.ClipRect(v.corner.X, v.corner.Y, tile.Width(), tile.Height(), false)
	t.drawTray(tile, v)
	for _, k := range t.tray.Pockets {
		t.name(k, tile, v)
	}
	t.ClipEnd()
	t.seams(n, v)
	if !t.lying {
		t.band(n, templateMargin, templateMargin)
		return
	}
	_, height := t.GetPageSize()
	t.TransformBegin()
	t.TransformRotate(90, templateMargin, height-templateMargin)
	t.band(n, templateMargin, height-templateMargin)
	t.TransformEnd()
}

// drawTray draws what of the tray is on the page, or crosses its edge.
func (t *trueSize) drawTray(tile geometry.Box, v sheetView) {
	t.stroke(ink, 0.25)
	t.region(geometry.NewRegion(t.tray.Outline), v, "D")
	for _, k := range t.tray.Pockets {
		if part := shared(k.Design.Bounds(), tile); part.Width() >= 0 && part.Height() >= 0 {
			t.region(k.Design, v, "D")
		}
	}
	for _, k := range t.tray.Marks {
		if part := shared(k.Box, tile); part.Width() >= 0 && part.Height() >= 0 {
			t.drawMark(k, v)
		}
	}
}

// leastPart is how much of a pocket a page must show to name it.
const leastPart = 6.0

// name writes a pocket's name and depth into what the page shows of it, so that
// no page cuts a word or a number short: along it or, where that gives larger
// letters, up it.
func (t *trueSize) name(k plan.Pocket, tile geometry.Box, v sheetView) {
	part := shared(k.Box, tile.Grow(-1))
	if part.Width() < min(leastPart, k.Box.Width()) || part.Height() < min(leastPart, k.Box.Height()) {
		return
	}
	width, height := part.Width(), part.Height()
	depth := Length(k.Depth.MM(), t.o.Unit) + " deep"
	if k.Through {
		depth = "through"
	}
	across, upward := t.fit(k.For, depth, width, height), t.fit(k.For, depth, height, width)
	centre := v.at(part.Min.Add(part.Max).Scale(0.5))
	if !upward.better(across) {
		t.write(across, centre)
		return
	}
	t.TransformBegin()
	t.TransformRotate(90, centre.X, centre.Y)
	t.write(upward, centre)
	t.TransformEnd()
}

// shared is what two boxes have in common; its sizes are negative when nothing.
func shared(a, b geometry.Box) geometry.Box {
	return geometry.Box{
		Min: geometry.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: geometry.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
}

// label is a name, in lines, and a depth at a size of letters.
type label struct {
	size  float64
	name  []string
	depth string // left out where it would have to be cut
	whole bool   // nothing is missing
}

// better is whether a label that has to be read sideways is worth it.
func (l label) better(than label) bool {
	if l.whole != than.whole {
		return l.whole
	}
	return l.size > than.size+1
}

func (l label) styles() (name, depth style) {
	return style{l.size, true}, style{max(leastPT, 0.8*l.size), false}
}

// fit is the largest label for a room; of the least, as much as fits.
func (t *trueSize) fit(name, depth string, width, height float64) label {
	l := label{depth: depth, whole: true}
	for l.size = nameStyle.size; l.size > leastPT; l.size -= 0.5 {
		if t.fitsWhole(&l, name, 0.9*width, 0.9*height) {
			return l
		}
	}
	if t.fitsWhole(&l, name, 0.95*width, 0.95*height) {
		return l
	}
	l.whole = false
	large, small := l.styles()
	if t.width(depth, small) > width || large.lineMM()+small.lineMM() > height {
		l.depth = ""
	}
	most := max(1, int((height-small.lineMM())/large.lineMM()))
	if len(l.name) > most {
		l.name = append(l.name[:most-1:most-1], t.shorten(strings.Join(l.name[most-1:], " "), large, 0.95*width))
	}
	return l
}

// fitsWhole breaks the name into lines between its words, and reports whether
// it and the depth fit.
func (t *trueSize) fitsWhole(l *label, name string, width, height float64) bool {
	large, small := l.styles()
	l.name = t.wrap(name, large, width, 0)
	if t.width(l.depth, small) > width || float64(len(l.name))*large.lineMM()+small.lineMM() > height {
		return false
	}
	for _, word := range strings.Fields(name) {
		if t.width(word, large) > width {
			return false
		}
	}
	return true
}

// write puts a label's lines around a place.
func (t *trueSize) write(l label, centre geometry.Point) {
	large, small := l.styles()
	high := float64(len(l.name)) * large.lineMM()
	if l.depth != "" {
		high += small.lineMM()
	}
	y := centre.Y - high/2
	for _, line := range l.name {
		y += large.lineMM()
		t.text(centre.X, y-large.lineMM()*0.24, line, large, ink, 0.5)
	}
	t.text(centre.X, y+small.lineMM()*0.76, l.depth, small, softInk, 0.5)
}

// band is the strip above the tray: whose it is, how to print it, the bar and
// the map of its pages.
func (t *trueSize) band(n int, x, y float64) {
	width, height := t.GetPageSize()
	length := width - 2*templateMargin
	if t.lying {
		length = height - 2*templateMargin
	}
	mapWidth := t.drawMap(n, x+length, y)
	text := length - mapWidth - 4
	title := t.tray.ID
	if t.tray.Label != "" {
		title += " · " + t.tray.Label
	}
	box := t.tray.Outline.Bounds()
	outline := size(box.Width(), box.Height(), t.o.Unit)
	t.text(x, y+bandFigure.capMM(), outline, bandFigure, ink, 0)
	beside := t.width(outline, bandFigure) + 4
	t.text(x+beside, y+bandFigure.capMM(), t.shorten(title, bandTitle, text-beside), bandTitle, ink, 0)
	t.text(x, y+10, t.shorten(t.about(n), noteStyle, text), noteStyle, softInk, 0)
	t.bar(x, y+14)
	note := t.wrap("Print at 100 %, no fit to page: the bar must measure 100 mm. Lay the pieces on before any foam is cut.", noteStyle, text-barMM-6, 0)
	for i, line := range note {
		t.text(x+barMM+6, y+16+float64(i)*noteStyle.lineMM(), line, noteStyle, ink, 0)
	}
}

// about says what the page is of.
func (t *trueSize) about(n int) string {
	s := "outline of the tray"
	if t.tray.Copies > 1 {
		s += fmt.Sprintf(", %d to make", t.tray.Copies)
	}
	if count := t.tiles.count(); count > 1 {
		s += fmt.Sprintf(", page %d of %d: lay equal letters on each other", n+1, count)
	}
	return s
}

// bar is the bar to measure the print by: its black ends are 100 mm apart.
func (t *trueSize) bar(x, y float64) {
	t.fill(ink)
	t.Rect(x, y, barMM, 2, "F")
	t.stroke(ink, 0.2)
	small := style{leastPT, false}
	for i := 0; i <= 100; i += 10 {
		at := x + float64(i)
		if i > 0 && i < 100 {
			t.Line(at, y+2, at, y+3.2)
		}
		switch i {
		case 0:
			t.text(at, y+6, "0", small, ink, 0)
		case 100:
			t.text(at, y+6, "100 mm", small, ink, 1)
		case 50:
			t.text(at, y+6, "50", small, ink, 0.5)
		}
	}
}
