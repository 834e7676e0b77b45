package page

import (
	"math"
)

// panelRow is a line of a block: its height and how to draw it from (x, y), its
// upper-left corner.
type panelRow struct {
	h    float64
	draw func(c *canvas, x, y float64)
}

// panel is a titled part of the page beside or below the drawing.
type panel struct {
	title   string
	rows    []panelRow
	entries int // of a list: how many it has room for
}

// The page's spacing, in pixels.
const (
	marginPX   = 64
	gapPX      = 48 // between columns
	blockGapPX = 40 // between blocks
	headPX     = 50 // of a block's title
)

func (b panel) height() float64 {
	h := float64(headPX)
	for _, r := range b.rows {
		h += r.h
	}
	return h
}

func (b panel) draw(c *canvas, x, y, width float64) {
	c.text(x, y+headingType.size, b.title, headingType, ink, 0)
	c.fill(rect{x, y + headingType.size + 10, width, 2}, ink)
	y += headPX
	for _, r := range b.rows {
		r.draw(c, x, y)
		y += r.h
	}
}

// heading writes a page's title, and left of right its figure; it returns where the
// caption begins.
func (c *canvas) heading(title, figure string, right float64) float64 {
	y := marginPX + titleType.size
	c.text(right, y+4, figure, figureType, ink, 1)
	right -= c.width(figure, figureType) + 40
	c.text(marginPX, y, c.shorten(title, titleType, right-marginPX), titleType, ink, 0)
	return y + 22
}

// keep leaves out the blocks with nothing in them.
func keep(blocks []panel) []panel {
	var kept []panel
	for _, b := range blocks {
		if len(b.rows) > 0 {
			kept = append(kept, b)
		}
	}
	return kept
}

// stack is the height of blocks under each other.
func stack(blocks []panel) float64 {
	h := 0.0
	for i, b := range blocks {
		if i > 0 {
			h += blockGapPX
		}
		h += b.height()
	}
	return h
}

// columns deals blocks in their order into at most n columns so that the
// tallest is as low as can be.
func columns(blocks []panel, n int) (dealt [][]panel, height float64) {
	if len(blocks) == 0 {
		return [][]panel{nil}, 0
	}
	low, high := 0.0, stack(blocks)
	for range 24 {
		middle := (low + high) / 2
		if _, ok := deal(blocks, n, middle); ok {
			high = middle
		} else {
			low = middle
		}
	}
	dealt, _ = deal(blocks, n, high)
	for _, c := range dealt {
		height = math.Max(height, stack(c))
	}
	return dealt, height
}

// deal fills columns up to a height; it fails when it needs more than n.
func deal(blocks []panel, n int, height float64) (dealt [][]panel, ok bool) {
	for i := 0; i < len(blocks); {
		j := i + 1
		for j < len(blocks) && stack(blocks[i:j+1]) <= height {
			j++
		}
		if stack(blocks[i:j]) > height {
			return nil, false
		}
		dealt = append(dealt, blocks[i:j])
		i = j
	}
	return dealt, len(dealt) <= n
}

// fact is a name and a value.
type fact struct{ key, value string }

// keyPX is the width of the names in a table of facts.
const keyPX = 128

// facts is a table, values wrapped; a fact without a value is left out.
func (t *typesetter) facts(width float64, list []fact) []panelRow {
	var rows []panelRow
	for _, f := range list {
		lines := t.wrap(f.value, bodyType, width-keyPX, 3)
		if len(lines) == 0 {
			continue
		}
		rows = append(rows, panelRow{
			h: float64(len(lines))*bodyType.lineHeight() + 2,
			draw: func(c *canvas, x, y float64) {
				c.text(x, y+bodyType.size, f.key, bodyType, softInk, 0)
				for i, line := range lines {
					c.text(x+keyPX, y+bodyType.size+float64(i)*bodyType.lineHeight(), line, bodyType, ink, 0)
				}
			},
		})
	}
	return rows
}

// sample is an entry of a legend: a little picture in a box, and what it means.
type sample struct {
	draw func(c *canvas, box rect)
	text string
}

// The boxes of a legend.
const (
	swatchW = 58
	swatchH = 30
	rowPX   = 42
)

// entryPX is the least width of a legend's entry.
const entryPX = 270

// legend sets samples in columns side by side, filled downwards.
func (t *typesetter) legend(width float64, samples []sample) []panelRow {
	var rows []panelRow
	perRow := max(1, int(width/entryPX))
	n := (len(samples) + perRow - 1) / perRow
	each := width / float64(perRow)
	for i := range n {
		rows = append(rows, panelRow{h: rowPX, draw: func(c *canvas, x, y float64) {
			for j := range perRow {
				k := j*n + i
				if k >= len(samples) {
					break
				}
				left := x + float64(j)*each
				box := rect{left, y + 3, swatchW, swatchH}
				samples[k].draw(c, box)
				text := c.shorten(samples[k].text, bodyType, each-swatchW-24)
				c.text(left+swatchW+16, y+3+swatchH/2+bodyType.capHeight()/2, text, bodyType, ink, 0)
			}
		}})
	}
	return rows
}

// paragraph is text in a column.
func (t *typesetter) paragraph(width float64, s string, st style, most int) []panelRow {
	var rows []panelRow
	for _, line := range t.wrap(s, st, width, most) {
		rows = append(rows, panelRow{st.lineHeight(), func(c *canvas, x, y float64) { c.text(x, y+st.size, line, st, ink, 0) }})
	}
	return rows
}
