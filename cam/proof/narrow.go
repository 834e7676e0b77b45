package proof

import (
	"math"

	"traywright/geometry"
)

// What is no wider than the field's cells, such as a blade, may pass between their middles. So the
// foam in its way is looked at in the cells under its path, and what it takes at once along the paths
// before it.

// underPath finds a cell under a path where foam stands higher than the tip that passes.
func (f *Field) underPath(s *sweep, first, end int) (at geometry.Point, found bool) {
	n := math.Max(1, math.Ceil(math.Min(s.length()/f.CellMM, mostLooks)))
	for k := range int(n) + 1 {
		t := float64(k) / n
		at = s.at(t)
		c, r := int(math.Floor((at.X-f.Origin.X)/f.CellMM)), int(math.Floor((at.Y-f.Origin.Y)/f.CellMM))
		if c >= 0 && r >= first && c < f.Columns && r < end && float64(f.row(r)[c]) < s.depthAt(t)-grazeMM {
			return at, true
		}
	}
	return at, false
}

// againKerfs is how much farther back on its way a cut has to lie, in kerfs, to be an earlier pass
// over a place, and not the pass that is under way.
const againKerfs = 2

// judgeNarrowBites finds what is that narrow and takes more foam than one pass may.
func (d *run) judgeNarrowBites() {
	var x *index
	var ways []float64
	told := 0 // the last line
	for i := range d.sweeps {
		s := &d.sweeps[i]
		if s.most == 0 || s.motion < 0 || s.radius > d.result.Field.CellMM || d.inFoam(s.deepest()) <= s.most+biteMM || d.lineOf(s.motion) == told {
			continue
		}
		if x == nil {
			x, ways = newIndex(d.sweeps), d.ways()
		}
		if at, takes := d.bitesAt(x, ways, s); takes {
			told = d.lineOf(s.motion)
			d.wrong(told, "bite-too-deep", "takes more than %v of foam in one pass at %v, and its recipe allows no more", length(s.most), at).hint("go down in more passes")
		}
	}
}

// ways is how far a program has gone, seen from above, before each of its motions.
func (d *run) ways() []float64 {
	list, way := make([]float64, len(d.result.Motions)), 0.0
	for i, m := range d.result.Motions {
		list[i] = way
		way += m.flatLength()
	}
	return list
}

// bitesAt finds a place on a sweep where nothing before it has cut as deep as one pass leaves.
func (d *run) bitesAt(x *index, ways []float64, s *sweep) (geometry.Point, bool) {
	n := math.Max(1, math.Ceil(math.Min(s.length()/probeStepMM, mostLooks)))
	for k := range int(n) + 1 {
		t := float64(k) / n
		above := d.inFoam(s.depthAt(t)) - s.most - biteMM
		if above <= 0 {
			continue
		}
		first, reached := x.firstReach(s.at(t), above, 0)
		if !reached || first >= 0 && (first == s.motion || ways[s.motion]+t*s.length()-ways[first] <= 2*againKerfs*s.radius) {
			return s.at(t), true
		}
	}
	return geometry.Point{}, false
}
