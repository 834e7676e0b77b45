package page

import (
	"image"
	"math"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"traywright/geometry"
	"traywright/geometry/lettering"
)

// letters are those of the font that a user names, for characters that the Go fonts lack. They are drawn
// as shapes, on pictures and on paper alike. nil has none.
type letters struct {
	face *lettering.Face
	made map[rune]drawnLetter
}

// drawnLetter is a shape whose capitals would be outlineMM high; without an advance it is none.
type drawnLetter struct {
	shape   geometry.Region
	advance float64
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
	return &letters{face, map[rune]drawnLetter{}}
}

// find is a character's letter, and whether there is one.
func (l *letters) find(r rune) (drawnLetter, bool) {
	if l == nil || unicode.IsSpace(r) {
		return drawnLetter{}, false
	}
	made, ok := l.made[r]
	if !ok {
		if line, err := l.face.Set(string(r), lettering.Setting{HeightMM: outlineMM, ToleranceMM: strayMM}); err == nil && len(line.Letters) == 1 {
			made = drawnLetter{line.Letters[0].Region, line.AdvanceMM}
		}
		l.made[r] = made
	}
	return made, made.advance > 0
}

// sized is a letter for type of a size, in that size's unit, and how far it reaches along the line.
func (l drawnLetter) sized(size float64) (geometry.Region, float64) {
	scale := style{size: size}.capHeight() / outlineMM
	return l.shape.Transform(geometry.Scale(scale, geometry.Point{})), l.advance * scale
}

// mixedFace is the Go font at a size, with the user's letters for what it lacks.
type mixedFace struct {
	font.Face
	own   func(rune) bool // whether the Go font has a character
	extra *letters
	size  float64
}

func (f mixedFace) find(r rune) (shape geometry.Region, advance float64, ok bool) {
	if f.own(r) {
		return shape, 0, false
	}
	l, ok := f.extra.find(r)
	if ok {
		shape, advance = l.sized(f.size)
	}
	return shape, advance, ok
}

func (f mixedFace) GlyphAdvance(r rune) (fixed.Int26_6, bool) {
	if _, advance, ok := f.find(r); ok {
		return fixed.Int26_6(advance * 64), true
	}
	return f.Face.GlyphAdvance(r)
}

func (f mixedFace) Kern(a, b rune) fixed.Int26_6 {
	if f.own(a) && f.own(b) {
		return f.Face.Kern(a, b)
	}
	return 0
}

// Glyph draws a letter of the user's as a mask.
func (f mixedFace) Glyph(dot fixed.Point26_6, r rune) (image.Rectangle, image.Image, image.Point, fixed.Int26_6, bool) {
	shape, advance, ok := f.find(r)
	if !ok {
		return f.Face.Glyph(dot, r)
	}
	x, y := float64(dot.X)/64, float64(dot.Y)/64
	b := shape.Bounds()
	on := pixels(rect{x + b.Min.X, y - b.Max.Y, b.Width(), b.Height()}).Inset(-1)
	mask := image.NewAlpha(image.Rect(0, 0, on.Dx(), on.Dy()))
	v := vector.NewRasterizer(on.Dx(), on.Dy())
	at := func(p geometry.Point) (float32, float32) {
		return float32(x + p.X - float64(on.Min.X)), float32(y - p.Y - float64(on.Min.Y))
	}
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
	v.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	return on, mask, image.Point{}, fixed.Int26_6(advance * 64), true
}
