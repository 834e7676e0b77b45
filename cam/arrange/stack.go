package arrange

import (
	"maps"
	"slices"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// option is one way to make a part of a stack: its sheets, top to bottom, and
// what it costs.
type option struct {
	layers []job.Layer
	height units.Length
	cost   float64
}

const (
	// fillerCost keeps filler sheets out of a stack that adds up without them,
	// and gluedCost pads of two sheets out of one that adds up with one; both are
	// far above the grams that foam costs.
	fillerCost = 1e9
	gluedCost  = 1e6
)

// sheets are single stock sheets of a foam, each as one option, and, where
// glued is set, pairs of them. The cost is the grams of an area in mm2.
func sheets(f supply, least units.Length, areaMM2, extra float64, glued bool) []option {
	grams := func(l units.Length) float64 { return l.MM() * areaMM2 * f.DensityKgM3.Value * 1e-6 }
	var list []option
	for i, s := range f.Thicknesses {
		list = append(list, f.ofSheets(extra+grams(s), s))
		for _, u := range f.Thicknesses[:i+1] {
			if glued {
				list = append(list, f.ofSheets(extra+gluedCost+grams(s+u), s, u))
			}
		}
	}
	return slices.DeleteFunc(list, func(o option) bool { return o.deep() < least })
}

// reached is the cheapest way to a height.
type reached struct {
	cost float64
	from units.Length // the height without the last part
	pick int
}

// stackUp picks one option for each part, so that the heights add up to the
// whole exactly, as cheaply as can be; where nothing does, to the largest height
// below. The sums are whole nanometres. False where even the lowest options are
// too high.
func stackUp(parts [][]option, whole units.Length) (picked []option, ok bool) {
	ways := make([]map[units.Length]reached, 0, len(parts)+1)
	ways = append(ways, map[units.Length]reached{0: {}})
	for _, options := range parts {
		next := map[units.Length]reached{}
		last := ways[len(ways)-1]
		for _, h := range slices.Sorted(maps.Keys(last)) {
			for i, o := range options {
				sum, cost := h+o.height, last[h].cost+o.cost
				if sum > whole {
					continue
				}
				if old, there := next[sum]; !there || cost < old.cost {
					next[sum] = reached{cost, h, i}
				}
			}
		}
		ways = append(ways, next)
	}
	sums := slices.Sorted(maps.Keys(ways[len(parts)]))
	if len(sums) == 0 {
		return nil, false
	}
	picked = make([]option, len(parts))
	for i, h := len(parts), sums[len(sums)-1]; i > 0; i-- {
		r := ways[i][h]
		picked[i-1], h = parts[i-1][r.pick], r.from
	}
	return picked, true
}

// lowest is the least height that the parts can have.
func lowest(parts [][]option) units.Length {
	var sum units.Length
	for _, options := range parts {
		if len(options) == 0 {
			continue
		}
		sum += slices.MinFunc(options, func(a, b option) int { return int(min(1, max(-1, a.height-b.height))) }).height
	}
	return sum
}
