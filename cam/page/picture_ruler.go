package page

import (
	"fmt"
	"math"
	"strconv"

	"traywright/geometry/units"
)

// rulerPX is the room that a ruler takes beside the drawing.
const rulerPX = 74

// tick is how long a ruler's mark is, and whether a number stands at it.
type tick struct {
	length float64
	number bool
}

// ruler divides an axis: marks every step of a unit, with longer ones and
// numbers at multiples of it.
type ruler struct {
	unitMM float64 // length of the unit
	parts  int     // marks to the unit; 1 when a mark is a unit or more
	every  int     // units to a mark; 1 unless marks are further apart
	middle int     // marks between two longer ones
	number int     // marks between two numbers
}

// marks far enough apart to count, numbers far enough apart to read.
const (
	markPX   = 5
	numberPX = 84
)

// newRuler chooses divisions for a scale in pixels to the mm. There is always
// one: the steps grow without end.
func newRuler(scale float64, u units.Unit) ruler {
	r := ruler{unitMM: u.MM(), parts: 1, every: 1}
	if u == units.Inch {
		for r.parts < 16 && scale*units.InchMM/float64(2*r.parts) >= markPX {
			r.parts *= 2
		}
	}
	for r.stepMM()*scale < markPX {
		r.every *= 5
		if r.stepMM()*scale < markPX {
			r.every *= 2
		}
	}
	r.middle, r.number = r.divide(scale)
	return r
}

func (r ruler) stepMM() float64 { return r.unitMM * float64(r.every) / float64(r.parts) }

// divide finds how many marks lie between longer ones and between numbers:
// numbers stand at 1, 2 or 5 times a power of ten, or at halves of an inch.
func (r ruler) divide(scale float64) (middle, number int) {
	number = r.parts
	for part := 1; part < r.parts; part *= 2 {
		if float64(part)*r.stepMM()*scale >= numberPX {
			number = part
			break
		}
	}
	for units, next := 1, 0; float64(number)*r.stepMM()*scale < numberPX || number*r.every%r.parts != 0 && number > r.parts; next++ {
		units = []int{2, 5, 10}[next%3] * int(math.Pow10(next/3))
		if units*r.parts%r.every == 0 {
			number = units * r.parts / r.every
		}
	}
	switch {
	case number < r.parts || r.parts > 1 && number == r.parts:
		middle = max(1, number/2)
	case r.parts > 1:
		middle = r.parts
	case number%5 == 0:
		middle = 5
	case number%2 == 0:
		middle = number / 2
	default:
		middle = number
	}
	return middle, number
}

// at is what mark i looks like.
func (r ruler) at(i int) tick {
	switch {
	case i%r.number == 0:
		return tick{24, true}
	case i%r.middle == 0:
		return tick{16, false}
	}
	return tick{9, false}
}

// text is the number at mark i.
func (r ruler) text(i int) string {
	if r.parts == 1 {
		return strconv.Itoa(i * r.every)
	}
	whole, rest, parts := i/r.parts, i%r.parts, r.parts
	if rest == 0 {
		return strconv.Itoa(whole)
	}
	sign := ""
	if i < 0 {
		sign, whole, rest = "-", -whole, -rest
	}
	for rest%2 == 0 {
		rest, parts = rest/2, parts/2
	}
	if whole == 0 {
		return fmt.Sprintf("%s%d/%d", sign, rest, parts)
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, rest, parts)
}

// between are the first and last marks from low to high mm.
func (r ruler) between(low, high float64) (first, last int) {
	return int(math.Ceil(low/r.stepMM() - 1e-9)), int(math.Floor(high/r.stepMM() + 1e-9))
}

// rulers draws both rulers, at the drawing's left and lower edge, and a faint
// grid at their numbers.
func (c *canvas) rulers(v view, u units.Unit) {
	r, on := newRuler(v.scale, u), v.on()
	dc := c.dc
	first, last := r.between(v.box.Min.X-v.from.X, v.box.Max.X-v.from.X)
	for i := first; i <= last; i++ {
		x, t := math.Floor(v.px(v.from.X+float64(i)*r.stepMM()))+0.5, r.at(i)
		dc.DrawLine(x, on.bottom()+4, x, on.bottom()+4+t.length)
		if t.number {
			c.text(x, on.bottom()+34+smallType.size, r.text(i), smallType, ink, 0.5)
		}
	}
	first, last = r.between(v.box.Min.Y-v.from.Y, v.box.Max.Y-v.from.Y)
	for i := first; i <= last; i++ {
		y, t := math.Floor(v.py(v.from.Y+float64(i)*r.stepMM()))+0.5, r.at(i)
		dc.DrawLine(on.x-4, y, on.x-4-t.length, y)
		if t.number {
			c.text(on.x-34, y+smallType.capHeight()/2, r.text(i), smallType, ink, 1)
		}
	}
	c.stroke(pen{width: 1, col: ink})
	c.frame(on.inset(-4), 2, ink)
	c.text(on.x-34, on.bottom()+34+smallType.size, u.String(), smallType, softInk, 1)
}

// grid draws thin lines across the drawing where the rulers have numbers.
func (c *canvas) grid(v view, u units.Unit) {
	r, on := newRuler(v.scale, u), v.on()
	first, last := r.between(v.box.Min.X-v.from.X, v.box.Max.X-v.from.X)
	for i := first; i <= last; i++ {
		if r.at(i).number {
			x := math.Floor(v.px(v.from.X + float64(i)*r.stepMM()))
			c.shade(rect{x, on.y, 1, on.h})
		}
	}
	first, last = r.between(v.box.Min.Y-v.from.Y, v.box.Max.Y-v.from.Y)
	for i := first; i <= last; i++ {
		if r.at(i).number {
			y := math.Floor(v.py(v.from.Y + float64(i)*r.stepMM()))
			c.shade(rect{on.x, y, on.w, 1})
		}
	}
}
