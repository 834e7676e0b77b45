package page

import (
	"fmt"
	"math"

	"traywright/geometry"
	"traywright/geometry/units"
)

// Offcut is foam that test pieces are cut from, one after the other, and the place of one of them on it: each
// counts from a zero of its own.
type Offcut struct {
	Number, Of     int            // which it is of the coupon's
	Piece          int            // which of Cuts is this one's
	Cuts           []geometry.Box // what is cut of each piece, from the foam's lower-left corner, in the order of cutting
	Names          []string       // of their files
	SizeMM, ZeroMM [2]float64
	LowMM, HighMM  [2]float64 // how far X0 Y0 may lie from the lower-left end of the machine's travel, so that it comes to all pieces
}

// shared reports whether several pieces are cut from it.
func (o *Offcut) shared() bool { return o != nil && len(o.Cuts) > 1 }

// Note is the place in the program's header.
func (o *Offcut) Note(u units.Unit) string {
	text := fmt.Sprintf("foam: offcut %d of %d, at least %s x %s", o.Number, o.Of, Length(o.SizeMM[0], u), Length(o.SizeMM[1], u))
	if o.shared() {
		text += fmt.Sprintf(", piece %d of the %d on it", o.Piece+1, len(o.Cuts))
	}
	return text + fmt.Sprintf(": X0 Y0 is %s from its left edge and %s from its front edge", Length(o.ZeroMM[0], u), Length(o.ZeroMM[1], u))
}

// travel is where X0 Y0 may lie on the machine, so that it comes to all pieces.
func (o *Offcut) travel(u units.Unit) string {
	text := fmt.Sprintf("Keep it at least %s (X) and %s (Y)", least(max(0, o.LowMM[0]), u), least(max(0, o.LowMM[1]), u))
	if most := o.most(u); !math.IsInf(most[0]+most[1], 1) {
		text += fmt.Sprintf(", and at most %s (X) and %s (Y),", Length(most[0], u), Length(most[1], u))
	}
	return text + fmt.Sprintf(" from the lower-left end of the machine's travel: then the machine comes to each of the %d pieces of this offcut where it lies.", len(o.Cuts))
}

// most is HighMM in round numbers, never farther.
func (o *Offcut) most(u units.Unit) (most [2]float64) {
	for i, mm := range o.HighMM {
		most[i] = units.AtMost(mm, 1, u)
	}
	return most
}

// onOffcut says on a piece's page what foam it has, and with which others.
func (c Coupon) onOffcut() string {
	o := c.Cut.Sheets[0].Offcut
	if o == nil {
		return ""
	}
	text := fmt.Sprintf(" Its foam is offcut %d of %d, ", o.Number, o.Of)
	if !o.shared() {
		return text + "which it has to itself."
	}
	text += fmt.Sprintf("clamped once for %d pieces:", len(o.Cuts))
	for i, name := range o.Names {
		sep := ", then "
		if i == 0 {
			sep = " "
		}
		text += sep + name
	}
	return text + ". Each counts from a zero of its own on it, which is set anew: this one's stands below. A piece cut from another's zero lands on what is cut already."
}

// foamStays is how the foam is laid where an earlier piece has been cut from it; "" where this is the first.
func (c Coupon) foamStays() string {
	o := c.Cut.Sheets[0].Offcut
	if !o.shared() || o.Piece == 0 {
		return ""
	}
	return fmt.Sprintf("The foam stays as %s left it, clamped and in its place: at least %s. Laid anew, it lies the same way round, what is cut already where the picture shows it.", o.Names[o.Piece-1], c.Cut.size(o.SizeMM[0], o.SizeMM[1]))
}

// released is what is done when the piece is cut, in the order given; the foam stays while there is more to cut from it.
func (c Coupon) released(steps []string) []string {
	o := c.Cut.Sheets[0].Offcut
	if !o.shared() || o.Piece == len(o.Cuts)-1 {
		return steps
	}
	stay := fmt.Sprintf("Leave the foam clamped: %s is cut from it next, from another zero. What follows here waits until the last piece is cut.", o.Names[o.Piece+1])
	if len(steps) == 0 {
		return []string{stay}
	}
	return append([]string{steps[0], stay}, steps[1:]...)
}

// offcutRows is a plan of the offcut, its pieces and this one's zero.
func (s *sheet) offcutRows(width float64) []panelRow {
	o := s.o.Offcut
	if o == nil {
		return nil
	}
	const most = 200
	width -= signPX // the zero's sign stands over the corner
	foam := geometry.Box{Max: geometry.Point{X: o.SizeMM[0], Y: o.SizeMM[1]}}
	scale := math.Min(width/foam.Width(), most/foam.Height())
	text := fmt.Sprintf("Offcut %d of %d, at least %s; X0 Y0 of this piece %s from its left and %s from its front edge", o.Number, o.Of,
		size(o.SizeMM[0], o.SizeMM[1], s.o.Unit), Length(o.ZeroMM[0], s.o.Unit), Length(o.ZeroMM[1], s.o.Unit))
	return append([]panelRow{{foam.Height()*scale + 30, func(c *canvas, x, y float64) {
		s.drawOffcut(view{box: foam, scale: scale, x: x + signPX, y: y + 8}, foam, o)
	}}}, s.paragraph(width+signPX, text, smallType, 3)...)
}

func (s *sheet) drawOffcut(v view, foam geometry.Box, o *Offcut) {
	c := s.c
	c.fill(boxOn(v, foam), mix(paper, hairline, 0.35))
	c.frame(boxOn(v, foam), 2, ink)
	for i, cut := range o.Cuts {
		box, pen := boxOn(v, cut), 1.0
		if i == o.Piece {
			c.fill(box, foamColour)
			pen = 3
		}
		c.frame(box, pen, ink)
		c.badge(box.x+box.w/2, box.y+box.h/2, fmt.Sprint(i+1))
	}
	zero := v.at(geometry.Point{X: o.ZeroMM[0], Y: o.ZeroMM[1]})
	c.zeroMark(zero.X, zero.Y, 9)
}
