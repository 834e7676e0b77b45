package pack

import "slices"

// perfect looks for a packing of a rectangle without any waste, exhaustively:
// the leftmost place of the lowest gap must be some item's corner, so each item
// is tried there in turn.
type perfect struct {
	budget
	items  []Item
	kinds  []kind
	left   []int // items of each kind still to place
	line   skyline
	length int64
	height int64
	boxes  []placed
	sums   []uint64 // scratch for reachable
}

// withoutWaste tries the search in several orders of preference, each with a
// share of steps, and keeps a packing if it finds one. It reports whether there
// may be one that was not tried.
func (s *stripSearch) withoutWaste(steps int) bool {
	share := steps / 8
	for round := range 8 {
		p := newPerfect(s, share)
		s.arrange(p, round)
		if p.search() {
			s.height = s.lower
			s.best = p.boxes
			return false
		}
		s.steps -= share - max(p.steps, 0)
		if s.ctx.Err() != nil {
			return true
		}
		if p.steps > 0 {
			return false // every packing was tried
		}
	}
	return true
}

func newPerfect(s *stripSearch, steps int) *perfect {
	p := &perfect{budget: budget{s.ctx, steps}, items: s.items, length: s.filler.length, height: s.lower, line: newSkyline(s.filler.length)}
	p.kinds = kinds(s.items)
	return p
}

// arrange sorts the kinds for a round: by area, by longest side, then shuffled
// a little more each time.
func (s *stripSearch) arrange(p *perfect, round int) {
	weight := make([]float64, len(p.kinds))
	for i, k := range p.kinds {
		weight[i] = float64(k.l) * float64(k.h)
		if round%2 == 1 {
			weight[i] = float64(max(k.l, k.h))
		}
		if round > 1 {
			weight[i] *= 0.5 + s.random.Float64()
		}
	}
	order := make([]int, len(p.kinds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case weight[a] > weight[b]:
			return -1
		case weight[a] < weight[b]:
			return 1
		}
		return 0
	})
	sorted := make([]kind, len(order))
	for i, k := range order {
		sorted[i] = p.kinds[k]
	}
	p.kinds = sorted
	p.left = make([]int, len(sorted))
	for i, k := range sorted {
		p.left[i] = len(k.items)
	}
}

// search lays the rest and reports whether it could.
func (p *perfect) search() bool {
	i := p.line.lowest()
	g := p.line[i]
	if g.y == p.height {
		return true
	}
	if !p.spend(1) || !p.reachable(g.length) {
		return false
	}
	for k := range p.kinds {
		if p.left[k] == 0 {
			continue
		}
		kd := &p.kinds[k]
		if p.lay(i, k, kd.l, kd.h) || kd.turn && p.lay(i, k, kd.h, kd.l) {
			return true
		}
		if p.steps <= 0 {
			return false
		}
	}
	return false
}

// lay puts an item of kind k into gap i, l along it, and searches on. A kind
// has its longer side first, its items as they were given: only the item knows
// whether it lies turned.
func (p *perfect) lay(i, k int, l, h int64) bool {
	g := p.line[i]
	if l > g.length || g.y+h > p.height {
		return false
	}
	kd := &p.kinds[k]
	p.left[k]--
	item := kd.items[p.left[k]]
	before := slices.Clone(p.line)
	x := p.line.put(i, l, h, false)
	p.boxes = append(p.boxes, placed{box{item, l, h, p.items[item].Length != l}, x, g.y})
	if p.search() {
		return true
	}
	p.boxes = p.boxes[:len(p.boxes)-1]
	p.line = before
	p.left[k]++
	return false
}

// widestSum bounds the table of reachable.
const widestSum = 1 << 12

// reachable reports whether the sides of the items left can add up to the gap.
func (p *perfect) reachable(gap int64) bool {
	if gap > widestSum {
		return true
	}
	words := int(gap)/64 + 1
	if cap(p.sums) < words {
		p.sums = make([]uint64, words)
	}
	sums := p.sums[:words]
	clear(sums)
	sums[0] = 1
	for k, n := range p.left {
		for range n {
			shiftOr(sums, p.kinds[k].l, p.kinds[k].h, p.kinds[k].turn)
		}
	}
	return sums[gap/64]>>(gap%64)&1 == 1
}

// shiftOr adds to the set of sums each sum plus a, and plus b when turn.
func shiftOr(sums []uint64, a, b int64, turn bool) {
	for w := len(sums) - 1; w >= 0; w-- {
		v := sums[w] | shifted(sums, w, a)
		if turn {
			v |= shifted(sums, w, b)
		}
		sums[w] = v
	}
}

// shifted is word w of the set shifted up by n.
func shifted(sums []uint64, w int, n int64) uint64 {
	from, bits := w-int(n/64), uint(n%64)
	if from < 0 {
		return 0
	}
	v := sums[from] << bits
	if bits > 0 && from > 0 {
		v |= sums[from-1] >> (64 - bits)
	}
	return v
}
