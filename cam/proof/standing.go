package proof

import (
	"fmt"
	"math"

	"traywright/geometry"
	"traywright/profiles"
)

// What stands is held by the foam around it. Cells of a coarse grid stop holding when a
// sweep leaves no more of them than a skin and a little; a cell is held as long as there is
// a way over holding cells to the edge of the grid, beyond which nothing is cut. Foam that
// a cutter takes from what has lost that hold is foam that can come up with it: a tray that
// was cut out of its sheet first, a plug before its middle is cleared, an island.

const (
	// overSkinMM is what a skin has to be thicker by, to hold what is worked on, but no more
	// than half of what lies between it and the marks: thin foam is engraved as deep (judged,
	// no source).
	overSkinMM  = 1
	leastHoldMM = profiles.LeastHoldMM
	// besideKerfMM is how near to a kerf a finishing lap may still take foam from a part
	// that the kerf has just parted: it lies against the cutter that cut it (judged, no source).
	besideKerfMM = 1
	// mostStanding bounds the grid's memory: about 20 bytes each.
	mostStanding = 4_000_000
)

// standing is the grid: for each cell the sweep that ended its hold, and the last that took
// foam from it; sweeps are counted from 1, 0 is none.
type standing struct {
	Field
	gone, last []int32
	holds      float32 // a cell that is cut deeper holds nothing
}

// never is later than any sweep.
const never = math.MaxInt32

// judgeStanding finds work on foam that has lost its hold, and parts that come free with the
// cutter beside them.
func (d *run) judgeStanding(cuts []hole) {
	if d.throughMM() <= 0 || len(d.sweeps) == 0 || len(d.sweeps) >= never {
		return
	}
	if !d.turning {
		d.judgeDropped(cuts)
		return
	}
	skin := d.throughMM() - leastHoldMM
	holds := skin
	if planned := d.want.OutlineDepthMM; planned > 0 && planned < d.throughMM() {
		skin = planned - math.Min(overSkinMM, math.Max(0, planned-d.want.MarkDepthMM)/2)
	}
	if cell, freed, cut := d.newStanding(skin).worked(d.closes); cut > 0 {
		d.wrong(d.lineOf(d.sweeps[cut-1].motion), "loose-foam", "cuts foam at %v that no more than a skin has held since %v: it can come up with the cutter", cell, d.placeOf(freed)).
			hint("cut what is inside first, and what parts it from the rest last")
		return
	}
	if cell, freed, free := d.newStanding(holds).parted(); free {
		d.wrong(d.lineOf(max(0, d.sweeps[freed-1].motion)), "loose-foam", "the foam at %v comes free here with the cutter beside it, and can fly", cell).hint("leave more under it: raise skin_mm in the recipe, or tab_height_mm where tabs hold it")
	}
}

// judgeDropped: a beam or a blade works on in a tray that has dropped with what is around it.
func (d *run) judgeDropped(cuts []hole) {
	g := d.newStanding(d.throughMM() - leastHoldMM)
	held := g.heldUntil()
	var late []int // cells in which something is cut after their hold ended
	for cell, last := range g.last {
		if last > held[cell] && g.stoodWhole(cell, held[cell]) {
			late = append(late, cell)
		}
	}
	if len(late) == 0 {
		return
	}
	for cell, until := range held {
		at := g.center(cell%g.Columns, cell/g.Columns)
		if until == never || g.gone[cell] < never || !g.stoodWhole(cell, until) || !d.inTray(at, cuts) {
			continue
		}
		for _, other := range late {
			if held[other] == until {
				last := g.last[other]
				d.wrong(d.lineOf(d.sweeps[last-1].motion), "loose-tray", "cuts at %v after the tray came free, with what is around it, at %v", g.center(other%g.Columns, other/g.Columns), d.placeOf(until)).
					hint("cut the outline last")
				return
			}
		}
		return
	}
}

// inTray reports whether a place is foam of the tray that the plan leaves standing.
func (d *run) inTray(p geometry.Point, cuts []hole) bool {
	if !d.want.Outline.Contains(p) {
		return false
	}
	for i := range cuts {
		if cuts[i].Through && inside(cuts[i], p) {
			return false
		}
	}
	return true
}

// closes reports whether a sweep is the end of the way round with which another parted foam: the
// cutter goes on without a lift for no more than its kerf, and trims the cusp that stands between
// where the lap began and where it ends. As one arc that is one sweep; as chords it is several.
func (d *run) closes(freed, cut int32) bool {
	if freed == 0 {
		return false
	}
	from, to := d.sweeps[freed-1].motion, d.sweeps[cut-1].motion
	if from < 0 || to <= from {
		return false
	}
	way := 0.0
	for _, m := range d.result.Motions[from+1 : to+1] {
		if way += m.flatLength(); m.Rapid || way > 2*d.sweeps[cut-1].radius {
			return false
		}
	}
	return true
}

// worked is the first sweep that takes foam from what has lost its hold, where, and the sweep
// that ended the hold; 0 for none. What only closes a way round is no such work.
func (g *standing) worked(closes func(freed, cut int32) bool) (at geometry.Point, freed, cut int32) {
	held := g.heldUntil()
	for cell, last := range g.last {
		if last > held[cell] && (cut == 0 || last < cut) && g.stoodWhole(cell, held[cell]) && !closes(held[cell], last) {
			at, freed, cut = g.center(cell%g.Columns, cell/g.Columns), held[cell], last
		}
	}
	return at, freed, cut
}

// parted is foam that stands to the end and is held by nothing, and the sweep that freed it.
func (g *standing) parted() (at geometry.Point, freed int32, found bool) {
	held := g.heldUntil()
	for cell, gone := range g.gone {
		if gone == never && held[cell] < never && g.stoodWhole(cell, held[cell]) {
			return g.center(cell%g.Columns, cell/g.Columns), held[cell], true
		}
	}
	return at, 0, false
}

// placeOf is where a sweep stands, in words.
func (d *run) placeOf(sweep int32) string {
	motion := d.sweeps[sweep-1].motion
	if motion < 0 {
		return "an earlier program"
	}
	return fmt.Sprintf("line %d", d.lineOf(motion))
}

// newStanding cuts all that is cut, in cells that no cutter passes between, as long as
// mostStanding of them cover it: in larger ones a narrow kerf parts nothing, and is not seen.
// What is cut deeper than holds, mm, holds nothing.
func (d *run) newStanding(holds float64) *standing {
	narrow, box := math.Inf(1), geometry.EmptyBox()
	for i := range d.sweeps {
		s := &d.sweeps[i]
		narrow, box = math.Min(narrow, s.radius), box.Union(s.bounds().Grow(s.radius))
	}
	cell := narrow / 2
	if !d.turning { // what is as wide as its kerf just parts one cell from the next
		cell = 1.5 * narrow
	}
	f := Field{CellMM: math.Min(0.8, math.Max(0.05, cell))}
	f.cover(box.Grow(2), mostStanding)
	g := &standing{Field: f, gone: make([]int32, len(f.DepthMM)), last: make([]int32, len(f.DepthMM))}
	g.holds = float32(holds)
	for i := range g.gone {
		g.gone[i] = never
	}
	for i := range d.sweeps {
		g.cutAt(&d.sweeps[i], int32(i+1), d.sweeps[i].motion >= 0)
	}
	return g
}

// cutAt takes foam with one sweep.
func (g *standing) cutAt(s *sweep, time int32, own bool) {
	const fresh = 0.01 // mm, more than rounding takes
	g.eachSpan(s, s.radius, 0, g.Rows, func(row, c0, c1 int) {
		cells := g.row(row)
		for c := c0; c < c1; c++ {
			depth := s.depthA
			if !s.level() {
				var ok bool
				if depth, ok = s.depthOver(g.center(c, row)); !ok {
					continue
				}
			}
			cell, to := row*g.Columns+c, float32(depth)
			if to <= cells[c] {
				continue
			}
			if own && to > cells[c]+fresh {
				g.last[cell] = time
			}
			if cells[c] <= g.holds && to > g.holds {
				g.gone[cell] = time
			}
			cells[c] = to
		}
	})
}

// stoodWhole reports whether all cells around one still stood when it lost its hold: it is
// no remainder beside a kerf.
func (g *standing) stoodWhole(cell int, when int32) bool {
	reach := max(1, int(math.Round(besideKerfMM/g.CellMM)))
	column, row := cell%g.Columns, cell/g.Columns
	for r := max(0, row-reach); r <= min(g.Rows-1, row+reach); r++ {
		for c := max(0, column-reach); c <= min(g.Columns-1, column+reach); c++ {
			if g.gone[r*g.Columns+c] <= when {
				return false
			}
		}
	}
	return true
}
