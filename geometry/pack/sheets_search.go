package pack

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// sortByPrice puts the sheets that cost least for their area first.
func sortByPrice(sheets []Sheet) {
	slices.SortStableFunc(sheets, func(a, b Sheet) int {
		return cmp.Compare(float64(a.Cost)*b.area(), float64(b.Cost)*a.area())
	})
}

// sheetCut is a sheet that is cut up, and what lies on it.
type sheetCut struct {
	kind   int
	boxes  []placed // from where the margin ends at the lower left, or would
	area   float64  // of what lies on it
	turned bool     // it lies with its length along Y, to be parted
	panels []Panel  // nil where no sheet is parted
}

// sheetSearch looks for cheap sheets: it empties one to three of them at a time and fills
// others from what lay there and what is left over, at no more than a cost that falls with
// each packing that leaves nothing over. The idea of a falling cost is that of J. Gardeyn,
// T. Wauters, "A goal-driven ruin and recreate heuristic for the 2D variable-sized bin
// packing problem with guillotine constraints", European Journal of Operational Research
// 301 (2022) 432-444 (from memory). Items and sheets include the spacing.
type sheetSearch struct {
	budget
	sheets  []Sheet // what of each is for items
	whole   []Sheet
	o       Options
	random  *rand.Rand
	holes   [][2][]lying // in each of them, for the fillers
	fillers [2]filler    // along X, and with X and Y exchanged
	lower   int64
	best    []sheetCut
	found   bool

	now  []sheetCut
	used []int // of each kind of sheet, in now
	cost int64 // of now
	left []int

	weighed []weighed
	scratch []int
	kinds   []int
	turns   []bool // of items, for the fillers
}

func newSheetSearch(ctx context.Context, items []Item, sheets []Sheet, o Options) *sheetSearch {
	if o.Steps == 0 {
		o.Steps = defaultSteps
	}
	s := &sheetSearch{budget: budget{ctx, o.Steps}, whole: sheets, o: o, random: rand.New(rand.NewPCG(o.Seed, 3)), used: make([]int, len(sheets))}
	for _, it := range items {
		l, w := it.Length+o.Spacing, it.Width+o.Spacing
		s.fillers[0].items = append(s.fillers[0].items, Item{l, w, it.Fixed})
		s.fillers[1].items = append(s.fillers[1].items, Item{w, l, it.Fixed})
	}
	s.turns = make([]bool, len(items))
	s.fillers[0].turns, s.fillers[1].turns = s.turns, s.turns
	for _, sheet := range sheets {
		sheet.Length += o.Spacing - 2*o.Margin
		sheet.Width += o.Spacing - 2*o.Margin
		if sheet.Length <= 0 || sheet.Width <= 0 {
			sheet.Count = 0
		}
		s.sheets = append(s.sheets, sheet)
		s.holes = append(s.holes, [2][]lying{o.holesIn(sheet.Taken, false), o.holesIn(sheet.Taken, true)})
	}
	s.lower = s.bound(items)
	return s
}

// costOf is what a sheet costs with its panels.
func (s *sheetSearch) costOf(c sheetCut) int64 {
	cost := s.sheets[c.kind].Cost
	if whole := s.whole[c.kind]; s.o.Parting.Share {
		area := 0.0
		for _, p := range c.panels {
			area += float64(p.Length) * float64(p.Width)
		}
		cost = int64(float64(cost) * area / whole.area())
	}
	return cost + int64(max(1, len(c.panels)))*s.o.Parting.Cost
}

// run reports whether a packing was found. First the cost does not matter.
func (s *sheetSearch) run() bool {
	limit := int64(math.MaxInt64)
	for {
		s.restart(limit)
		for s.improve(limit) {
			s.keep()
			if s.cost <= s.lower {
				s.polish()
				return true
			}
			limit = s.cost - 1
			s.shrink(limit)
		}
		if s.steps <= 0 || s.ctx.Err() != nil {
			return s.found
		}
	}
}

// restart begins with an empty floor.
func (s *sheetSearch) restart(limit int64) {
	s.now, s.cost = nil, 0
	clear(s.used)
	s.left = s.left[:0]
	for i := range s.fillers[0].items {
		s.left = append(s.left, i)
	}
	s.left = s.refill(s.pool(s.left), limit)
}

// keep takes what lies now as the best.
func (s *sheetSearch) keep() {
	s.found = true
	s.best = make([]sheetCut, len(s.now))
	for i, c := range s.now {
		c.boxes, c.panels = slices.Clone(c.boxes), slices.Clone(c.panels)
		s.best[i] = c
	}
}

// shrink takes sheets away until what is left costs no more than a limit: those whose
// boxes cover least for their cost first.
func (s *sheetSearch) shrink(limit int64) {
	if p := s.o.Parting; p.Cost > 0 && s.random.IntN(2) == 0 { // one panel less, or a sheet
		s.fewerPanels(limit)
	}
	for s.cost > limit {
		worst := 0
		for i, c := range s.now {
			w := s.now[worst]
			if c.area*float64(s.costOf(w)) < w.area*float64(s.costOf(c)) {
				worst = i
			}
		}
		s.left = s.remove(worst, s.left)
	}
	s.left = s.refill(s.pool(s.left), limit)
}

// remove takes a sheet away and adds what lay on it to a list.
func (s *sheetSearch) remove(i int, list []int) []int {
	c := s.now[i]
	for _, b := range c.boxes {
		list = append(list, b.item)
	}
	s.used[c.kind]--
	s.cost -= s.costOf(c)
	s.now = slices.Delete(s.now, i, i+1)
	return list
}

// improve changes what lies until nothing is left over, at no more than a cost. It gives
// up after a while, for another start.
func (s *sheetSearch) improve(limit int64) bool {
	whole := s.meanArea()
	heat := 0.1
	for range 4000 {
		if len(s.left) == 0 {
			return true
		}
		if !s.spend(1) {
			return false
		}
		before := s.snapshot()
		then := s.areaOf(s.left)
		s.change(limit)
		if now := s.areaOf(s.left); s.cost > limit || now > then && s.random.Float64() >= math.Exp((then-now)/whole/heat) {
			s.restore(before)
		}
		heat *= 0.999
	}
	return len(s.left) == 0
}

// change empties one to three sheets, and fills others.
func (s *sheetSearch) change(limit int64) {
	if s.o.Parting.Reach != [2]int64{} && len(s.now) > 0 && s.random.IntN(2) == 0 {
		s.changePanels(limit)
		return
	}
	pool := append(s.scratch[:0], s.left...)
	for range min(1+s.random.IntN(3), len(s.now)) {
		pool = s.remove(s.random.IntN(len(s.now)), pool)
	}
	s.scratch = pool
	s.left = slices.Clone(s.refill(s.pool(pool), limit))
}

// state is what a change may be taken back to.
type state struct {
	now  []sheetCut
	used []int
	cost int64
	left []int
}

func (s *sheetSearch) snapshot() state {
	return state{slices.Clone(s.now), slices.Clone(s.used), s.cost, s.left}
}

func (s *sheetSearch) restore(b state) { s.now, s.used, s.cost, s.left = b.now, b.used, b.cost, b.left }

func (s *sheetSearch) meanArea() float64 {
	sum := 0.0
	for _, sheet := range s.sheets {
		sum += sheet.area()
	}
	return sum / float64(len(s.sheets))
}

func (s *sheetSearch) areaOf(list []int) float64 {
	sum := 0.0
	for _, i := range list {
		it := s.fillers[0].items[i]
		sum += float64(it.Length) * float64(it.Width)
	}
	return sum
}

// pool is a list of items, large ones first, with some luck.
func (s *sheetSearch) pool(list []int) []int {
	s.weighed = s.weighed[:0]
	key, noise := s.random.IntN(3), s.random.Float64()
	s.turnSome(list)
	for _, i := range list {
		it := s.fillers[0].items[i]
		w := float64(it.Length) * float64(it.Width)
		switch key {
		case 1:
			w = float64(max(it.Length, it.Width))
		case 2:
			w = float64(min(it.Length, it.Width))
		}
		s.weighed = append(s.weighed, weighed{i, w * (1 - noise*s.random.Float64())})
	}
	slices.SortStableFunc(s.weighed, func(a, b weighed) int { return cmp.Compare(b.weight, a.weight) })
	pool := make([]int, len(s.weighed))
	for n, w := range s.weighed {
		pool[n] = w.item
	}
	return pool
}

// turnSome lets some of the items lie the other way where both ways are as good: equal ones fill a
// sheet in no other way but some along it and some across.
func (s *sheetSearch) turnSome(list []int) {
	some := s.random.IntN(2) == 1
	for _, i := range list {
		s.turns[i] = some && s.random.IntN(2) == 1
	}
}

// refill cuts up sheets for what is in the pool, one by one, as long as one is to be had
// for no more than the limit, and returns what is left over. Once there is a packing, it ends with the budget.
func (s *sheetSearch) refill(pool []int, limit int64) []int {
	for len(pool) > 0 && !(s.found && s.steps <= 0) {
		c, rest, ok := s.fillOne(pool, limit, s.some(limit))
		if !ok {
			c, rest, ok = s.fillOne(pool, limit, s.affordable(limit))
		}
		if !ok {
			break
		}
		s.now = append(s.now, c)
		s.used[c.kind]++
		s.cost += s.costOf(c)
		pool = rest
	}
	return pool
}

// result takes the spacing off again.
func (s *sheetSearch) result() SheetsResult {
	r := SheetsResult{Placements: make([]Placement, len(s.fillers[0].items)), LowerBound: s.lower}
	parted := s.o.Parting.Reach != [2]int64{}
	for n, c := range s.best {
		r.Used = append(r.Used, c.kind)
		r.Cost += s.costOf(c)
		if parted {
			r.Panels, r.Laid = append(r.Panels, c.panels), append(r.Laid, c.turned)
		}
		for _, b := range c.boxes {
			r.Placements[b.item] = Placement{Item: b.item, Bin: n, X: b.x + s.o.Margin, Y: b.y + s.o.Margin, Turned: b.turned}
		}
	}
	return r
}
