package pack

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// BinsResult is a packing into equal bins.
type BinsResult struct {
	Placements []Placement // one for each item, in the items' order
	Bins       int
	LowerBound int // no packing has fewer bins
}

// Bins places every item into bins of length x width, as few as the search
// finds. When ctx ends, the best so far is returned.
func Bins(ctx context.Context, items []Item, length, width int64, o Options) (BinsResult, error) {
	if err := checkItems(items, length, width, o); err != nil {
		return BinsResult{}, err
	}
	s := newBinSearch(ctx, items, length, width, o)
	s.run()
	r := s.result()
	if err := verify(items, r.Placements, slices.Repeat([]room{{length: length, width: width}}, r.Bins), o); err != nil {
		return BinsResult{}, err
	}
	return r, nil
}

// Bound is a number of bins that no packing of the items can do without.
func Bound(items []Item, length, width int64, o Options) (int, error) {
	if err := checkItems(items, length, width, o); err != nil {
		return 0, err
	}
	return newBinSearch(context.Background(), items, length, width, o).lower, nil
}

// weighed is an item and how early it should be placed.
type weighed struct {
	item   int
	weight float64
}

// binSearch looks for few bins. Items and bins include the spacing.
type binSearch struct {
	budget
	items  []Item
	o      Options
	filler filler
	random *rand.Rand
	lower  int
	best   [][]placed
	trial  [][]placed

	// scratch of the search
	fresh   [3][]placed
	rest    []int
	chosen  []int
	weighed []weighed
}

func newBinSearch(ctx context.Context, items []Item, length, width int64, o Options) *binSearch {
	if o.Steps == 0 {
		o.Steps = defaultSteps
	}
	grown := make([]Item, len(items))
	for i, it := range items {
		grown[i] = Item{it.Length + o.Spacing, it.Width + o.Spacing, it.Fixed}
	}
	length += o.Spacing - 2*o.Margin
	width += o.Spacing - 2*o.Margin
	return &binSearch{
		budget: budget{ctx, o.Steps}, items: grown, o: o,
		filler: filler{items: grown, length: length, rim: width},
		random: rand.New(rand.NewPCG(o.Seed, 2)),
		lower:  binBound(grown, length, width),
	}
}

// run takes the plain orders without a limit on bins, then aims at one bin
// fewer as long as it can.
func (s *binSearch) run() {
	orders := sortedOrders(s.items)
	for _, order := range orders {
		s.fill(order, math.MaxInt)
		s.keep()
	}
	everything := make([]int, len(s.items))
	for i := range everything {
		everything[i] = i
	}
	area, densest := s.leftOver(everything), cmp.Or(s.o.Densest, 1)
	for round := 0; len(s.best) > s.lower && area <= densest*float64(len(s.best)-1) && s.steps > 0 && s.ctx.Err() == nil; round++ {
		if s.anneal(slices.Clone(orders[round%len(orders)]), len(s.best)-1) {
			s.keep()
		}
	}
}

// keep takes the trial as the best when it has fewer bins.
func (s *binSearch) keep() {
	if s.best == nil || len(s.trial) < len(s.best) {
		s.best = make([][]placed, len(s.trial))
		for i, b := range s.trial {
			s.best[i] = slices.Clone(b)
		}
	}
}

// fill packs items in an order into at most limit bins and returns those left.
func (s *binSearch) fill(order []int, limit int) []int {
	s.trial = s.trial[:0]
	s.rest = append(s.rest[:0], order...)
	for len(s.rest) > 0 && len(s.trial) < limit {
		s.spend(len(s.rest))
		s.rest = s.filler.fill(s.rest, s.rest)
		if n := len(s.trial); n < cap(s.trial) {
			s.trial = s.trial[:n+1]
			s.trial[n] = append(s.trial[n][:0], s.filler.boxes...)
			continue
		}
		s.trial = append(s.trial, slices.Clone(s.filler.boxes))
	}
	return s.rest
}

// anneal looks for a packing into limit bins that leaves nothing over: it
// empties one to three bins at a time and fills them again, together with what
// is left over, in a new order.
func (s *binSearch) anneal(order []int, limit int) bool {
	left := slices.Clone(s.fill(order, limit))
	now := s.leftOver(left)
	heat := 0.05
	for range 20000 {
		if len(left) == 0 {
			return true
		}
		if s.steps <= 0 || s.ctx.Err() != nil {
			return false
		}
		chosen := s.chooseBins()
		pool := s.pool(chosen, left)
		rest := s.refill(pool, len(chosen))
		then := s.leftOver(rest)
		if then <= now || s.random.Float64() < math.Exp((now-then)/heat) {
			for i, b := range chosen {
				s.trial[b], s.fresh[i] = s.fresh[i], s.trial[b]
			}
			left, now = append(left[:0], rest...), then
		}
		heat *= 0.9997
	}
	return len(left) == 0
}

// chooseBins picks one to three different bins.
func (s *binSearch) chooseBins() []int {
	n := min(1+s.random.IntN(3), len(s.trial))
	s.chosen = s.chosen[:0]
	for len(s.chosen) < n {
		b := s.random.IntN(len(s.trial))
		if !slices.Contains(s.chosen, b) {
			s.chosen = append(s.chosen, b)
		}
	}
	return s.chosen
}

// pool is what lies in the bins and what is left over, large ones first, with
// some luck.
func (s *binSearch) pool(bins, left []int) []int {
	s.weighed = s.weighed[:0]
	key := s.random.IntN(3)
	noise := s.random.Float64()
	add := func(i int) {
		it := s.items[i]
		w := float64(it.Length * it.Width)
		switch key {
		case 1:
			w = float64(max(it.Length, it.Width))
		case 2:
			w = float64(min(it.Length, it.Width))
		}
		s.weighed = append(s.weighed, weighed{i, w * (1 - noise*s.random.Float64())})
	}
	for _, b := range bins {
		for _, p := range s.trial[b] {
			add(p.item)
		}
	}
	for _, i := range left {
		add(i)
	}
	slices.SortStableFunc(s.weighed, func(a, b weighed) int { return cmp.Compare(b.weight, a.weight) })
	s.rest = s.rest[:0]
	for _, w := range s.weighed {
		s.rest = append(s.rest, w.item)
	}
	return s.rest
}

// refill packs the pool into n fresh bins and returns what is left over.
func (s *binSearch) refill(pool []int, n int) []int {
	for i := range n {
		s.spend(len(pool) + 1)
		pool = s.filler.fill(pool, pool)
		s.fresh[i] = append(s.fresh[i][:0], s.filler.boxes...)
	}
	return pool
}

// leftOver is the area left, in bins; a long item weighs more than its area.
func (s *binSearch) leftOver(left []int) float64 {
	var sum float64
	for _, i := range left {
		sum += float64(s.items[i].Length) * float64(s.items[i].Width)
	}
	return sum / float64(s.filler.length) / float64(s.filler.rim)
}

// result takes the spacing off again.
func (s *binSearch) result() BinsResult {
	r := BinsResult{Placements: make([]Placement, len(s.items)), Bins: len(s.best), LowerBound: s.lower}
	for n, boxes := range s.best {
		for _, b := range boxes {
			r.Placements[b.item] = Placement{Item: b.item, Bin: n, X: b.x + s.o.Margin, Y: b.y + s.o.Margin, Turned: b.turned}
		}
	}
	return r
}
