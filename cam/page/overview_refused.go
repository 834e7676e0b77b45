package page

import (
	"fmt"
	"math"
)

// Unplaced is a piece that found no place, drawn beside its tray on a picture of what was refused.
type Unplaced struct {
	Tray              string // its id; of none that is drawn, after all trays
	ID, Name          string // the name is drawn where the letters have all of it, else the id
	Count             int
	LengthMM, WidthMM float64
	Round             bool
}

// refusedWord is on each tray and case of what was refused, and on its page.
const refusedWord = "REFUSED"

// leftOf are the pieces without a place that are drawn after the i-th tray; after the last also those of no tray that is drawn.
func (v *overview) leftOf(i int) (list []Unplaced) {
	for _, u := range v.o.Unplaced {
		at := len(v.p.Trays) - 1
		for n, t := range v.p.Trays {
			if t.ID == u.Tray || t.ID == u.Tray+"-2" { // both halves of a tray go before
				at = n
			}
		}
		if at == i {
			list = append(list, u)
		}
	}
	return list
}

// withLeft are the trays in order, each with the pieces that found no place behind it.
func (v *overview) withLeft() (items []item) {
	if len(v.p.Trays) == 0 && len(v.leftOf(-1)) > 0 {
		items = append(items, item{tray: -1, kase: -1, left: true})
	}
	for i := range v.p.Trays {
		items = append(items, item{tray: i, kase: -1})
		if len(v.leftOf(i)) > 0 {
			items = append(items, item{tray: i, kase: -1, left: true})
		}
	}
	return items
}

// leftBoxes are pieces without a place in rows as wide as a tray's place, to its scale, each with two lines under it.
func (v *overview) leftBoxes(list []Unplaced) (boxes []rect, high float64) {
	x, y, row := 0.0, 0.0, 0.0
	for _, u := range list {
		w, h := math.Min(v.cell, u.LengthMM*v.scale), math.Min(v.cell, u.WidthMM*v.scale)
		wide := w
		for _, line := range v.leftText(u) {
			wide = math.Max(wide, v.typesetter.width(line, smallType))
		}
		if x > 0 && x+wide > v.cell {
			x, y, row = 0, y+row, 0
		}
		boxes = append(boxes, rect{x, y, w, h})
		row = math.Max(row, h+2*smallType.lineHeight()+18)
		x += wide + 24
	}
	return boxes, y + row
}

func (v *overview) leftText(u Unplaced) [2]string {
	dims := size(u.LengthMM, u.WidthMM, v.o.Unit)
	if u.Round {
		dims = "Ø " + Length(u.LengthMM, v.o.Unit)
	}
	return [2]string{v.shorten(fmt.Sprintf("%d × %s", u.Count, v.typesetter.named(u.Name, u.ID)), smallType, v.cell), dims}
}

// leftHeight is the height of the place of pieces without one.
func (v *overview) leftHeight(i int) float64 {
	_, high := v.leftBoxes(v.leftOf(i))
	return trayHeadPX + high
}

// drawLeft draws the pieces without a place, outlined and crossed out: there is no foam under them.
func (v *overview) drawLeft(i int, x, y float64) {
	c, list := v.c, v.leftOf(i)
	c.text(x, y+headingType.size, v.shorten("No place found for", headingType, v.cell), headingType, ink, 0)
	boxes, _ := v.leftBoxes(list)
	for n, u := range list {
		b := boxes[n]
		b.x, b.y = b.x+x, b.y+y+trayHeadPX
		if u.Round {
			c.disc(b.x+b.w/2, b.y+b.h/2, b.w/2-2, paper, black, 4)
		} else {
			c.frame(b, 4, black)
		}
		c.cross(b.x+b.w/2, b.y+b.h/2, math.Min(b.w, b.h)/4, vermillion, 6)
		for line, text := range v.leftText(u) {
			c.text(b.x, b.bottom()+4+float64(line)*smallType.lineHeight()+smallType.size, text, smallType, ink, 0)
		}
	}
}

// bandPX is how wide the stripes are that the word stands in.
const bandPX = 68

// besideNames is the band where it hides fewest pieces, each of which the key or its own letters name, and then fewest pockets;
// as near to the tray's middle as that may be.
func (v *overview) besideNames(i int, box, band rect) rect {
	t := &v.p.Trays[i]
	on := view{box: t.Outline.Bounds(), scale: v.scale, x: box.x, y: box.y}
	best, least := band, math.MaxInt
	for away := 0.0; away <= box.h/2; away += 4 {
		for _, side := range []float64{-1, 1} {
			at := band
			at.y += side * away
			if away > 0 && (at.y < box.y || at.bottom() > box.bottom()) {
				continue
			}
			hidden, seen := map[string]bool{}, map[string]bool{}
			pockets := 0
			for _, k := range t.Pockets {
				middle := on.py((k.Box.Min.Y + k.Box.Max.Y) / 2)
				under := middle > at.y-smallType.size/2 && middle < at.bottom()+smallType.size/2
				if under {
					hidden[k.For] = true
					pockets++
				} else {
					seen[k.For] = true
				}
			}
			for name := range seen {
				delete(hidden, name)
			}
			if bad := len(hidden)*(len(t.Pockets)+1) + pockets; bad < least {
				best, least = at, bad
			}
		}
	}
	return best
}

// refuse lays the word over a tray's foam, or a case's section.
func (v *overview) refuse(it item, x, y float64) {
	box := rect{x, y + caseHeadPX, v.caseCell(), 0}
	if it.kase >= 0 {
		box.h = math.Max(caseHeight(v.p.Cases[it.kase])*v.caseScale(), 60)
		box.w = v.caseLength(v.p.Cases[it.kase]) * v.caseScale()
	} else {
		bounds := v.p.Trays[it.tray].Outline.Bounds()
		box = rect{x, y + trayHeadPX, math.Max(60, bounds.Width()*v.scale), math.Max(60, bounds.Height()*v.scale)}
	}
	c := v.c
	band := rect{box.x, box.y + box.h/2 - bandPX/2, box.w, bandPX}
	if it.kase < 0 {
		band = v.besideNames(it.tray, box, band)
	}
	c.hazard(band)
	w := math.Min(c.width(refusedWord, titleType)+40, band.w-12)
	in := rect{band.x + (band.w-w)/2, band.y + 8, w, band.h - 16}
	c.fill(in, paper)
	c.text(in.x+in.w/2, in.y+in.h/2+titleType.capHeight()/2, c.shorten(refusedWord, titleType, in.w), titleType, black, 0.5)
}

// refusedTitle is the title of a page of what was refused.
func (v *overview) refusedTitle(title string) string {
	if v.o.Refused {
		return refusedWord + ", not to be cut: " + title
	}
	return title
}
