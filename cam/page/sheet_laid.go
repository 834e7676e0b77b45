package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"traywright/cam/stock"
	"traywright/geometry"
)

// What a setup's picture shows beside what the program cuts: the sheet, which part is which, and
// what of it stays.

// onSheet moves a box from the setup's own corner to the program's X0 Y0.
func (s *sheet) onSheet(x, y, length, width float64) geometry.Box {
	zero := s.o.Laid.ZeroMM
	low := geometry.Point{X: x - zero[0], Y: y - zero[1]}
	return geometry.Box{Min: low, Max: low.Add(geometry.Point{X: length, Y: width})}
}

// laidOnBed is the sheet, from the bed's corner.
func (s *sheet) laidOnBed() geometry.Box {
	on, zero := s.onSheet(0, 0, s.o.Laid.SizeMM[0], s.o.Laid.SizeMM[1]), s.zeroOnBed()
	return geometry.Box{Min: on.Min.Add(zero), Max: on.Max.Add(zero)}
}

// rulers says where the picture's begin, where that is not where the moves count from.
func (s *sheet) rulers() string {
	if s.o.Laid == nil || s.o.Laid.ZeroMM == [2]float64{} {
		return ""
	}
	return "from the sheet's own corner, and the moves from X0 Y0"
}

// offcuts hatches what stays of the sheet, and draws its edge.
func (s *sheet) offcuts() {
	if s.o.Laid == nil {
		return
	}
	for _, o := range s.o.Laid.Offcuts {
		box := boxOn(s.v, s.onSheet(o.XMM, o.YMM, o.LengthMM, o.WidthMM))
		s.c.hatch(intersect(box, s.v.on()), 22, 2, -1, softInk)
		s.c.frame(box, 2, softInk)
	}
	size := s.o.Laid.SizeMM
	s.c.frame(boxOn(s.v, s.onSheet(0, 0, size[0], size[1])), 3, ink)
}

// parts names every part and every offcut, as fully as there is room in it, and marks each part's own front left
// corner. The names stand in a list as well.
func (s *sheet) parts() {
	for _, ear := range s.o.Ears {
		s.sign(boxOn(s.v, ear), "ear")
	}
	if s.o.Laid == nil {
		return
	}
	outlines := s.o.Laid.Tray.Sheets[0].Edge.Shape.Contours()
	for i, p := range s.o.Laid.Parts {
		box := outlines[i].Bounds()
		at := s.v.at(frontLeft(p, box))
		s.c.cornerMark(at.X, at.Y, p.Turn != 0)
		s.used.corners = true
		name, number := p.Label(), fmt.Sprintf("part %d", i+1)
		s.sign(boxOn(s.v, box), number+": "+name+turned(p), number+": "+name, number, strconv.Itoa(i+1))
	}
	for i, o := range s.o.Laid.Out {
		name, wide := strconv.Quote(s.o.Laid.Called[i]), size(o.LengthMM, o.WidthMM, s.o.Unit)
		s.sign(boxOn(s.v, s.onSheet(o.XMM, o.YMM, o.LengthMM, o.WidthMM)), "offcut "+name+", "+wide, name+", "+wide, name)
	}
}

func turned(p stock.Part) string {
	if p.Turn == 0 {
		return ""
	}
	return fmt.Sprintf(", turned %d°", p.Turn)
}

// mostSignLines is how many lines a sign has, mostLying how many parts and offcuts are listed.
const (
	mostSignLines = 3
	mostLying     = 20
)

// lyingRows lists what lies on the sheet, and what of it stays.
func (s *sheet) lyingRows(width float64) (rows []panelRow) {
	if s.o.Laid == nil {
		return nil
	}
	var texts []string
	for i, p := range s.o.Laid.Parts {
		texts = append(texts, fmt.Sprintf("part %d: %s%s", i+1, p.Label(), turned(p)))
	}
	for i, o := range s.o.Laid.Out {
		texts = append(texts, fmt.Sprintf("offcut %q, %s", s.o.Laid.Called[i], size(o.LengthMM, o.WidthMM, s.o.Unit)))
	}
	if len(texts) > mostLying {
		texts = append(texts[:mostLying:mostLying], fmt.Sprintf("and %d more, on the cut sheet", len(texts)-mostLying))
	}
	for _, text := range texts {
		rows = append(rows, s.paragraph(width, text, bodyType, 2)...)
	}
	return rows
}

// sign writes into a box of the page the first of some texts that there is room for, none of them cut short.
func (s *sheet) sign(in rect, texts ...string) {
	at, lines := s.signed(in, texts)
	if len(lines) == 0 {
		return
	}
	s.c.fill(at, paper)
	s.c.frame(at, 2, ink)
	for i, line := range lines {
		s.c.text(at.x+signBesidePX, at.y+4+smallType.size+float64(i)*smallType.lineHeight(), line, smallType, ink, 0)
	}
}

// signBesidePX is the paper beside a sign's letters.
const signBesidePX = 10

// signed takes the room for it: along the box's upper edge, its lower one, or wherever there is some between.
func (s *sheet) signed(in rect, texts []string) (at rect, lines []string) {
	const clear = 6
	for _, text := range texts {
		lines := s.wrap(text, smallType, in.w-2*clear-2*signBesidePX, 0)
		w, h := 2.0*signBesidePX, float64(len(lines))*smallType.lineHeight()+8
		for _, line := range lines {
			w = math.Max(w, s.width(line, smallType)+2*signBesidePX)
		}
		if len(lines) > mostSignLines || w > in.w-2*clear || strings.Join(lines, " ") != text {
			continue // it has more lines, or a word that is broken
		}
		var places []rect
		for y := in.y + clear; y+h <= in.bottom()-clear; y += 17 {
			places = append(places, rect{in.x + clear, y, w, h}, rect{in.right() - clear - w, y, w, h})
		}
		if at, ok := s.claims.place(s.v.on(), places...); ok {
			return at, lines
		}
	}
	return rect{}, nil
}

// arrowRoom keeps numbers and names off the setup's arrow.
func (s *sheet) arrowRoom() {
	if s.o.Laid == nil || s.o.Laid.Arrow == nil {
		return
	}
	for _, way := range s.o.Laid.Tray.Sheets[0].Marks[:s.o.Laid.Tray.Sheets[0].First] {
		s.claims.take(boxOn(s.v, way.Bounds()))
	}
}

// left draws what the blade leaves to a hand.
func (s *sheet) left() {
	n := 0
	for _, way := range s.leftWays() {
		n += s.add(chain(way.Segments(), s.v.scale))
	}
	if n > 0 {
		s.used.left = true
		s.c.stroke(leftPen)
	}
}
