package page

import (
	"image"
	"image/draw"
	"math"
	"slices"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"traywright/geometry"
	"traywright/geometry/lettering"
)

// letters are those of the font that a user names, for what the Go fonts lack. They are set as their script wants it and
// drawn as shapes, on pictures and on paper alike. nil has none.
type letters struct {
	face  *lettering.Face
	made  map[uint16]geometry.Region // glyphs whose capitals would be outlineMM high
	drawn map[string]bool            // what a reader takes for one letter, and whether the font has it
}

const (
	outlineMM = 100
	strayMM   = 0.2 // of curves: a fiftieth of a pixel in the largest type
)

// lettersOf are the letters of a font; nil where none is named.
func lettersOf(face *lettering.Face) *letters {
	if face == nil {
		return nil
	}
	return &letters{face, map[uint16]geometry.Region{}, map[string]bool{}}
}

// draws is whether the font has all of a letter with its accents and signs, and draws something for it.
func (l *letters) draws(one string) bool {
	if l == nil {
		return false
	}
	drawn, known := l.drawn[one]
	if !known {
		glyphs, _, err := l.face.Shape(one, false, outlineMM)
		drawn = err == nil
		ink := false
		for _, g := range glyphs {
			shape, ok := l.outline(g.ID)
			drawn = drawn && ok && g.ID != 0
			ink = ink || !shape.Empty()
		}
		drawn = drawn && ink
		l.drawn[one] = drawn
	}
	return drawn
}

// outline is a glyph's shape, and whether it can be drawn.
func (l *letters) outline(id uint16) (geometry.Region, bool) {
	shape, known := l.made[id]
	if !known {
		var err error
		if shape, err = l.face.Outline(id, outlineMM, strayMM); err != nil {
			return geometry.Region{}, false
		}
		l.made[id] = shape
	}
	return shape, true
}

// textRun is a part of a line, as it is drawn from left to right: text of the Go fonts, or glyphs of the user's.
type textRun struct {
	text    string
	glyphs  []lettering.Glyph // whose capitals would be outlineMM high, as all that follows
	advance float64
}

// long is how far the next run begins behind one of the user's font, at a size, in that size's unit.
func (r textRun) long(size float64) float64 { return r.advance * scaled(size) }

// runs are the parts of cleaned text from left to right.
func (l pageFonts) runs(s string) (list []textRun) {
	if l.allOwn(s) && !strings.ContainsFunc(s, isMark) {
		return []textRun{{text: s}}
	}
	for _, part := range inOrder(s) {
		list = append(list, l.stretchRuns(part)...)
	}
	return list
}

// stretchRuns are the parts of text of one direction. What the user's font draws is set as a whole, as far as it goes on, so
// that its letters join.
func (l pageFonts) stretchRuns(s stretch) (list []textRun) {
	all := letterByLetter(s.text)
	for len(all) > 0 {
		own := l.allOwn(all[0])
		n := 1
		for n < len(all) && l.allOwn(all[n]) == own {
			n++
		}
		text := strings.Join(all[:n], "")
		all = all[n:]
		if own {
			if s.backwards {
				text = mirrored(text)
			}
			list = append(list, textRun{text: text})
		} else if l.extra != nil {
			if glyphs, advance, err := l.extra.face.Shape(text, s.backwards, outlineMM); err == nil {
				list = append(list, textRun{glyphs: glyphs, advance: advance})
			}
		}
	}
	if s.backwards {
		slices.Reverse(list)
	}
	return list
}

// mirrors are the pairs of signs in the Go fonts that change places where a line runs from right to left (UAX 9, 3.4, L4, and
// BidiMirroring.txt).
var mirrors = strings.NewReplacer("(", ")", ")", "(", "[", "]", "]", "[", "{", "}", "}", "{", "<", ">", ">", "<", "«", "»", "»", "«", "‹", "›", "›", "‹", "≤", "≥", "≥", "≤")

func mirrored(text string) string {
	runes := []rune(mirrors.Replace(text))
	slices.Reverse(runes)
	return string(runes)
}

// scaled is how much larger the glyphs of the user's font are at a size, in that size's unit, than they are made.
func scaled(size float64) float64 { return style{size: size}.capHeight() / outlineMM }

// shapes are the glyphs of a run at a size, in that size's unit, from where it begins on its baseline.
func (l *letters) shapes(r textRun, size float64) (list []geometry.Region) {
	scale := scaled(size)
	for _, g := range r.glyphs {
		if shape, ok := l.outline(g.ID); ok && !shape.Empty() && g.ID != 0 {
			list = append(list, shape.Transform(geometry.Translate(g.X, g.Y).Then(geometry.Scale(scale, geometry.Point{}))))
		}
	}
	return list
}

// measure is how wide cleaned text is, in 64ths of a pixel.
func (t *typesetter) measure(s string, st style) (w fixed.Int26_6) {
	for _, r := range t.runs(s) {
		w += font.MeasureString(t.face(st), r.text) + fixed.Int26_6(r.long(st.size)*64)
	}
	return w
}

// write draws cleaned text.
func (t *typesetter) write(d *font.Drawer, s string, st style) {
	for _, r := range t.runs(s) {
		d.DrawString(r.text)
		if r.glyphs != nil {
			fillShapes(d, t.extra.shapes(r, st.size))
			d.Dot.X += fixed.Int26_6(r.long(st.size) * 64)
		}
	}
}

// fillShapes draws shapes at the dot, as far as they are on the picture.
func fillShapes(d *font.Drawer, shapes []geometry.Region) {
	x, y := float64(d.Dot.X)/64, float64(d.Dot.Y)/64
	box := geometry.EmptyBox()
	for _, s := range shapes {
		box = box.Union(s.Bounds())
	}
	on := pixels(rect{x + box.Min.X, y - box.Max.Y, box.Width(), box.Height()}).Inset(-1).Intersect(d.Dst.Bounds())
	if len(shapes) == 0 || on.Empty() {
		return
	}
	v := vector.NewRasterizer(on.Dx(), on.Dy())
	at := func(p geometry.Point) (float32, float32) {
		return float32(x + p.X - float64(on.Min.X)), float32(y - p.Y - float64(on.Min.Y))
	}
	for _, shape := range shapes {
		for _, c := range shape.Contours() {
			v.MoveTo(at(c.Vertices()[0].Point))
			for s := range c.Segments() {
				n := max(1, math.Ceil(math.Abs(s.Sweep())/mostSweep))
				for i := range int(n) {
					b := bezier(s, float64(i)/n, float64(i+1)/n)
					x1, y1 := at(b[1])
					x2, y2 := at(b[2])
					x3, y3 := at(b[3])
					v.CubeTo(x1, y1, x2, y2, x3, y3)
				}
			}
			v.ClosePath()
		}
	}
	mask := image.NewAlpha(image.Rect(0, 0, on.Dx(), on.Dy()))
	v.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	draw.DrawMask(d.Dst, on, d.Src, image.Point{}, mask, image.Point{}, draw.Over)
}
