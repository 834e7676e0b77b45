package plan

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// overlaps lists every pair of boxes that share a point, the lower index first,
// in order. The boxes are sorted into about as many square cells as there are
// boxes, so that boxes spread over an area take little more than linear time.
func overlaps(boxes []geometry.Box) [][2]int {
	g := newCells(boxes)
	var pairs [][2]int
	for i, b := range boxes {
		g.each(b, func(cell [2]int) {
			for _, j := range g.in[cell] {
				// Both boxes may share several cells: the one with the lower-left
				// corner of what they share decides.
				if c := boxes[j]; touch(b, c) && g.cell(math.Max(b.Min.X, c.Min.X), math.Max(b.Min.Y, c.Min.Y)) == cell {
					pairs = append(pairs, [2]int{j, i})
				}
			}
			g.in[cell] = append(g.in[cell], i)
		})
	}
	slices.SortFunc(pairs, func(p, q [2]int) int { return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1])) })
	return pairs
}

func touch(b, c geometry.Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// cells divide the plane into squares.
type cells struct {
	in     map[[2]int][]int
	origin geometry.Point
	side   float64
}

func newCells(boxes []geometry.Box) cells {
	all := geometry.EmptyBox()
	for _, b := range boxes {
		all = all.Union(b)
	}
	n := math.Sqrt(float64(max(len(boxes), 1)))
	side := math.Max(all.Width(), all.Height()) / n
	if !(side > 0) || math.IsInf(side, 0) {
		side = 1
	}
	return cells{in: map[[2]int][]int{}, origin: all.Min, side: side}
}

func (g cells) cell(x, y float64) [2]int {
	return [2]int{int((x - g.origin.X) / g.side), int((y - g.origin.Y) / g.side)}
}

func (g cells) each(b geometry.Box, visit func([2]int)) {
	low, high := g.cell(b.Min.X, b.Min.Y), g.cell(b.Max.X, b.Max.Y)
	for x := low[0]; x <= high[0]; x++ {
		for y := low[1]; y <= high[1]; y++ {
			visit([2]int{x, y})
		}
	}
}

// meeting lists the pairs of regions that touch or overlap, or of which one
// lies inside the other. Distances up to slack mm count as touching.
func meeting(regions []geometry.Region, slack float64) [][2]int {
	return pairs(regions, slack, meets)
}

// nesting lists the pairs as meeting does, and also those of which one lies in an
// island of the other.
func nesting(regions []geometry.Region, slack float64) [][2]int {
	return pairs(regions, slack, func(a, b geometry.Region, slack float64) bool {
		return meets(a, b, slack) || encloses(a, b) || encloses(b, a)
	})
}

// pairs lists those pairs of regions with boxes in common for which holds says so.
func pairs(regions []geometry.Region, slack float64, holds func(a, b geometry.Region, slack float64) bool) [][2]int {
	boxes := make([]geometry.Box, len(regions))
	for i, r := range regions {
		boxes[i] = r.Bounds().Grow(slack / 2)
	}
	return slices.DeleteFunc(overlaps(boxes), func(p [2]int) bool {
		return !holds(regions[p[0]], regions[p[1]], slack)
	})
}

// encloses reports whether some contour of a, an island's too, goes around some
// contour of b, whose boundaries do not meet.
func encloses(a, b geometry.Region) bool {
	for _, c := range a.Contours() {
		for _, d := range b.Contours() {
			if c.Winding(d.Vertices()[0].Point) != 0 {
				return true
			}
		}
	}
	return false
}

func meets(a, b geometry.Region, slack float64) bool {
	for _, c := range a.Contours() {
		for _, d := range b.Contours() {
			if distance, _, _ := geometry.Distance(c, d); distance <= slack {
				return true
			}
		}
	}
	return inside(a, b) || inside(b, a)
}

// inside reports whether a, whose boundary does not meet that of b, lies in b.
func inside(a, b geometry.Region) bool {
	for _, c := range a.Contours() {
		for s := range c.Segments() {
			return b.Contains(s.A)
		}
	}
	return false
}

// sets are disjoint sets of whole numbers, joined pair by pair.
type sets []int

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

func (s sets) find(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// join puts i and j into one set; its least member stands for it.
func (s sets) join(i, j int) {
	i, j = s.find(i), s.find(j)
	s[max(i, j)] = min(i, j)
}
