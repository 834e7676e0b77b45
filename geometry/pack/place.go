package pack

// box is an item in one of its two positions.
type box struct {
	item   int
	l, h   int64
	turned bool
}

// kind is a set of items of one size: the search takes any of them.
type kind struct {
	l, h  int64
	turn  bool // may also lie the other way
	items []int
}

// kinds groups items by size, turned alike when they may turn.
func kinds(items []Item) []kind {
	type key struct {
		l, h int64
		turn bool
	}
	at := map[key]int{}
	var list []kind
	for i, it := range items {
		k := key{it.Length, it.Width, !it.Fixed && it.Length != it.Width}
		if k.turn && k.l < k.h {
			k.l, k.h = k.h, k.l
		}
		n, ok := at[k]
		if !ok {
			n = len(list)
			at[k] = n
			list = append(list, kind{l: k.l, h: k.h, turn: k.turn})
		}
		list[n].items = append(list[n].items, i)
	}
	return list
}

// filler lays rectangles one by one along a skyline, in each gap the one that
// fits best and, of equals, the first in its order.
type filler struct {
	items  []Item
	length int64   // of the strip or bin
	rim    int64   // height that no item may pass
	turns  []bool  // of equally good ways to lie, whether an item takes the turned one; nil for none
	holes  []lying // where nothing may lie
	line   skyline
	boxes  []placed
}

// placed is a box that lies.
type placed struct {
	box
	x, y int64
}

func (f *filler) reset() {
	f.line = append(f.line[:0], segment{0, 0, f.length})
	f.boxes = f.boxes[:0]
}

// fill lays items in the given order of preference until none fits below the
// rim, and returns those left over, in their order.
func (f *filler) fill(order []int, left []int) (rest []int) {
	f.reset()
	rest = append(left[:0], order...)
	for len(rest) > 0 {
		i := f.line.lowest()
		if f.line[i].y >= f.rim {
			break
		}
		at, b, right := f.choose(i, rest)
		if at < 0 {
			if f.closeOff(i) {
				continue
			}
			if len(f.line) == 1 {
				break
			}
			f.line.raise(i, f.rim)
			continue
		}
		y := f.line[i].y
		x := f.line.put(i, b.l, b.h, right)
		f.boxes = append(f.boxes, placed{b, x, y})
		rest = append(rest[:at], rest[at+1:]...)
	}
	return rest
}

// choose finds the best box for segment i among the items of rest: its index,
// and whether it goes to the right end. -1 when none fits.
func (f *filler) choose(i int, rest []int) (at int, best box, right bool) {
	g := f.line[i]
	left, rightWall := f.line.walls(i, f.rim)
	room := f.rim - g.y
	at, score := -1, -1
	var last Item
	for k, item := range rest {
		it := f.items[item]
		if k > 0 && it == last {
			continue // of equals, the first
		}
		last = it
		for turn := range 2 {
			b := box{item, it.Length, it.Width, false}
			if turn == 1 {
				if it.Fixed || it.Length == it.Width {
					break
				}
				b = box{item, it.Width, it.Length, true}
			}
			if b.l > g.length || b.h > room {
				continue
			}
			s, r := fitness(b, g.length, left, rightWall)
			if f.holes != nil && !f.free(g, b, r) {
				if r = !r; !f.free(g, b, r) {
					continue
				}
			}
			if s > score || s == score && b.turned && at == k && f.turns != nil && f.turns[item] {
				at, best, right, score = k, b, r, s
			}
		}
		if score == bestFitness {
			break
		}
	}
	return at, best, right
}

// bestFitness is a box that fills its gap and is level with the higher wall.
const bestFitness = 7

// fitness scores a box in a gap: how many of its sides meet others exactly. It
// goes to the end whose wall it matches, else to the higher wall.
func fitness(b box, length, left, right int64) (score int, toRight bool) {
	high, low := max(left, right), min(left, right)
	toRight = right > left
	if b.l == length {
		switch {
		case b.h == high:
			return 7, false
		case b.h == low:
			return 6, false
		case b.h > high:
			return 5, false
		}
		return 4, false
	}
	switch {
	case b.h == high:
		return 3, toRight
	case b.h == low:
		return 2, !toRight
	}
	return 1, toRight
}

// top is the height of what lies.
func (f *filler) top() int64 { return f.line.top() }
