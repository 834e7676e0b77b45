package page

// row is one line, or one drawing, of a block: it is never parted.
type row struct {
	height float64
	draw   func(x, y float64) // from its upper left corner
}

// block is a heading and what belongs to it.
type block struct {
	rows      []row // the heading is the first and stays with the second
	newColumn bool  // begins a column where the page has room for that
	list      bool  // of programs
	over      int   // of the list of programs: how many blocks before it may stand behind it
}

func (b block) height() float64 {
	sum := 0.0
	for _, r := range b.rows {
		sum += r.height
	}
	return sum
}

// column is a part of a page to fill from its top.
type column struct{ x, top, bottom float64 }

// placedRow is a row that has its place.
type placedRow struct {
	row
	x, y float64
}

const blockGap = 3.5

// flow fills columns with blocks in their order and returns what is left over.
// A block is parted only when it would not fit into an empty column either.
func flow(blocks []block, columns []column, forced bool) (placed []placedRow, rest []block) {
	at, y := 0, columns[0].top
	next := func() bool {
		if at++; at < len(columns) {
			y = columns[at].top
		}
		return at < len(columns)
	}
	for i, b := range blocks {
		c := columns[min(at, len(columns)-1)]
		fits := y+b.height() <= c.bottom
		whole := b.height() <= columns[len(columns)-1].bottom-columns[len(columns)-1].top
		if y > c.top && (forced && b.newColumn || !fits && whole) && !next() {
			return placed, blocks[i:]
		}
		for j, r := range b.rows {
			need := r.height
			if j == 0 && len(b.rows) > 1 {
				need += b.rows[1].height
			}
			if y+need > columns[at].bottom && y > columns[at].top && !next() {
				b.rows = b.rows[j:]
				return placed, append([]block{b}, blocks[i+1:]...)
			}
			placed = append(placed, placedRow{r, columns[at].x, y})
			y += r.height
		}
		y += blockGap
	}
	return placed, nil
}
