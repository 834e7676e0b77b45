package trace

import (
	"errors"
	"math"

	"traywright/geometry"
)

// ring is a closed polygon in pixels, Y up, ink on its left.
type ring []geometry.Point

func (r ring) area() float64 {
	sum := 0.0
	for i, p := range r {
		sum += p.Cross(r[(i+1)%len(r)])
	}
	return sum / 2
}

func boundsOf(rings []ring) geometry.Box {
	box := geometry.EmptyBox()
	for _, r := range rings {
		for _, p := range r {
			box = box.Union(geometry.Box{Min: p, Max: p})
		}
	}
	return box
}

// despeckle leaves out rings around less than area square pixels. What lies inside
// such a ring is smaller still, so a dropped island takes its holes along.
func despeckle(rings []ring, area float64) (kept []ring, dropped int) {
	for _, r := range rings {
		if math.Abs(r.area()) < area {
			dropped++
		} else {
			kept = append(kept, r)
		}
	}
	return kept, dropped
}

// maxRingPoints bounds the points of all rings of a picture.
const maxRingPoints = 1 << 20

var errTooLong = errors.New("the contours have too many points")

// contours follows the curve where the picture crosses a level, with ink, the
// values under the level (over it, when inverted), on the left. Rings around less
// than speck square pixels are counted and left out. Ink at the picture's border
// ends there.
//
// The method is marching squares: the values are those of the pixels' centres, the
// curve cuts the line between two neighbours in proportion, and in a square with
// ink at two opposite corners only, the saddle of the bilinear surface tells whether
// the two are joined (G. Nielson, B. Hamann, "The asymptotic decider", IEEE
// Visualization 1991). A cut never comes nearer than a thousandth of a pixel to a centre. So
// every square holds at most two segments that do not cross, and no two rings
// touch.
func contours(g grid, level float64, invert bool, speck float64) (rings []ring, dropped int, err error) {
	f := newField(g, level, invert)
	total := 0
	var buffer ring
	for j := range g.h {
		for i := -1; i < g.w; i++ {
			if f.seen[f.index(i, j)]&seenAcross != 0 || f.ink(i, j) == f.ink(i+1, j) {
				continue
			}
			buffer = f.follow(i, j, buffer[:0])
			if math.Abs(buffer.area()) < speck {
				dropped++
				continue
			}
			if total += len(buffer); total > maxRingPoints {
				return nil, dropped, errTooLong
			}
			rings = append(rings, append(ring(nil), buffer...))
		}
	}
	return rings, dropped, nil
}

// field is the signed picture, positive in the ink, with a frame one pixel wide
// around it that closes the ink at the border.
type field struct {
	grid
	level, sign float64
	seen        []uint8 // by node: the edge to its right, the edge below it
}

const seenAcross, seenDown = 1, 2

func newField(g grid, level float64, invert bool) *field {
	f := &field{grid: g, level: level, sign: -1, seen: make([]uint8, (g.w+2)*(g.h+2))}
	if invert {
		f.sign = 1
	}
	return f
}

func (f *field) index(i, j int) int { return (j+1)*(f.w+2) + i + 1 }

// at is the value at a node. In the frame it is the neighbour's mirrored to the
// other side of the level, so that the curve runs along the picture's border.
func (f *field) at(i, j int) float64 {
	x, y := min(max(i, 0), f.w-1), min(max(j, 0), f.h-1)
	v := f.sign * (float64(f.v[y*f.w+x]) - f.level)
	if x != i || y != j {
		return -math.Abs(v)
	}
	return v
}

func (f *field) ink(i, j int) bool { return f.at(i, j) > 0 }

// cell is a square between four nodes, i and j those of its upper-left one; an edge
// of it is 0 top, 1 right, 2 bottom, 3 left; a corner is 0 upper left, 1 upper right,
// 2 lower right, 3 lower left, so edge k joins the corners k and k+1.
type cell struct{ i, j int }

var cornerAt = [4][2]int{{0, 0}, {1, 0}, {1, 1}, {0, 1}}

// beyond is the cell on the other side of an edge, and that edge's number there.
func (c cell) beyond(edge int) (cell, int) {
	step := [4][2]int{{0, -1}, {1, 0}, {0, 1}, {-1, 0}}[edge]
	return cell{c.i + step[0], c.j + step[1]}, (edge + 2) % 4
}

// follow walks the ring that crosses the edge between the nodes (i, j) and (i+1, j).
func (f *field) follow(i, j int, r ring) ring {
	// Ink is on the left: it goes up where the ink is at the left node.
	c, edge := cell{i, j - 1}, 2
	if !f.ink(i, j) {
		c, edge = cell{i, j}, 0
	}
	for f.mark(c, edge) {
		r = append(r, f.cut(c, edge))
		edge = f.leave(c, edge)
		c, edge = c.beyond(edge)
	}
	return r
}

// mark notes that an edge is used, and reports whether it was not before.
func (f *field) mark(c cell, edge int) bool {
	at, bit := f.index(c.i, c.j), uint8(seenAcross)
	switch edge {
	case 1:
		at, bit = f.index(c.i+1, c.j), seenDown
	case 2:
		at = f.index(c.i, c.j+1)
	case 3:
		bit = seenDown
	}
	fresh := f.seen[at]&bit == 0
	f.seen[at] |= bit
	return fresh
}

// corners are the values at the corners of a cell.
func (f *field) corners(c cell) (v [4]float64) {
	for k, d := range cornerAt {
		v[k] = f.at(c.i+d[0], c.j+d[1])
	}
	return v
}

// leave is the edge by which the curve leaves a cell that it enters by an edge.
func (f *field) leave(c cell, enter int) int {
	v := f.corners(c)
	crosses := func(edge int) bool { return (v[edge] > 0) != (v[(edge+1)%4] > 0) }
	next, last := (enter+1)%4, (enter+3)%4
	if !crosses(next) && !crosses(last) {
		return (enter + 2) % 4
	}
	if crosses(next) && crosses(last) {
		// The curve turns about the corner that the saddle leaves on its own: next
		// shares the corner enter+1 with enter, last the corner enter.
		saddle := (v[0]*v[2] - v[1]*v[3]) / (v[0] + v[2] - v[1] - v[3])
		if (v[next] > 0) == (saddle > 0) {
			return last
		}
		return next
	}
	if crosses(next) {
		return next
	}
	return last
}

// cutMargin keeps a cut away from the pixels' centres, as a share of their distance.
const cutMargin = 1e-3

// cut is where the curve crosses an edge of a cell.
func (f *field) cut(c cell, edge int) geometry.Point {
	a, b := cornerAt[edge], cornerAt[(edge+1)%4]
	va, vb := f.at(c.i+a[0], c.j+a[1]), f.at(c.i+b[0], c.j+b[1])
	t := min(max(va/(va-vb), cutMargin), 1-cutMargin)
	x := float64(c.i+a[0]) + t*float64(b[0]-a[0])
	y := float64(c.j+a[1]) + t*float64(b[1]-a[1])
	return geometry.Point{X: x + 0.5, Y: float64(f.h) - (y + 0.5)}
}
