package geometry

import (
	"iter"
	"slices"
)

// boxTree finds the boxes that overlap a box. It is packed: the boxes are put in the
// order in which a curve that fills the plane comes by their middles, and every
// treeWidth neighbours share a parent box, level on level (Kamel, Faloutsos, "On
// packing R-trees", 1993; with the curve of Morton, 1966, in place of Hilbert's, because
// it is found sooner). The zero value holds nothing.
type boxTree struct {
	items  []int32       // leaf order -> index of the caller's box
	levels [][]Box       // levels[0] are the boxes in leaf order; the last level has at most treeWidth
	turned [][]turnedBox // of the same, in a tree of curves (index_turned.go)
}

const treeWidth = 8

func newBoxTree(boxes []Box) boxTree {
	return packBoxes(len(boxes), func(i int) Box { return boxes[i] })
}

// packBoxes makes the tree of n boxes.
func packBoxes(n int, box func(i int) Box) boxTree {
	return packInOrder(Neighbours(n, box), box)
}

// packInOrder makes the tree of the boxes in the order given, which it keeps.
func packInOrder(order []int32, box func(i int) Box) boxTree {
	t := boxTree{items: order}
	leaf := make([]Box, len(order))
	for i, item := range t.items {
		leaf[i] = box(int(item))
	}
	t.levels = append(make([][]Box, 0, 6), leaf)
	for len(leaf) > treeWidth {
		leaf = parents(leaf)
		t.levels = append(t.levels, leaf)
	}
	return t
}

// Neighbours is the numbers of n boxes in the order in which a curve that fills the plane comes
// by their middles: those that follow each other lie near each other, mostly. It takes n log n time.
func Neighbours(n int, box func(i int) Box) []int32 {
	order := make([]int32, n)
	for i, key := range mortonOrder(n, box) {
		order[i] = int32(uint32(key))
	}
	return order
}

// mortonOrder sorts the boxes along the curve: the index is in the lower half of each key.
func mortonOrder(n int, box func(i int) Box) []uint64 {
	all := EmptyBox()
	for i := range n {
		all = all.Union(box(i))
	}
	// Twice the middle of a box, in 65,536 steps across all of them.
	scale := 0.0
	if size := max(all.Width(), all.Height()); size > 1e-300 {
		scale = 65535 / (2 * size)
	}
	step := func(low, high, from float64) uint32 {
		return uint32(min(max((low-from+(high-from))*scale, 0), 65535))
	}
	keys := make([]uint64, n)
	for i := range keys {
		b := box(i)
		x, y := step(b.Min.X, b.Max.X, all.Min.X), step(b.Min.Y, b.Max.Y, all.Min.Y)
		keys[i] = uint64(spread(x)|spread(y)<<1)<<32 | uint64(i)
	}
	slices.Sort(keys)
	return keys
}

// spread puts a 0 before each of the lower 16 bits.
func spread(v uint32) uint32 {
	v = (v | v<<8) & 0x00FF00FF
	v = (v | v<<4) & 0x0F0F0F0F
	v = (v | v<<2) & 0x33333333
	return (v | v<<1) & 0x55555555
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
	return func(yield func(int) bool) { t.visit(&probe{box: b}, yield) }
}

// visit walks the indices of the boxes that overlap the probe's, but for those whose
// curves are apart from its rod; it ends when found returns false.
func (t *boxTree) visit(p *probe, found func(int) bool) {
	if top := len(t.levels) - 1; top >= 0 {
		t.descend(top, 0, len(t.levels[top]), p, found)
	}
}

func (t *boxTree) descend(level, from, to int, p *probe, found func(int) bool) bool {
	boxes, b := t.levels[level][from:to], &p.box
	for i := range boxes {
		c := &boxes[i]
		if b.Min.X > c.Max.X || c.Min.X > b.Max.X || b.Min.Y > c.Max.Y || c.Min.Y > b.Max.Y {
			continue
		}
		if t.turned != nil && t.turned[level][from+i].apart(&p.rod) > 0 {
			continue
		}
		if level == 0 {
			if !found(int(t.items[from+i])) {
				return false
			}
			continue
		}
		first := (from + i) * treeWidth
		if !t.descend(level-1, first, min(first+treeWidth, len(t.levels[level-1])), p, found) {
			return false
		}
	}
	return true
}

// visitNear walks the indices of what is nearer to the probe than the limit, which what is
// found may lower on the way; it ends when found returns false. Of a row of small
// boxes at one distance from the probe all but a few are left out, while many of them
// overlap its box grown by the limit.
func (t *boxTree) visitNear(p *probe, limit *float64, found func(int) bool) {
	if top := len(t.levels) - 1; top >= 0 {
		t.descendNear(top, 0, len(t.levels[top]), p, limit, found)
	}
}

// descendNear takes the nearest boxes first, so that the limit is soon low.
func (t *boxTree) descendNear(level, from, to int, p *probe, limit *float64, found func(int) bool) bool {
	var order [treeWidth]int
	var apart [treeWidth]float64
	boxes, n := t.levels[level], 0
	for i := from; i < to; i++ {
		d := squaredDistance(&p.box, &boxes[i])
		if d > *limit**limit {
			continue
		}
		if t.turned != nil {
			// Where all boxes overlap the probe, as those of spikes do, only the turned ones tell which is nearest.
			if d = max(d, t.turned[level][i].apart(&p.rod)); d > *limit**limit {
				continue
			}
		}
		at := n
		for ; at > 0 && apart[at-1] > d; at-- {
			order[at], apart[at] = order[at-1], apart[at-1]
		}
		order[at], apart[at] = i, d
		n++
	}
	for k, i := range order[:n] {
		if apart[k] > *limit**limit {
			return true
		}
		if level == 0 {
			if !found(int(t.items[i])) {
				return false
			}
			continue
		}
		last := min((i+1)*treeWidth, len(t.levels[level-1]))
		if !t.descendNear(level-1, i*treeWidth, last, p, limit, found) {
			return false
		}
	}
	return true
}

// walkRight walks the boxes that a ray from q to the right meets before the
// limit, which what is found may lower on the way.
func (t *boxTree) walkRight(q Point, limit *float64, found func(int)) {
	if top := len(t.levels) - 1; top >= 0 {
		t.descendRight(top, 0, len(t.levels[top]), q, limit, found)
	}
}

// descendRight takes the boxes from left to right, so that the limit is soon low.
func (t *boxTree) descendRight(level, from, to int, q Point, limit *float64, found func(int)) {
	var order [treeWidth]int
	var begins [treeWidth]float64
	boxes, n := t.levels[level], 0
	for i := from; i < to; i++ {
		b := &boxes[i]
		if b.Min.Y > q.Y || b.Max.Y < q.Y || b.Max.X < q.X || b.Min.X > *limit {
			continue
		}
		begin := b.Min.X
		if t.turned != nil {
			var end float64
			begin, end = t.turned[level][i].crossed(q)
			begin, end = max(begin, b.Min.X), min(end, b.Max.X)
			if begin > end || end < q.X || begin > *limit {
				continue
			}
		}
		at := n
		for ; at > 0 && begins[at-1] > begin; at-- {
			order[at], begins[at] = order[at-1], begins[at-1]
		}
		order[at], begins[at] = i, begin
		n++
	}
	for k, i := range order[:n] {
		if begins[k] > *limit {
			return
		}
		if level == 0 {
			found(int(t.items[i]))
			continue
		}
		last := min((i+1)*treeWidth, len(t.levels[level-1]))
		t.descendRight(level-1, i*treeWidth, last, q, limit, found)
	}
}
