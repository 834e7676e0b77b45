package proof

import (
	"maps"
	"math"
	"slices"

	"traywright/geometry"
)

// The heat of a beam gathers where it goes side by side, over its own way, or to and fro,
// whatever divides its way into passes. In a small window it is compared with what the
// plan's own cuts give there, laid half a kerf beside the finished walls, and at the least with one cut
// that goes straight through: a lap beside a lap, lines in the waste, and a plan's own
// corner are all the same question.

const (
	// gatherCellMM is a cell of the heat, no larger than a beam is wide, unless that were more
	// than mostGather of them.
	gatherCellMM = 0.5
	mostGather   = 4_000_000
	// tooHot is how much more than the plan's heat is too much along a way, and tooHotSpot in
	// one spot, where each pass comes in, closes and runs on (judged, no source).
	tooHot     = 1.4
	tooHotSpot = 4
)

// gatherWindows are what the heat is added up in, in cells from side to side: one in which
// a neighbouring kerf is, and one for lines a few mm apart.
var gatherWindows = [2]int{3, 9}

// sums has for each cell the heat in all that lie below and left of it, in mm of one whole
// cut: all its passes, at the plan's own energy.
type sums struct {
	Field
	of []float64
}

// checkGathering finds where much more heat gathers than the plan's own cuts give.
func (d *run) checkGathering() {
	whole := d.strongest(d.planned)
	if !d.beam || d.want == nil || whole <= 0 {
		return
	}
	given, wanted := d.gathered(whole)
	for _, cells := range gatherWindows {
		if at, times, hot := d.hottest(given, wanted, cells); hot {
			m := d.result.Motions[d.gatheredBy(given, wanted, at, cells, whole)]
			d.wrong(m.Line, "heat-gathers", "gives the foam around %v %v times the heat that the plan's own cuts give there: it can set it on fire", at, number(math.Round(10*times)/10)).
				hint("take out the lines that go there again or side by side, or make the program again with `traywright cut`")
			return
		}
	}
	if d.lingersAtCorners() {
		d.checkLingering(given, &wanted, whole)
	}
}

// strongest is the energy that the strongest of some limits gives to a mm of its way in all
// passes; 0 where nobody knows.
func (d *run) strongest(list []Limits) float64 {
	most := 0.0
	for _, l := range list {
		if l.FeedMMPerMin > 0 {
			once := energy(Motion{Power: l.PowerPercent, Feed: within(l.FeedMMPerMin, d.setup.Machine.MaxFeedMMPerMin.Value)})
			most = math.Max(most, once*float64(max(1, l.Passes)))
		}
	}
	return most
}

// gathered is the program's heat and the plan's.
func (d *run) gathered(whole float64) (given, wanted sums) {
	given = d.heatSums(d.want.Outline.Bounds())
	wanted = newSums(given.Field)
	for i, m := range d.result.Motions {
		if d.litAt(i) {
			given.lay(m, energy(m)/whole)
		}
	}
	width, _ := d.width(d.spindle)
	for _, c := range d.want.Cuts {
		d.layWalls(&wanted, c.Shape, -width/2, c.Limits, whole)
	}
	d.layWalls(&wanted, d.want.Outline, width/2, d.want.OutlineLimits, whole)
	for _, k := range d.want.Marks {
		for s := range k.Path.Segments() {
			wanted.lay(motionAlong(s), d.strongest(d.want.MarkLimits)/whole)
		}
	}
	given.addUp()
	wanted.addUp()
	return given, wanted
}

// layWalls lays the heat of a wanted cut along its walls, half a kerf beside them, where a beam's middle goes: a
// window may hold two of its ways, and of the walls but one.
func (d *run) layWalls(to *sums, shape geometry.Region, beside float64, list []Limits, whole float64) {
	most := d.strongest(list) / whole
	if way, err := geometry.Offset(shape, beside, toleranceMM/20); err == nil && !way.Empty() {
		shape = way
	}
	for _, c := range shape.Contours() {
		for s := range c.Segments() {
			to.lay(motionAlong(s), most)
		}
	}
}

// heatSums are none yet, over a box and all that the lit beam goes over.
func (d *run) heatSums(box geometry.Box) sums {
	for i := range d.result.Motions {
		if d.litAt(i) {
			box = box.Union(d.result.Motions[i].box())
		}
	}
	f := Field{CellMM: gatherCellMM}
	f.cover(box.Grow(3), mostGather)
	return newSums(f)
}

func newSums(f Field) sums {
	return sums{f, make([]float64, (f.Columns+1)*(f.Rows+1))}
}

// lay adds what a motion gives, in mm of whole cuts to a mm of its way.
func (s *sums) lay(m Motion, each float64) {
	s.visit(m, func(column, row int, mm float64) { s.of[(row+1)*(s.Columns+1)+column+1] += mm * each })
}

// visit is the cells that a motion goes through, and its way in each.
func (s *sums) visit(m Motion, cell func(column, row int, mm float64)) {
	from := m.From.Point
	m.along(s.CellMM/4, func(p geometry.Point) {
		middle := from.Add(p.Sub(from).Scale(0.5))
		cell(int((middle.X-s.Origin.X)/s.CellMM), int((middle.Y-s.Origin.Y)/s.CellMM), p.DistanceTo(from))
		from = p
	})
}

// addUp makes sums of what was laid.
func (s *sums) addUp() {
	wide := s.Columns + 1
	for r := 1; r <= s.Rows; r++ {
		line := 0.0
		for c := 1; c < wide; c++ {
			line += s.of[r*wide+c]
			s.of[r*wide+c] = s.of[(r-1)*wide+c] + line
		}
	}
}

// in is the heat in a window around a cell.
func (s *sums) in(column, row, cells int) float64 {
	c0, c1 := max(0, column-cells/2), min(s.Columns, column+cells/2+1)
	r0, r1 := max(0, row-cells/2), min(s.Rows, row+cells/2+1)
	wide := s.Columns + 1
	return s.of[r1*wide+c1] - s.of[r0*wide+c1] - s.of[r1*wide+c0] + s.of[r0*wide+c0]
}

// allowed is the plan's heat in a window there or beside it, a kerf's half away, and at the
// least that of a cut straight through.
func (s *sums) allowed(column, row, cells int) float64 {
	most := float64(cells) * s.CellMM
	for r := row - 1; r <= row+1; r++ {
		for c := column - 1; c <= column+1; c++ {
			if c >= 0 && r >= 0 && c < s.Columns && r < s.Rows {
				most = math.Max(most, s.in(c, r, cells))
			}
		}
	}
	return most
}

// hottest is the place where the heat is too much, and how many times the plan's: in one
// spot by far, or along a way that is longer than each pass's coming in, closing and running on.
func (d *run) hottest(given, wanted sums, cells int) (at geometry.Point, times float64, hot bool) {
	over := map[int]float64{}
	straight := float64(cells) * given.CellMM
	for r := range given.Rows {
		for c := range given.Columns {
			if g := given.in(c, r, cells); g > tooHot*straight {
				if share := g / wanted.allowed(c, r, cells); share > tooHot {
					over[r*given.Columns+c] = share
				}
			}
		}
	}
	worst := -1
	for _, first := range slices.Sorted(maps.Keys(over)) {
		cell, share, reach := takePatch(over, first, given.Columns)
		if hot := share > tooHotSpot || share > 0 && float64(reach)*given.CellMM > d.closingMM()+straight; hot && share > times {
			worst, times = cell, share
		}
	}
	if worst < 0 {
		return
	}
	return given.center(worst%given.Columns, worst/given.Columns), times, true
}

// closingMM is how far a pass may reach that comes in beside its own lap, closes and runs on.
func (d *run) closingMM() float64 {
	width, _ := d.width(d.spindle)
	most := 0.0
	for _, l := range d.planned {
		most = math.Max(most, d.setup.Machine.RunOnMM(l.FeedMMPerMin))
	}
	return d.want.LeadInMM + 4*width + 2*most + 2
}

// takePatch takes the cells that lie side by side with the first out of a set: the one with the
// most, how much that is, and how many cells the patch reaches from side to side. Of a cell
// that is gone the most is 0.
func takePatch(over map[int]float64, first, columns int) (worst int, most float64, reach int) {
	low, high := [2]int{first % columns, first / columns}, [2]int{first % columns, first / columns}
	todo := []int{first}
	for len(todo) > 0 {
		cell := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		share, there := over[cell]
		if !there {
			continue
		}
		delete(over, cell)
		if share > most || share == most && cell < worst {
			worst, most = cell, share
		}
		for axis, v := range [2]int{cell % columns, cell / columns} {
			low[axis], high[axis] = min(low[axis], v), max(high[axis], v)
		}
		for r := -1; r <= 1; r++ {
			todo = append(todo, cell+r*columns-1, cell+r*columns, cell+r*columns+1)
		}
	}
	return worst, most, max(high[0]-low[0], high[1]-low[1]) + 1
}

// gatheredBy is the motion with which the heat in a window becomes too much.
func (d *run) gatheredBy(given, wanted sums, at geometry.Point, cells int, whole float64) int {
	column, row := int((at.X-given.Origin.X)/given.CellMM), int((at.Y-given.Origin.Y)/given.CellMM)
	most, sum, last := tooHot*wanted.allowed(column, row, cells), 0.0, 0
	window := geometry.Box{Min: at, Max: at}.Grow(float64(cells) * given.CellMM)
	for i, m := range d.result.Motions {
		if sum > most {
			break
		}
		if box := m.box(); !d.litAt(i) || box.Min.X > window.Max.X || box.Max.X < window.Min.X || box.Min.Y > window.Max.Y || box.Max.Y < window.Min.Y {
			continue
		}
		given.visit(m, func(c, r int, mm float64) {
			if max(c-column, column-c) <= cells/2 && max(r-row, row-r) <= cells/2 {
				sum, last = sum+mm*energy(m)/whole, i
			}
		})
	}
	return last
}
