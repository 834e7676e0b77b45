package page

import (
	"fmt"
	"io"

	"traywright/geometry/units"
)

// sheetColumn is one to fill in, with its share of the page's width.
type sheetColumn struct {
	head  string
	share float64
}

// SheetColumns are the columns of a measuring sheet, as its typed table has them.
func SheetColumns(u units.Unit) []string {
	var list []string
	for _, c := range sheetColumns(u) {
		list = append(list, c.head)
	}
	return list
}

func sheetColumns(u units.Unit) []sheetColumn {
	in := " (" + u.String() + ")"
	return []sheetColumn{{"id", 2.2}, {"name", 3.4}, {"group", 1.6}, {"count", 1}, {"length" + in, 1.7}, {"width" + in, 1.7}, {"height" + in, 1.7}, {"weight_g", 1.5}, {"shape", 1.2}, {"pose", 1.2}}
}

// sheetWords say how a sheet is filled in.
func sheetWords(u units.Unit) []string {
	example, unit := "Numbers are in mm: 25.5. A number may carry its own unit: 1 1/4 in.", ""
	if u == units.Inch {
		example, unit = "Numbers are in inches: 1.25 or 1 1/4 in, with its unit, for a spreadsheet makes a date of a bare 1/4. Or 25.5 mm.", " --units in"
	}
	return []string{
		"A row is one piece: the box around it as it lies in the tray, at its widest, base and what sticks out counted. " + example,
		"id is a short name without blanks; count is how many there are of it. Of equal ones measure two or three, each in a row of its own with the same id; count stands in the first.",
		"length, width, height and count are needed. shape is rect or round, left out rect; pose any, upright or lying.",
		"Type it as it is into measuring-sheet.csv, then run: traywright measure measuring-sheet.csv" + unit + " --out measured",
	}
}

// MeasuringSheet is a page to fill in by hand. The error is w's.
func MeasuringSheet(w io.Writer, size Paper, u units.Unit) error {
	d, err := newDocument(size, "Measuring sheet", nil)
	if err != nil {
		return err
	}
	d.page(size, false)
	width, height := size.mm()
	title, body, small := style{14, true}, style{9, false}, style{leastPT, false}
	y := margin + title.capMM()
	d.text(margin, y, "Measuring sheet", title, ink, 0)
	d.text(width-margin, y, "measured by ________________  on ______________", body, softInk, 1)
	y += title.lineMM()
	for _, words := range sheetWords(u) {
		for _, line := range d.wrap(words, body, width-2*margin, 9) {
			d.text(margin, y, line, body, ink, 0)
			y += body.lineMM()
		}
	}
	const rowMM = 8.0
	columns, shares := sheetColumns(u), 0.0
	for _, c := range columns {
		shares += c.share
	}
	top, rows := y, int((height-margin-y)/rowMM)
	d.stroke(softInk, 0.2)
	for i := range rows + 1 {
		d.Line(margin, top+float64(i)*rowMM, width-margin, top+float64(i)*rowMM)
	}
	x := margin
	for _, c := range columns {
		d.Line(x, top, x, top+float64(rows)*rowMM)
		d.text(x+1, top+rowMM/2+small.capMM()/2, c.head, small, ink, 0)
		x += c.share / shares * (width - 2*margin)
	}
	d.Line(width-margin, top, width-margin, top+float64(rows)*rowMM)
	if err := d.Error(); err != nil {
		return fmt.Errorf("measuring sheet: %w", err)
	}
	return d.write(w)
}
