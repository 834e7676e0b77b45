package page

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
)

// The place of one case: its section, and right of it the trays' names, each over its layers'.
const (
	caseNamesPX = 230
	leastCasePX = 620
	caseHeadPX  = 88
	caseFootPX  = 74
	wallPX      = 8 // of the case, not to scale: its thickness is not known
)

// caseColumns is how many cases stand side by side.
func (v *overview) caseColumns() int {
	width := float64(v.width) - 2*marginPX
	return max(1, min(len(v.p.Cases), int((width+gapPX)/(leastCasePX+gapPX))))
}

// caseCell is the width of a case's place.
func (v *overview) caseCell() float64 {
	if v.span > 0 {
		return math.Min(1200, float64(v.span)*(v.cell+gapPX)-gapPX)
	}
	n := float64(v.caseColumns())
	return math.Min(1200, (float64(v.width)-2*marginPX-(n-1)*gapPX)/n)
}

// caseScale is one for all cases, in pixels to the mm.
func (v *overview) caseScale() float64 {
	long := 10.0
	for _, k := range v.p.Cases {
		long = math.Max(long, v.caseLength(k))
	}
	return math.Min(mostTrayScale, (v.caseCell()-caseNamesPX-2*wallPX)/long)
}

// caseLength is the case's inside length, or its longest tray's.
func (v *overview) caseLength(k plan.Case) float64 {
	long := math.Max(1, k.Inside.Length.MM())
	for _, t := range v.stacked(k) {
		long = math.Max(long, v.p.Trays[t].Outline.Bounds().Width())
	}
	return long
}

// stacked is the case's trays that there are.
func (v *overview) stacked(k plan.Case) []int {
	var list []int
	for _, i := range k.Stack {
		if i >= 0 && i < len(v.p.Trays) {
			list = append(list, i)
		}
	}
	return list
}

// caseHeight is the taller of the case's inside and its stack, mm.
func caseHeight(k plan.Case) float64 {
	return math.Max(1, math.Max(k.Inside.Height.MM(), k.Height.MM()))
}

// caseBlock is the height of a case's place: the section, or its labels where
// those need more.
func (v *overview) caseBlock(k plan.Case) float64 {
	lines := 0
	for _, t := range v.stacked(k) {
		lines += 1 + len(alikeLayers(&v.p.Trays[t]))
	}
	section := math.Max(caseHeight(k)*v.caseScale(), float64(lines)*smallType.lineHeight())
	return caseHeadPX + section + caseFootPX
}

// drawCase draws one case: its name, its stack in section, what it comes to.
func (v *overview) drawCase(k plan.Case, x, y float64) {
	c, cell, scale := v.c, v.caseCell(), v.caseScale()
	name := "Case " + apart(k.Name)
	if k.Copies > 1 {
		name += fmt.Sprintf(" × %d", k.Copies)
	}
	c.text(x, y+headingType.size, v.shorten(name, headingType, cell), headingType, ink, 0)
	inside := "inside " + size(k.Inside.Length.MM(), k.Inside.Width.MM(), v.o.Unit) + ", " + Length(k.Inside.Height.MM(), v.o.Unit) + " high"
	c.text(x, y+headingType.lineHeight()+smallType.size, v.shorten(inside, smallType, cell), smallType, softInk, 0)
	in := rect{
		x: x + wallPX, y: y + caseHeadPX,
		w: v.caseLength(k) * scale, h: caseHeight(k) * scale,
	}
	v.drawStack(k, in, scale)
	v.caseWalls(k, in, scale)
	foot := y + caseHeadPX + math.Max(in.h, v.caseBlock(k)-caseHeadPX-caseFootPX) + wallPX + 12
	c.text(x, foot+bodyType.size, v.shorten(v.caseText(k), bodyType, cell), bodyType, ink, 0)
}

// caseText is what a case comes to.
func (v *overview) caseText(k plan.Case) string {
	room := Length(k.Room.MM(), v.o.Unit) + " left"
	switch {
	case k.Room < 0:
		room = Length(-k.Room.MM(), v.o.Unit) + " too high"
	case k.Room == 0:
		room = "filled exactly"
	}
	return fmt.Sprintf("stack %s, %s, %s", Length(k.Height.MM(), v.o.Unit), room, finding.Grams(k.WeightG))
}

// caseWalls draws the case around its stack, and marks room that is left or
// missing at its top.
func (v *overview) caseWalls(k plan.Case, in rect, scale float64) {
	c := v.c
	lid := in.bottom() - k.Inside.Height.MM()*scale
	c.fill(rect{in.x - wallPX, in.bottom(), in.w + 2*wallPX, wallPX}, ink)
	c.fill(rect{in.x - wallPX, lid, wallPX, in.bottom() - lid}, ink)
	c.fill(rect{in.right(), lid, wallPX, in.bottom() - lid}, ink)
	switch {
	case k.Room < 0:
		c.hazard(rect{in.x, in.y, in.w, lid - in.y})
		c.line(in.x-24, lid, in.right()+24, lid, pen{width: 4, col: black})
	default:
		c.line(in.x-wallPX, lid, in.right()+wallPX, lid, pen{width: 2, col: ink, dash: []float64{12, 8}})
	}
}

// band is a label beside the section: what it says and where it belongs.
type band struct {
	middle float64
	text   string
	strong bool
}

// drawStack draws the trays of a case in section, and beside it their names and layers.
func (v *overview) drawStack(k plan.Case, in rect, scale float64) {
	var bands []band
	y := in.bottom() - k.Height.MM()*scale
	at := v.sectionAt(k)
	for _, t := range v.stacked(k) {
		tray := &v.p.Trays[t]
		from := y
		for _, l := range tray.Layers {
			h := l.Thickness.MM() * scale
			v.drawLayer(v.sideBySide(k, t), l, rect{in.x, y, in.w, h}, scale, at)
			y += h
		}
		bands = append(append(bands, band{from, tray.ID, true}), v.layerBands(tray, from, scale)...)
		v.c.fill(rect{in.x, math.Round(y) - 1, in.w, 2}, ink)
	}
	v.drawBands(bands, in)
}

// alikeLayers are the layers of a tray, those that follow each other and are the
// same counted together.
func alikeLayers(t *plan.Tray) (groups [][]plan.Layer) {
	for i, l := range t.Layers {
		if i == 0 || l.Foam.ID != t.Layers[i-1].Foam.ID || l.Thickness != t.Layers[i-1].Thickness {
			groups = append(groups, nil)
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], l)
	}
	return groups
}

// layerBands are the labels of a tray's layers, from y down.
func (v *overview) layerBands(t *plan.Tray, y, scale float64) (bands []band) {
	for _, group := range alikeLayers(t) {
		text := group[0].Foam.ID + " " + Thick(group[0].Thickness.MM(), v.o.Unit)
		if n := len(group); n > 1 {
			text = fmt.Sprintf("%d × %s", n, text)
		}
		h := float64(len(group)) * group[0].Thickness.MM() * scale
		bands = append(bands, band{y + h/2, text, false})
		y += h
	}
	return bands
}

// drawBands writes labels beside a section, moved apart where bands are thin,
// with a fine line from each layer's to its band.
func (v *overview) drawBands(bands []band, in rect) {
	h, x := smallType.lineHeight(), in.right()+wallPX+14
	middles := make([]float64, len(bands))
	for i, b := range bands {
		middles[i] = b.middle
	}
	bottom := in.y + math.Max(in.h, h*float64(len(bands)))
	for i, y := range spread(middles, h, in.y, bottom) {
		b := bands[i]
		st, col := smallType, softInk
		if b.strong {
			st, col = style{smallType.size, true}, ink
		} else {
			v.c.line(x-12, b.middle, x-3, y, pen{width: 1.5, col: softInk})
		}
		v.c.text(x, y+smallType.capHeight()/2, v.shorten(b.text, st, caseNamesPX-16), st, col, 0)
	}
}

// sectionAt is how far across, mm from the front, the section of a case is
// taken: where it crosses most pockets.
func (v *overview) sectionAt(k plan.Case) float64 {
	best, at := -1, 0.0
	for _, t := range v.stacked(k) {
		f := v.drawn[t]
		for _, share := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
			y := f.view.box.Min.Y + share*f.view.box.Height()
			if n := v.crossings(k, y); n > best {
				best, at = n, y
			}
		}
	}
	return at
}

// crossings is how many walls of pockets the trays of a case have along a line.
func (v *overview) crossings(k plan.Case, y float64) int {
	n := 0
	for _, t := range v.stacked(k) {
		f := v.drawn[t]
		last := float32(0)
		for u := range f.w {
			x := f.view.box.Min.X + (float64(u)+0.5)/f.view.scale
			d := f.at(x, y)
			if d != last && d >= 0 && !inMark(&v.p.Trays[t], x, y) {
				n++
			}
			last = d
		}
	}
	return n
}

// sideBySide is a tray of a stack, with its other half where it was cut in two.
func (v *overview) sideBySide(k plan.Case, t int) []int {
	name, first := strings.CutSuffix(v.p.Trays[t].ID, "-1")
	if !first || t+1 >= len(v.p.Trays) || v.p.Trays[t+1].ID != name+"-2" || slices.Contains(k.Stack, t+1) {
		return []int{t}
	}
	both := v.p.Trays[t].Outline.Bounds().Width() + v.p.Trays[t+1].Outline.Bounds().Width()
	if both > 1.05*k.Inside.Length.MM() {
		return []int{t}
	}
	return []int{t, t + 1}
}

// drawLayer draws one layer of trays that stand side by side in section: foam
// where there is foam at that depth.
func (v *overview) drawLayer(trays []int, l plan.Layer, r rect, scale, at float64) {
	total := 0.0
	for _, t := range trays {
		total += v.drawn[t].view.box.Width() * scale
	}
	x := r.x + (r.w-total)/2
	for _, t := range trays {
		w := v.drawn[t].view.box.Width() * scale
		v.drawPart(v.drawn[t], l, rect{x, r.y, w, r.h}, scale, at)
		x += w
	}
}

func (v *overview) drawPart(f trayFoam, l plan.Layer, r rect, scale, at float64) {
	p := pixels(r)
	foam := v.foamIndex(l.Foam.ID)
	for x := p.Min.X; x < p.Max.X; x++ {
		depth := f.at(f.view.box.Min.X+(float64(x-p.Min.X)+0.5)/scale, at)
		if depth < 0 {
			continue
		}
		from := max(p.Min.Y, min(p.Max.Y, round(r.y+(float64(depth)-l.Top.MM())*scale)))
		for y := from; y < p.Max.Y; y++ {
			v.c.im.SetRGBA(x, y, foamPixel(x, y, foam))
		}
		if from < p.Max.Y {
			v.c.im.SetRGBA(x, from, softInk)
		}
	}
}

func (v *overview) foamIndex(id string) int {
	for i, f := range v.foams {
		if f == id {
			return i
		}
	}
	return 0
}

// foamBand fills a box as a foam in section.
func (c *canvas) foamBand(box rect, foam int) {
	p := pixels(box).Intersect(c.im.Bounds())
	for y := p.Min.Y; y < p.Max.Y; y++ {
		for x := p.Min.X; x < p.Max.X; x++ {
			c.im.SetRGBA(x, y, foamPixel(x, y, foam))
		}
	}
}

// foamPixel is the look of a foam in section: tint and hatch both differ.
func foamPixel(x, y, foam int) color.RGBA {
	back, line := foamTints[foam%len(foamTints)], softInk
	switch foam % 6 {
	case 0:
		if onDot(x, y) {
			return line
		}
	case 1:
		if onHatch(x, y, 10, 2, 1) {
			return line
		}
	case 2:
		if onHatch(x, y, 10, 2, -1) {
			return line
		}
	case 3:
		if onHatch(x, y, 14, 1, 1) || onHatch(x, y, 14, 1, -1) {
			return line
		}
	case 4:
		if y%8 == 0 {
			return line
		}
	case 5:
		if x%8 == 0 {
			return line
		}
	}
	return back
}
