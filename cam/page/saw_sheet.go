package page

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/stock"
	"traywright/geometry/units"
)

// sawSheet is one sheet on the picture; its places are px from the upper left corner of what is drawn of it.
type sawSheet struct {
	t      *typesetter
	p      stock.Parted
	scale  float64 // px a mm
	unit   units.Unit
	box    rect
	claims *claims
	lines  [][4]float64
	texts  []sawText
	notes  []string // what has no room on the sheet
}

// sawText is a line of text, from its left end on the baseline.
type sawText struct {
	x, y  float64
	words string
	style style
	back  bool // on a patch of paper
}

// sawRowPX is how far apart two rows of measures are.
const sawRowPX = 34

// high is how high the sheet is with its name and its notes.
func (s *sawSheet) high() float64 {
	return s.box.bottom() + float64(len(s.notes))*smallType.lineHeight() + marginPX
}

// lay finds a place for every line and every word.
func (s *sawSheet) lay() {
	rows := s.rows()
	further := slices.Max(append(rows, 0)) // rows beside the first
	s.box = rect{sawLeftPX, sawAbovePX + sawRowPX*float64(further), s.p.SizeMM[0] * s.scale, s.p.SizeMM[1] * s.scale}
	s.claims = newClaims(rect{0, 0, sawPX, s.box.bottom() + marginPX})
	title := fmt.Sprintf("%s: %s of %s, %s thick", labelled(s.p.Sheet, s.p.Label), size(s.p.SizeMM[0], s.p.SizeMM[1], s.unit), s.p.Foam, Thick(s.p.Layer, s.unit))
	s.texts = append(s.texts, sawText{marginPX, titleType.size, s.t.shorten(title, titleType, sawPX-2*marginPX), titleType, false})
	s.layCuts(rows)
	for n, p := range s.p.Panels {
		if name := fmt.Sprintf("p%d", n+1); !s.name(p, titleType, name, false) {
			s.note(name, p)
		}
	}
	area := s.p.SizeMM[0] * s.p.SizeMM[1]
	for _, p := range s.p.Panels {
		area -= p.LengthMM * p.WidthMM
	}
	for i, r := range s.p.Rest {
		if name := strconv.Quote(s.p.Called[i]); !s.name(r, strongType, name, true) {
			s.note(name, r)
		}
	}
	if area > 1 {
		text := "Hatched: in no panel"
		if len(s.p.Rest) > 0 {
			text += ". What has a name in quotes is to keep: write it on the foam"
		}
		s.notes = append(s.notes, text+".")
	}
	var lines []string
	for _, n := range s.notes {
		lines = append(lines, s.t.wrap(n, smallType, sawPX-2*marginPX, 99)...)
	}
	s.notes = lines
}

// note says beneath the sheet what has no room on it.
func (s *sawSheet) note(name string, r stock.Rect) {
	s.notes = append(s.notes, fmt.Sprintf("%s: %s, from X %s, Y %s.", name, size(r.LengthMM, r.WidthMM, s.unit), Length(r.XMM, s.unit), Length(r.YMM, s.unit)))
}

// rows is in which row above the sheet each measure stands, so that none is on another, 0 the one next to the sheet.
func (s *sawSheet) rows() (rows []int) {
	var ends []float64
	for _, at := range s.p.CutsMM() {
		half := s.t.width(Length(at, s.unit), strongType)/2 + 8
		row := 0
		for row < len(ends) && ends[row] > at*s.scale-half {
			row++
		}
		if row == len(ends) {
			ends = append(ends, 0)
		}
		ends[row], rows = at*s.scale+half, append(rows, row)
	}
	return rows
}

// layCuts are the lines that panels end at, each with its measure: what is behind them stays in one piece. The
// measures of a strip stand at its left edge.
func (s *sawSheet) layCuts(rows []int) {
	for i, at := range s.p.CutsMM() {
		x, up := s.box.x+at*s.scale, sawRowPX*float64(rows[i])
		text := Length(at, s.unit)
		s.lines = append(s.lines, [4]float64{x, s.box.y - 18 - up, x, s.box.bottom()})
		s.texts = append(s.texts, sawText{x - s.t.width(text, strongType)/2, s.box.y - 26 - up, text, strongType, up == 0})
	}
	for n, strip := range s.p.Strips() {
		left, right, last := s.box.x+strip.XMM*s.scale, s.box.x+(strip.XMM+strip.LengthMM)*s.scale, s.box.bottom()+sawRowPX
		var lost []string
		for _, at := range strip.CutsMM {
			y, text := s.box.bottom()-at*s.scale, Length(at, s.unit)
			wide := s.t.width(text, strongType)
			if n == 0 {
				s.lines = append(s.lines, [4]float64{left - 18, y, right, y})
			} else {
				s.lines = append(s.lines, [4]float64{left, y, right, y})
			}
			in := rect{left + 10, y + 8, wide + 8, strongType.size}
			if _, room := s.claims.place(rect{left, s.box.y, right - left, s.box.h}, in); n == 0 && last-y >= sawRowPX {
				s.texts = append(s.texts, sawText{left - 26 - wide, y + strongType.capHeight()/2, text, strongType, false})
				last = y
			} else if n > 0 && room {
				s.texts = append(s.texts, sawText{left + 14, y + 14 + strongType.capHeight(), text, strongType, false})
			} else {
				lost = append(lost, text)
			}
		}
		if len(lost) > 0 {
			s.notes = append(s.notes, fmt.Sprintf("The strip from X %s is cut at Y %s.", Length(strip.XMM, s.unit), strings.Join(lost, ", ")))
		}
	}
}

// name writes a name and a size into a rectangle of the sheet, in two lines or in one, or the name alone; it
// reports whether the size has room.
func (s *sawSheet) name(r stock.Rect, st style, name string, back bool) bool {
	in := rect{s.box.x + r.XMM*s.scale, s.box.bottom() - (r.YMM+r.WidthMM)*s.scale, r.LengthMM * s.scale, r.WidthMM * s.scale}
	x, y, sized := in.x+in.w/2, in.y+in.h/2, size(r.LengthMM, r.WidthMM, s.unit)
	put := func(y float64, text string, st style) {
		s.texts = append(s.texts, sawText{x - s.t.width(text, st)/2, y, text, st, back})
	}
	room := func(text string, st style, up, down float64) bool {
		wide := s.t.width(text, st) + 12
		_, ok := s.claims.place(in.inset(4), rect{x - wide/2, y - up, wide, up + down})
		return ok
	}
	longer := name
	if s.t.width(sized, strongType) > s.t.width(name, st) {
		longer = sized
	}
	one := name + ": " + sized
	switch {
	case room(longer, st, st.size, 2.4*strongType.size):
		put(y, name, st)
		put(y+2*strongType.size, sized, strongType)
	case room(one, strongType, strongType.size/2, strongType.size/2):
		put(y+strongType.capHeight()/2, one, strongType)
	default:
		if room(name, strongType, strongType.size/2, strongType.size/2) {
			put(y+strongType.capHeight()/2, name, strongType)
		}
		return false
	}
	return true
}

// draw draws the sheet below a height of the picture.
func (s *sawSheet) draw(c *canvas, top float64) {
	box := rect{s.box.x, top + s.box.y, s.box.w, s.box.h}
	c.fill(box, foamColour)
	c.hatch(box, 22, 2, -1, softInk) // what is no panel, wide enough to keep or not
	for _, p := range s.p.Panels {
		c.fill(rect{box.x + p.XMM*s.scale, box.bottom() - (p.YMM+p.WidthMM)*s.scale, p.LengthMM * s.scale, p.WidthMM * s.scale}, foamColour)
	}
	c.frame(box, 4, ink)
	cut := pen{width: 4, col: ink, dash: []float64{18, 10}}
	for _, l := range s.lines {
		c.line(l[0], top+l[1], l[2], top+l[3], cut)
	}
	for _, t := range s.texts {
		if t.back {
			c.fill(rect{t.x - 4, top + t.y - t.style.size, c.width(t.words, t.style) + 8, 1.3 * t.style.size}, paper)
		}
		c.text(t.x, top+t.y, t.words, t.style, ink, 0)
	}
	for i, line := range s.notes {
		c.text(marginPX, top+s.box.bottom()+smallType.lineHeight()*float64(i+1), line, smallType, ink, 0)
	}
}
