package page

import (
	"image/color"

	"traywright/geometry"
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

// measuredPX is the size of letters that widths are measured at, to a 4096th of it: the
// PDF's own measuring would leave a change of font on the page for every text that it
// measures. A font's memory grows with the square of it.
const measuredPX = 64

// width of text in mm.
func (d *document) width(s string, st style) float64 {
	return d.letters.width(d.clean(s), style{measuredPX, st.bold}) / measuredPX * st.size * pointMM
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
	d.words(x, y, s, st, c)
}

// words writes what the Go fonts have, and draws the rest as shapes.
func (d *document) words(x, y float64, s string, st style, c color.RGBA) {
	for _, r := range d.runs(s) {
		if r.text != "" {
			d.Text(x, y, r.text)
			x += d.width(r.text, st)
			continue
		}
		red, green, blue := d.GetFillColor()
		d.fill(c)
		for _, shape := range d.extra.shapes(r, st.size*pointMM) {
			d.region(shape, sheetView{corner: geometry.Point{X: x, Y: y}}, "f")
		}
		d.SetFillColor(red, green, blue)
		x += r.long(st.size * pointMM)
	}
}
