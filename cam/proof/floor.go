package proof

import (
	"math"
	"slices"

	"traywright/geometry"
)

// Floors and untouched foam, cell by cell. A cell whose middle is no farther from
// a wall than the wall may be off is left out: the probes answer for it.

// judgeFloors compares the field with the plan away from the walls.
func (d *run) judgeFloors(x *index, cuts []hole) {
	f := &d.result.Field
	if len(f.DepthMM) == 0 {
		return
	}
	classes := make([]uint8, len(f.DepthMM))
	d.classify(f, classes, cuts)
	for i := range cuts {
		d.judgeFloor(x, cuts, i, classes)
	}
	d.judgeRest(x, cuts, classes)
}

// What a cell is, as bits.
const (
	inSheet  = 1 << iota // inside the outline
	inHole               // inside a wanted cut
	atWall               // near a wall or the outline
	reported             // told of already
	inGroove             // of a wanted mark
)

// classify marks the cells.
func (d *run) classify(f *Field, classes []uint8, cuts []hole) {
	fillRegion(f, d.want.Outline, func(row, c0, c1 int) { setBits(classes[row*f.Columns+c0:row*f.Columns+c1], inSheet) })
	d.markWalls(f, classes, d.want.Outline)
	for i := range cuts {
		fillRegion(f, cuts[i].Shape, func(row, c0, c1 int) { setBits(classes[row*f.Columns+c0:row*f.Columns+c1], inHole) })
		d.markWalls(f, classes, cuts[i].Shape)
	}
	d.skipGrooves(f, classes)
}

func setBits(cells []uint8, bits uint8) {
	for i := range cells {
		cells[i] |= bits
	}
}

// markWalls marks the cells that a wall may cross, or that the tolerance, a
// beam's flare or a layer's kerf may reach.
func (d *run) markWalls(f *Field, classes []uint8, r geometry.Region) {
	reach := f.CellMM*math.Sqrt2/2 + d.wallMM()
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			for _, w := range sweepsOf(0, motionAlong(s), reach, 0, 0) {
				f.eachSpan(&w, reach, 0, f.Rows, func(row, c0, c1 int) { setBits(classes[row*f.Columns+c0:row*f.Columns+c1], atWall) })
			}
		}
	}
}

// wallMM is how far from a wanted wall the foam may differ: by the tolerance, a
// beam's flare and what the layers of a block differ in kerf.
func (d *run) wallMM() float64 { return d.tolerance + d.flareMM() + d.blockSpreadMM() }

// clearOf reports whether a place is farther from the walls of some of the holes
// than a wall may be off, or is known to be off.
func (d *run) clearOf(p geometry.Point, cuts []hole, some ...int) bool {
	for _, i := range some {
		if reach := d.wallMM() + cuts[i].off; inBox(p, cuts[i].box, reach) && !cuts[i].away(p, reach) {
			return false
		}
	}
	return true
}

// away reports whether a place is farther than a limit from the hole's walls.
func (h *hole) away(p geometry.Point, limit float64) bool {
	if h.walls != nil {
		return h.walls.DistanceTo(p, limit) > limit
	}
	return away(p, h.Shape, limit)
}

// away reports whether a place is farther than a limit from a region's boundary.
func away(p geometry.Point, r geometry.Region, limit float64) bool {
	if box := r.Bounds().Grow(limit); p.X < box.Min.X || p.X > box.Max.X || p.Y < box.Min.Y || p.Y > box.Max.Y {
		return true
	}
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			if on, _ := s.Nearest(p); on.DistanceTo(p) <= limit {
				return false
			}
		}
	}
	return true
}

// motionAlong is a move along a segment.
func motionAlong(s geometry.Segment) Motion {
	return Motion{Arc: s.IsArc(), CCW: s.Bulge > 0, From: Point{Point: s.A}, To: Point{Point: s.B}, Center: s.Center()}
}

// fillRegion calls visit with the runs of cells whose centres lie in a region.
// Arcs are taken as chords 0.01 mm true: cells that close to a wall are not
// judged.
func fillRegion(f *Field, r geometry.Region, visit func(row, c0, c1 int)) {
	var edges [][2]geometry.Point
	for _, c := range r.Contours() {
		for s := range c.Segments() {
			edges = append(edges, chordsOf(s, 0.01)...)
		}
	}
	if len(edges) == 0 {
		return
	}
	bounds := r.Bounds()
	first, end := f.rowsIn(bounds.Min.Y, bounds.Max.Y)
	crossings := make([][]float64, end-first)
	for _, e := range edges {
		f.cross(e[0], e[1], first, crossings)
	}
	for i, list := range crossings {
		slices.Sort(list)
		for k := 0; k+1 < len(list); k += 2 {
			if c0, c1 := f.columnsIn(interval{list[k], list[k+1]}); c0 < c1 {
				visit(first+i, c0, c1)
			}
		}
	}
}

// cross files where the edge a-b crosses the rows from first on. An edge has
// its lower end and not its upper one, so that two edges that meet cross once.
func (f *Field) cross(a, b geometry.Point, first int, crossings [][]float64) {
	if a.Y > b.Y {
		a, b = b, a
	}
	// rowsIn may be one row off where an end lies on a row to the last digit, so
	// the comparison decides: all edges that meet there then agree.
	from, end := f.rowsIn(a.Y, b.Y)
	for row := max(from-1, first); row < min(end+1, first+len(crossings)); row++ {
		y := f.Origin.Y + (float64(row)+0.5)*f.CellMM
		if a.Y <= y && y < b.Y {
			crossings[row-first] = append(crossings[row-first], a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
		}
	}
}

// chordsOf is a segment as straight edges that stray by at most tol mm.
func chordsOf(s geometry.Segment, tol float64) [][2]geometry.Point {
	n := 1
	if r := s.Radius(); s.IsArc() && r > tol {
		n = max(1, int(math.Ceil(math.Abs(s.Sweep())/(2*math.Acos(1-tol/r)))))
	}
	edges := make([][2]geometry.Point, n)
	for i := range n {
		edges[i] = [2]geometry.Point{s.At(float64(i) / float64(n)), s.At(float64(i+1) / float64(n))}
	}
	edges[0][0], edges[n-1][1] = s.A, s.B // to the last digit, as the neighbours have them
	return edges
}

// judgeFloor looks at one hole's floor.
func (d *run) judgeFloor(x *index, cuts []hole, i int, classes []uint8) {
	f := &d.result.Field
	h := &cuts[i]
	if len(h.Bridged.Left) > 0 {
		return // its plug hangs, and nothing of it but its edge is cut
	}
	loose := !d.turning && !h.stuck
	if loose {
		d.fallen = append(d.fallen, h)
		f.drop(h)
	}
	var shallow, deep patch
	fillRegion(f, h.Shape, func(row, c0, c1 int) {
		for c := c0; c < c1; c++ {
			cell := row*f.Columns + c
			depth := float64(f.DepthMM[cell])
			if h.Through && !loose && classes[cell]&atWall == 0 && (!h.shallow.any || depth < h.shallow.low) {
				h.shallow.see(depth, f.center(c, row), h.tool())
			}
			short, far := depth < h.depth-toleranceMM, !h.Through && depth > h.depth+toleranceMM
			if !short && !far || classes[cell]&reported != 0 || d.deeperHole(cuts, i, f.center(c, row)) {
				continue
			}
			if classes[cell]&atWall != 0 && !d.clearOf(f.center(c, row), cuts, append(cuts[i].others, i)...) {
				continue
			}
			classes[cell] |= reported
			if short {
				shallow.add(f.center(c, row), h.depth-depth)
			} else {
				deep.add(f.center(c, row), depth-h.depth)
			}
		}
	})
	if shallow.cells > 0 {
		if r := &d.result; !d.beam && shallow.by > r.WorstUndercutMM {
			r.WorstUndercutMM, r.WorstUndercutAt = shallow.by, shallow.at
		}
		d.wrong(d.nearestLine(x, shallow.at), "foam-left", "leaves foam in %v, %v high over %v, worst at %v", h.Name, length(shallow.by), shallow.area(f), shallow.at).
			hint("cut there as well, down to the floor, or make the program again with `traywright cut`")
	}
	if deep.cells > 0 {
		if r := &d.result; deep.by > r.WorstOvercutMM {
			r.WorstOvercutMM, r.WorstOvercutAt = deep.by, deep.at
		}
		d.wrong(d.nearestLine(x, deep.at), "floor-too-deep", "cuts the floor of %v %v too deep over %v, worst at %v", h.Name, length(deep.by), deep.area(f), deep.at).
			hint("raise Z there by that much, or make the program again with `traywright cut`")
	}
}

// drop lets a hole's plug fall out, to the very wall.
func (f *Field) drop(h *hole) {
	fillRegion(f, h.Shape, func(row, c0, c1 int) { f.deepen(row, c0, c1, float32(h.depth)) })
}

// deeperHole reports whether a place belongs to a deeper hole as well, which
// then answers for it.
func (d *run) deeperHole(cuts []hole, i int, p geometry.Point) bool {
	for _, j := range cuts[i].others {
		if cuts[j].depth > cuts[i].depth && inside(cuts[j], p) {
			return true
		}
	}
	return false
}

// patch is a set of cells with the same fault.
type patch struct {
	cells int
	by    float64
	at    geometry.Point
}

func (p *patch) add(at geometry.Point, by float64) {
	p.cells++
	if by > p.by {
		p.by, p.at = by, at
	}
}

func (p *patch) area(f *Field) area { return area(float64(p.cells) * f.CellMM * f.CellMM) }

// nearestLine is the line of the sweep nearest to a place.
func (d *run) nearestLine(x *index, p geometry.Point) int {
	_, motion := x.clearance(p, 0, farMM)
	return d.lineOf(motion)
}

// judgeRest looks for cuts in what should be untouched: on the field, and along
// the paths themselves, since a beam may pass between the middles of cells.
func (d *run) judgeRest(x *index, cuts []hole, classes []uint8) {
	f := &d.result.Field
	limit := float64(faceMM)
	if mark := d.anywhereMM(); mark > 0 {
		limit = mark + toleranceMM
	}
	all := make([]int, len(cuts))
	for i := range all {
		all[i] = i
	}
	var stray patch
	for row := range f.Rows {
		for c := range f.Columns {
			cell := row*f.Columns + c
			if f.DepthMM[cell] <= float32(limit) || classes[cell]&^atWall != inSheet {
				continue
			}
			if p := f.center(c, row); classes[cell] == inSheet || away(p, d.want.Outline, d.wallMM()+d.edgeOff) && d.clearOf(p, cuts, all...) {
				stray.add(f.center(c, row), float64(f.DepthMM[cell]))
			}
		}
	}
	for i := range d.sweeps {
		if s := &d.sweeps[i]; s.deepest() > limit {
			f.alongPath(s, func(cell int, at geometry.Point) {
				if classes[cell] == inSheet {
					stray.add(at, s.deepest())
				}
			})
		}
	}
	if stray.cells == 0 {
		return
	}
	if by := d.fromWanted(stray.at); by > d.result.WorstOvercutMM {
		d.result.WorstOvercutMM, d.result.WorstOvercutAt = by, stray.at
	}
	d.wrong(d.nearestLine(x, stray.at), "stray-cut", "cuts %v deep where the plan wants foam, %v in all, worst at %v", length(stray.by), stray.area(f), stray.at).
		hint("take that cut out, or make the program again with `traywright cut`")
}

// alongPath calls visit with the cells that hold a path's ends and points on
// it, at most a cell apart.
func (f *Field) alongPath(s *sweep, visit func(cell int, at geometry.Point)) {
	n := math.Ceil(math.Min(s.length()/f.CellMM, 1e5)) + 1
	for i := 0.0; i <= n; i++ {
		at := s.at(i / n)
		c, r := math.Floor((at.X-f.Origin.X)/f.CellMM), math.Floor((at.Y-f.Origin.Y)/f.CellMM)
		if c >= 0 && r >= 0 && c < float64(f.Columns) && r < float64(f.Rows) {
			visit(int(r)*f.Columns+int(c), at)
		}
	}
}

// fromWanted is how far a place is from the nearest foam that is to go.
func (d *run) fromWanted(p geometry.Point) float64 {
	best := distanceTo(p, d.want.Outline)
	for _, c := range d.want.Cuts {
		best = min(best, distanceTo(p, c.Shape))
	}
	return best
}
