package page

import (
	"fmt"
	"strconv"

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

// parts names every part and every offcut where there is room in it.
func (s *sheet) parts() {
	for _, ear := range s.o.Ears {
		s.sign(boxOn(s.v, ear), "ear")
	}
	if s.o.Laid == nil {
		return
	}
	outlines := s.o.Laid.Tray.Sheets[0].Edge.Shape.Contours()
	for i, p := range s.o.Laid.Parts {
		text := fmt.Sprintf("part %d: %s", i+1, p.Label())
		if p.Turn != 0 {
			text += fmt.Sprintf(", turned %d°", p.Turn)
		}
		s.sign(boxOn(s.v, outlines[i].Bounds()), text)
	}
	for i, o := range s.o.Laid.Offcuts {
		s.sign(boxOn(s.v, s.onSheet(o.XMM, o.YMM, o.LengthMM, o.WidthMM)), "offcut "+strconv.Quote(s.o.Laid.Called[i])+", "+size(o.Whole(s.o.Unit).LengthMM, o.Whole(s.o.Unit).WidthMM, s.o.Unit))
	}
}

// sign writes a few words into a box of the page: along its upper edge, its lower one, or wherever
// there is room between.
func (s *sheet) sign(in rect, text string) {
	const high, clear = 34, 6
	text = s.shorten(text, smallType, in.w-2*clear-20)
	w := s.width(text, smallType) + 20
	var places []rect
	for y := in.y + clear; y+high <= in.bottom()-clear; y += high / 2 {
		places = append(places, rect{in.x + clear, y, w, high}, rect{in.right() - clear - w, y, w, high})
	}
	if at, ok := s.claims.place(s.v.on(), places...); ok {
		s.c.fill(at, paper)
		s.c.frame(at, 2, ink)
		s.c.text(at.x+10, at.y+17+smallType.capHeight()/2, text, smallType, ink, 0)
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
