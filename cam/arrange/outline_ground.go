package arrange

import (
	"math"
	"math/bits"
	"slices"

	"traywright/geometry"
	"traywright/geometry/units"
)

// ground is a room while outlines are placed in it.
//
// A place on it is a step of the room's in X and in Y, as places of pockets are. Those that are surely taken are noted, a bit
// for each: all within a wall of what has its place, or without the edge, less what rounding a point to the nearest place
// may add. A foot that has a point there has no room. What is not told so is measured, from outline to outline.
type ground struct {
	room   room
	step   float64 // mm
	slack  float64 // mm, of a point rounded to its place
	w, h   int
	words  int // of a row
	full   []uint64
	taken  []uint64
	solids []solid
	rim    geometry.Walls
}

// solid is an outline that has its place.
type solid struct {
	shape geometry.Region
	box   geometry.Box
	walls geometry.Walls
}

func newGround(r room) *ground {
	g := bareGround(r)
	g.step, g.w, g.h = r.step.MM(), int(r.length/r.step)+1, int(r.width/r.step)+1
	g.slack = g.step*math.Sqrt2/2 + 1e-3
	g.words = (g.w + 63) / 64
	g.full = slices.Repeat([]uint64{math.MaxUint64}, g.words)
	g.taken = slices.Repeat([]uint64{math.MaxUint64}, g.words*g.h)
	whole, corner := r.outline()
	if inner := whole.Grow(g.slack - r.edge.MM()); inner.Width() > 0 && inner.Height() > 0 {
		rounded := math.Max(0, corner-r.edge.MM()+g.slack)
		if r.corner <= r.edge {
			rounded = 0
		}
		within := geometry.Rectangle(inner, math.Min(rounded, math.Min(inner.Width(), inner.Height())/2))
		g.inside(geometry.NewRegion(within), func(word int, mask uint64) { g.taken[word] &^= mask })
	}
	for _, s := range g.solids {
		g.note(s.shape)
	}
	return g
}

// bareGround is the ground where only distances are measured.
func bareGround(r room) *ground {
	whole, corner := r.outline()
	g := &ground{room: r, rim: geometry.NewWalls(geometry.NewRegion(geometry.Rectangle(whole, corner)))}
	for _, s := range r.standing {
		g.add(s.shape)
	}
	return g
}

// outline is the rim, with the radius of its corners, mm.
func (r room) outline() (geometry.Box, float64) {
	whole := geometry.Box{Max: geometry.Point{X: r.length.MM(), Y: r.width.MM()}}
	return whole, math.Min(r.corner.MM(), math.Min(whole.Width(), whole.Height())/2)
}

// outer are the contours of a shape that go round it: what they enclose is taken.
func outer(r geometry.Region) geometry.Region {
	return geometry.NewRegion(slices.DeleteFunc(slices.Clone(r.Contours()), func(c geometry.Contour) bool { return c.Area() <= 0 })...)
}

// add notes an outline where it is.
func (g *ground) add(shape geometry.Region) {
	shape = outer(shape)
	if shape.Empty() {
		return
	}
	g.solids = append(g.solids, solid{shape, shape.Bounds(), geometry.NewWalls(shape)})
	if g.taken != nil {
		g.note(shape)
	}
}

// note marks the places that an outline surely takes.
func (g *ground) note(shape geometry.Region) {
	grown, err := geometry.Offset(shape, g.room.wall.MM()-g.slack, 1e-6)
	if err != nil {
		grown = shape
	}
	g.inside(grown, func(word int, mask uint64) { g.taken[word] |= mask })
}

// inside visits the places inside a shape, in words and what of them.
func (g *ground) inside(r geometry.Region, visit func(word int, mask uint64)) {
	var lines [][]geometry.Point
	for _, c := range r.Contours() {
		lines = append(lines, chordsOf(c))
	}
	box := r.Bounds()
	for y := max(0, int(math.Ceil(box.Min.Y/g.step))); y < g.h && float64(y)*g.step <= box.Max.Y; y++ {
		xs := crossings(lines, float64(y)*g.step)
		for i := 0; i+1 < len(xs); i += 2 {
			from, to := max(0, int(math.Ceil(xs[i]/g.step))), min(g.w-1, int(math.Floor(xs[i+1]/g.step)))
			for word := from / 64; from <= to && word <= to/64; word++ {
				mask := uint64(math.MaxUint64)
				if word == from/64 {
					mask &= math.MaxUint64 << (from % 64)
				}
				if word == to/64 {
					mask &= math.MaxUint64 >> (63 - to%64)
				}
				visit(y*g.words+word, mask)
			}
		}
	}
}

// chordsOf are points of a contour, on arcs every 5 degrees.
func chordsOf(c geometry.Contour) (line []geometry.Point) {
	for s := range c.Segments() {
		n := 1
		if s.IsArc() {
			n = max(2, int(math.Ceil(math.Abs(s.Sweep())/(math.Pi/36))))
		}
		for i := range n {
			line = append(line, s.At(float64(i)/float64(n)))
		}
	}
	return line
}

// crossings are where closed lines of points cross a height, sorted.
func crossings(lines [][]geometry.Point, y float64) (xs []float64) {
	for _, line := range lines {
		for i, p := range line {
			q := line[(i+1)%len(line)]
			if (p.Y <= y) != (q.Y <= y) {
				xs = append(xs, p.X+(y-p.Y)/(q.Y-p.Y)*(q.X-p.X))
			}
		}
	}
	slices.Sort(xs)
	return xs
}

// row is a row of places; all taken where it is none of the room's.
func (g *ground) row(of []uint64, y int) []uint64 {
	if y < 0 || y >= g.h {
		return g.full
	}
	return of[y*g.words : (y+1)*g.words]
}

// orShifted adds to a row what lies dx places to the right in another; beyond its ends all is taken.
func orShifted(to, from []uint64, dx int) {
	words, rest := dx>>6, uint(dx&63)
	for i := range to {
		low, high := uint64(math.MaxUint64), uint64(math.MaxUint64)
		if k := i + words; uint(k) < uint(len(from)) {
			low = from[k]
		}
		if k := i + words + 1; uint(k) < uint(len(from)) {
			high = from[k]
		}
		to[i] |= low>>rest | high<<(64-rest) // a shift by 64 leaves nothing
	}
}

// rowFor is where in a row a shape surely has no room.
type rowFor func(y int) []uint64

// forFoot are these rows for a foot. Places of it that lie far apart come first: mostly few of them tell.
func (g *ground) forFoot(f *foot) rowFor {
	spots, row := f.spotsAt(g.step, g.room.wall.MM()), make([]uint64, g.words)
	return func(y int) []uint64 {
		clear(row)
		for i, s := range spots {
			orShifted(row, g.row(g.taken, y+s.y), s.x)
			if i%4 == 3 && !slices.ContainsFunc(row, func(word uint64) bool { return word != math.MaxUint64 }) {
				break
			}
		}
		return row
	}
}

// forBox are these rows for a box of a length and width.
func (g *ground) forBox(length, width units.Length) rowFor {
	no := slices.Clone(g.taken)
	double := func(n int, step func(by int)) {
		for done := 1; done < n; {
			by := min(done, n-done)
			step(by)
			done += by
		}
	}
	double(int(length/g.room.step)+1, func(by int) {
		for y := range g.h {
			row := g.row(no, y)
			orShifted(row, slices.Clone(row), by)
		}
	})
	double(int(width/g.room.step)+1, func(by int) {
		for y := range g.h { // from below: what it is taken from is not yet changed
			orShifted(g.row(no, y), g.row(no, y+by), 0)
		}
	})
	return func(y int) []uint64 { return g.row(no, y) }
}

// mostMeasured is how many places are measured for one foot before it is given up. Judged, no source.
const mostMeasured = 400

// first is the first place that is free for a shape whose own corner is at 0, 0: from the back, or upward from the left. It
// looks no further than a number of places to the front, or to the right.
func (g *ground) first(no rowFor, upward bool, far int, shape geometry.Region) (x, y units.Length, ok bool) {
	measured := 0
	for k := g.h - 1; k >= 0 && measured < mostMeasured; k-- {
		if !upward && g.h-1-k > far {
			break
		}
		row := no(k)
		for i := 0; i < g.w && measured < mostMeasured; i++ {
			word := ^row[i/64] >> (i % 64)
			if word == 0 {
				i |= 63
				continue
			}
			if i += bits.TrailingZeros64(word); upward && i > far {
				break
			}
			atX, atY := units.Length(i)*g.room.step, units.Length(k)*g.room.step
			measured++
			if !g.free(shape.Transform(geometry.Translate(atX.MM(), atY.MM()))) {
				continue
			}
			x, y, ok = atX, atY, true
			if !upward {
				return x, y, ok
			}
			far = i - 1
		}
	}
	return x, y, ok
}

const (
	measureMM = 1e-6 // that arithmetic may take off a distance
	apartMM   = 2e-5 // from where on two outlines do not touch
)

// free reports whether a shape keeps the wall to all that has its place and the edge to the rim.
func (g *ground) free(shape geometry.Region) bool {
	b := shape.Bounds()
	r := g.room
	wall, edge := max(r.wall.MM()-measureMM, apartMM), max(r.edge.MM()-measureMM, apartMM)
	if b.Min.X < edge || b.Min.Y < edge || b.Max.X > r.length.MM()-edge || b.Max.Y > r.width.MM()-edge {
		return false
	}
	near := b.Grow(r.wall.MM())
	for _, c := range shape.Contours() {
		if d, _ := g.rim.Gap(c, edge); r.corner > r.edge && (d < edge || !g.rim.Contains(c.Vertices()[0].Point)) {
			return false
		}
		for i := range g.solids {
			s := &g.solids[i]
			if s.box.Min.X > near.Max.X || s.box.Max.X < near.Min.X || s.box.Min.Y > near.Max.Y || s.box.Max.Y < near.Min.Y {
				continue
			}
			if d, _ := s.walls.Gap(c, wall); d < wall || s.walls.Contains(c.Vertices()[0].Point) || slices.ContainsFunc(s.shape.Contours(), func(o geometry.Contour) bool { return c.Winding(o.Vertices()[0].Point) != 0 }) {
				return false
			}
		}
	}
	return true
}
