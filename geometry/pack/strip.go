package pack

import (
	"cmp"
	"context"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// StripResult is a packing of a strip.
type StripResult struct {
	Placements []Placement // one for each item, in the items' order
	Height     int64
	LowerBound int64 // no packing is lower: by area and by the longest sides
}

// Strip places every item in a strip of the given length, as low as the search
// finds. When ctx ends, the best so far is returned.
func Strip(ctx context.Context, items []Item, length int64, o Options) (StripResult, error) {
	if err := checkItems(items, length, maxLength, o); err != nil {
		return StripResult{}, err
	}
	s := newStripSearch(ctx, items, length, o)
	s.run()
	r := s.result()
	if err := verify(items, r.Placements, []room{{length: length, width: r.Height}}, o); err != nil {
		return StripResult{}, err
	}
	return r, nil
}

// stripSearch looks for a low strip. Items and length include the spacing.
type stripSearch struct {
	budget
	items  []Item
	o      Options
	filler filler
	random *rand.Rand
	lower  int64
	best   []placed
	height int64
}

func newStripSearch(ctx context.Context, items []Item, length int64, o Options) *stripSearch {
	if o.Steps == 0 {
		o.Steps = defaultSteps
	}
	grown := make([]Item, len(items))
	for i, it := range items {
		grown[i] = Item{it.Length + o.Spacing, it.Width + o.Spacing, it.Fixed}
	}
	length += o.Spacing - 2*o.Margin
	return &stripSearch{
		budget: budget{ctx, o.Steps}, items: grown, o: o,
		filler: filler{items: grown, length: length, rim: noRim},
		random: rand.New(rand.NewPCG(o.Seed, 1)),
		lower:  stripBound(grown, length),
		height: noRim,
	}
}

// noRim is higher than any strip gets.
const noRim = math.MaxInt64 / 2

// stripBound is the least height: area over length, and the items that can lie
// neither beside each other nor lower.
func stripBound(items []Item, length int64) int64 {
	var tallest, alone int64
	for _, it := range items {
		low, wide := it.Width, it.Length
		if !it.Fixed && it.Width <= length && it.Length <= length && it.Length < low {
			low = it.Length
		}
		if !it.Fixed && it.Length > length {
			low, wide = it.Length, it.Width
		}
		tallest = max(tallest, low)
		short := wide
		if !it.Fixed {
			short = min(it.Length, it.Width)
		}
		if 2*short > length {
			alone += low
		}
	}
	full, _ := fullHeight(items, length)
	return max(tallest, alone, full)
}

// fullHeight is the least height by area alone, and whether a strip of that
// height has no waste. Areas of many items outgrow 64 bits.
func fullHeight(items []Item, length int64) (height int64, whole bool) {
	var high, low, carry uint64
	for _, it := range items {
		h, l := bits.Mul64(uint64(it.Length), uint64(it.Width))
		low, carry = bits.Add64(low, l, 0)
		high += h + carry
	}
	full, rest := bits.Div64(high, low, uint64(length))
	if rest > 0 {
		return int64(full) + 1, false
	}
	return int64(full), true
}

// firstSlice is how many steps the first look takes; each further one takes
// twice as many, so that a search that is cut short by the clock has had its
// share of both ways of looking.
const firstSlice = 100_000

// run tries the plain orders, then by turns a packing without waste and a
// search that swaps items in the plain orders.
func (s *stripSearch) run() {
	orders := sortedOrders(s.items)
	for _, order := range orders {
		s.try(order)
	}
	full, whole := fullHeight(s.items, s.filler.length)
	mayFill := whole && full == s.lower
	for slice := firstSlice; s.goesOn(); slice = min(2*slice, math.MaxInt/2) {
		until := s.steps - slice
		if mayFill {
			mayFill = s.withoutWaste(min(slice, s.steps) / 2)
		}
		for s.goesOn() && s.steps > until {
			s.anneal(slices.Clone(orders[s.random.IntN(len(orders))]))
		}
	}
}

// goesOn reports whether there is anything to gain and budget to gain it with.
func (s *stripSearch) goesOn() bool {
	return s.height > s.lower && s.steps > 0 && s.ctx.Err() == nil
}

// sortedOrders are the orders that a person would try: by area, longest side,
// outline, shorter side, all falling.
func sortedOrders(items []Item) [][]int {
	keys := []func(Item) int64{
		func(it Item) int64 { return it.Length * it.Width },
		func(it Item) int64 { return max(it.Length, it.Width) },
		func(it Item) int64 { return it.Length + it.Width },
		func(it Item) int64 { return min(it.Length, it.Width) },
		func(it Item) int64 { return it.Length },
		func(it Item) int64 { return it.Width },
	}
	var orders [][]int
	for _, key := range keys {
		order := make([]int, len(items))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(key(items[b]), key(items[a])) })
		orders = append(orders, order)
	}
	return orders
}

// try fills the strip in an order and keeps it when it is the lowest so far.
func (s *stripSearch) try(order []int) int64 {
	s.spend(len(order))
	s.filler.fill(order, nil)
	top := s.filler.top()
	if top < s.height {
		s.height = top
		s.best = append(s.best[:0], s.filler.boxes...)
	}
	return top
}

// anneal swaps two items at a time and keeps a worse order now and then, less
// and less so: simulated annealing.
func (s *stripSearch) anneal(order []int) {
	now := s.cost(order)
	const rounds = 3000
	heat := 0.02
	for range rounds {
		if !s.goesOn() {
			return
		}
		a, b := s.random.IntN(len(order)), s.random.IntN(len(order))
		order[a], order[b] = order[b], order[a]
		then := s.cost(order)
		if then > now && s.random.Float64() > math.Exp((now-then)/heat) {
			order[a], order[b] = order[b], order[a]
		} else {
			now = then
		}
		heat *= 0.998
	}
}

// cost is the height in parts of the lower bound; of equal heights, the one
// with less foam in its topmost boxes is nearer to a lower one.
func (s *stripSearch) cost(order []int) float64 {
	top := s.try(order)
	var high int64
	for _, g := range s.filler.line {
		if g.y == top {
			high += g.length
		}
	}
	return (float64(top) + float64(high)/float64(s.filler.length)) / float64(s.lower)
}

// result takes the spacing off again.
func (s *stripSearch) result() StripResult {
	r := StripResult{
		Placements: make([]Placement, len(s.items)),
		Height:     max(0, s.height-s.o.Spacing) + 2*s.o.Margin,
		LowerBound: max(0, s.lower-s.o.Spacing) + 2*s.o.Margin,
	}
	if len(s.items) == 0 {
		r.Height = 2 * s.o.Margin
	}
	for _, b := range s.best {
		r.Placements[b.item] = Placement{Item: b.item, X: b.x + s.o.Margin, Y: b.y + s.o.Margin, Turned: b.turned}
	}
	return r
}
