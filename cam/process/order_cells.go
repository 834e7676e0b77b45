package process

import (
	"math"
	"slices"
)

// cells sorts places into squares of a grid, about two to a square.
type cells struct {
	x, y          []float64
	left, bottom  float64
	size          float64
	columns, rows int
	places        [][]int32 // in each square
}

func newCells(x, y []float64) *cells {
	g := &cells{x: x, y: y, left: slices.Min(x), bottom: slices.Min(y)}
	width, height, n := slices.Max(x)-g.left, slices.Max(y)-g.bottom, float64(len(x))
	g.size = max(math.Sqrt(2*width*height/n), 2*max(width, height)/n, 1)
	g.columns, g.rows = int(width/g.size)+1, int(height/g.size)+1
	g.places = make([][]int32, g.columns*g.rows)
	for i := range x {
		c := g.cell(g.square(int32(i)))
		g.places[c] = append(g.places[c], int32(i))
	}
	return g
}

// square is the column and row of a place.
func (g *cells) square(i int32) (column, row int) {
	return int((g.x[i] - g.left) / g.size), int((g.y[i] - g.bottom) / g.size)
}

func (g *cells) cell(column, row int) int { return row*g.columns + column }

func (g *cells) distance(a, b int32) float64 {
	dx, dy := g.x[a]-g.x[b], g.y[a]-g.y[b]
	return math.Sqrt(dx*dx + dy*dy)
}

// ring calls f for the places in the squares that are exactly r squares away,
// and is false when there are no such squares any more.
func (g *cells) ring(column, row, r int, f func(int32)) bool {
	inside := false
	for y := max(row-r, 0); y <= min(row+r, g.rows-1); y++ {
		step := 2 * r
		if y == row-r || y == row+r || r == 0 {
			step = 1
		}
		for x := column - r; x <= column+r; x += step {
			if x < 0 || x >= g.columns {
				continue
			}
			inside = true
			for _, i := range g.places[g.cell(x, y)] {
				f(i)
			}
		}
	}
	return inside
}

// nearest lists up to count other places for each place, nearest first, equally
// near ones by number. A place beyond ring r is at least r squares away.
func (g *cells) nearest(count int) [][]int32 {
	lists := make([][]int32, len(g.x))
	for i := range lists {
		a := int32(i)
		column, row := g.square(a)
		list := make([]int32, 0, count+1)
		for r := 0; len(list) < count || g.distance(a, list[count-1]) > float64(r-1)*g.size; r++ {
			if !g.ring(column, row, r, func(b int32) { list = g.insert(list, a, b, count) }) {
				break
			}
		}
		lists[i] = list
	}
	return lists
}

// mostRings is how far around a place is searched in a quarter that is empty: about the edge
// of everything, it is empty to the end.
const mostRings = 20

// quarters lists up to count places nearest to a in each quarter around it.
func (g *cells) quarters(a int32, count int) []int32 {
	var lists [4][]int32
	column, row := g.square(a)
	open := func(r int) bool {
		for _, list := range lists {
			if len(list) < count || g.distance(a, list[count-1]) > float64(r-1)*g.size {
				return true
			}
		}
		return false
	}
	for r := 0; r <= mostRings && open(r); r++ {
		if !g.ring(column, row, r, func(b int32) {
			k := quarter(g.x[b]-g.x[a], g.y[b]-g.y[a])
			lists[k] = g.insert(lists[k], a, b, count)
		}) {
			break
		}
	}
	return slices.Concat(lists[:]...)
}

// quarter of a direction, each with one of the axes that bound it.
func quarter(dx, dy float64) int {
	switch {
	case dx > 0 && dy >= 0:
		return 0
	case dx <= 0 && dy > 0:
		return 1
	case dx < 0 && dy <= 0:
		return 2
	}
	return 3
}

// insert puts b into the list of the places nearest to a.
func (g *cells) insert(list []int32, a, b int32, count int) []int32 {
	if a == b {
		return list
	}
	d := g.distance(a, b)
	k := len(list)
	for k > 0 && (d < g.distance(a, list[k-1]) || d == g.distance(a, list[k-1]) && b < list[k-1]) {
		k--
	}
	if k == count {
		return list
	}
	list = slices.Insert(list, k, b)
	return list[:min(len(list), count)]
}

// nearestNeighbourTour goes from place 0 always to the nearest place that it has
// not been to. It empties the grid.
func (g *cells) nearestNeighbourTour() []int32 {
	order := make([]int32, 0, len(g.x))
	for at := int32(0); ; {
		order = append(order, at)
		g.remove(at)
		if len(order) == len(g.x) {
			return order
		}
		at = g.closest(at)
	}
}

func (g *cells) remove(i int32) {
	c := g.cell(g.square(i))
	g.places[c] = slices.DeleteFunc(g.places[c], func(j int32) bool { return j == i })
}

// closest is the place nearest to a that is left in the grid.
func (g *cells) closest(a int32) int32 {
	best, least := int32(-1), math.Inf(1)
	column, row := g.square(a)
	for r := 0; best < 0 || least > float64(r-1)*g.size; r++ {
		more := g.ring(column, row, r, func(b int32) {
			if d := g.distance(a, b); d < least || d == least && b < best {
				best, least = b, d
			}
		})
		if !more {
			break
		}
	}
	return best
}
