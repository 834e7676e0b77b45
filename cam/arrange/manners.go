package arrange

import (
	"cmp"
	"math/rand/v2"
	"slices"

	"traywright/geometry/units"
)

// manner is how a search goes about a room.
type manner struct {
	order  []int // of the kinds
	upward bool  // fills column by column instead of row by row
	rank   int   // the lower the tidier
}

// shuffled is the rank of an order that is nobody's.
const shuffled = 4

// manners are the orders in which kinds are placed: as they come, which keeps
// groups together and in reading order; the widest first within each group; the
// largest first; then shuffled ones.
func manners(kinds []kind, try int, random *rand.Rand) []manner {
	plain := make([]int, len(kinds))
	for i := range plain {
		plain[i] = i
	}
	sorted := func(less func(a, b int) int) []int {
		list := slices.Clone(plain)
		slices.SortStableFunc(list, less)
		return list
	}
	group := map[string]int{}
	for _, k := range kinds {
		if _, ok := group[k.piece.Group]; !ok {
			group[k.piece.Group] = len(group)
		}
	}
	long := func(i int) units.Length { return max(kinds[i].needs[0].Length, kinds[i].needs[0].Width) }
	area := func(i int) float64 { return kinds[i].needs[0].Area() * float64(kinds[i].count) }
	inGroup := sorted(func(a, b int) int {
		return cmp.Or(cmp.Compare(group[kinds[a].piece.Group], group[kinds[b].piece.Group]), cmp.Compare(long(b), long(a)))
	})
	longest := sorted(func(a, b int) int { return cmp.Compare(long(b), long(a)) })
	largest := sorted(func(a, b int) int { return cmp.Compare(area(b), area(a)) })
	var list []manner
	for rank, order := range [][]int{plain, inGroup, longest, largest} {
		list = append(list, manner{order, false, rank}, manner{order, true, rank})
	}
	for i := range try {
		order := slices.Clone(longest)
		for range 1 + len(order)/4 {
			a, b := random.IntN(max(1, len(order))), random.IntN(max(1, len(order)))
			if len(order) > 0 {
				order[a], order[b] = order[b], order[a]
			}
		}
		list = append(list, manner{order, i%2 == 1, shuffled})
	}
	return list
}
