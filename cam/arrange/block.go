package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// usualReach of a notch where the job gives none. Common practice, no source.
const usualReach units.Length = 10_000_000

// kind is equal pieces that want pockets in one tray.
type kind struct {
	piece  *job.Piece
	count  int
	needs  []plan.Need // poses to choose from, smallest first
	habits job.Habits
	relief units.Length // how far the relief of a corner reaches beyond a side
	way    way
	stops  bool     // its tools stop within a layer
	side   job.Side // of its drawing, for a notch; 0 where none has a place for one
}

// block is equal pockets in columns and rows, the last row perhaps shorter: a
// tidy patch of a tray. Its box takes in the notches.
type block struct {
	piece          *job.Piece
	need           plan.Need
	turned         bool
	notch          job.Side     // as placed
	reach          units.Length // of a notch or an opening
	open           units.Length // how far an opening behind each row, for fingers, goes into the pockets; 0 for none
	step           units.Length
	gaveWay        bool // it was to have a way in
	relief         units.Length
	count, columns int
	gapX, gapY     units.Length // between the boxes of two pockets
	x, y           units.Length // lower-left corner of its box
	kept           bool         // placed by an earlier arrangement
	of             *kind        // that it is of
	foot           *foot        // of one pocket that is placed by its true outline, its own box at x, y; nil for a box
}

// kind is what its pockets want in another place.
func (b block) kind() kind {
	k := *b.of
	k.count = b.count
	return k
}

func (b block) rows() int { return (b.count + b.columns - 1) / b.columns }

// pocket is one pocket's length and width as placed.
func (b block) pocket() (length, width units.Length) {
	if b.turned {
		return b.need.Width, b.need.Length
	}
	return b.need.Length, b.need.Width
}

// margin is how far a notch, an opening, or the relief of a corner, reaches beyond one side.
func (b block) margin(side job.Side) units.Length {
	if b.foot != nil {
		return 0
	}
	if b.notch&side != 0 || b.open > 0 && side == job.North {
		return max(b.reach, b.relief)
	}
	return b.relief
}

// cell is the box of one pocket with its notches and its part of an opening.
func (b block) cell() (length, width units.Length) {
	length, width = b.pocket()
	return length + b.margin(job.East) + b.margin(job.West), width + b.margin(job.North) + b.margin(job.South)
}

func (b block) length() units.Length {
	return b.row(b.columns)
}

// row is how long a row of so many pockets is, with the opening behind it.
func (b block) row(columns int) units.Length {
	l, _ := b.cell()
	return b.rowOf(l, columns)
}

// rowOf is the same of cells so long.
func (b *block) rowOf(cell units.Length, columns int) units.Length {
	long := units.Length(columns)*cell + units.Length(columns-1)*b.gapX
	if b.open > 0 {
		return max(long, job.Finger)
	}
	return long
}

func (b block) width() units.Length {
	_, w := b.cell()
	return units.Length(b.rows())*w + units.Length(b.rows()-1)*b.gapY
}

func (b block) box() box {
	if b.foot != nil {
		return around(b.foot.at(b.x, b.y).Bounds())
	}
	return box{b.x, b.y, b.x + b.length(), b.y + b.width()}
}

// choices are the blocks that pockets of one kind can make in a room. They are
// made when they are first asked for.
type choices struct {
	cells         []cell
	count         int
	length, width units.Length // of the room inside its edge
	whole         map[int][]shape
	part          []shape
}

// cell is a way in which one pocket may lie, and its size with notches and openings.
type cell struct {
	block
	l, w units.Length
}

// shape is a block that has no place yet, of so many cells, with its size.
type shape struct {
	of             *cell
	count, columns int
	l, w           units.Length
	empty          float64 // area of the last row that no pocket takes, mm2
}

func (c *cell) shape(columns, count int) shape {
	s := shape{of: c, count: count, columns: columns, l: c.rowOf(c.l, columns)}
	rows := s.rows()
	s.w = units.Length(rows)*c.w + units.Length(rows-1)*c.gapY
	s.empty = float64(columns*rows-count) * (c.l + c.gapX).MM() * (c.w + c.gapY).MM()
	return s
}

func (s shape) rows() int { return (s.count + s.columns - 1) / s.columns }

// at is the block at a place.
func (s shape) at(x, y units.Length) block {
	b := s.of.block
	b.count, b.columns, b.x, b.y = s.count, s.columns, x, y
	return b
}

func newChoices(k kind, r room) *choices {
	l, w := r.inner()
	c := &choices{count: k.count, length: l, width: w, whole: map[int][]shape{}}
	ways := k.cells(r.wall, r.step)
	c.cells = make([]cell, len(ways))
	for i, b := range ways {
		l, w := b.cell()
		c.cells[i] = cell{b, l, w}
	}
	return c
}

// shapes are the blocks that n pockets make.
func (c *choices) shapes(n int) []shape {
	if list, ok := c.whole[n]; ok {
		return list
	}
	var list []shape
	for i := range c.cells {
		b := &c.cells[i]
		rows := 0
		for columns := min(n, int((c.length+b.gapX)/(b.l+b.gapX))); columns >= 1; columns-- {
			s := b.shape(columns, n)
			if s.w > c.width {
				break
			}
			// Fewer columns in as many rows only make the last row shorter.
			if rows == s.rows() && n%columns != 0 {
				continue
			}
			rows = s.rows()
			list = append(list, s)
		}
	}
	c.whole[n] = list
	return list
}

// parts are full blocks of fewer pockets than the kind has, the largest first.
func (c *choices) parts() []shape {
	if c.part != nil {
		return c.part
	}
	for i := range c.cells {
		b := &c.cells[i]
		columns, rows := int((c.length+b.gapX)/(b.l+b.gapX)), int((c.width+b.gapY)/(b.w+b.gapY))
		for x := 1; x <= columns; x++ {
			for y := 1; y <= rows && x*y < c.count; y++ {
				c.part = append(c.part, b.shape(x, x*y))
			}
		}
	}
	slices.SortStableFunc(c.part, func(a, b shape) int {
		return cmp.Or(cmp.Compare(b.count, a.count), cmp.Compare(a.rows(), b.rows()))
	})
	return c.part
}

// cells are the ways in which one pocket of the kind may lie.
func (k kind) cells(wall, step units.Length) []block {
	list := make([]block, 0, 2*len(k.needs))
	for _, n := range k.needs {
		b := block{of: &k, piece: k.piece, need: n, step: step, count: 1, columns: 1, gapX: wall, gapY: wall}
		b.reach = cmp.Or(k.habits.NotchReach, usualReach)
		switch {
		case k.way != asAsked:
			k.reachIn(&b, step)
		case n.Outline != "" && (k.habits.Ends || k.habits.Sides): // which they are of a drawing is not told
			b.notch = k.side
		case n.Outline != "":
			b.notch = k.habits.Notch
		default:
			b.notch = k.habits.NotchOf(n.Length, n.Width)
		}
		b.reach = b.reach.Up(step)
		if !n.Round && n.Outline == "" {
			b.relief = k.relief.Up(step)
		}
		list = append(list, b)
		if n.Length != n.Width || b.notch != 0 || n.Outline != "" {
			b.turned, b.notch = true, turnedSides(b.notch)
			list = append(list, b)
		}
	}
	return list
}

// turnedSides are the sides after a quarter turn counter-clockwise.
func turnedSides(s job.Side) job.Side {
	var t job.Side
	for _, turn := range [...][2]job.Side{{job.North, job.West}, {job.West, job.South}, {job.South, job.East}, {job.East, job.North}} {
		if s&turn[0] != 0 {
			t |= turn[1]
		}
	}
	return t
}

// asDrawn are the sides of its notches as they are said: those of a drawing as it lies.
func (b block) asDrawn() job.Side {
	if b.need.Outline != "" && b.turned {
		return turnedSides(turnedSides(turnedSides(b.notch)))
	}
	return b.notch
}

// shape gives a pocket what it is where that is no box, and its turn.
func (b block) shape(p *job.Pocket) {
	if b.foot != nil {
		p.Turn = b.foot.turn
	}
	switch {
	case b.need.Outline != "":
		p.Shape, p.OutlineFile, p.Length, p.Width = job.OutlineShape, b.need.Outline, 0, 0
		p.Relief = job.NoRelief
		if b.turned { // a notch is said as the drawing lies
			p.Turn, p.Notch = 90, b.asDrawn()
		}
	case b.need.Round:
		p.Shape, p.Diameter, p.Length, p.Width = job.RoundShape, p.Length, 0, 0
		p.Relief = job.NoRelief
	}
}

// pockets writes the block as pockets of a job, the full rows first. Depth is
// 0 where it is the top layer's thickness.
func (b block) pockets(k job.Habits, depth units.Length, t *job.Tray) []job.Pocket {
	cl, cw := b.cell()
	length, width := b.pocket()
	p := job.Pocket{
		For: b.piece.ID, Shape: job.SizeShape, Length: length, Width: width, Depth: depth,
		Columns: b.columns, Rows: b.count / b.columns,
		Relief: k.Relief, Notch: b.notch, Fit: t.Fit, Tool: t.Tool, Waste: k.Waste,
	}
	b.reachInto(&p, k)
	b.shape(&p)
	rows, rest := b.count/b.columns, b.count%b.columns
	row := func(i int) units.Length { // from the back; the lower side of row i
		return b.y + units.Length(b.rows()-1-i)*(cw+b.gapY) + b.margin(job.South)
	}
	p.X = b.x + b.margin(job.West)
	var list []job.Pocket
	add := func(columns, rows, first int) {
		q := p
		q.Columns, q.Rows, q.Y = columns, rows, row(first+rows-1)
		if columns > 1 {
			q.PitchX = cl + b.gapX
		}
		if rows > 1 {
			q.PitchY = cw + b.gapY
		}
		list = append(list, q)
		if b.open > 0 {
			list = append(list, b.opening(q, t.Layers))
		}
	}
	if rows > 0 {
		add(b.columns, rows, 0)
	}
	if rest > 0 {
		add(rest, 1, rows)
	}
	return list
}
