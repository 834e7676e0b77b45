package page

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
)

// mostFindings is how many findings are listed, those of one rule together; the
// report has them all.
const mostFindings = 36

// findingRows lists the findings with the numbers of their flags.
func (s *sheet) findingRows(width float64) []panelRow {
	const indent = flagW + 20
	var rows []panelRow
	for i, f := range s.flags {
		if i == mostFindings {
			return append(rows, s.paragraph(width, fmt.Sprintf("and %d more, in the report", len(s.flags)-i), bodyType, 1)...)
		}
		lines := s.wrap(f.text(), bodyType, width-indent, 4)
		high := math.Max(flagH+6, float64(len(lines))*bodyType.lineHeight()) + 10
		rows = append(rows, panelRow{high, func(c *canvas, x, y float64) {
			c.flagAt(x+4, y+flagH+8, f)
			for j, line := range lines {
				c.text(x+indent, y+bodyType.size+float64(j)*bodyType.lineHeight(), line, bodyType, ink, 0)
			}
		}})
	}
	return rows
}

// depthRows is the legend of depths.
func (s *sheet) depthRows(width float64, u used) []panelRow {
	var cut []float64
	for _, op := range s.ops {
		if !(float64(op.depthMM) >= s.shades.throughMM) {
			cut = append(cut, op.depthMM)
		}
	}
	cut = append(cut, s.depthsBefore()...)
	var more []sample
	if u.through {
		more = append(more, throughSwatch(s.shades))
	}
	if u.loose {
		more = append(more, sample{func(c *canvas, box rect) { c.looseSwatch(box) }, "loose, falls out"})
	}
	return s.depthLegend(width, s.shades, s.whose, cut, more, s.o.Unit)
}

// depthsBefore are those of the plan's cuts, and of its marks, that a program before this one made.
func (s *sheet) depthsBefore() (list []float64) {
	if s.o.Wanted == nil {
		return nil
	}
	for _, c := range s.o.Wanted.Cuts {
		now := slices.ContainsFunc(s.ops, func(op operation) bool { return op.name == c.Name })
		if !now && c.DepthMM < s.shades.throughMM {
			list = append(list, c.DepthMM)
		}
	}
	marks := s.o.Wanted.MarkDepthMM
	if marks > 0 && slices.ContainsFunc(s.r.Field.DepthMM, func(d float32) bool { return math.Abs(float64(d)-marks) < 1e-3 }) {
		list = append(list, marks)
	}
	return list
}

// markRows is the legend of lines and signs.
func (s *sheet) markRows(width float64, u used) []panelRow {
	entries := []struct {
		used bool
		sample
	}{
		{u.numbers, sample{func(c *canvas, b rect) { c.badge(b.x+b.w/2, b.y+b.h/2, "7") }, s.numberText()}},
		{u.starts, sample{func(c *canvas, b rect) { c.startMark(b.x+b.w/2, b.y+b.h/2) }, "a cut starts"}},
		{u.bridges, sample{func(c *canvas, b rect) { c.bridgeMark(b.x+b.w/2, b.y+b.h/2) }, "bridge, to snap"}},
		{u.left, sample{func(c *canvas, b rect) { c.line(b.x, b.y+b.h/2, b.right(), b.y+b.h/2, leftPen) }, "uncut, for a hand"}},
		{u.rapids, sample{func(c *canvas, b rect) { c.rapidSample(b) }, "rapid move"}},
		{u.outline, sample{func(c *canvas, b rect) { c.line(b.x, b.y+b.h/2, b.right(), b.y+b.h/2, plannedPen) }, "planned outline"}},
		{u.zero, sample{func(c *canvas, b rect) { c.zeroMark(b.x+b.w/2, b.y+b.h/2, 13) }, "X0 Y0"}},
		{u.corners, sample{func(c *canvas, b rect) { c.cornerMark(b.x+b.w/2-cornerPX/2, b.y+b.h/2+cornerPX/2, false) }, "part's front left"}},
		{u.clamps, sample{func(c *canvas, b rect) { c.clampBox(b) }, "clamp, keep off"}},
		{u.over, sample{func(c *canvas, b rect) { c.differenceSwatch(b, tooMuch) }, "cut too much"}},
		{u.under, sample{func(c *canvas, b rect) { c.differenceSwatch(b, tooLittle) }, "cut too little"}},
		{u.crosses, sample{func(c *canvas, b rect) { c.worstMark(b.x+b.w/2, b.y+b.h/2) }, "worst place"}},
		{u.flags, sample{func(c *canvas, b rect) { c.flagAt(b.x+3, b.bottom()+6, s.flags[0]) }, "finding"}},
	}
	var samples []sample
	for _, e := range entries {
		if e.used {
			samples = append(samples, e.sample)
		}
	}
	return s.legend(width, samples)
}

// numberText says which operations have a number in the drawing.
func (s *sheet) numberText() string {
	if s.every > 1 {
		return fmt.Sprintf("every %dth cut", s.every)
	}
	return "order of cutting"
}

// orderPX is the least width of a column of operations.
const orderPX = 430

func orderColumns(width float64) int { return max(1, int((width+gapPX)/(orderPX+gapPX))) }

// order lists the operations in the order of cutting, alike ones together, in
// as many columns as the width has room for and at most lines lines. On paper the page
// itself has all of them.
func (s *sheet) order(width float64, lines int) panel {
	b := panel{title: "Order"}
	n := orderColumns(width)
	lines = min(lines, (len(s.groups)+n-1)/n)
	if lines <= 0 || s.onPaper {
		return b
	}
	b.entries = n * lines
	each := (width - float64(n-1)*gapPX) / float64(n)
	for i := range lines {
		b.rows = append(b.rows, panelRow{bodyType.lineHeight(), func(c *canvas, x, y float64) {
			for j := range n {
				if k := j*lines + i; k < len(s.groups) {
					s.orderLine(x+float64(j)*(each+gapPX), y, each, k, k == n*lines-1)
				}
			}
		}})
	}
	return b
}

// orderLine writes one line of the order; the last there is room for counts
// what is left.
func (s *sheet) orderLine(x, y, width float64, k int, last bool) {
	const numbers = 96
	g, c := s.groups[k], s.c
	y += bodyType.size
	if last && k < len(s.groups)-1 {
		c.text(x, y, fmt.Sprintf("and %d more, to number %d", len(s.ops)-g.first+1, len(s.ops)), bodyType, softInk, 0)
		return
	}
	text := fmt.Sprint(g.first)
	if g.last > g.first {
		text = fmt.Sprintf("%d–%d", g.first, g.last)
	}
	c.text(x, y, c.shorten(text, strongType, numbers), strongType, ink, 0)
	depth := s.depthText(g.piece, g.depthMM)
	c.text(x+numbers+8, y, c.shorten(g.piece, bodyType, width-numbers-c.width(depth, bodyType)-28), bodyType, ink, 0)
	c.text(x+width, y, depth, bodyType, softInk, 1)
}

// depthText is the depth of an operation of that name; "" when it is not known.
func (s *sheet) depthText(name string, mm float64) string {
	switch {
	case math.IsNaN(mm) || mm < depthStepMM:
		return ""
	case mm >= s.shades.throughMM:
		return "through"
	case name != plan.OutlineName && s.roundPlug(mm):
		return "plug, " + Length(mm, s.o.Unit)
	}
	return Length(mm, s.o.Unit)
}

// roundPlug reports whether what is cut to a depth goes round a plug.
func (s *sheet) roundPlug(mm float64) bool {
	return s.o.Wanted != nil && slices.ContainsFunc(s.o.Wanted.Cuts, func(c proof.WantedCut) bool { return c.Plug && math.Abs(c.DepthMM-mm) < depthStepMM })
}

// signPX is the reach of the zero's sign in the plan of the bed.
const signPX = 16

// bedRows is a small plan of the machine's bed with the sheet and the clamps on it.
func (s *sheet) bedRows(width float64) []panelRow {
	m := s.o.Machine
	bed := geometry.Box{Max: geometry.Point{X: m.TravelMM[0].Value, Y: m.TravelMM[1].Value}}
	if !(bed.Max.X > 0 && bed.Max.Y > 0 && believable(bed.Max)) || len(s.ops) == 0 || s.o.Offcut != nil {
		return nil
	}
	const most = 140
	width -= signPX // the zero's sign stands over the corner
	all := bed.Union(s.onBed())
	if s.o.Laid != nil {
		all = all.Union(s.laidOnBed())
	}
	text := fmt.Sprintf("Bed %s; filled is what is cut", size(bed.Max.X, bed.Max.Y, s.o.Unit))
	if s.o.Laid != nil {
		text += ", a thin line the sheet"
	}
	if z := s.zeroOnBed(); z != s.o.ZeroMM {
		text += fmt.Sprintf(", X0 Y0 at least %s and %s from the corner of its travel", strings.TrimSuffix(least(z.X, s.o.Unit), " "+s.o.Unit.String()), least(z.Y, s.o.Unit))
	}
	scale := math.Min(width/all.Width(), most/all.Height())
	h := all.Height() * scale
	return append([]panelRow{{h + 30, func(c *canvas, x, y float64) {
		s.drawBed(view{box: all, scale: scale, x: x + signPX, y: y + 8}, bed)
	}}}, s.paragraph(width+signPX, text, smallType, 2)...)
}

// onBed is what the program cuts, from the bed's corner.
func (s *sheet) onBed() geometry.Box {
	b := geometry.EmptyBox()
	for _, op := range s.ops {
		b = b.Union(op.box)
	}
	z := s.zeroOnBed()
	return geometry.Box{Min: b.Min.Add(z), Max: b.Max.Add(z)}
}

// zeroOnBed is where X0 Y0 lies on the bed: as told, or, where nobody said and
// no clamp depends on it, just far enough in for the machine to reach all of it, as the cut sheet says it.
func (s *sheet) zeroOnBed() geometry.Point {
	if s.o.ZeroMM != (geometry.Point{}) || len(s.o.Machine.Clamps) > 0 {
		return s.o.ZeroMM
	}
	low := s.o.LowMM
	if low == (geometry.Point{}) {
		low = s.r.Min.Point
	}
	if !believable(low) {
		return geometry.Point{}
	}
	return geometry.Point{X: math.Max(0, -low.X), Y: math.Max(0, -low.Y)}
}

func (s *sheet) drawBed(v view, bed geometry.Box) {
	c := s.c
	c.fill(boxOn(v, bed), mix(paper, hairline, 0.35))
	c.frame(boxOn(v, bed), 2, ink)
	c.fill(boxOn(v, s.onBed()), foamColour)
	c.frame(boxOn(v, s.onBed()), 2, ink)
	if s.o.Laid != nil {
		c.frame(boxOn(v, s.laidOnBed()), 1, ink)
	}
	for _, k := range s.o.Machine.Clamps {
		c.clampBox(boxOn(v, geometry.Box{
			Min: geometry.Point{X: k.XMM, Y: k.YMM}, Max: geometry.Point{X: k.XMM + k.LengthMM, Y: k.YMM + k.WidthMM},
		}))
	}
	zero := v.at(s.zeroOnBed())
	c.zeroMark(zero.X, zero.Y, 9)
}

// boxOn is a box of millimetres on the page.
func boxOn(v view, b geometry.Box) rect {
	return rect{v.px(b.Min.X), v.py(b.Max.Y), b.Width() * v.scale, b.Height() * v.scale}
}

// swatch is a box of a legend filled with a colour.
func (c *canvas) swatch(box rect, col color.RGBA) {
	c.fill(box, col)
	c.frame(box, 1, softInk)
}

func (c *canvas) looseSwatch(box rect) {
	p := pixels(box)
	for y := p.Min.Y; y < p.Max.Y; y++ {
		for x := p.Min.X; x < p.Max.X; x++ {
			col := paper
			if onDot(x, y) {
				col = softInk
			}
			c.im.SetRGBA(x, y, col)
		}
	}
	c.frame(box, 1, softInk)
}

func (c *canvas) differenceSwatch(box rect, m int8) {
	p := pixels(box)
	for y := p.Min.Y; y < p.Max.Y; y++ {
		for x := p.Min.X; x < p.Max.X; x++ {
			c.differencePixel(x, y, m)
		}
	}
	c.frame(box, 1, softInk)
}
