package page

import (
	"fmt"
	"math"
	"slices"

	"traywright/geometry"
)

// overlapMM is how far two neighbouring pages show the same part of the tray.
const overlapMM = 10.0

// room is what a page has for the tray.
type room struct{ width, height float64 }

// tiling spreads a box over pages: rows from the top, columns from the left,
// all of one size.
type tiling struct {
	whole         geometry.Box
	columns, rows int
	width, height float64        // of one page's part
	avoid         []geometry.Box // where marks would be in the way
}

func newTiling(whole geometry.Box, r room) tiling {
	t := tiling{whole: whole}
	t.columns, t.width = share(whole.Width(), r.width)
	t.rows, t.height = share(whole.Height(), r.height)
	return t
}

// share is how many equal parts, each of at most most, cover a length when
// neighbours overlap, and how long each is.
func share(length, most float64) (int, float64) {
	n := 1.0
	if length > most {
		n = math.Ceil((length - overlapMM) / (most - overlapMM))
	}
	return int(n), (length + (n-1)*overlapMM) / n
}

func (t tiling) count() int { return t.columns * t.rows }

// box is the part of page n.
func (t tiling) box(n int) geometry.Box {
	left := t.whole.Min.X + float64(n%t.columns)*(t.width-overlapMM)
	top := t.whole.Max.Y - float64(n/t.columns)*(t.height-overlapMM)
	return geometry.Box{Min: geometry.Point{X: left, Y: top - t.height}, Max: geometry.Point{X: left + t.width, Y: top}}
}

// mark is a place that two pages have in common.
type mark struct {
	at   geometry.Point
	name string
}

// marks are two on each seam of page n, named alike on both of its pages. Seams
// are counted page by page, each page's right one before its lower one.
func (t tiling) marks(n int) []mark {
	column, row := n%t.columns, n/t.columns
	var list []mark
	if column > 0 {
		list = append(list, t.rightMarks(n-1)...)
	}
	if column < t.columns-1 {
		list = append(list, t.rightMarks(n)...)
	}
	if row > 0 {
		list = append(list, t.lowerMarks(n-t.columns)...)
	}
	if row < t.rows-1 {
		list = append(list, t.lowerMarks(n)...)
	}
	return list
}

func (t tiling) rightMarks(n int) []mark {
	b := t.box(n)
	x := b.Max.X - overlapMM/2
	return t.pair(geometry.Point{X: x, Y: b.Max.Y}, geometry.Point{X: x, Y: b.Min.Y}, 2*n)
}

func (t tiling) lowerMarks(n int) []mark {
	b := t.box(n)
	y := b.Min.Y + overlapMM/2
	return t.pair(geometry.Point{X: b.Min.X, Y: y}, geometry.Point{X: b.Max.X, Y: y}, 2*n+1)
}

// pair is a mark near each end of a seam.
func (t tiling) pair(a, b geometry.Point, seam int) []mark {
	return []mark{{t.clear(a, b), alphabetic(2*seam, 'A')}, {t.clear(b, a), alphabetic(2*seam+1, 'A')}}
}

// clear is the place nearest to 15 % of the way from a to b, and within the
// first third, where no pocket is; 15 % when there is none.
func (t tiling) clear(a, b geometry.Point) geometry.Point {
	for i := range 11 {
		for _, share := range []float64{0.15 - float64(i)*0.01, 0.15 + float64(i)*0.018} {
			at := a.Add(b.Sub(a).Scale(share))
			if !slices.ContainsFunc(t.avoid, func(k geometry.Box) bool {
				return k.Min.X < at.X && at.X < k.Max.X && k.Min.Y < at.Y && at.Y < k.Max.Y
			}) {
				return at
			}
		}
	}
	return a.Add(b.Sub(a).Scale(0.15))
}

// seams draws the marks, and the lines to cut along: each page is cut at its
// right and lower seam and laid over the next.
func (t *trueSize) seams(n int, v sheetView) {
	b := t.tiles.box(n)
	t.stroke(blue, 0.2)
	t.SetDashPattern([]float64{4, 1, 0.4, 1}, 0) // no slit, which is dashed in black
	p, q := v.at(geometry.Point{X: b.Min.X, Y: b.Max.Y}), v.at(geometry.Point{X: b.Max.X, Y: b.Min.Y})
	if n%t.tiles.columns < t.tiles.columns-1 {
		t.Line(q.X, p.Y, q.X, q.Y)
	}
	if n/t.tiles.columns < t.tiles.rows-1 {
		t.Line(p.X, q.Y, q.X, q.Y)
	}
	t.SetDashPattern(nil, 0)
	for _, m := range t.tiles.marks(n) {
		t.mark(v.at(m.at), m.name)
	}
}

// markMM is how far a mark's lines reach.
const markMM = 4.0

// mark is a cross in a circle with its letter beside it.
func (t *trueSize) mark(at geometry.Point, name string) {
	t.stroke(blue, 0.15)
	t.Line(at.X-markMM, at.Y, at.X+markMM, at.Y)
	t.Line(at.X, at.Y-markMM, at.X, at.Y+markMM)
	t.Circle(at.X, at.Y, 2, "D")
	t.text(at.X+1.8, at.Y-1.8, name, style{leastPT, true}, blue, 0)
}

// mapScale is how large the map is drawn; 0 where one page needs none.
func (t *trueSize) mapScale() float64 {
	if t.tiles.count() == 1 {
		return 0
	}
	return math.Min(34/t.tiles.whole.Width(), (bandMM-3)/t.tiles.whole.Height())
}

// drawMap draws which part of the tray page n is, its upper right corner at right, y.
func (t *trueSize) drawMap(n int, right, y float64) {
	scale := t.mapScale()
	if scale == 0 {
		return
	}
	width := scale * t.tiles.whole.Width()
	place := func(b geometry.Box) (x, top, w, h float64) {
		return right - width + scale*(b.Min.X-t.tiles.whole.Min.X), y + scale*(t.tiles.whole.Max.Y-b.Max.Y), scale * b.Width(), scale * b.Height()
	}
	t.stroke(softInk, 0.15)
	t.fill(foamColour)
	x, top, w, h := place(t.tiles.box(n))
	t.Rect(x, top, w, h, "F")
	for i := range t.tiles.count() {
		x, top, w, h := place(t.tiles.box(i))
		t.Rect(x, top, w, h, "D")
		t.text(x+w/2, top+h/2+noteStyle.capMM()/2, fmt.Sprint(i+1), noteStyle, ink, 0.5)
	}
	t.stroke(ink, 0.35)
	x, top, w, h = place(t.tiles.whole)
	t.Rect(x, top, w, h, "D")
}
