package page

import (
	"cmp"
	"fmt"
	"io"
	"math"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
)

// Axis is the direction that a section is at a fixed place of.
type Axis uint8

const (
	AtX Axis = iota // across the sheet, seen from the right: Y runs to the right
	AtY             // along the sheet, seen from the front: X runs to the right
)

// SectionLayer is one layer of foam in a section, top to bottom.
type SectionLayer struct {
	Name        string
	ThicknessMM float64
}

// SectionOptions is what a section says beside what the dry run found. All of
// it may be left out.
type SectionOptions struct {
	Title  string // "" is the program's path
	Unit   units.Unit
	Layers []SectionLayer // none: one layer as thick as the program's header says, or as deep as the deepest cut
	Wanted *proof.Wanted  // draws the planned profile as well; nil for none
}

// Section draws the foam as cut along the line X = at or Y = at, in mm of the
// program, as PNG: the layers, the holes in them, rulers for place and depth.
// Heights are to the same scale as lengths unless the foam would be a thin
// strip; then they are drawn larger by a whole factor, and the picture says so.
// A line that misses the foam gives a picture without any. The error is w's.
func Section(w io.Writer, r proof.Result, axis Axis, at float64, o SectionOptions) error {
	t, err := newTypesetter(nil)
	if err != nil {
		return err
	}
	return encode(w, newSection(t, r, axis, at, o).draw().im, false)
}

// section is a cross-section in the making.
type section struct {
	*typesetter
	r      proof.Result
	axis   Axis
	at     float64
	o      SectionOptions
	layers []SectionLayer
	thick  float64

	from, to float64 // along the section, mm
	below    float64 // how far under the foam the drawing reaches, mm
	scale    float64
	factor   float64 // heights are drawn larger by
}

func newSection(t *typesetter, r proof.Result, axis Axis, at float64, o SectionOptions) *section {
	s := &section{typesetter: t, r: r, axis: axis, at: at, o: o}
	deep := deepest(r.Field)
	for _, l := range o.Layers {
		if l.ThicknessMM > 0 && l.ThicknessMM < deepestMM {
			s.layers = append(s.layers, l)
		}
	}
	if len(s.layers) == 0 {
		thick := headerThickness(r.Header["thickness"])
		if thick == 0 {
			thick = math.Max(1, deep)
		}
		s.layers = []SectionLayer{{r.Header["foam"], thick}}
	}
	for _, l := range s.layers {
		s.thick += l.ThicknessMM
	}
	s.from, s.to = s.reach()
	s.below = math.Max(0, deep-s.thick)
	s.fit()
	return s
}

// reach is the stretch of the field along the section.
func (s *section) reach() (from, to float64) {
	f := s.r.Field
	if !usable(f) {
		return 0, 100
	}
	from, n := f.Origin.X, f.Columns
	if s.axis == AtX {
		from, n = f.Origin.Y, f.Rows
	}
	return from, from + math.Max(1, float64(n)*f.CellMM)
}

// The section's part of the page.
const (
	sectionPX     = longPX - 2*marginPX - rulerPX - 260
	leastStripPX  = 170
	mostSectionPX = 1000
)

// fit chooses the scale, and a factor for the heights of a thin strip.
func (s *section) fit() {
	high := s.thick + s.below
	s.scale = min(sectionPX/(s.to-s.from), mostSectionPX/high, mostScale)
	s.factor = 1
	for _, factor := range []float64{2, 5, 10} {
		if high*s.scale*s.factor >= leastStripPX {
			break
		}
		s.factor = factor
	}
}

// depth is the foam's depth at a place along the section; NaN beside the field.
func (s *section) depth(along float64) float64 {
	if !usable(s.r.Field) {
		return math.NaN()
	}
	return depthAt(s.r.Field, s.place(along))
}

func (s *section) place(along float64) geometry.Point {
	if s.axis == AtX {
		return geometry.Point{X: s.at, Y: along}
	}
	return geometry.Point{X: along, Y: s.at}
}

func (s *section) draw() *canvas {
	head := float64(marginPX) + titleType.size + 22 + bodyType.lineHeight() + 60
	high := (s.thick + s.below) * s.scale * s.factor
	c := newCanvas(s.typesetter, longPX, int(head+high)+rulerPX+marginPX+60)
	s.heading(c)
	on := rect{marginPX + rulerPX, head, (s.to - s.from) * s.scale, high}
	s.paint(c, on)
	s.planned(c, on)
	s.rule(c, on)
	s.nameLayers(c, on)
	return c
}

func (s *section) heading(c *canvas) {
	axis, along := "X", "Y runs to the right"
	if s.axis == AtY {
		axis, along = "Y", "X runs to the right"
	}
	text := "Seen in section; " + along + "; depths below the top of the foam"
	if s.factor > 1 {
		text += fmt.Sprintf("; heights drawn %g times larger", s.factor)
	}
	if s.o.Wanted != nil {
		text += "; dashed: as planned"
	}
	y := c.heading(cmp.Or(s.o.Title, s.r.Path), axis+" "+Length(s.at, s.o.Unit), longPX-marginPX)
	c.text(marginPX, y+bodyType.lineHeight()-8, s.shorten(text, bodyType, longPX-2*marginPX), bodyType, softInk, 0)
}

// paint draws the foam that is left, column by column.
func (s *section) paint(c *canvas, on rect) {
	p := pixels(on)
	last := math.NaN()
	for x := p.Min.X; x < p.Max.X; x++ {
		d := s.depth(s.from + (float64(x-p.Min.X)+0.5)/s.scale)
		if math.IsNaN(d) {
			continue
		}
		surface := s.py(on, math.Min(d, s.thick))
		top := 0.0
		for i, l := range s.layers {
			from, to := math.Max(s.py(on, top), surface), s.py(on, top+l.ThicknessMM)
			for y := round(from); y < round(to); y++ {
				c.im.SetRGBA(x, y, foamPixel(x, y, i))
			}
			top += l.ThicknessMM
		}
		s.wall(c, on, x, last, d)
		last = d
	}
}

// wall draws the surface at one column: a line at the depth, and up to the last one's.
func (s *section) wall(c *canvas, on rect, x int, last, d float64) {
	from, to := s.py(on, math.Min(d, s.thick)), s.py(on, math.Min(d, s.thick))
	if !math.IsNaN(last) {
		other := s.py(on, math.Min(last, s.thick))
		from, to = math.Min(from, other), math.Max(to, other)
	}
	c.fill(rect{float64(x), math.Round(from) - 1, 2, math.Round(to) - math.Round(from) + 3}, ink)
}

func (s *section) py(on rect, depth float64) float64 { return on.y + depth*s.scale*s.factor }

// planned draws the depth that was wanted, dashed.
func (s *section) planned(c *canvas, on rect) {
	if s.o.Wanted == nil {
		return
	}
	var points []geometry.Point
	n := int(on.w)
	for i := range n {
		along := s.from + (float64(i)+0.5)/s.scale
		want := s.wantedAt(s.place(along))
		if want < 0 {
			c.polyline(points, plannedPen)
			points = nil
			continue
		}
		p := geometry.Point{X: on.x + float64(i), Y: s.py(on, math.Min(want, s.thick))}
		if k := len(points); k > 0 && points[k-1].Y != p.Y {
			points = append(points, geometry.Point{X: p.X, Y: points[k-1].Y})
		}
		points = append(points, p)
	}
	c.polyline(points, plannedPen)
}

// wantedAt is the planned depth at a place; -1 outside the sheet.
func (s *section) wantedAt(p geometry.Point) float64 {
	if !s.o.Wanted.Outline.Contains(p) {
		return -1
	}
	deepest := 0.0
	for _, k := range s.o.Wanted.Cuts {
		if k.DepthMM > deepest && k.Shape.Contains(p) {
			deepest = k.DepthMM
		}
	}
	return deepest
}

// rule draws the ruler along the section and the one for depth.
func (s *section) rule(c *canvas, on rect) {
	along := newRuler(s.scale, s.o.Unit)
	c.frame(on.inset(-4), 2, ink)
	first, last := along.between(s.from, s.to)
	for i := first; i <= last; i++ {
		x, t := math.Floor(on.x+(float64(i)*along.stepMM()-s.from)*s.scale)+0.5, along.at(i)
		c.dc.DrawLine(x, on.bottom()+4, x, on.bottom()+4+t.length)
		if t.number {
			c.text(x, on.bottom()+34+smallType.size, along.text(i), smallType, ink, 0.5)
		}
	}
	down := newRuler(s.scale*s.factor*2, s.o.Unit)
	_, last = down.between(0, s.thick+s.below)
	for i := 0; i <= last; i++ {
		y, t := math.Floor(s.py(on, float64(i)*down.stepMM()))+0.5, down.at(i)
		if !t.number && i%down.middle != 0 {
			continue
		}
		c.dc.DrawLine(on.x-4, y, on.x-4-t.length, y)
		if t.number {
			c.text(on.x-34, y+smallType.capHeight()/2, down.text(i), smallType, ink, 1)
		}
	}
	c.stroke(pen{width: 1, col: ink})
	c.text(on.x-34, on.bottom()+34+smallType.size, s.o.Unit.String(), smallType, softInk, 1)
}

// nameLayers writes the layers beside the section.
func (s *section) nameLayers(c *canvas, on rect) {
	top := 0.0
	var middles []float64
	for _, l := range s.layers {
		middles = append(middles, s.py(on, top+l.ThicknessMM/2))
		top += l.ThicknessMM
	}
	x := on.right() + 24
	for i, y := range spread(middles, bodyType.lineHeight(), on.y, math.Max(on.bottom(), on.y+float64(len(middles))*bodyType.lineHeight())) {
		text := s.layers[i].Name + " " + Length(s.layers[i].ThicknessMM, s.o.Unit)
		c.text(x, y+bodyType.capHeight()/2, s.shorten(text, bodyType, longPX-marginPX-x), bodyType, ink, 0)
	}
}
