package page

import "io"

// The dots of a page that a lens is measured by: 4 mm wide, 10 mm apart.
const dotMM, dotStepMM = 4.0, 10.0

// LensGrid is a page of dots in rows and columns, and below them what to do with it. The error is w's.
func LensGrid(w io.Writer, size Paper) error {
	d, err := newDocument(size, "Grid for a lens", nil)
	if err != nil {
		return err
	}
	d.page(size, false)
	width, height := size.mm()
	small := style{leastPT, false}
	words := d.wrap("Lay this page on a flat table, or under glass where it curls. Photograph it from straight above so that its dots fill the picture to the corners, "+
		"sharp, at the zoom that you photograph pieces with. Then run: traywright measure --grid grid.jpg --out my-lens.yaml", small, width-2*margin, 3)
	y := height - margin - small.lineMM()*float64(len(words)-1)
	bottom := y - small.lineMM() - dotMM
	d.fill(ink)
	for row := margin; row+dotMM < bottom; row += dotStepMM {
		for x := margin; x+dotMM < width-margin; x += dotStepMM {
			d.Circle(x+dotMM/2, row+dotMM/2, dotMM/2, "F")
		}
	}
	for _, line := range words {
		d.text(margin, y, line, small, ink, 0)
		y += small.lineMM()
	}
	if err := d.Error(); err != nil {
		return err
	}
	return d.write(w)
}
