package page

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
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
	if s.onPaper {
		return s.besideDrawing(shortPX, s.paperPX, paperColumnPX)
	}
	best := s.besideDrawing(longPX, shortPX, columnPX)
	for _, p := range []page{s.belowDrawing(longPX, shortPX, 3), s.belowDrawing(shortPX, longPX, 2)} {
		if p.view.scale > 1.05*best.view.scale {
			best = p
		}
	}
	return best
}

// The notes beside the drawing: one column, or two where the drawing is narrow.
const (
	columnPX      = 600
	leastColumn   = 540
	widestColumn  = 700
	paperColumnPX = 440
	leastOnPaper  = 380
	mostBelow     = 6 // lines of the order under the drawing that it makes room for
)

// besideDrawing has the notes on the right.
func (s *sheet) besideDrawing(width, height, column float64) page {
	head := s.headHeight(width)
	p := page{width: int(width), height: int(height), beside: true, columns: 1}
	if !s.onPaper {
		p.height += extraPX
	}
	room := rect{
		x: marginPX + rulerPX, y: head,
		w: width - 2*marginPX - rulerPX - gapPX - column, h: height - head - rulerPX - marginPX,
	}
	need := stack(s.blocks(column, s.everything())) + blockGapPX + s.order(column, len(s.groups)).height()
	if need > float64(p.height)-head-marginPX {
		n := orderColumns(room.w)
		room.h -= headPX + float64(min(mostBelow, (len(s.groups)+n-1)/n))*bodyType.lineHeight()
	}
	p.view = s.fit(room)
	left := p.view.on().right() + gapPX
	rest, least := width-marginPX-left, float64(leastColumn)
	if s.onPaper {
		least = leastOnPaper
	}
	if rest >= 2*least+gapPX {
		p.columns = 2
	}
	p.column = math.Min(widestColumn, (rest-float64(p.columns-1)*gapPX)/float64(p.columns))
	_, notes := columns(s.blocks(p.column, s.everything()), p.columns)
	p.height = max(p.height, int(head+notes+marginPX)) // what is wrong is never left out
	p.notes = rect{left, head, rest, float64(p.height) - head - marginPX}
	return p
}

// belowDrawing has the notes in columns under the drawing.
func (s *sheet) belowDrawing(width, height float64, n int) page {
	head := s.headHeight(width)
	p := page{width: int(width), columns: n}
	p.column = (width - 2*marginPX - float64(n-1)*gapPX) / float64(n)
	_, notes := columns(append(s.blocks(p.column, s.everything()), s.order(p.column, shortOrder)), n)
	room := rect{
		x: marginPX + rulerPX, y: head,
		w: width - 2*marginPX - rulerPX, h: height - head - rulerPX - blockGapPX - math.Min(notes, 0.55*height) - marginPX,
	}
	p.view = s.fit(room)
	top := p.view.on().bottom() + rulerPX + blockGapPX
	p.height = int(math.Max(height, top+notes+marginPX))
	p.notes = rect{marginPX, top, width - 2*marginPX, float64(p.height) - top - marginPX}
	return p
}

// fit shows the box as large as the room allows, at its upper-left corner.
func (s *sheet) fit(room rect) view {
	scale := min(room.w/s.box.Width(), room.h/s.box.Height(), mostScale)
	return view{box: s.box, scale: max(scale, 1e-4), x: math.Round(room.x), y: math.Round(room.y)}
}

// headHeight is where the page's head ends. On paper the page itself has one.
func (s *sheet) headHeight(width float64) float64 {
	if s.onPaper {
		return marginPX
	}
	return marginPX + titleType.size + 22 + float64(len(s.caption(width)))*bodyType.lineHeight() + 34
}

// mostCaption is how many lines of caption there may be.
const mostCaption = 5

func (s *sheet) caption(width float64) []string {
	var lines []string
	for _, line := range s.o.Lines {
		lines = append(lines, apart(line))
	}
	if text := Corners(s.r.Corners); text != "" {
		lines = append([]string{"Corners of what may be off: " + text}, lines...)
	}
	return s.wrap(strings.Join(lines, " · "), bodyType, width-2*marginPX, mostCaption)
}

// header draws the title, the time that it takes, the outcome and the caption.
func (s *sheet) header(p page) {
	if s.onPaper {
		return
	}
	width := float64(p.width)
	right, figure := s.outcome(width-marginPX), ""
	switch {
	case s.byHand():
		figure = s.sizeText()
	case len(s.r.Motions) > 0:
		figure = finding.Duration(s.r.Seconds)
	}
	y := s.c.heading(cmp.Or(s.o.Title, s.r.Path), figure, right-gapPX)
	for _, line := range s.caption(width) {
		y += bodyType.lineHeight()
		s.c.text(marginPX, y-8, line, bodyType, softInk, 0)
	}
}

// outcome draws how the dry run ended, right-aligned, and returns its left edge.
func (s *sheet) outcome(right float64) float64 {
	text, good := s.verdict()
	w := s.width(text, strongType) + 84
	box := rect{right - w, marginPX - 2, w, 52}
	if good {
		s.c.pill(box, paper, ink, 2)
		s.c.tick(box.x+34, box.y+box.h/2, 13, bluishGreen)
	} else {
		s.c.hazard(box)
		s.c.fill(box.inset(9), paper)
		s.c.cross(box.x+34, box.y+box.h/2, 10, ink, 5)
	}
	s.c.text(box.x+60, box.y+box.h/2+strongType.capHeight()/2, text, strongType, ink, 0)
	return box.x
}

// verdict is how the dry run ended, in words.
func (s *sheet) verdict() (text string, good bool) {
	counts := map[finding.Severity]int{}
	for _, f := range s.flags {
		counts[f.Severity] += 1 + f.More
	}
	switch {
	case s.byHand():
		return "drawn from the plan", true
	case counts[finding.Error] > 0:
		return "dry run fails: " + finding.Counted(counts[finding.Error], "error"), false
	case !s.r.OK:
		return "dry run fails", false
	case counts[finding.Warning] > 0:
		return "dry run passes, " + finding.Counted(counts[finding.Warning], "warning"), true
	}
	return "dry run passes", true
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
	if beside.entries >= len(s.groups) || below.entries <= beside.entries {
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

// blocks are the notes of the page, without the order of operations. On paper the
// page itself says the rest.
func (s *sheet) blocks(width float64, u used) []panel {
	list := []panel{
		{title: "Findings", rows: s.findingRows(width)},
		{title: "Depth below the foam's top", rows: s.depthRows(width, u)},
		{title: "Marks", rows: s.markRows(width, u)},
	}
	if !s.onPaper && s.byHand() {
		return keep(append(list, panel{title: "From the plan, for no program was read", rows: s.facts(width, s.handFacts())}))
	}
	if !s.onPaper {
		measured := "Measured in the dry run"
		if _, good := s.verdict(); !good {
			measured = "Measured, of a program that fails"
		}
		list = append(list, panel{title: measured, rows: s.facts(width, s.measured())},
			panel{title: "The program says", rows: s.facts(width, s.said())}, panel{title: "On this sheet", rows: s.lyingRows(width)}, panel{title: "On the bed", rows: s.bedRows(width)},
			panel{title: "On its offcut", rows: s.offcutRows(width)})
	}
	return keep(list)
}

// said is what the program says of itself, and what the machine and the foam are.
func (s *sheet) said() []fact {
	h := s.r.Header
	foam := h["foam"]
	if s.o.ThicknessMM > 0 {
		foam = strings.TrimPrefix(foam+", "+Thick(s.o.ThicknessMM, s.o.Unit)+" thick", ", ")
	}
	return []fact{
		{"Job", h["job"]}, {"Tray", h["tray"]}, {"Layer", h["layer"]}, {"Foam", foam},
		{"Machine", cmp.Or(s.o.Machine.Name, h["machine"])}, {"Tool", oneLine(h["tool"])},
		{"Kerf", kerfText(h["kerf"], s.o.Unit)}, {"Current", h["current"]}, {"Passes", h["passes"]},
	}
}

// measured is what the dry run found out, and nothing that it did not.
func (s *sheet) measured() []fact {
	r, u := s.r, s.o.Unit
	if len(r.Motions) == 0 {
		return []fact{{"Plan", "not compared: there is no move to read"}}
	}
	return []fact{
		{"Time", "about " + finding.Duration(r.Seconds)},
		{"Path", fmt.Sprintf("%s cut, %s rapid", Distance(r.CutMM, u), Distance(r.RapidMM, u))},
		{"Removed", Volume(r.RemovedMM3, u)},
		{"Moves", fmt.Sprintf("X %s, Y %s, Z %s", span(r.Min.X, r.Max.X, u), span(r.Min.Y, r.Max.Y, u), span(r.Min.Z, r.Max.Z, u))},
		{"Z", strings.TrimSpace(ZFrom(s.o.Machine))}, {"Rulers", s.rulers()},
		{"Plan", s.againstPlan()},
	}
}

// ZFrom says where a dry run counts Z from, on every machine; "" where the program does as well.
func ZFrom(m profiles.Machine) string {
	if m.ZZero == profiles.ZBed || m.ZSign() < 0 {
		return " up from the foam's top, which is not the program's Z"
	}
	return ""
}

// againstPlan is how far the foam is from what was planned. A program that fails
// meets no plan, however well its walls stand.
func (s *sheet) againstPlan() string {
	_, good := s.verdict()
	worst := max(s.r.WorstOvercutMM, s.r.WorstUndercutMM, 0.001)
	switch {
	case s.o.Wanted == nil:
		return "not compared with one"
	case !(worst <= differenceMM):
		return "differs by up to " + fine(worst, s.o.Unit)
	case !good:
		return "not met; walls and floors differ by up to " + fine(worst, s.o.Unit)
	}
	return "met to within " + fine(worst, s.o.Unit)
}

func oneLine(s string) string { return strings.ReplaceAll(s, "\n", "; ") }

// kerfText puts a header's "T1 3.175 mm" lines into the user's unit.
func kerfText(header string, u units.Unit) string {
	var list []string
	for _, line := range strings.Split(header, "\n") {
		var tool int
		var mm float64
		if n, _ := fmt.Sscanf(line, "T%d %f mm", &tool, &mm); n == 2 && mm >= 0 && mm < 1000 {
			line = fmt.Sprintf("T%d %s", tool, kerfWide(mm, u))
		}
		list = append(list, line)
	}
	return strings.Join(list, "; ")
}
