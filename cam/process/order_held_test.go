package process

import (
	"flag"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
)

// How many places in each of the kinds below; 2500 take a minute.
var heldPlaces = flag.Int("held", 120, "places in tours that are held against a lower bound")

// heldKarp is a lower bound of the length of any tour: a least 1-tree under prices of places, raised by
// subgradients (Held and Karp, "The traveling-salesman problem and minimum spanning trees: part II", 1971; steps
// that halve with halving periods and keep a part of the last direction after Volgenant and Jonker, 1982; both from memory).
func heldKarp(p []geometry.Point) float64 {
	n := len(p)
	price, before := make([]float64, n), make([]int, n)
	best, degrees := oneTree(p, price)
	step := best / float64(2*n)
	for period := max(n/2, 3000); period > 0 && !slices.Equal(degrees, slices.Repeat([]int{2}, n)); period, step = period/2, step/2 {
		for range period {
			for i, d := range degrees {
				price[i] += step * (0.7*float64(d-2) + 0.3*float64(before[i]))
				before[i] = d - 2
			}
			var bound float64
			bound, degrees = oneTree(p, price)
			best = max(best, bound)
		}
	}
	return best
}

// oneTree is the length of a least tree through all places but the first and of the two least ways to that one,
// less twice the prices; and how many ways each place has.
func oneTree(p []geometry.Point, price []float64) (float64, []int) {
	n := len(p)
	near, from, degrees := slices.Repeat([]float64{math.Inf(1)}, n), make([]int, n), make([]int, n)
	sum, ways := 0.0, make([]float64, 0, n)
	for i := range p {
		sum -= 2 * price[i]
		if i > 0 {
			ways = append(ways, p[0].DistanceTo(p[i])+price[0]+price[i])
		}
	}
	left := make([]int, 0, n)
	for i := 2; i < n; i++ {
		left = append(left, i)
	}
	for at := 1; len(left) > 0; {
		next := 0
		for k, i := range left {
			if d := p[i].DistanceTo(p[at]) + price[i] + price[at]; d < near[i] {
				near[i], from[i] = d, at
			}
			if near[i] < near[left[next]] {
				next = k
			}
		}
		at = left[next]
		left[next] = left[len(left)-1]
		left = left[:len(left)-1]
		sum += near[at]
		degrees[at]++
		degrees[from[at]]++
	}
	for range 2 {
		least := 0
		for i, d := range ways {
			if d < ways[least] {
				least = i
			}
		}
		sum += ways[least]
		degrees[0]++
		degrees[least+1]++
		ways[least] = math.Inf(1)
	}
	return sum, degrees
}

// Places of several kinds, by seeds on which nothing was tuned: no tour there is could be much shorter. The bound
// itself is most often 0.7 to 0.8 per cent below the best tour of scattered places (after a secondary text).
func TestToursAgainstALowerBound(t *testing.T) {
	if testing.Short() {
		t.Skip("the bound takes seconds")
	}
	for _, kind := range []struct {
		name   string
		places func(n int, seed uint64) []geometry.Point
	}{{"scattered", scattered}, {"heaps", heapsOf}, {"rows", rowsOf}} {
		for seed := uint64(1601); seed <= 1602; seed++ {
			points := kind.places(*heldPlaces, seed)
			length, least := closedLength(points, newRoute(points).improve()), heldKarp(points)
			t.Logf("%s, seed %d: %.2f per cent over its bound", kind.name, seed, 100*(length/least-1))
			assert.GreaterOrEqual(t, length, least*(1-1e-9))
			assert.Less(t, length, 1.03*least, "%s, seed %d", kind.name, seed)
		}
	}
}
