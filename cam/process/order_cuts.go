package process

import (
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
)

// groupByTool lists the cuts of each tool, in the order of their turns.
func groupByTool(cuts []plan.Cut, turns []int) [][]int {
	var groups [][]int
	for _, number := range turns {
		var group []int
		for i, c := range cuts {
			if c.Tool.Number == number {
				group = append(group, i)
			}
		}
		groups = append(groups, group)
	}
	return groups
}

// orderGroup is the order of one tool's cuts: step by step (plan.Cut.Step), each on a short way from where the
// one before it ends through all of its cuts and back. Cuts that overlap stay together, in their order, in
// the last step that one of them has.
func orderGroup(home geometry.Point, cuts []plan.Cut, group []int) (order []int) {
	steps := [3][][]int{}
	for _, cluster := range clusterGroup(cuts, group) {
		last := 0
		for _, i := range cluster {
			last = max(last, cuts[i].Step())
		}
		steps[last] = append(steps[last], cluster)
	}
	for _, clusters := range steps {
		centers := make([]geometry.Point, len(clusters))
		for i, c := range clusters {
			centers[i] = centreOf(cuts, c)
		}
		for _, i := range tour(home, centers) {
			order, home = append(order, clusters[i]...), centers[i]
		}
	}
	return order
}

// centreOf is the middle of some cuts' box.
func centreOf(cuts []plan.Cut, some []int) geometry.Point {
	box := geometry.EmptyBox()
	for _, i := range some {
		box = box.Union(cuts[i].Shape.Bounds())
	}
	return box.Min.Add(box.Max).Scale(0.5)
}

// orderRims is the order in which parts of a sheet are cut round: near ones together, a short way
// from one to the next. Where neither skin nor tabs hold what has been cut round, the largest comes
// last: it lies firmest, and until then the sheet is held by it.
func orderRims(home geometry.Point, contours []geometry.Contour, hold plan.Hold) (list []geometry.Contour) {
	middles, most := make([]geometry.Point, len(contours)), 0.0
	for i, c := range contours {
		box := c.Bounds()
		middles[i], most = box.Min.Add(box.Max).Scale(0.5), max(most, math.Abs(c.Area()))
	}
	last := -1
	order := tour(home, middles)
	for k, i := range order {
		if math.Abs(contours[i].Area()) >= most*(1-1e-9) {
			last = k // of several, that which the way comes to last
		}
	}
	if hold.SkinMM == 0 && hold.Tabs == 0 && last >= 0 {
		order = append(slices.Delete(slices.Clone(order), last, last+1), order[last])
	}
	for _, i := range order {
		list = append(list, contours[i])
	}
	return list
}

// clusterGroup joins the cuts of a group that the plan puts one after another.
func clusterGroup(cuts []plan.Cut, group []int) [][]int {
	c := clusters{joined: make([]int, len(cuts)), before: map[int][]int{}, placed: make([]bool, len(cuts)), number: map[int]int{}}
	for i := range c.joined {
		c.joined[i] = -1
	}
	for _, i := range group {
		c.joined[i] = i
	}
	for _, i := range group {
		for _, j := range cuts[i].After {
			if c.joined[j] >= 0 {
				c.before[i] = append(c.before[i], j)
				c.joined[c.root(j)] = c.root(i)
			}
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
