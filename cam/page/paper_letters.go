package page

import (
	"image/color"

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

// has is whether the fonts have a character, and the PDF's two-byte text can
// hold it.
func (l *letters) has(r rune) bool { return r <= 0xffff && l.regular.Index(r) != 0 }

// width of text in mm.
func (d *document) width(s string, st style) float64 {
	sum := 0.0
	for _, r := range d.clean(s) {
		sum += d.letters.advance(r, st.bold)
	}
	return sum * st.size * pointMM
}

// text writes one line whose baseline starts at x, y. align 0 is x at its left,
// 0.5 in its middle, 1 at its right.
func (d *document) text(x, y float64, s string, st style, c color.RGBA, align float64) {
	s = d.clean(s)
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
