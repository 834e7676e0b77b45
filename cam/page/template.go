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
	Size    Paper
	Unit    units.Unit
	Title   string   // of the document
	Letters *letters // of the user's font
	// Printed is only for what is cut along templates.
	Printed Printed
}

// shown is what a template shows: a tray, or a sheet that a hand cuts.
type shown struct {
	box                  geometry.Box   // of all lines
	avoid                []geometry.Box // where marks would be in the way
	figure, title, about string
	note                 string // how to print it, and what to do with it
	byHand               bool   // it is cut along, so the print is measured both ways
	draw                 func(t *trueSize, tile geometry.Box, v sheetView)
}

// templates draws every tray as CutSheet.Templates says. A tray larger than a page is spread over several that overlap and
// have marks to lay them on each other by. The error is w's.
func templates(w io.Writer, trays []plan.Tray, o templateOptions) error {
	var list []shown
	for i := range trays {
		list = append(list, trayShown(&trays[i], o))
	}
	return drawTemplates(w, list, o)
}

func drawTemplates(w io.Writer, list []shown, o templateOptions) error {
	d, err := newDocument(o.Size, o.Title, o.Letters)
	if err != nil {
		return err
	}
	for _, what := range list {
		t := newTrueSize(d, what, o)
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
)

var (
	nameStyle = style{11, true}
	noteStyle = style{8, false}
	bandTitle = style{11, true}
	// the largest figure on a page is the tray's size
	bandFigure = style{18, true}
)

// trueSize is one tray or sheet on its way to paper.
type trueSize struct {
	*document
	shown
	o     templateOptions
	tiles tiling
	lying bool // the page, with the band at its left
}

// trayShown is a tray as it is asked for.
func trayShown(t *plan.Tray, o templateOptions) shown {
	box := t.Outline.Bounds()
	s := shown{
		box:    box.Grow(0.2), // the line's own width
		figure: size(box.Width(), box.Height(), o.Unit), title: t.ID, about: "outline of the tray",
		note: "Print at 100 %, no fit to page: the bar must measure " + o.bar().Format(o.Unit) + ". Lay the pieces on before any foam is cut.",
		draw: func(d *trueSize, tile geometry.Box, v sheetView) { d.drawTray(t, tile, v) },
	}
	if t.Label != "" {
		s.title += " · " + apart(t.Label)
	}
	if t.Copies > 1 {
		s.about += fmt.Sprintf(", %d to make", t.Copies)
	}
	for _, k := range t.Pockets {
		s.box = s.box.Union(k.Design.Bounds())
		s.avoid = append(s.avoid, k.Design.Bounds().Grow(markMM))
	}
	for _, k := range t.Marks {
		s.avoid = append(s.avoid, k.Box.Grow(markMM))
	}
	return s
}

// newTrueSize takes whichever way round has fewer pages.
func newTrueSize(d *document, what shown, o templateOptions) *trueSize {
	width, height := o.Printed.shrunk(o.Size)
	along := height - 2*templateMargin - what.bandHeight() - bandGap
	upright, lying := room{width - 2*templateMargin, along}, room{along, width - 2*templateMargin}
	p := &trueSize{document: d, shown: what, o: o, tiles: newTiling(what.box, upright)}
	if other := newTiling(what.box, lying); other.count() < p.tiles.count() {
		p.tiles, p.lying = other, true
	}
	p.tiles.avoid = what.avoid
	if what.byHand {
		p.note = o.checks(p.tiles)
	}
	return p
}

// page draws one of the tray's pages.
func (t *trueSize) page(n int) {
	t.document.page(t.o.Size, t.lying)
	t.stretch()
	tile := t.tiles.box(n)
	v := sheetView{geometry.Point{X: tile.Min.X, Y: tile.Max.Y}, geometry.Point{X: templateMargin, Y: templateMargin + t.bandHeight() + bandGap}}
	if t.lying {
		v.corner = geometry.Point{X: templateMargin + t.bandHeight() + bandGap, Y: templateMargin}
	}
	t.ClipRect(v.corner.X, v.corner.Y, tile.Width(), tile.Height(), false)
	t.draw(t, tile, v)
	t.ClipEnd()
	t.seams(n, v)
	t.corners(tile, v)
	if !t.lying {
		t.band(n, templateMargin, templateMargin)
	} else {
		bottom, _ := t.o.Printed.shrunk(t.o.Size) // the page's height, as it lies
		t.TransformBegin()
		t.TransformRotate(90, templateMargin, bottom-templateMargin)
		t.band(n, templateMargin, bottom-templateMargin)
		t.TransformEnd()
	}
	t.stretched()
}

// drawTray draws what of the tray is on the page, or crosses its edge.
func (t *trueSize) drawTray(tray *plan.Tray, tile geometry.Box, v sheetView) {
	t.stroke(ink, 0.25)
	t.region(geometry.NewRegion(tray.Outline), v, "D")
	for _, k := range tray.Pockets {
		if part := shared(k.Design.Bounds(), tile); part.Width() >= 0 && part.Height() >= 0 {
			t.region(k.Design, v, "D")
		}
	}
	for _, k := range tray.Marks {
		if part := shared(k.Box, tile); part.Width() >= 0 && part.Height() >= 0 {
			t.drawMark(k, v)
		}
	}
	for i := range tray.Pockets {
		k := &tray.Pockets[i]
		depth := Length(k.Depth.MM(), t.o.Unit) + " deep"
		if k.Through {
			depth = "through"
		}
		t.name(k.Box, t.letters.called(k), depth, tile, v)
	}
}

// leastPart is how much of a pocket a page must show to name it.
const leastPart = 6.0

// name writes a pocket's name and depth into what the page shows of it, so that
// no page cuts a word or a number short: along it or, where that gives larger
// letters, up it.
func (t *trueSize) name(box geometry.Box, text, depth string, tile geometry.Box, v sheetView) {
	part := shared(box, tile.Grow(-1))
	if part.Width() < min(leastPart, box.Width()) || part.Height() < min(leastPart, box.Height()) {
		return
	}
	width, height := part.Width(), part.Height()
	across, upward := t.fit(text, depth, width, height), t.fit(text, depth, height, width)
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
	width, _ := t.o.Printed.shrunk(t.o.Size) // along the paper's short side
	length := width - 2*templateMargin
	text := length - t.beside() - 4
	if t.byHand {
		t.longBar(x+length, y)
		t.drawMap(n, x+length, y+edgeMM)
	} else {
		t.drawMap(n, x+length, y)
	}
	t.text(x, y+bandFigure.capMM(), t.figure, bandFigure, ink, 0)
	beside := t.width(t.figure, bandFigure) + 4
	t.text(x+beside, y+bandFigure.capMM(), t.shorten(t.title, bandTitle, text-beside), bandTitle, ink, 0)
	if t.byHand {
		t.bar(x, y+handBarMM)
		for _, l := range t.handLines(n, text) {
			t.text(x, y+l.y, l.text, noteStyle, l.colour, 0)
		}
		return
	}
	t.text(x, y+10, t.shorten(t.aboutPage(n), noteStyle, text), noteStyle, softInk, 0)
	t.bar(x, y+14)
	note := t.wrap(t.note, noteStyle, text-t.o.bar().MM()-6, 0)
	for i, line := range note {
		t.text(x+t.o.bar().MM()+6, y+16+float64(i)*noteStyle.lineMM(), line, noteStyle, ink, 0)
	}
}

// bandHeight is how high the band is.
func (s shown) bandHeight() float64 {
	if s.byHand {
		return handBandMM
	}
	return bandMM
}

// aboutPage says what the page is of.
func (t *trueSize) aboutPage(n int) string {
	s := t.about
	if count := t.tiles.count(); count > 1 {
		s += fmt.Sprintf(", page %d of %d: lay equal letters on each other", n+1, count)
	}
	return s
}

// bar is how long a bar is.
func (t templateOptions) bar() units.Length { return Bar(t.Unit) }

// bar is the bar to measure the print by, with a line at each tenth of it, or each quarter of an inch.
func (t *trueSize) bar(x, y float64) {
	t.fill(ink)
	long, parts := t.o.bar().MM(), 10
	if t.o.Unit == units.Inch {
		parts = 16
	}
	t.Rect(x, y, long, 2, "F")
	t.stroke(ink, 0.2)
	for i := 1; i < parts; i++ {
		at := x + long*float64(i)/float64(parts)
		t.Line(at, y+2, at, y+3.2)
	}
	small := style{leastPT, false}
	t.text(x, y+6, "0", small, ink, 0)
	t.text(x+long/2, y+6, bare(long/2, t.o.Unit), small, ink, 0.5)
	t.text(x+long, y+6, t.o.bar().Format(t.o.Unit), small, ink, 1)
}
