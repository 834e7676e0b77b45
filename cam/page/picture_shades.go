package page

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"traywright/cam/proof"
	"traywright/geometry/units"
)

// What a pixel of foam shows. Classes 1 to n are depths; the last of them is
// through when the foam's thickness is known and something goes through it.
const (
	untouched uint8 = 0
	loose     uint8 = 254 // a piece that nothing holds any more
	nothing   uint8 = 255 // outside what the dry run knows
)

// mostClasses is how many depths a person can tell apart on one sheet.
const mostClasses = 7

// depthStepMM is how fine depths are sorted into classes. A class takes what
// is up to one step deeper than its name.
const depthStepMM = 0.02

// shades sorts depths into a few classes with a colour each.
type shades struct {
	to      []float64 // deepest of each class, mm, rising; class i+1 is to[i]
	through bool      // the last class is foam cut right through
	table   []uint8   // class by depth, in steps
	step    float64   // mm
	colours [256]color.RGBA
}

// newShades chooses classes for what the fields hold: the floors that pockets
// really have, or even steps where depths are many. ThicknessMM 0 is not known.
func newShades(thicknessMM float64, fields ...proof.Field) *shades {
	h := newHistogram(fields)
	return shadesFor(h.floors(thicknessMM), thicknessMM, h.deepest)
}

// shadesFor makes classes that end at the floors given, rising.
func shadesFor(floors []float64, thicknessMM, deepest float64) *shades {
	s := &shades{to: floors, through: thicknessMM > 0 && deepest >= thicknessMM-depthStepMM}
	if s.through {
		s.to = append(s.to, math.Max(thicknessMM, deepest))
	}
	s.paint()
	s.step = math.Max(depthStepMM, deepest/20000)
	s.table = make([]uint8, int(deepest/s.step)+2)
	edge := thicknessMM - depthStepMM
	for i := range s.table {
		s.table[i] = s.sort(float64(i)*s.step, edge)
	}
	return s
}

func (s *shades) sort(depth, through float64) uint8 {
	switch {
	case depth < depthStepMM/2:
		return untouched
	case s.through && depth >= through:
		return uint8(len(s.to))
	}
	n := len(s.to)
	if s.through {
		n--
	}
	for i, to := range s.to[:n] {
		if depth <= to+s.step {
			return uint8(i + 1)
		}
	}
	return uint8(n)
}

func (s *shades) paint() {
	s.colours[untouched], s.colours[loose], s.colours[nothing] = top, paper, paper
	n := len(s.to)
	if s.through {
		s.colours[n] = throughColour
		n--
	}
	for i := range n {
		t := 0.45
		if n > 1 {
			t = 0.04 + 0.84*float64(i)/float64(n-1)
		}
		s.colours[i+1] = ramp(t)
	}
}

// class of a depth. NaN and what stands above the foam count as untouched.
func (s *shades) class(depth float32) uint8 {
	if !(depth > 0) {
		return untouched
	}
	i := float64(depth) / s.step
	if i >= float64(len(s.table)) {
		return s.table[len(s.table)-1]
	}
	return s.table[int(i)]
}

// isThrough reports whether a class is foam cut right through.
func (s *shades) isThrough(class uint8) bool { return s.through && int(class) == len(s.to) }

// name of a class, for the legend.
func (s *shades) name(class int, u units.Unit) string {
	if s.isThrough(uint8(class)) {
		return "through"
	}
	return length(s.to[class-1], u)
}

// histogram counts cells by depth.
type histogram struct {
	counts  []int
	binMM   float64
	total   int // cells that are cut
	deepest float64
}

// mostSampled bounds the work on a large field; a sample finds its floors as well.
const mostSampled = 1_000_000

func newHistogram(fields []proof.Field) histogram {
	var h histogram
	for _, f := range fields {
		eachCell(f, func(d float64) { h.deepest = math.Max(h.deepest, d) })
	}
	h.binMM = math.Max(0.01, h.deepest/50000)
	h.counts = make([]int, int(h.deepest/h.binMM)+2)
	for _, f := range fields {
		eachCell(f, func(d float64) {
			h.counts[int(d/h.binMM+0.5)]++
			h.total++
		})
	}
	return h
}

// deepestMM bounds what is believed of a depth.
const deepestMM = 1e5

// eachCell calls f with the depth of every cut cell, or of an even sample.
func eachCell(f proof.Field, visit func(depth float64)) {
	step := 1
	for len(f.DepthMM)/step > mostSampled {
		step += 2
	}
	for i := 0; i < len(f.DepthMM); i += step {
		if d := float64(f.DepthMM[i]); d >= depthStepMM/2 && d < deepestMM {
			visit(d)
		}
	}
}

// floor is a depth that many cells have.
type floor struct {
	depth float64
	cells int
}

// floors are the ends of the classes, rising, without what is through.
func (h histogram) floors(thicknessMM float64) []float64 {
	limit := math.Inf(1)
	if thicknessMM > 0 {
		limit = thicknessMM - depthStepMM
	}
	found, total := h.clusters(limit)
	if total == 0 {
		return nil
	}
	deepest := found[len(found)-1].depth
	slices.SortFunc(found, func(a, b floor) int {
		return cmp.Or(cmp.Compare(b.cells, a.cells), cmp.Compare(a.depth, b.depth))
	})
	var depths []float64
	kept := 0
	for _, f := range found[:min(mostClasses, len(found))] {
		if f.cells*5000 >= total {
			depths = append(depths, f.depth)
			kept += f.cells
		}
	}
	if float64(kept) < 0.97*float64(total) {
		return evenSteps(deepest)
	}
	slices.Sort(depths)
	if deepest > depths[len(depths)-1]+0.1 {
		depths = append(depths, deepest)
	}
	return depths
}

// clusterMM is how far the cells of one floor may differ in depth.
const clusterMM = 0.06

// clusters are bins that lie close together, each group one floor.
func (h histogram) clusters(limit float64) (found []floor, total int) {
	open, start := false, 0.0
	for i, n := range h.counts {
		depth := float64(i) * h.binMM
		if n == 0 || depth >= limit {
			continue
		}
		total += n
		if !open || depth > start+clusterMM {
			found = append(found, floor{})
			open, start = true, depth
		}
		last := &found[len(found)-1]
		last.depth = depth
		last.cells += n
	}
	return found, total
}

// evenSteps divides a depth into at most mostClasses round steps.
func evenSteps(deepest float64) []float64 {
	step := 0.01
	for _, next := 0, 0; step*mostClasses < deepest; next++ {
		step *= [3]float64{2, 2.5, 2}[next%3]
	}
	var to []float64
	for i := 1; float64(i-1)*step < deepest; i++ {
		to = append(to, float64(i)*step)
	}
	return to
}
