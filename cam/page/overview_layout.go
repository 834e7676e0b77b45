package page

import (
	"math"
	"slices"
)

// The most that a page's height is of its width: on a screen, and on paper under
// the cut sheet's head.
const (
	tallest        = 0.9
	tallestOnPaper = 1.22
)

// layout chooses the page's width and the number of trays side by side: of the
// wide pages, the one that shows the trays largest when it is printed to fit A4
// lying; where none is wide, the widest.
func (v *overview) layout() {
	n := len(v.p.Trays)
	switch {
	case v.onPaper:
		v.width = shortPX
	case n <= 1 && len(v.p.Cases) == 0:
		v.width = 1800
	case n <= 6:
		v.width = 2400
	case n <= 12:
		v.width = 3000
	default:
		v.width = 3600
	}
	best, columns, span, most := math.Inf(-1), 1, 0, 12
	if v.onPaper {
		most = 4
	}
	for c := 1; c <= min(n+2*len(v.p.Cases), most); c++ {
		for s := 0; s <= min(c, 2); s++ {
			v.try(c, s)
			if score := v.score(); score > best {
				best, columns, span = score, c, s
			}
		}
	}
	v.try(columns, span)
}

// score is how good a layout is: the scale in print, or how far it is from wide.
func (v *overview) score() float64 {
	w, h, most := float64(v.width), v.height(v.grid()), tallest
	if v.onPaper {
		most = tallestOnPaper
	}
	switch {
	case len(v.p.Cases) > 0 && v.caseCell() < leastCasePX:
		return -1e9
	case h > most*w:
		return -h
	}
	return v.scale / math.Max(w, h*math.Sqrt2)
}

// most pixels to the mm, so that one small tray does not fill the page.
const mostTrayScale = 6

func (v *overview) try(columns, span int) {
	v.columns, v.span = columns, span
	v.cell = (float64(v.width) - 2*marginPX - float64(columns-1)*gapPX) / float64(columns)
	long := 10.0
	for _, t := range v.p.Trays {
		long = math.Max(long, t.Outline.Bounds().Width())
	}
	if scale := math.Min(mostTrayScale, v.cell/long); scale != v.scale || v.codes == nil {
		v.scale, v.codes = scale, nil
		for i := range v.p.Trays {
			v.codes = append(v.codes, v.code(&v.p.Trays[i]))
		}
	}
}

// item is what stands at one place of the page: a tray, or a case.
type item struct {
	tray, kase int  // index; -1 for the other kind
	left       bool // the pieces without a place behind the tray
	x          float64
}

// grid are the rows of the page, the cases first.
func (v *overview) grid() [][]item {
	items := v.withLeft()
	var cases []item
	for i := range v.p.Cases {
		cases = append(cases, item{tray: -1, kase: i})
	}
	if v.span == 0 {
		rows := v.rows(cases, v.caseColumns(), v.caseCell())
		return append(rows, v.rows(items, v.columns, v.cell)...)
	}
	return v.rows(append(cases, items...), v.columns, v.cell)
}

// rows fills rows of so many places of a width.
func (v *overview) rows(items []item, columns int, width float64) (rows [][]item) {
	used := columns
	for _, it := range items {
		places := 1
		if it.kase >= 0 && v.span > 0 {
			places = v.span
		}
		if used+places > columns {
			rows, used = append(rows, nil), 0
		}
		it.x = marginPX + float64(used)*(width+gapPX)
		rows[len(rows)-1] = append(rows[len(rows)-1], it)
		used += places
	}
	return rows
}

// parts are the rows of the grid, as many to a page as fit onto one.
func (v *overview) parts() (parts [][][]item) {
	for _, row := range v.grid() {
		if n := len(parts) - 1; n >= 0 && v.height(append(slices.Clip(parts[n]), row)) <= tallestOnPaper*float64(v.width) {
			parts[n] = append(parts[n], row)
			continue
		}
		parts = append(parts, [][]item{row})
	}
	return parts
}

// height of a page with such rows.
func (v *overview) height(rows [][]item) float64 {
	h := v.headHeight()
	for _, row := range rows {
		h += v.rowHeight(row) + blockGapPX
	}
	return h + stack(v.legends()) + marginPX
}

// rowHeight is the height of the tallest of a row.
func (v *overview) rowHeight(row []item) float64 {
	h := 0.0
	for _, it := range row {
		switch {
		case it.left:
			h = math.Max(h, v.leftHeight(it.tray))
		case it.kase >= 0:
			h = math.Max(h, v.caseBlock(v.p.Cases[it.kase]))
		default:
			h = math.Max(h, v.trayHeight(it.tray))
		}
	}
	return h
}
