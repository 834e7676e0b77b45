package page

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
)

// The section's part of a column: the drawing, then the layers' names.
const (
	sectionShare  = 0.5
	mostSectionMM = 22.0
)

// glueUp is the tray in section, layers to scale, with the glue between them.
func (t typeset) glueUp(s trayText, heading string, unit units.Unit) block {
	sec := newCrossSection(s.Tray, s.Number, sectionShare*t.width)
	note := fmt.Sprintf("Section at Y %s, seen from the front", Length(sec.at, unit))
	if sec.factor > 1 {
		note += fmt.Sprintf("; heights drawn %g times larger", sec.factor)
	}
	if len(s.Tray.Layers) > 1 {
		note += "; thick lines are glue"
		if s.Number > 0 {
			note += ", this sheet is tinted"
		}
	}
	b := block{rows: []row{t.heading(heading)}}
	names := float64(len(s.Tray.Layers)) * t.body().lineMM()
	high := math.Max(sec.height(), names) + 2
	b.rows = append(b.rows, row{high, func(x, y float64) { t.section(sec, unit, x, y+0.5) }})
	b.rows = append(b.rows, spaced(t.lines(note+".", 0, style{max(leastPT, t.size-1), false}, softInk, nil), 0.6)...)
	if s.Glue != "" {
		b.rows = append(b.rows, t.lines(s.Glue, 0, t.body(), ink, nil)...)
	}
	return b
}

// mostAboveMM is how high a tray is drawn from above at most, on paper.
const mostAboveMM = 90.0

// fromAbove is the tray from above: its pockets, where the dowels stand, its ears, and which corner is front left.
func (t typeset) fromAbove(tray *plan.Tray, heading string) block {
	outline := tray.Sheets[0].Edge.Shape
	box := outline.Bounds()
	scale := min(1, t.width/box.Width(), mostAboveMM/box.Height())
	st, small := t.body(), geometry.Scale(scale, geometry.Point{})
	return block{newColumn: true, rows: []row{t.heading(heading), {box.Height()*scale + 2*st.lineMM(), func(x, y float64) {
		v := sheetView{upperLeft: geometry.Point{X: box.Min.X * scale, Y: box.Max.Y * scale}, corner: geometry.Point{X: x, Y: y + 1}}
		t.stroke(ink, 0.25)
		t.fill(foamColour)
		t.region(outline.Transform(small), v, "B*")
		for _, k := range tray.Pockets {
			t.fill(white)
			if k.Dowel > 0 {
				t.fill(ink)
			}
			t.region(k.Design.Transform(small), v, "B*")
		}
		under := "front left is here"
		if len(tray.Dowels()) > 0 {
			under += "; dowels are black"
		}
		t.text(x, y+1+box.Height()*scale+st.lineMM(), t.shorten(under, st, t.width), st, ink, 0)
	}}}}
}

// crossSection is a tray cut open along Y = at.
type crossSection struct {
	tray   *plan.Tray
	number int // of the layer that is this sheet; 0: all are
	at     float64
	box    geometry.Box
	scale  float64 // mm of paper per mm of foam, along
	factor float64 // heights are drawn larger by
	holes  []hole
}

// hole is where a pocket opens the section.
type hole struct{ from, to, depth float64 }

func newCrossSection(t *plan.Tray, number int, width float64) crossSection {
	s := crossSection{tray: t, number: number, box: t.Outline.Bounds(), factor: 1}
	s.scale = width / math.Max(1, s.box.Width())
	for _, f := range []float64{2, 3, 4, 5, 8, 10} {
		if s.thick()*s.scale*f <= mostSectionMM {
			s.factor = f
		}
	}
	if h := s.thick() * s.scale; h > mostSectionMM {
		s.scale *= mostSectionMM / h
	}
	pockets := slices.DeleteFunc(slices.Clone(t.Pockets), t.InEar)
	s.at = busiest(pockets, (s.box.Min.Y+s.box.Max.Y)/2)
	for _, k := range pockets {
		depth := k.Depth.MM()
		if k.Through {
			depth = s.thick()
		}
		for _, span := range spans(k.Design, s.at) {
			s.holes = append(s.holes, hole{span[0], span[1], depth})
		}
	}
	return s
}

func (s crossSection) thick() float64  { return s.tray.Thickness().MM() }
func (s crossSection) height() float64 { return s.thick() * s.scale * s.factor }

// busiest is the Y through the middle of a pocket that runs through most
// pockets; the lowest of several.
func busiest(pockets []plan.Pocket, otherwise float64) float64 {
	best, at := 0, otherwise
	for _, k := range pockets {
		y, n := (k.Box.Min.Y+k.Box.Max.Y)/2, 0
		for _, other := range pockets {
			if other.Box.Min.Y < y && y < other.Box.Max.Y {
				n++
			}
		}
		if n > best || n == best && y < at {
			best, at = n, y
		}
	}
	return at
}

// spans are the stretches of the line Y = y inside a region. Arcs are taken as
// 16 chords each, which is finer than the drawing.
func spans(r geometry.Region, y float64) [][2]float64 {
	const chords = 16
	var cuts []float64
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			n := 1
			if s.IsArc() {
				n = chords
			}
			for i := range n {
				a, b := s.At(float64(i)/float64(n)), s.At(float64(i+1)/float64(n))
				if a.Y <= y != (b.Y <= y) {
					cuts = append(cuts, a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
				}
			}
		}
	}
	slices.Sort(cuts)
	var list [][2]float64
	for i := 0; i+1 < len(cuts); i += 2 {
		list = append(list, [2]float64{cuts[i], cuts[i+1]})
	}
	return list
}

// section draws the layers, the pockets, the glue and the layers' names.
func (t typeset) section(s crossSection, unit units.Unit, x, y float64) {
	along := func(mm float64) float64 { return x + (mm-s.box.Min.X)*s.scale }
	down := func(mm float64) float64 { return y + mm*s.scale*s.factor }
	for i, l := range s.tray.Layers {
		t.fill(s.tint(i))
		t.Rect(x, down(l.Top.MM()), s.box.Width()*s.scale, l.Thickness.MM()*s.scale*s.factor, "F")
	}
	for _, h := range s.holes {
		t.fill(white)
		t.Rect(along(h.from), y, (h.to-h.from)*s.scale, h.depth*s.scale*s.factor, "F")
	}
	t.stroke(ink, 0.2)
	t.Rect(x, y, s.box.Width()*s.scale, s.height(), "D")
	for _, h := range s.holes {
		t.Line(along(h.from), y, along(h.from), down(h.depth))
		t.Line(along(h.to), y, along(h.to), down(h.depth))
		t.Line(along(h.from), down(h.depth), along(h.to), down(h.depth))
	}
	for i, l := range s.tray.Layers {
		if i == 0 {
			continue
		}
		for _, span := range s.glued(l.Top.MM()) {
			t.stroke(ink, 0.7)
			t.Line(along(span[0]), down(l.Top.MM()), along(span[1]), down(l.Top.MM()))
		}
	}
	t.layerNames(s, unit, x+s.box.Width()*s.scale, y)
}

// tint of a layer: this sheet stands out.
func (s crossSection) tint(i int) color.RGBA {
	if s.number == 0 || s.number == i+1 {
		return foamColour
	}
	return white
}

// glued are the stretches where both layers at a depth are foam.
func (s crossSection) glued(depth float64) [][2]float64 {
	const same = 1e-6 // mm; depths come from whole nanometres
	open := slices.Clone(s.holes)
	open = slices.DeleteFunc(open, func(h hole) bool { return h.depth < depth-same })
	slices.SortFunc(open, func(a, b hole) int { return int(math.Copysign(1, a.from-b.from)) })
	var list [][2]float64
	from := s.box.Min.X
	for _, h := range open {
		if h.from > from {
			list = append(list, [2]float64{from, h.from})
		}
		from = math.Max(from, h.to)
	}
	if from < s.box.Max.X {
		list = append(list, [2]float64{from, s.box.Max.X})
	}
	return list
}

// layerNames writes each layer's name at the section's right, apart from each
// other, with a line to its middle.
func (t typeset) layerNames(s crossSection, unit units.Unit, x, y float64) {
	line := t.body().lineMM()
	below := y
	for i, l := range s.tray.Layers {
		middle := y + (l.Top.MM()+l.Thickness.MM()/2)*s.scale*s.factor
		at := math.Max(middle, below+line/2)
		below = at + line/2
		st, text := t.body(), fmt.Sprintf("%d  %s, %s", i+1, l.Foam.ID, l.Thickness.Exact(unit))
		if s.number == i+1 {
			st = t.strong()
		}
		t.stroke(softInk, 0.15)
		t.Line(x, middle, x+3, at)
		t.text(x+4, at+st.capMM()/2, t.shorten(text, st, t.width*(1-sectionShare)-4), st, ink, 0)
	}
}
