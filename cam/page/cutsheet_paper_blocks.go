package page

import (
	"fmt"
	"image/color"
	"slices"
	"strconv"
)

// typeset makes blocks for a column of a width, in letters of a size.
type typeset struct {
	*document
	size  float64
	width float64
}

func (t typeset) body() style   { return style{t.size, false} }
func (t typeset) strong() style { return style{t.size, true} }

// heading is a block's first row.
func (t typeset) heading(s string) row {
	st := style{t.size + 1, true}
	return row{st.lineMM() + 1.8, func(x, y float64) {
		t.text(x, y+st.capMM(), t.shorten(s, st, t.width), st, ink, 0)
		t.stroke(hairline, 0.25)
		t.Line(x, y+st.lineMM(), x+t.width, y+st.lineMM())
	}}
}

// lines are text wrapped into rows, at least one, indented; first is drawn
// before the first.
func (t typeset) lines(s string, indent float64, st style, c color.RGBA, first func(x, baseline float64)) []row {
	lines := t.wrap(s, st, t.width-indent, 0)
	if len(lines) == 0 {
		lines = []string{""}
	}
	var rows []row
	for i, line := range lines {
		rows = append(rows, row{st.lineMM(), func(x, y float64) {
			if i == 0 && first != nil {
				first(x, y+st.capMM())
			}
			t.text(x+indent, y+st.capMM(), line, st, c, 0)
		}})
	}
	return rows
}

// spaced is rows with a little air behind them.
func spaced(rows []row, air float64) []row {
	if n := len(rows); n > 0 {
		rows[n-1].height += air
	}
	return rows
}

// tick is text with a box before it.
func (t typeset) tick(s string) []row {
	side := t.body().capMM()
	return spaced(t.lines(s, side+2, t.body(), ink, func(x, y float64) { t.box(x, y, side) }), 0.6)
}

// ticks are boxes to tick: the owner's, then ours.
func (t typeset) ticks(heading string, owner, texts []string) block {
	b := block{rows: []row{t.heading(heading)}}
	for _, s := range owner {
		b.rows = append(b.rows, t.tick(s)...)
	}
	for _, s := range texts {
		b.rows = append(b.rows, t.tick(s)...)
	}
	return b
}

// steps are the programs in their order, each with a box to tick; inTurn is what to know of those that share a sheet, "" for
// where none do.
func (t typeset) steps(list []stepRow, inTurn string) block {
	b := block{rows: []row{t.heading("Cut, in this order")}}
	if inTurn != "" {
		b.rows = append(b.rows, spaced(t.lines(inTurn, 0, t.body(), ink, nil), 0.6)...)
	}
	for _, s := range list {
		b.rows = append(b.rows, t.tick(s.words())...)
	}
	return b
}

func (t typeset) paragraphs(heading string, texts []string) block {
	b := block{rows: []row{t.heading(heading)}}
	for _, s := range texts {
		b.rows = append(b.rows, spaced(t.lines(s, 0, t.body(), ink, nil), 0.6)...)
	}
	return b
}

// numbered is a block of steps.
func (t typeset) numbered(heading string, steps []string) block {
	texts := make([]string, len(steps))
	for i, step := range steps {
		texts[i] = fmt.Sprintf("%d. %s", i+1, step)
	}
	return t.paragraphs(heading, texts)
}

// framed is a block with a heavy bar at its left: what must be found at once.
func (t typeset) framed(heading string, texts []string) block {
	inner := t
	inner.width -= 4
	st := style{t.size + 1.5, true}
	rows := []row{{st.lineMM() + 0.8, func(x, y float64) { t.text(x, y+st.capMM(), heading, st, ink, 0) }}}
	for _, s := range texts {
		rows = append(rows, spaced(inner.lines(s, 0, inner.strong(), ink, nil), 0.6)...)
	}
	for i, r := range rows {
		rows[i].draw = func(x, y float64) {
			t.fill(ink)
			t.Rect(x, y-0.3, 1.6, r.height+0.3, "F")
			r.draw(x+4, y)
		}
	}
	return block{rows: rows}
}

// facts are names and what they are.
func (t typeset) facts(heading string, facts [][2]string) block {
	indent := 0.0
	for _, f := range facts {
		indent = max(indent, t.document.width(f[0], t.body())+3)
	}
	indent = min(indent, 0.4*t.width)
	b := block{rows: []row{t.heading(heading)}}
	for _, f := range facts {
		b.rows = append(b.rows, t.lines(f[1], indent, t.body(), ink, func(x, y float64) {
			t.text(x, y, t.shorten(f[0], t.body(), indent-1), t.body(), softInk, 0)
		})...)
	}
	return b
}

// work is the order of work, a box a step, what it is made for, and a box for each copy.
func (t typeset) work(steps []string, made string, copies int) block {
	b := block{rows: []row{t.heading("Order of work")}}
	side := t.body().capMM()
	for i, s := range steps {
		number := strconv.Itoa(i + 1)
		b.rows = append(b.rows, spaced(t.lines(s, side+7, t.body(), ink, func(x, y float64) {
			t.box(x, y, side)
			t.text(x+side+2, y, number, t.strong(), ink, 0)
		}), 0.6)...)
	}
	if copies > 1 {
		b.rows = append(b.rows, t.lines("Made "+made+".", 0, t.body(), ink, nil)...)
		b.rows = append(b.rows, t.copies(copies))
	}
	return b
}

// mostBoxes is how many copies get a box of their own.
const mostBoxes = 12

func (t typeset) copies(n int) row {
	side := t.body().capMM() + 0.6
	text := fmt.Sprintf("%d to make:", n)
	return row{t.body().lineMM() + 1, func(x, y float64) {
		t.text(x, y+0.6+t.body().capMM(), text, t.strong(), ink, 0)
		x += t.document.width(text, t.strong()) + 3
		for range min(n, mostBoxes) {
			t.box(x, y+0.6+t.body().capMM(), side)
			x += side + 2
		}
	}}
}

// cells is one row of a table: texts at shares of the width, the last column
// wrapped, the others cut short.
func (t typeset) cells(texts []string, at []float64, st style, c color.RGBA) []row {
	last := len(texts) - 1
	return t.lines(texts[last], at[last]*t.width, st, c, func(x, y float64) {
		for i, s := range texts[:last] {
			t.text(x+at[i]*t.width, y, t.shorten(s, st, (at[i+1]-at[i])*t.width-1.5), st, c, 0)
		}
	})
}

func (t typeset) foam(list []materialRow) block {
	b := block{rows: []row{t.heading("Foam to have ready")}}
	for _, f := range list {
		b.rows = append(b.rows, t.tick(fmt.Sprintf("%d × %s, %s thick, at least %s", f.Count, f.Foam, f.Thickness, f.Blank))...)
		b.rows = append(b.rows, spaced(t.lines("for "+f.For, t.body().capMM()+2, t.body(), softInk, nil), 0.8)...)
	}
	return b
}

func (t typeset) stack(k caseText) block {
	heading := "Case " + apart(k.Name)
	if k.Copies > 1 {
		heading += fmt.Sprintf(" (%d copies)", k.Copies)
	}
	at := []float64{0, 0.06, 0.6, 0.82}
	b := block{rows: []row{t.heading(heading + ", top to bottom")}}
	side := t.body().capMM()
	for _, r := range k.Rows {
		rows := t.cells([]string{"", r.Tray, r.Height, r.Weight}, at, t.body(), ink)
		draw := rows[0].draw
		rows[0].draw = func(x, y float64) {
			t.box(x, y+side, side)
			draw(x, y)
		}
		b.rows = append(b.rows, rows...)
	}
	b.rows = append(b.rows, t.lines("together "+k.Height+", "+k.Weight, 0.06*t.width, t.body(), softInk, nil)...)
	return b
}

// packing is what goes into the tray, in two columns where all names are short
// enough for that.
func (t typeset) packing(tray string, list []packingRow) block {
	b := block{rows: []row{t.heading("Packing list of " + tray)}}
	st, side, half := t.body(), t.body().capMM(), t.width/2
	var texts []string
	widest := 0.0
	for _, p := range list {
		text := fmt.Sprintf("%d × %s", p.Count, p.Piece)
		texts, widest = append(texts, text), max(widest, t.document.width(text, st))
	}
	if widest > half-side-4 {
		for _, text := range texts {
			b.rows = append(b.rows, t.tick(text)...)
		}
		return b
	}
	for pair := range slices.Chunk(texts, 2) {
		b.rows = append(b.rows, row{st.lineMM() + 0.6, func(x, y float64) {
			for i, text := range pair {
				left := x + float64(i)*half
				t.box(left, y+side, side)
				t.text(left+side+2, y+side, text, st, ink, 0)
			}
		}})
	}
	return b
}
