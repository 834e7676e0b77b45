package plan

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry"
	"traywright/profiles"
)

// usesTools is a sheet that takes those tools one after the other, the last for its outline, roughed where seconds are saved.
func usesTools(seconds float64, numbers ...int) Sheet {
	tool := func(n int) profiles.Tool { return profiles.Tool{ID: string(rune('a' + n)), Number: n} }
	last := len(numbers) - 1
	s := Sheet{Edge: Cut{Tool: tool(numbers[last]), Shape: geometry.NewRegion(geometry.Circle(geometry.Point{}, 5))}, Turns: numbers[:last]}
	if seconds > 0 {
		s.Roughing = Roughing{Tool: tool(numbers[0]), CutSeconds: seconds}
	}
	return s
}

// By hand. A base that tool 1 makes all of, and a tray whose pockets it makes and whose outline is 2's: after the base the
// tray begins with 1, and takes one change. Roughed by 2, it begins with that: 1, 2, 1, 2 are two changes more. Three trays
// in a row change back twice without roughing, 1 2 1 2 1 2, and not with it, 2 1 2 2 1 2 2 1 2: five and six, and one from or to the base in
// either order with it.
func TestRoughingIsDecidedForTheJob(t *testing.T) {
	for name, c := range map[string]struct {
		sheets []*Roughable
		rough  []bool
		saved  float64
	}{
		"a tray alone, one change more": {[]*Roughable{{1, []Sheet{usesTools(0, 1, 2), usesTools(300, 2, 1, 2)}}}, []bool{true}, 120},
		"after a base, two more":        {[]*Roughable{{1, []Sheet{usesTools(0, 1)}}, {1, []Sheet{usesTools(0, 1, 2), usesTools(300, 2, 1, 2)}}}, []bool{false, false}, 0},
		"three times, one more and one at the base": {[]*Roughable{{1, []Sheet{usesTools(0, 1)}}, {3, []Sheet{usesTools(0, 1, 2), usesTools(300, 2, 1, 2)}}},
			[]bool{false, true}, 900 - 360},
		"less than a minute each time":                 {[]*Roughable{{5, []Sheet{usesTools(0, 2), usesTools(59, 2)}}}, []bool{false}, 0},
		"behind a sheet of the larger tool, none more": {[]*Roughable{{1, []Sheet{usesTools(0, 1), usesTools(70, 2, 1)}}, {1, []Sheet{usesTools(0, 2)}}}, []bool{true, false}, 70},
	} {
		t.Run(name, func(t *testing.T) {
			assert.InDelta(t, c.saved, SettleRoughings(c.sheets), 1e-6)
			for i, s := range c.sheets {
				assert.Len(t, s.Ways, 1)
				assert.Equal(t, c.rough[i], s.Ways[0].Roughing.Tool.ID != "", i)
			}
		})
	}
}

// Whatever the sheets, a job with the roughings that are settled for it takes no longer than without, nor than with all of
// them, nor than with any one sheet made otherwise, by changes that are counted over every order of the sheets.
func TestNoRoughingIsSettledThatCostsMore(t *testing.T) {
	best, total := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		var sheets []*Roughable
		for range rapid.IntRange(1, 5).Draw(t, "sheets") {
			s := &Roughable{Times: rapid.IntRange(1, 3).Draw(t, "times")}
			for k := range rapid.IntRange(1, 3).Draw(t, "ways") {
				tools := rapid.SliceOfN(rapid.IntRange(1, 3), 1, 4).Draw(t, "tools")
				s.Ways = append(s.Ways, usesTools(float64(k)*rapid.Float64Range(1, 400).Draw(t, "seconds"), tools...))
			}
			sheets = append(sheets, s)
		}
		was := make([]Roughable, len(sheets))
		for i, s := range sheets {
			was[i] = *s
		}
		saved := SettleRoughings(sheets)
		plain, now := make([]Sheet, len(sheets)), make([]Sheet, len(sheets))
		for i, s := range sheets {
			plain[i], now[i] = was[i].Ways[0], s.Ways[0]
		}
		least := countedSeconds(was, now, leastSaved)
		assert.InDelta(t, countedSeconds(was, plain, 0)-countedSeconds(was, now, 0), saved, 1e-6)
		assert.LessOrEqual(t, least, countedSeconds(was, plain, leastSaved)+1e-6)
		for i := range was {
			for _, way := range was[i].Ways {
				other := slices.Clone(now)
				other[i] = way
				assert.LessOrEqual(t, least, countedSeconds(was, other, leastSaved)+1e-6)
			}
		}
		total++
		if least < everyWay(was, nil)+1e-6 {
			best++
		}
	})
	assert.GreaterOrEqual(t, float64(best), 0.9*float64(total), "most often the best of all: %d of %d", best, total)
}

// everyWay is the least time of all ways.
func everyWay(list []Roughable, so []Sheet) float64 {
	if len(so) == len(list) {
		return countedSeconds(list, so, leastSaved)
	}
	least := math.Inf(1)
	for _, way := range list[len(so)].Ways {
		least = min(least, everyWay(list, append(slices.Clone(so), way)))
	}
	return least
}

// countedSeconds is the time of sheets made so, in the order that is best for them, each as often as it is cut.
func countedSeconds(list []Roughable, so []Sheet, margin float64) float64 {
	sum, numbers := 0.0, []int{}
	for i, s := range so {
		numbers = append(numbers, i)
		if s.Roughing.Tool.ID != "" {
			sum += float64(list[i].Times) * (margin - s.Roughing.CutSeconds)
		}
	}
	least := math.MaxInt
	for _, order := range orders(numbers) {
		var all []int
		for _, i := range order {
			for range list[i].Times {
				all = append(append(all, so[i].Turns...), so[i].Edge.Tool.Number)
			}
		}
		least = min(least, len(slices.Compact(all))-1)
	}
	return sum + ChangeSeconds*float64(least)
}
