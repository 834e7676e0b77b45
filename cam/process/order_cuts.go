package process

import (
	"cmp"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
)

// groupByTool lists the cuts of each tool, lowest tool number first.
func groupByTool(cuts []plan.Cut) [][]int {
	order := make([]int, len(cuts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(cuts[a].Tool.Number, cuts[b].Tool.Number) })
	var groups [][]int
	for k, i := range order {
		if k == 0 || cuts[i].Tool.Number != cuts[order[k-1]].Tool.Number {
			groups = append(groups, nil)
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], i)
	}
	return groups
}

// overlap is two cuts that share foam, or of which one lies in the other's
// island: a is cut before b.
type overlap struct{ a, b int }

// overlapsOf finds them, in an order that depends on the cuts alone. Of two,
// the shallower comes first, so that the deeper one finds its upper part gone;
// of two equally deep, the smaller, which may lie inside the other.
func overlapsOf(cuts []plan.Cut, tol float64) []overlap {
	boxes := make([]geometry.Box, len(cuts))
	byX := make([]int, len(cuts))
	for i, c := range cuts {
		boxes[i], byX[i] = c.Shape.Bounds(), i
	}
	slices.SortStableFunc(byX, func(a, b int) int { return cmp.Compare(boxes[a].Min.X, boxes[b].Min.X) })
	var list []overlap
	var open []int // whose boxes may still reach the next ones
	for _, i := range byX {
		open = slices.DeleteFunc(open, func(j int) bool { return boxes[j].Max.X < boxes[i].Min.X })
		for _, j := range open {
			if boxes[j].Min.Y <= boxes[i].Max.Y && boxes[i].Min.Y <= boxes[j].Max.Y && meet(cuts[i].Shape, cuts[j].Shape, tol) {
				list = append(list, inOrder(cuts, boxes, i, j))
			}
		}
		open = append(open, i)
	}
	return list
}

func inOrder(cuts []plan.Cut, boxes []geometry.Box, i, j int) overlap {
	area := func(b geometry.Box) float64 { return b.Width() * b.Height() }
	if cmp.Or(cmp.Compare(cuts[i].DepthMM, cuts[j].DepthMM), cmp.Compare(area(boxes[i]), area(boxes[j])), cmp.Compare(i, j)) > 0 {
		i, j = j, i
	}
	return overlap{i, j}
}

// meet reports whether the edges of the shapes touch or one lies inside the other.
func meet(a, b geometry.Region, tol float64) bool {
	for _, c := range a.Contours() {
		for _, d := range b.Contours() {
			if around(c, d) || around(d, c) {
				return true
			}
			if distance, _, _ := geometry.Distance(c, d); distance <= tol {
				return true
			}
		}
	}
	return false
}

// around reports whether a goes around b's first vertex.
func around(a, b geometry.Contour) bool {
	return a.Winding(b.Vertices()[0].Point) != 0
}

// orderGroup is the order of one tool's cuts, for a short way from home through
// all of them and back. Cuts that overlap stay together, in their order.
func orderGroup(home geometry.Point, cuts []plan.Cut, group []int, overlaps []overlap) []int {
	clusters := clusterGroup(len(cuts), group, overlaps)
	centers := make([]geometry.Point, len(clusters))
	for i, c := range clusters {
		box := geometry.EmptyBox()
		for _, cut := range c {
			box = box.Union(cuts[cut].Shape.Bounds())
		}
		centers[i] = box.Min.Add(box.Max).Scale(0.5)
	}
	var order []int
	for _, i := range tour(home, centers) {
		order = append(order, clusters[i]...)
	}
	return order
}

// clusterGroup joins the cuts of a group that overlap, each cluster in order.
func clusterGroup(count int, group []int, overlaps []overlap) [][]int {
	c := clusters{joined: make([]int, count), before: map[int][]int{}, placed: make([]bool, count), number: map[int]int{}}
	for i := range c.joined {
		c.joined[i] = -1
	}
	for _, i := range group {
		c.joined[i] = i
	}
	for _, o := range overlaps {
		if c.joined[o.a] >= 0 && c.joined[o.b] >= 0 {
			c.before[o.b] = append(c.before[o.b], o.a)
			c.joined[c.root(o.a)] = c.root(o.b)
		}
	}
	for _, i := range group {
		c.place(i)
	}
	return c.list
}

// clusters gathers cuts that are joined by overlaps.
type clusters struct {
	joined []int         // a cut of the same cluster, the root at last; -1 outside the group
	before map[int][]int // cuts that come before each cut
	placed []bool
	number map[int]int // of the cluster of a root
	list   [][]int
}

func (c *clusters) root(i int) int {
	for c.joined[i] != i {
		c.joined[i] = c.joined[c.joined[i]]
		i = c.joined[i]
	}
	return i
}

// place adds a cut to its cluster, after those that come before it. That ends,
// because a cut is always before deeper ones or, of equal depth, larger or later ones.
func (c *clusters) place(i int) {
	if c.placed[i] {
		return
	}
	c.placed[i] = true
	for _, j := range c.before[i] {
		c.place(j)
	}
	k, known := c.number[c.root(i)]
	if !known {
		k = len(c.list)
		c.number[c.root(i)] = k
		c.list = append(c.list, nil)
	}
	c.list[k] = append(c.list[k], i)
}

// clearedFor is how deep the foam over all of a cut is gone already, because a
// cut that is done covers its whole shape.
func clearedFor(cuts []plan.Cut, i int, overlaps []overlap, done []bool, tol float64) (float64, error) {
	deepest := 0.0
	for _, o := range overlaps {
		if o.b != i || !done[o.a] || cuts[o.a].DepthMM <= deepest || cuts[o.a].DepthMM >= cuts[i].DepthMM {
			continue
		}
		outside, err := geometry.Difference(cuts[i].Shape, cuts[o.a].Shape, tol)
		if err != nil {
			return 0, &CutError{cuts[i].Name, "it cannot be compared with " + cuts[o.a].Name + ": " + err.Error(), "check both outlines"}
		}
		if outside.Empty() {
			deepest = cuts[o.a].DepthMM
		}
	}
	return deepest, nil
}
