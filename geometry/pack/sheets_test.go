package pack

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// requireOnSheets holds a packing against its promise by all pairs, sheet by sheet, and
// counts what it costs.
func requireOnSheets(t require.TestingT, items []Item, sheets []Sheet, r SheetsResult, o Options) {
	require.Len(t, r.Placements, len(items))
	used, cost := map[int]int{}, int64(0)
	for n, kind := range r.Used {
		used[kind]++
		cost += sheets[kind].Cost
		require.LessOrEqual(t, used[kind], sheets[kind].Count, "of sheet %d there are no more", kind)
		var lie []lying
		for i, p := range r.Placements {
			require.Equal(t, i, p.Item)
			if p.Bin != n {
				continue
			}
			l, w := items[i].Length, items[i].Width
			if p.Turned {
				require.False(t, items[i].Fixed)
				l, w = w, l
			}
			require.True(t, p.X >= o.Margin && p.Y >= o.Margin && p.X+l <= sheets[kind].Length-o.Margin && p.Y+w <= sheets[kind].Width-o.Margin, "item %d sticks out", i)
			for _, q := range lie {
				apart := p.X >= q.x1+o.Spacing || q.x0 >= p.X+l+o.Spacing || p.Y >= q.y1+o.Spacing || q.y0 >= p.Y+w+o.Spacing
				require.True(t, apart, "items %d and %d are too near", i, q.item)
			}
			lie = append(lie, lying{i, p.X, p.Y, p.X + l, p.Y + w})
		}
		require.NotEmpty(t, lie, "a sheet is cut up for nothing")
	}
	for i, p := range r.Placements {
		require.True(t, p.Bin >= 0 && p.Bin < len(r.Used), "item %d lies nowhere", i)
	}
	require.Equal(t, cost, r.Cost)
	require.GreaterOrEqual(t, cost, r.LowerBound)
}

// Sheets that are cut up wholly, among others that nobody needs: what was cut up holds all,
// so it is found or something as cheap, and no bound is above it. Spacing is lost at each cut.
func TestSheetsThatWereCutUp(t *testing.T) {
	all, met := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		o := Options{
			Spacing: rapid.Int64Range(0, 2).Draw(t, "spacing"), Margin: rapid.Int64Range(0, 2).Draw(t, "margin"),
			Seed: rapid.Uint64().Draw(t, "seed"), Steps: 60_000,
		}
		side := rapid.Int64Range(2, 12)
		var items []Item
		var sheets []Sheet
		planted := int64(0)
		for range rapid.IntRange(1, 3).Draw(t, "sheets") {
			l, w := side.Draw(t, "length"), side.Draw(t, "width")
			s := Sheet{l*(1+o.Spacing) - o.Spacing + 2*o.Margin, w*(1+o.Spacing) - o.Spacing + 2*o.Margin, l * w, 1, false, nil}
			sheets = append(sheets, s)
			planted += s.Cost
			for _, it := range cutUp(t, l, w, 2) { // in units of a piece and its spacing
				items = append(items, Item{it.Length*(1+o.Spacing) - o.Spacing, it.Width*(1+o.Spacing) - o.Spacing, it.Fixed})
			}
		}
		for range rapid.IntRange(0, 3).Draw(t, "others") {
			l, w := side.Draw(t, "other length"), side.Draw(t, "other width")
			sheets = append(sheets, Sheet{l + 2*o.Margin, w + 2*o.Margin, rapid.Int64Range(1, 300).Draw(t, "cost"), rapid.IntRange(0, 3).Draw(t, "count"), false, nil})
		}
		r, err := Sheets(context.Background(), items, sheets, o)
		all++
		if err != nil {
			require.ErrorIs(t, err, ErrTooFewSheets)
			return
		}
		requireOnSheets(t, items, sheets, r, o)
		require.LessOrEqual(t, r.LowerBound, planted)
		if r.Cost <= planted {
			met++
		}
	})
	assert.Greater(t, met, all*3/4)
}

// The bound by areas is the least of all choices of sheets, and none is below the one in parts.
func TestCoverBoundIsTheLeastOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sheets []Sheet
		for range rapid.IntRange(1, 4).Draw(t, "kinds") {
			sheets = append(sheets, Sheet{rapid.Int64Range(1, 9).Draw(t, "length"), rapid.Int64Range(1, 9).Draw(t, "width"), rapid.Int64Range(0, 40).Draw(t, "cost"), rapid.IntRange(0, 3).Draw(t, "count"), false, nil})
		}
		area := float64(rapid.Int64Range(0, 250).Draw(t, "area"))
		least := int64(math.MaxInt64)
		var try func(from int, area float64, cost int64)
		try = func(from int, area float64, cost int64) {
			if area <= 0 {
				least = min(least, cost)
			}
			if from == len(sheets) {
				return
			}
			for n := range sheets[from].Count + 1 {
				try(from+1, area-float64(n)*sheets[from].area(), cost+int64(n)*sheets[from].Cost)
			}
		}
		try(0, area, 0)
		require.Equal(t, least, coverBound(sheets, area))
	})
}

// By hand: three squares of 60 lie on no sheet of 100 together, and the cheapest that holds
// one costs 70, though their area would go onto two sheets of 100.
func TestItemsThatLieAlone(t *testing.T) {
	items := []Item{{60, 60, false}, {60, 60, false}, {60, 60, true}}
	sheets := []Sheet{{100, 100, 90, 5, false, nil}, {60, 70, 70, 5, false, nil}, {50, 90, 1, 9, false, nil}}
	r, err := Sheets(context.Background(), items, sheets, Options{})
	require.NoError(t, err)
	assert.EqualValues(t, 210, r.LowerBound)
	assert.EqualValues(t, 210, r.Cost)
	assert.Equal(t, []int{1, 1, 1}, r.Used)
}

// Offcuts that cost nothing come first, then the least cost; the spacing is kept between
// items and not at a rim (two of 100 and a kerf of 3 lie on 203), the margin all round.
func TestSheetsByHand(t *testing.T) {
	two := []Item{{100, 100, false}, {100, 100, false}}
	for _, c := range []struct {
		name   string
		items  []Item
		sheets []Sheet
		o      Options
		cost   int64
		used   []int
	}{
		{"kerf fits", two, []Sheet{{203, 100, 5, 1, false, nil}, {300, 300, 9, 1, false, nil}}, Options{Spacing: 3}, 5, []int{0}},
		{"kerf does not", two, []Sheet{{202, 100, 5, 1, false, nil}, {300, 300, 9, 1, false, nil}}, Options{Spacing: 3}, 9, []int{1}},
		{"margin fits", two, []Sheet{{206, 104, 5, 1, false, nil}, {300, 300, 9, 1, false, nil}}, Options{Spacing: 2, Margin: 2}, 5, []int{0}},
		{"margin does not", two, []Sheet{{206, 103, 5, 1, false, nil}, {300, 300, 9, 1, false, nil}}, Options{Spacing: 2, Margin: 2}, 9, []int{1}},
		{"an offcut first", two, []Sheet{{300, 300, 9, 9, false, nil}, {110, 110, 0, 1, false, nil}, {120, 120, 4, 2, false, nil}}, Options{}, 4, []int{1, 2}},
		{"not turned", []Item{{30, 90, true}}, []Sheet{{90, 30, 1, 1, false, nil}, {40, 100, 3, 1, false, nil}}, Options{}, 3, []int{1}},
		{"turned", []Item{{30, 90, false}}, []Sheet{{90, 30, 1, 1, false, nil}, {40, 100, 3, 1, false, nil}}, Options{}, 1, []int{0}},
		{"nothing to place", nil, []Sheet{{90, 30, 1, 1, false, nil}}, Options{}, 0, nil},
	} {
		r, err := Sheets(context.Background(), c.items, c.sheets, c.o)
		require.NoError(t, err, c.name)
		requireOnSheets(t, c.items, c.sheets, r, c.o)
		slices.Sort(r.Used)
		assert.Equal(t, c.cost, r.Cost, c.name)
		assert.Equal(t, c.used, r.Used, c.name)
	}
}

func TestSheetsRefuse(t *testing.T) {
	one := []Item{{10, 10, false}}
	for says, c := range map[string]struct {
		items  []Item
		sheets []Sheet
		o      Options
	}{
		"the sheets do not hold all items":           {slices.Repeat(one, 5), []Sheet{{20, 20, 1, 1, false, nil}}, Options{Steps: 2000}},
		"item 0, 10 x 10: the sheets do not hold":    {one, []Sheet{{20, 20, 1, 0, false, nil}}, Options{}},
		"item 0: on no sheet: item 0, 10 x 10":       {one, []Sheet{{20, 9, 1, 3, false, nil}}, Options{}},
		"nothing is left between its margins":        {one, []Sheet{{20, 20, 1, 3, false, nil}}, Options{Margin: 10}},
		"sheet 0: its sides must be between 1 and":   {one, []Sheet{{0, 20, 1, 3, false, nil}}, Options{}},
		"sheet 1: its sides must be between 1 and":   {one, []Sheet{{20, 20, 1, 3, false, nil}, {20, maxLength + 1, 1, 3, false, nil}}, Options{}},
		"sheet 0: its cost must be between 0 and":    {one, []Sheet{{20, 20, -1, 3, false, nil}}, Options{}},
		"there can be 0 to 262144 of it":             {one, []Sheet{{20, 20, 1, -1, false, nil}}, Options{}},
		"spacing and margin must be between 0 and":   {one, []Sheet{{20, 20, 1, 1, false, nil}}, Options{Spacing: -1}},
		"item 0: its sides must be between 1 and 21": {[]Item{{0, 5, false}}, []Sheet{{20, 20, 1, 1, false, nil}}, Options{}},
	} {
		_, err := Sheets(context.Background(), c.items, c.sheets, c.o)
		assert.ErrorContains(t, err, says)
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	r, err := Sheets(gone, slices.Repeat(one, 3), []Sheet{{20, 20, 7, 2, false, nil}}, Options{})
	require.NoError(t, err, "a stopped search still answers")
	assert.EqualValues(t, 7, r.Cost)
}

// The same seed gives the same answer; 2,000 layers are no burden.
func TestSheetsRepeat(t *testing.T) {
	random := rand.New(rand.NewPCG(2026, 11))
	n := 2000
	if testing.Short() { // the race detector makes it ten times as long
		n = 300
	}
	items := make([]Item, n)
	for i := range items {
		items[i] = Item{60 + random.Int64N(250), 50 + random.Int64N(150), random.IntN(3) == 0}
	}
	sheets := []Sheet{{1000, 500, 900, 500, false, nil}, {500, 500, 500, 300, false, nil}, {1200, 800, 1700, 200, false, nil}, {410, 330, 0, 12, false, nil}}
	o := Options{Spacing: 3, Margin: 15, Seed: 5}
	r, err := Sheets(context.Background(), items, sheets, o)
	require.NoError(t, err)
	requireOnSheets(t, items, sheets, r, o)
	again, err := Sheets(context.Background(), items, sheets, o)
	require.NoError(t, err)
	assert.Equal(t, r, again)
	assert.Less(t, float64(r.Cost), 1.15*float64(r.LowerBound), "a seventh of waste")
	t.Logf("cost %d of at least %d on %d sheets", r.Cost, r.LowerBound, len(r.Used))
}

// Five equal items lie on a sheet only with some of them turned.
func TestEqualItemsLieBothWays(t *testing.T) {
	items := make([]Item, 5)
	for i := range items {
		items[i] = Item{180_000, 120_000, false}
	}
	sheets := []Sheet{{500_000, 333_000, 100, 5, false, nil}}
	r, err := Sheets(context.Background(), items, sheets, Options{Spacing: 8800, Margin: 5400, Steps: 200_000})
	require.NoError(t, err)
	require.Equal(t, int64(100), r.Cost)
}
