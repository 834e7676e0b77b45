package geometry

import (
	"cmp"
	"iter"
	"math"
	"slices"
)

// boxTree finds the boxes that overlap a box. It is packed: the boxes are put in
// strips by X and in each strip by Y, and every treeWidth neighbours share a
// parent box, level on level (sort-tile-recursive packing: Leutenegger, Lopez,
// Edgington, "STR: a simple and efficient algorithm for R-tree packing", 1997).
// The zero value holds nothing.
type boxTree struct {
	items  []int32 // leaf order -> index of the caller's box
	levels [][]Box // levels[0] are the boxes in leaf order; the last level has at most treeWidth
}

const treeWidth = 8

func newBoxTree(boxes []Box) boxTree {
	t := boxTree{items: make([]int32, len(boxes))}
	for i := range t.items {
		t.items[i] = int32(i)
	}
	if len(boxes) > treeWidth {
		t.tile(boxes)
	}
	leaf := make([]Box, len(boxes))
	for i, item := range t.items {
		leaf[i] = boxes[item]
	}
	t.levels = append(t.levels, leaf)
	for len(leaf) > treeWidth {
		leaf = parents(leaf)
		t.levels = append(t.levels, leaf)
	}
	return t
}

// tile orders the items strip by strip.
func (t *boxTree) tile(boxes []Box) {
	byX := func(a, b int32) int {
		return cmp.Or(cmp.Compare(boxes[a].Min.X+boxes[a].Max.X, boxes[b].Min.X+boxes[b].Max.X), cmp.Compare(a, b))
	}
	byY := func(a, b int32) int {
		return cmp.Or(cmp.Compare(boxes[a].Min.Y+boxes[a].Max.Y, boxes[b].Min.Y+boxes[b].Max.Y), cmp.Compare(a, b))
	}
	slices.SortFunc(t.items, byX)
	leaves := (len(boxes) + treeWidth - 1) / treeWidth
	strips := int(math.Ceil(math.Sqrt(float64(leaves))))
	size := treeWidth * ((leaves + strips - 1) / strips)
	for strip := range slices.Chunk(t.items, size) {
		slices.SortFunc(strip, byY)
	}
}

func parents(children []Box) []Box {
	up := make([]Box, 0, len(children)/treeWidth+1)
	for group := range slices.Chunk(children, treeWidth) {
		b := EmptyBox()
		for _, child := range group {
			b = b.Union(child)
		}
		up = append(up, b)
	}
	return up
}

// overlaps reports whether the boxes share a point.
func (b Box) overlaps(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

// overlapping walks the indices of the boxes that overlap b.
func (t *boxTree) overlapping(b Box) iter.Seq[int] {
	return func(yield func(int) bool) {
		if len(t.levels) > 0 {
			top := len(t.levels) - 1
			t.walk(top, 0, len(t.levels[top]), b, yield)
		}
	}
}

func (t *boxTree) walk(level, from, to int, b Box, yield func(int) bool) bool {
	boxes := t.levels[level]
	for i := from; i < to; i++ {
		if !boxes[i].overlaps(b) {
			continue
		}
		if level == 0 {
			if !yield(int(t.items[i])) {
				return false
			}
			continue
		}
		last := min((i+1)*treeWidth, len(t.levels[level-1]))
		if !t.walk(level-1, i*treeWidth, last, b, yield) {
			return false
		}
	}
	return true
}

// walkRight walks the boxes that a ray from q to the right meets before the
// limit, which what is found may lower on the way; strips go from left to right.
func (t *boxTree) walkRight(q Point, limit *float64, found func(int)) {
	if top := len(t.levels) - 1; top >= 0 {
		t.descendRight(top, 0, len(t.levels[top]), q, limit, found)
	}
}

func (t *boxTree) descendRight(level, from, to int, q Point, limit *float64, found func(int)) {
	boxes := t.levels[level]
	for i := from; i < to; i++ {
		b := &boxes[i]
		if b.Min.Y > q.Y || b.Max.Y < q.Y || b.Max.X < q.X || b.Min.X > *limit {
			continue
		}
		if level == 0 {
			found(int(t.items[i]))
			continue
		}
		last := min((i+1)*treeWidth, len(t.levels[level-1]))
		t.descendRight(level-1, i*treeWidth, last, q, limit, found)
	}
}
