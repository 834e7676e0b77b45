package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// The virtual foam is a height field: for each cell how deep it is cut, at its
// centre. It serves pictures, the volume removed and "is there still foam
// here?". Walls are not measured on it: see probe.go.

const (
	// leastCellMM is the cell where nobody asks for another, as long as that
	// takes no more than plentyCells: a job keeps the fields of all its sheets.
	leastCellMM = 0.1
	plentyCells = 5_000_000
	// maxCells bounds the field's memory whatever is asked: 4 bytes each. A sheet
	// of 600 x 400 mm at 0.1 mm is 24 million.
	maxCells = 26_000_000
	// hugeMM is a side beyond which there is no machine and the program is wrong;
	// wrongCells are then enough to show it.
	hugeMM     = 5000
	wrongCells = 500_000
	// marginMM is left around what is cut.
	marginMM = 1
)

// newField covers a box. The cell grows where the box would need too many, and
// where the program is known to be wrong in its extents.
func newField(box geometry.Box, cell float64, wrong bool) Field {
	if box.Empty() {
		return Field{}
	}
	most := float64(maxCells)
	if cell <= 0 {
		cell, most = leastCellMM, plentyCells
	}
	box = box.Grow(marginMM)
	f := Field{CellMM: cell}
	if wrong || max(box.Width(), box.Height()) > hugeMM {
		most = wrongCells
	}
	f.cover(box, most)
	return f
}

// cover lays uncut cells over a box, larger ones where it would need more than most.
func (f *Field) cover(box geometry.Box, most float64) {
	for f.fit(box); float64(f.Columns)*float64(f.Rows) > most; f.fit(box) {
		f.CellMM *= 1.1
	}
	f.uncut()
}

// uncut gives it cells of its own that nothing has cut.
func (f *Field) uncut() {
	f.DepthMM = make([]float32, f.Columns*f.Rows)
	f.least = make([]float32, f.blocks()*f.Rows)
}

func (f *Field) blocks() int { return (f.Columns + block - 1) / block }

// offMM keeps the centres of cells off the round numbers that programs are written in. A wall through
// centres counts them on both of its sides: a pocket would be a cell wider than it is, and so much more
// foam gone as the cells are coarse.
const offMM = 0.000037

// fit sets origin and size for a box. Fields of one cell lie on one lattice, so
// that two of them can be compared.
func (f *Field) fit(box geometry.Box) {
	f.Origin.X = math.Floor(box.Min.X/f.CellMM)*f.CellMM - offMM
	f.Origin.Y = math.Floor(box.Min.Y/f.CellMM)*f.CellMM - offMM
	f.Columns = int(math.Ceil((box.Max.X-f.Origin.X)/f.CellMM)) + 1
	f.Rows = int(math.Ceil((box.Max.Y-f.Origin.Y)/f.CellMM)) + 1
}

// center is the middle of a cell.
func (f Field) center(column, row int) geometry.Point {
	return geometry.Point{
		X: f.Origin.X + (float64(column)+0.5)*f.CellMM,
		Y: f.Origin.Y + (float64(row)+0.5)*f.CellMM,
	}
}

// rowsIn is the rows whose centres lie between two heights.
func (f *Field) rowsIn(low, high float64) (first, end int) {
	return between(low, high, f.Origin.Y, f.CellMM, f.Rows)
}

// columnsIn is the columns whose centres lie in an interval.
func (f *Field) columnsIn(i interval) (first, end int) {
	return between(i.low, i.high, f.Origin.X, f.CellMM, f.Columns)
}

// between is the cells, first to end-1, of count whose centres lie in low..high.
func between(low, high, origin, cell float64, count int) (first, end int) {
	a := math.Ceil((low-origin)/cell - 0.5)
	b := math.Floor((high-origin)/cell-0.5) + 1
	a = min(max(a, 0), float64(count))
	b = min(max(b, a), float64(count))
	return int(a), int(b)
}

// row is a row's cells.
func (f *Field) row(r int) []float32 { return f.DepthMM[r*f.Columns : (r+1)*f.Columns] }

// cut removes what a sweep removes in the rows from first to end-1, and reports whether that
// is more anywhere than rubbing takes.
func (f *Field) cut(s *sweep, first, end int) (took bool) {
	switch {
	case s.layers != nil:
		return f.cutLayers(s, first, end)
	case s.flare > 0:
		return f.deepenAlong(s, s.reach(), 0, math.Inf(1), first, end, s.flankOver)
	case s.level():
		f.eachSpan(s, s.radius, first, end, func(row, c0, c1 int) {
			if f.deepen(row, c0, c1, float32(s.depthA)) > rubsMM {
				took = true
			}
		})
		return took
	}
	return f.deepenAlong(s, s.radius, 0, math.Inf(1), first, end, s.depthOver)
}

// deepenAlong lowers the cells within radius of a sweep that are open to a depth
// of from to what over says of them, but no deeper than to.
func (f *Field) deepenAlong(s *sweep, radius, from, to float64, first, end int, over func(geometry.Point) (float64, bool)) (took bool) {
	open, most := float32(from), float32(min(s.deepest(), to))
	f.eachSpan(s, radius, first, end, func(row, c0, c1 int) {
		cells := f.row(row)
		for c := c0; c < c1; c++ {
			if cells[c] >= most || cells[c] < open {
				continue
			}
			if depth, ok := over(f.center(c, row)); ok {
				took = took || min(float32(depth), most)-cells[c] > rubsMM
				cells[c] = max(cells[c], min(float32(depth), most))
			}
		}
	})
	return took
}

// block is how many cells of a row are looked at as one. What is cut over and over, in long arcs
// or by a beam's passes, is as deep already for most of its way.
const block = 16

// deepen lowers a row's cells from c0 to c1-1 to at least depth, and says by how much at most.
func (f *Field) deepen(row, c0, c1 int, depth float32) (most float32) {
	cells, least := f.row(row), f.least[row*f.blocks():]
	for b := c0 / block; b*block < c1; b++ {
		if least[b] >= depth {
			continue
		}
		for c := max(c0, b*block); c < min(c1, (b+1)*block); c++ {
			if d := cells[c]; d < depth {
				most = max(most, depth-d)
				cells[c] = depth
			}
		}
		least[b] = slices.Min(cells[b*block : min((b+1)*block, f.Columns)])
	}
	return most
}

// eachSpan calls visit with the runs of cells within radius of the path, in the
// rows from first to end-1.
func (f *Field) eachSpan(s *sweep, radius float64, first, end int, visit func(row, c0, c1 int)) {
	box := s.bounds().Grow(radius)
	low, high := f.rowsIn(box.Min.Y, box.Max.Y)
	for row := max(low, first); row < min(high, end); row++ {
		y := f.Origin.Y + (float64(row)+0.5)*f.CellMM
		list, n := s.spans(y, radius)
		for _, span := range list[:n] {
			if c0, c1 := f.columnsIn(span); c0 < c1 {
				visit(row, c0, c1)
			}
		}
	}
}

// inTheWay finds a cell where foam stands higher than the tip of a disc that
// passes: what a rapid would run into. The disc is taken half a cell smaller,
// so that a wall it has cut itself does not count; in one smaller than a cell there may be no cell's middle.
func (f *Field) inTheWay(s *sweep, first, end int) (at geometry.Point, found bool) {
	radius := s.radius - f.CellMM/2
	if radius < f.CellMM {
		if at, found = f.underPath(s, first, end); found || radius <= 0 {
			return at, found
		}
	}
	smaller := *s
	smaller.radius = radius
	f.eachSpan(s, radius, first, end, func(row, c0, c1 int) {
		if found {
			return
		}
		cells := f.row(row)
		for c := c0; c < c1; c++ {
			depth := s.depthA
			if !s.level() {
				var ok bool
				if depth, ok = smaller.depthOver(f.center(c, row)); !ok {
					continue
				}
			}
			if float64(cells[c]) < depth-grazeMM {
				at, found = f.center(c, row), true
				return
			}
		}
	})
	return at, found
}

// bite is the most foam that a sweep is about to take, in a foam of that thickness
// (0 is not known), and where; 0 where nobody asks. The disc is taken smaller by
// a cell, so that what rounding leaves at the wall of the last pass does not count, and what a lap
// along a wall may find beside it does not either.
func (f *Field) bite(s *sweep, thickness float64, band rows) (at geometry.Point, most float64) {
	smaller := *s
	if smaller.radius = s.radius - f.CellMM - s.wall; smaller.radius < f.CellMM { // too little to tell the two apart: none is let through
		smaller.radius = s.radius - f.CellMM
	}
	if s.most == 0 || smaller.radius <= 0 {
		return at, 0
	}
	fine := float32(s.deepest() - s.most) // deeper than this it was before, so the bite is allowed
	f.eachSpan(s, smaller.radius, int(band.first), int(band.end), func(row, c0, c1 int) {
		for c, before := range f.row(row)[c0:c1] {
			if before >= fine {
				continue
			}
			center, depth := f.center(c0+c, row), s.deepest()
			if !s.level() {
				depth, _ = smaller.depthOver(center)
			}
			if thickness > 0 {
				depth = math.Min(depth, thickness)
			}
			if by := depth - float64(before); by > most {
				at, most = center, by
			}
		}
	})
	return at, most
}

// grazeMM is how much foam a rapid may touch at the floor: what rounding of
// printed heights leaves.
const grazeMM = 0.01

// volume is the foam removed, in mm3. Below a thickness, where it is known, is
// the bed and no foam.
func (f *Field) volume(thickness float64) float64 {
	limit := float32(math.MaxFloat32)
	if thickness > 0 {
		limit = float32(thickness)
	}
	total := 0.0
	for r := range f.Rows {
		sum := 0.0
		for _, d := range f.row(r) {
			sum += float64(min(d, limit))
		}
		total += sum
	}
	return total * f.CellMM * f.CellMM
}
