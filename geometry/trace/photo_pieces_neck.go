package trace

import (
	"math"
	"slices"
)

// Two pieces that touch are joined by a neck. Each place inside an outline has its
// distance from the edge; taken from the farthest down, they grow into lobes, and where
// two lobes meet, the distance is half of the neck's width (a watershed of the distance).
const (
	neckMM     = 0.5 // side of the cells that are looked at
	neckShare  = 0.7 // of the narrower lobe's half-width: what is thinner is a neck
	leastLobe  = 2.5 // mm, half of the width of what could be a piece
	neckCells  = 1 << 20
	finestEdge = 1e9
)

// neck gives up what could be two pieces that touch.
func neck(on ring) *PictureError {
	b := boundsOf([]ring{on}).Grow(2 * neckMM)
	w, h := int(b.Width()/neckMM)+1, int(b.Height()/neckMM)+1
	if w*h > neckCells {
		return given("photograph it alone, with `traywright outline`", "it is too large to be one of several pieces")
	}
	g := newGrid(w, h)
	cells := make(ring, len(on))
	for i, p := range on {
		cells[i] = p.Sub(b.Min).Scale(1 / neckMM)
	}
	cells.fill(func(x, y int) { g.v[y*w+x] = finestEdge }, g)
	g.distances()
	if width := g.narrowest(); width > 0 {
		return given("if they are two, move them a finger's breadth apart; if it is one, `traywright outline` with --piece takes it",
			"it has a neck of about %.1f mm: two pieces that touch, or one of an odd shape", width)
	}
	return nil
}

// distances turns a picture of what is inside into one of distances from the edge, in
// cells: two passes over the neighbours (G. Borgefors, "Distance transformations in digital
// images", Computer Vision, Graphics, and Image Processing 34, 1986).
func (g grid) distances() {
	relax := func(x, y, dx, dy int, d float32) {
		if u, v := x+dx, y+dy; u >= 0 && v >= 0 && u < g.w && v < g.h {
			g.v[y*g.w+x] = min(g.v[y*g.w+x], g.v[v*g.w+u]+d)
		}
	}
	for i := range g.w * g.h {
		x, y := i%g.w, i/g.w
		relax(x, y, -1, 0, 1)
		relax(x, y, 0, -1, 1)
		relax(x, y, -1, -1, math.Sqrt2)
		relax(x, y, 1, -1, math.Sqrt2)
	}
	for i := g.w*g.h - 1; i >= 0; i-- {
		x, y := i%g.w, i/g.w
		relax(x, y, 1, 0, 1)
		relax(x, y, 0, 1, 1)
		relax(x, y, 1, 1, math.Sqrt2)
		relax(x, y, -1, 1, math.Sqrt2)
	}
}

// narrowest is the width in mm of the narrowest neck between two lobes; 0 for none.
func (g grid) narrowest() float64 {
	var inside []int
	for i, v := range g.v {
		if v > 0 {
			inside = append(inside, i)
		}
	}
	slices.SortStableFunc(inside, func(a, b int) int { return compare(float64(g.v[b]), float64(g.v[a])) })
	lobe := make([]int, len(g.v)) // the cell that a cell hangs on, plus one; 0 is not reached yet
	root := func(i int) int {
		for lobe[i] != i+1 {
			lobe[i] = lobe[lobe[i]-1]
			i = lobe[i] - 1
		}
		return i
	}
	narrowest := 0.0
	for _, i := range inside {
		lobe[i] = i + 1
		for _, d := range [...][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}, {-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
			x, y := i%g.w+d[0], i/g.w+d[1]
			if x < 0 || y < 0 || x >= g.w || y >= g.h || lobe[y*g.w+x] == 0 {
				continue
			}
			a, b := root(i), root(y*g.w+x)
			if a == b {
				continue
			}
			if g.v[a] < g.v[b] {
				a, b = b, a
			}
			here, smaller := float64(g.v[i])*neckMM, float64(g.v[b])*neckMM
			if smaller > leastLobe && here < neckShare*smaller && (narrowest == 0 || 2*here < narrowest) {
				narrowest = 2 * here
			}
			lobe[b] = a + 1
		}
	}
	return narrowest
}
