package page

import (
	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font"
)

// style is a size of letters, in pixels of a picture or in points on paper, and
// a weight.
type style struct {
	size float64
	bold bool
}

// The type scale. A page of 2400 pixels that fills A4 has 8.7 of them to the mm, so
// small is more than 7 point. The figure is for one thing on a page, a time or a
// size that a hand needs, and no other is as large.
var (
	figureType  = style{46, true}
	titleType   = style{34, true}
	headingType = style{27, true}
	bodyType    = style{25, false}
	strongType  = style{25, true}
	smallType   = style{22, false}
	numberType  = style{22, true}
)

// lineHeight is the distance between two lines of text.
func (s style) lineHeight() float64 { return s.size * 1.36 }

// capHeight is the height of a capital letter or a digit in the Go fonts, near
// enough to centre text by.
func (s style) capHeight() float64 { return s.size * 0.72 }

// typesetter measures and shapes the text of pictures, in pixels. It is for one
// goroutine.
type typesetter struct {
	fitter
	regular, bold *truetype.Font
	faces         map[style]font.Face
	widths        map[styled]float64
}

// styled is text at a style, whose width is remembered: layouts are tried many
// times over the same words.
type styled struct {
	text string
	style
}

func newTypesetter(extra *letters) (*typesetter, error) {
	regular, bold, err := parseFonts()
	if err != nil {
		return nil, err
	}
	t := &typesetter{regular: regular, bold: bold, faces: map[style]font.Face{}, widths: map[styled]float64{}}
	t.fitter = fitter{pageFonts{t.has, extra}, t.width}
	return t, nil
}

// face is the font at a style.
func (t *typesetter) face(s style) font.Face {
	f, ok := t.faces[s]
	if !ok {
		source := t.regular
		if s.bold {
			source = t.bold
		}
		f = truetype.NewFace(source, &truetype.Options{Size: s.size, DPI: 72})
		t.faces[s] = f
	}
	return f
}

// has is whether the Go fonts have a character.
func (t *typesetter) has(r rune) bool { return r <= 0xffff && t.regular.Index(r) != 0 }

// width of cleaned text, in pixels.
func (t *typesetter) width(s string, st style) float64 {
	key := styled{s, st}
	w, known := t.widths[key]
	if !known {
		w = float64(t.measure(t.clean(s), st)) / 64
		t.widths[key] = w
	}
	return w
}
