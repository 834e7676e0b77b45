package page

import (
	"fmt"
	"math"
	"strings"

	"traywright/geometry/units"
)

// The page: A4 in pixels, 297 by 210 mm, lying or standing.
const (
	longPX  = 2400
	shortPX = 1697
	extraPX = 90 // that a page may grow by for its notes
)

// page is where everything goes.
type page struct {
	width, height int
	view          view
	beside        bool    // notes in columns beside the drawing, or below it
	notes         rect    // where the notes go
	columns       int     // of notes
	column        float64 // width of one
}

// mostScale keeps a small coupon from filling the page with a few cells.
const mostScale = 40

// layout takes the arrangement of the page that shows the foam largest.
func (s *sheet) layout() page {
	best := s.besideDrawing()
	for _, p := range []page{s.belowDrawing(longPX, shortPX, 3), s.belowDrawing(shortPX, longPX, 2)} {
		if p.view.scale > 1.05*best.view.scale {
			best = p
		}
	}
	return best
}

// The notes beside the drawing: one column, or two where the drawing is narrow.
const (
	columnPX     = 600
	leastColumn  = 540
	widestColumn = 700
)

// besideDrawing has the notes on the right.
func (s *sheet) besideDrawing() page {
	head := s.headHeight(longPX)
	p := page{width: longPX, height: shortPX + extraPX, beside: true, columns: 1}
	room := rect{
		x: marginPX + rulerPX, y: head,
		w: longPX - 2*marginPX - rulerPX - gapPX - columnPX, h: shortPX - head - rulerPX - marginPX,
	}
	p.view = s.fit(room)
	left := p.view.on().right() + gapPX
	width := longPX - marginPX - left
	if width >= 2*leastColumn+gapPX {
		p.columns = 2
	}
	p.column = math.Min(widestColumn, (width-float64(p.columns-1)*gapPX)/float64(p.columns))
	p.notes = rect{left, head, width, shortPX + extraPX - head - marginPX}
	return p
}

// belowDrawing has the notes in columns under the drawing.
func (s *sheet) belowDrawing(width, height float64, n int) page {
	head := s.headHeight(width)
	p := page{width: int(width), height: int(height), columns: n}
	p.column = (width - 2*marginPX - float64(n-1)*gapPX) / float64(n)
	_, notes := columns(append(s.blocks(p.column, everything), s.order(p.column, shortOrder)), n)
	notes = math.Min(notes, 0.55*height)
	room := rect{
		x: marginPX + rulerPX, y: head,
		w: width - 2*marginPX - rulerPX, h: height - head - rulerPX - blockGapPX - notes - marginPX,
	}
	p.view = s.fit(room)
	top := p.view.on().bottom() + rulerPX + blockGapPX
	p.notes = rect{marginPX, top, width - 2*marginPX, height - top - marginPX}
	return p
}

// fit shows the box as large as the room allows, at its upper-left corner.
func (s *sheet) fit(room rect) view {
	scale := min(room.w/s.box.Width(), room.h/s.box.Height(), mostScale)
	return view{box: s.box, scale: max(scale, 1e-4), x: math.Round(room.x), y: math.Round(room.y)}
}

// headHeight is where the page's head ends.
func (s *sheet) headHeight(width float64) float64 {
	return marginPX + titleType.size + 22 + float64(len(s.caption(width)))*bodyType.lineHeight() + 34
}

// mostCaption is how many lines of caption there may be.
const mostCaption = 5

func (s *sheet) caption(width float64) []string {
	var lines []string
	for _, text := range s.o.Lines {
		if room := mostCaption - len(lines); room > 0 {
			lines = append(lines, s.wrap(text, bodyType, width-2*marginPX, room)...)
		}
	}
	return lines
}

// header draws the title, the outcome and the caption.
func (s *sheet) header(p page) {
	width := float64(p.width)
	right := s.outcome(width - marginPX)
	title := s.o.Title
	if title == "" {
		title = s.r.Path
	}
	y := marginPX + titleType.size
	s.c.text(marginPX, y, s.shorten(title, titleType, right-marginPX-40), titleType, ink, 0)
	y += 22
	for _, line := range s.caption(width) {
		y += bodyType.lineHeight()
		s.c.text(marginPX, y-8, line, bodyType, softInk, 0)
	}
}

// outcome draws how the dry run ended, right-aligned, and returns its left edge.
func (s *sheet) outcome(right float64) float64 {
	text, good := outcome(s.r.OK, s.flags)
	w := s.width(text, strongType) + 84
	box := rect{right - w, marginPX - 2, w, 52}
	inside, letters := vermillion, paper
	if good {
		inside, letters = paper, ink
	}
	s.c.pill(box, inside, ink, 2)
	x, y := box.x+34, box.y+box.h/2
	if good {
		s.c.tick(x, y, 13, bluishGreen)
	} else {
		s.c.cross(x, y, 10, paper, 5)
	}
	s.c.text(box.x+60, y+strongType.capHeight()/2, text, strongType, letters, 0)
	return box.x
}

func outcome(ok bool, flags []flag) (text string, good bool) {
	errors, warnings := 0, 0
	for _, f := range flags {
		if f.error {
			errors++
		} else {
			warnings++
		}
	}
	switch {
	case errors > 0:
		return "dry run: " + plural(errors, "error"), false
	case !ok:
		return "dry run: failed", false
	case warnings > 0:
		return "dry run passed, " + plural(warnings, "warning"), true
	}
	return "dry run passed", true
}

// notes draws the blocks, and returns where they end.
func (s *sheet) notes(p page) float64 {
	blocks := s.blocks(p.column, s.used)
	if !p.beside {
		dealt, _ := columns(keep(append(blocks, s.order(p.column, shortOrder))), p.columns)
		return s.drawColumns(p, dealt)
	}
	dealt, _ := columns(blocks, p.columns)
	last := len(dealt) - 1
	beside := s.order(p.column, linesIn(p.notes.h-stack(dealt[last])-blockGapPX))
	on := s.v.on()
	under := rect{marginPX, on.bottom() + rulerPX + blockGapPX - 10, on.right() - marginPX, 0}
	below := s.order(under.w, linesIn(float64(p.height)-marginPX-under.y))
	if below.entries <= beside.entries {
		dealt[last] = keep(append(dealt[last], beside))
		return s.drawColumns(p, dealt)
	}
	below.draw(s.c, under.x, under.y, under.w)
	return math.Max(under.y+below.height(), s.drawColumns(p, dealt))
}

// linesIn is how many lines a block of a height has.
func linesIn(height float64) int { return int((height - headPX) / bodyType.lineHeight()) }

// drawColumns draws columns of blocks, and returns where the page's contents end.
func (s *sheet) drawColumns(p page, dealt [][]panel) float64 {
	bottom := s.v.on().bottom() + rulerPX
	for i, column := range dealt {
		x, y := p.notes.x+float64(i)*(p.column+gapPX), p.notes.y
		for _, b := range column {
			if y+b.height() > float64(p.height) {
				break
			}
			b.draw(s.c, x, y, p.column)
			y += b.height()
			bottom = math.Max(bottom, y)
			y += blockGapPX
		}
	}
	return bottom
}

// shortOrder is how many lines the order of operations has where room is short.
const shortOrder = 10

// blocks are the notes of the page, without the order of operations.
func (s *sheet) blocks(width float64, u used) []panel {
	return keep([]panel{
		{title: "Findings", rows: s.findingRows(width)},
		{title: "Sheet", rows: s.facts(width, s.sheetFacts())},
		{title: "Depth below the top of the foam", rows: s.depthRows(width, u)},
		{title: "Marks", rows: s.markRows(width, u)},
		{title: "On the bed", rows: s.bedRows(width)},
	})
}

// sheetFacts is the title block: what the program says of itself, and what the
// dry run measured.
func (s *sheet) sheetFacts() []fact {
	h, r, u := s.r.Header, s.r, s.o.Unit
	machine := s.o.Machine.Name
	if machine == "" {
		machine = h["machine"]
	}
	foam := h["foam"]
	if s.o.ThicknessMM > 0 {
		foam = strings.TrimPrefix(foam+", "+length(s.o.ThicknessMM, u)+" thick", ", ")
	}
	list := []fact{
		{"Job", h["job"]}, {"Tray", h["tray"]}, {"Layer", h["layer"]}, {"Foam", foam},
		{"Machine", machine}, {"Tool", oneLine(h["tool"])}, {"Kerf", kerfText(h["kerf"], u)}, {"Passes", h["passes"]},
	}
	if len(r.Motions) > 0 {
		list = append(list,
			fact{"Time", "about " + duration(r.Seconds)},
			fact{"Path", fmt.Sprintf("%s cut, %s rapid", distance(r.CutMM, u), distance(r.RapidMM, u))},
			fact{"Removed", volume(r.RemovedMM3, u)},
			fact{"Moves", fmt.Sprintf("X%s%s, Y%s%s", hardSpace, span(r.Min.X, r.Max.X, u), hardSpace, span(r.Min.Y, r.Max.Y, u))},
			fact{"", "Z " + span(r.Min.Z, r.Max.Z, u)})
	}
	if s.o.Wanted != nil {
		text, worst := "met to within ", max(r.WorstOvercutMM, r.WorstUndercutMM, 0.001)
		if !(worst <= differenceMM) {
			text = "differs by up to "
		}
		list = append(list, fact{"Plan", text + fine(worst, u)})
	}
	return list
}

// fine is a small length, to a thousandth of a millimetre.
func fine(mm float64, u units.Unit) string {
	switch {
	case math.IsNaN(mm) || math.IsInf(mm, 0):
		return "an unknown amount"
	case u == units.Inch:
		return fmt.Sprintf("%.4f in", mm/25.4)
	}
	return fmt.Sprintf("%.3f mm", mm)
}

func oneLine(s string) string { return strings.ReplaceAll(s, "\n", "; ") }

// kerfText puts a header's "T1 3.175 mm" lines into the user's unit.
func kerfText(header string, u units.Unit) string {
	var list []string
	for _, line := range strings.Split(header, "\n") {
		var tool int
		var mm float64
		if n, _ := fmt.Sscanf(line, "T%d %f mm", &tool, &mm); n == 2 && mm >= 0 && mm < 1000 {
			line = fmt.Sprintf("T%d %s", tool, kerfWidth(mm, u))
		}
		list = append(list, line)
	}
	return strings.Join(list, "; ")
}

func kerfWidth(mm float64, u units.Unit) string {
	if u == units.Inch {
		return fmt.Sprintf("%.4g in", mm/25.4)
	}
	return fmt.Sprintf("%.4g mm", mm)
}
