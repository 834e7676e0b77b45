package page

import (
	"image/color"
	"strings"

	"github.com/golang/freetype/truetype"
	"golang.org/x/image/math/fixed"
)

func (s style) name() string {
	if s.bold {
		return "B"
	}
	return ""
}

// capMM is the height of a capital letter or digit of the Go fonts, near enough
// to centre text by.
func (s style) capMM() float64 { return s.size * 0.72 * pointMM }

// lineMM is the distance between two lines.
func (s style) lineMM() float64 { return s.size * 1.28 * pointMM }

// letters knows which characters the fonts have, both the same, and how wide
// they are. The PDF's own measuring would leave a change of font on the page for
// every text that it measures.
type letters struct {
	regular, bold *truetype.Font
	advances      map[letterOf]float64
}

// letterOf is a character in one of the fonts.
type letterOf struct {
	r    rune
	bold bool
}

func newLetters() (*letters, error) {
	regular, bold, err := parseFonts()
	if err != nil {
		return nil, err
	}
	return &letters{regular, bold, map[letterOf]float64{}}, nil
}

// advance is a character's width as a share of the size of the letters.
func (l *letters) advance(r rune, bold bool) float64 {
	key := letterOf{r, bold}
	a, known := l.advances[key]
	if !known {
		f := l.regular
		if bold {
			f = l.bold
		}
		em := fixed.Int26_6(f.FUnitsPerEm())
		a = float64(f.HMetric(em, f.Index(r)).AdvanceWidth) / float64(em)
		l.advances[key] = a
	}
	return a
}

// clean is text as both fonts can print it.
func (l *letters) clean(s string) string { return clean(s, l.has) }

// has is whether the fonts have a character, and the PDF's two-byte text can
// hold it.
func (l *letters) has(r rune) bool { return r <= 0xffff && l.regular.Index(r) != 0 }

// width of text in mm.
func (d *document) width(s string, st style) float64 {
	sum := 0.0
	for _, r := range d.letters.clean(s) {
		sum += d.letters.advance(r, st.bold)
	}
	return sum * st.size * pointMM
}

// text writes one line whose baseline starts at x, y. align 0 is x at its left,
// 0.5 in its middle, 1 at its right.
func (d *document) text(x, y float64, s string, st style, c color.RGBA, align float64) {
	s = d.letters.clean(s)
	if s == "" {
		return
	}
	if align != 0 {
		x -= align * d.width(s, st)
	}
	d.SetFont("go", st.name(), st.size)
	d.SetTextColor(int(c.R), int(c.G), int(c.B))
	d.Text(x, y, s)
}

// shorten is s, or as much of its beginning as fits into width with an ellipsis
// behind; "" when not even one letter does.
func (d *document) shorten(s string, st style, width float64) string {
	return shorten(d.letters.clean(s), func(s string) bool { return d.width(s, st) <= width })
}

// wrap breaks s at spaces into lines of at most width mm. A word that is wider
// than a line is broken where it must be.
func (d *document) wrap(s string, st style, width float64) []string {
	words := strings.FieldsFunc(d.letters.clean(s), func(r rune) bool { return r == ' ' })
	space := d.width(" ", st)
	var lines []string
	for len(words) > 0 {
		long := d.width(words[0], st)
		if long > width {
			line, rest := d.split(words[0], st, width)
			lines = append(lines, line)
			if words[0] = rest; rest == "" {
				words = words[1:]
			}
			continue
		}
		n := 1
		for n < len(words) {
			if long += space + d.width(words[n], st); long > width {
				break
			}
			n++
		}
		lines = append(lines, strings.Join(words[:n], " "))
		words = words[n:]
	}
	return lines
}

// split breaks a word after as many letters as fit into width, at least one.
func (d *document) split(word string, st style, width float64) (line, rest string) {
	long := 0.0
	for i, r := range word {
		if long += d.width(string(r), st); long > width && i > 0 {
			return word[:i], word[i:]
		}
	}
	return word, ""
}
