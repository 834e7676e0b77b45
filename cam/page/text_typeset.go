package page

import (
	"strings"

	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font"
)

// style is a size of letters, in pixels of a picture or in points on paper, and
// a weight.
type style struct {
	size float64
	bold bool
}

// The type scale. At A4 a page of 2400 pixels has about 8.7 to the mm, so
// small is about 7 point and body 8.
var (
	titleType   = style{46, true}
	headingType = style{27, true}
	bodyType    = style{25, false}
	strongType  = style{25, true}
	smallType   = style{21, false}
	numberType  = style{22, true}
)

// lineHeight is the distance between two lines of text.
func (s style) lineHeight() float64 { return s.size * 1.36 }

// capHeight is the height of a capital letter or a digit in the Go fonts, near
// enough to centre text by.
func (s style) capHeight() float64 { return s.size * 0.72 }

// typesetter measures and shapes text. It is for one goroutine.
type typesetter struct {
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

func newTypesetter() (*typesetter, error) {
	regular, bold, err := parseFonts()
	if err != nil {
		return nil, err
	}
	return &typesetter{regular: regular, bold: bold, faces: map[style]font.Face{}, widths: map[styled]float64{}}, nil
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

// clean is text as the fonts can show it.
func (t *typesetter) clean(s string) string { return clean(s, t.has) }

func (t *typesetter) has(r rune) bool { return t.regular.Index(r) != 0 }

// width of cleaned text, in pixels.
func (t *typesetter) width(s string, st style) float64 {
	key := styled{s, st}
	w, known := t.widths[key]
	if !known {
		w = float64(font.MeasureString(t.face(st), t.clean(s))) / 64
		t.widths[key] = w
	}
	return w
}

// shorten is s, or as much of its beginning as fits into width with an
// ellipsis behind; "" when not even one letter does.
func (t *typesetter) shorten(s string, st style, width float64) string {
	return shorten(t.clean(s), func(s string) bool { return t.width(s, st) <= width })
}

// wrap breaks s at spaces, but not at hard ones, into lines of at most width pixels and at most most
// lines; the last is shortened when there is more. A word that is wider than a
// line is broken where it must be.
func (t *typesetter) wrap(s string, st style, width float64, most int) []string {
	words := strings.FieldsFunc(t.clean(s), func(r rune) bool { return r == ' ' })
	var lines []string
	for len(words) > 0 {
		if len(lines) == most-1 {
			return append(lines, t.shorten(strings.Join(words, " "), st, width))
		}
		n := 1
		for n < len(words) && t.width(strings.Join(words[:n+1], " "), st) <= width {
			n++
		}
		line := strings.Join(words[:n], " ")
		words = words[n:]
		if n == 1 && t.width(line, st) > width {
			var rest string
			line, rest = t.split(line, st, width)
			words = append([]string{rest}, words...)
		}
		lines = append(lines, line)
	}
	return lines
}

// split breaks a word after as many letters as fit into width, at least one.
func (t *typesetter) split(word string, st style, width float64) (line, rest string) {
	letters := []rune(word)
	n := 1
	for n < len(letters)-1 && t.width(string(letters[:n+1]), st) <= width {
		n++
	}
	return string(letters[:n]), string(letters[n:])
}
