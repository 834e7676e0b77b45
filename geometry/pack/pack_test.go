package pack

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// lie is a placed item as it lies.
func lie(it Item, p Placement) (x0, y0, x1, y1 int64) {
	l, w := it.Length, it.Width
	if p.Turned {
		l, w = w, l
	}
	return p.X, p.Y, p.X + l, p.Y + w
}

// requireSound wants every item once, inside its bin, and apart from the others.
func requireSound(t require.TestingT, items []Item, list []Placement, length, height int64, o Options) {
	require.Len(t, list, len(items))
	for i, p := range list {
		require.Equal(t, i, p.Item)
		require.False(t, p.Turned && items[i].Fixed, "item %d is fixed and was turned", i)
		x0, y0, x1, y1 := lie(items[i], p)
		require.True(t, x0 >= o.Margin && y0 >= o.Margin && x1 <= length-o.Margin && y1 <= height-o.Margin,
			"item %d at %d,%d to %d,%d leaves %d x %d less %d", i, x0, y0, x1, y1, length, height, o.Margin)
		for j := range i {
			if list[j].Bin != p.Bin {
				continue
			}
			u0, v0, u1, v1 := lie(items[j], list[j])
			require.True(t, x0 >= u1+o.Spacing || u0 >= x1+o.Spacing || y0 >= v1+o.Spacing || v0 >= y1+o.Spacing,
				"items %d and %d are nearer than %d", j, i, o.Spacing)
		}
	}
}

// The squares of the simple perfect squared square of order 21, which fill
// 112 x 112 exactly: A. J. W. Duijvestijn, Journal of Combinatorial Theory B 25
// (1978) 240-243.
var squaredSquare = []int64{2, 4, 6, 7, 8, 9, 11, 15, 16, 17, 18, 19, 24, 25, 27, 29, 33, 35, 37, 42, 50}

func squares(sides ...int64) []Item {
	var items []Item
	for _, s := range sides {
		items = append(items, Item{Length: s, Width: s})
	}
	return items
}

func TestStripFindsTheSquaredSquare(t *testing.T) {
	items := squares(squaredSquare...)
	for seed := range uint64(3) {
		o := Options{Seed: seed, Steps: 10_000_000}
		r, err := Strip(context.Background(), items, 112, o)
		require.NoError(t, err)
		assert.EqualValues(t, 112, r.Height)
		assert.EqualValues(t, 112, r.LowerBound)
		requireSound(t, items, r.Placements, 112, r.Height, o)
	}
}

func TestStripSmallCases(t *testing.T) {
	cases := []struct {
		name   string
		items  []Item
		length int64
		o      Options
		height int64
	}{
		{"nothing", nil, 10, Options{}, 0},
		{"one", []Item{{4, 3, true}}, 10, Options{}, 3},
		{"one that must turn", []Item{{12, 3, false}}, 10, Options{}, 12},
		{"two side by side", squares(5, 5), 10, Options{}, 5},
		{"two that spacing parts", squares(5, 5), 10, Options{Spacing: 1}, 11},
		{"two with room for the spacing", squares(5, 5), 11, Options{Spacing: 1}, 5},
		{"a margin", squares(8), 10, Options{Margin: 1}, 10},
		{"a fixed one lies as it is", []Item{{2, 9, true}, {2, 9, true}}, 9, Options{}, 9},
		{"free ones turn", []Item{{2, 9, false}, {2, 9, false}}, 9, Options{}, 4},
	}
	for _, c := range cases {
		r, err := Strip(context.Background(), c.items, c.length, c.o)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.height, r.Height, c.name)
		requireSound(t, c.items, r.Placements, c.length, r.Height, c.o)
	}
}

func TestTooLarge(t *testing.T) {
	_, err := Strip(context.Background(), []Item{{12, 11, false}}, 10, Options{})
	assert.True(t, errors.Is(err, errTooLarge))
	_, err = Bins(context.Background(), []Item{{9, 9, false}}, 10, 10, Options{Margin: 1})
	assert.True(t, errors.Is(err, errTooLarge))
	_, err = Bins(context.Background(), []Item{{0, 9, false}}, 10, 10, Options{})
	assert.Error(t, err)
}

func drawItems(t *rapid.T) []Item {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Item {
		return Item{rapid.Int64Range(1, 40).Draw(t, "length"), rapid.Int64Range(1, 40).Draw(t, "width"), rapid.Bool().Draw(t, "fixed")}
	}), 0, 25).Draw(t, "items")
}

func drawOptions(t *rapid.T) Options {
	return Options{
		Spacing: rapid.Int64Range(0, 5).Draw(t, "spacing"), Margin: rapid.Int64Range(0, 5).Draw(t, "margin"),
		Seed: rapid.Uint64().Draw(t, "seed"), Steps: 20_000,
	}
}

func TestStripIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items, o := drawItems(t), drawOptions(t)
		length := rapid.Int64Range(50, 120).Draw(t, "length")
		r, err := Strip(context.Background(), items, length, o)
		require.NoError(t, err)
		requireSound(t, items, r.Placements, length, r.Height, o)
		require.GreaterOrEqual(t, r.Height, r.LowerBound)
		again, err := Strip(context.Background(), items, length, o)
		require.NoError(t, err)
		require.Equal(t, r, again)
	})
}

func TestBinsAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items, o := drawItems(t), drawOptions(t)
		length, width := rapid.Int64Range(50, 90).Draw(t, "length"), rapid.Int64Range(50, 90).Draw(t, "width")
		r, err := Bins(context.Background(), items, length, width, o)
		require.NoError(t, err)
		requireSound(t, items, r.Placements, length, width, o)
		require.GreaterOrEqual(t, r.Bins, r.LowerBound)
		for _, p := range r.Placements {
			require.Less(t, p.Bin, r.Bins)
		}
		again, err := Bins(context.Background(), items, length, width, o)
		require.NoError(t, err)
		require.Equal(t, r, again)
	})
}

// Cut a bin into pieces: the pieces fit into one bin, so no bound may ask for
// two, and the search should rarely need two.
func TestBoundNeverExceedsAKnownPacking(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	for range 300 {
		bins := 1 + random.IntN(3)
		var items []Item
		for range bins {
			items = append(items, guillotine(random, 60, 40, 4)...)
		}
		require.LessOrEqual(t, binBound(items, 60, 40), bins)
		require.LessOrEqual(t, stripBound(items, 60), int64(40*bins))
	}
}

// guillotine cuts a rectangle into pieces by straight cuts.
func guillotine(random *rand.Rand, l, w int64, depth int) []Item {
	if depth == 0 || l < 4 || w < 4 || random.IntN(6) == 0 {
		return []Item{{l, w, random.IntN(2) == 0}}
	}
	if random.IntN(2) == 0 {
		c := 1 + random.Int64N(l-1)
		return append(guillotine(random, c, w, depth-1), guillotine(random, l-c, w, depth-1)...)
	}
	c := 1 + random.Int64N(w-1)
	return append(guillotine(random, l, c, depth-1), guillotine(random, l, w-c, depth-1)...)
}

// More than half of a side each: no two fit in one bin, which area alone
// cannot see. Four items of 6 x 6 in bins of 10 x 10 have the area of 1.44.
func TestBoundSeesMoreThanArea(t *testing.T) {
	assert.Equal(t, 4, binBound(squares(6, 6, 6, 6), 10, 10))
	assert.Equal(t, 2, binBound(squares(5, 5, 5, 5, 5), 10, 10))
}

func TestAStoppedSearchStillAnswers(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	items := squares(squaredSquare...)
	r, err := Strip(ctx, items, 112, Options{})
	require.NoError(t, err)
	requireSound(t, items, r.Placements, 112, r.Height, Options{})
}

func ExampleStrip() {
	items := []Item{{Length: 30, Width: 20}, {Length: 20, Width: 30}, {Length: 50, Width: 10}}
	r, err := Strip(context.Background(), items, 50, Options{})
	fmt.Println(r.Height, r.LowerBound, err)
	// Output: 40 34 <nil>
}

func ExampleBins() {
	r, err := Bins(context.Background(), squares(6, 6, 4, 4), 10, 10, Options{})
	fmt.Println(r.Bins, r.LowerBound, err)
	// Output: 2 2 <nil>
}

func BenchmarkStrip(b *testing.B) {
	random := rand.New(rand.NewPCG(1, 1))
	for _, n := range []int{20, 100, 500} {
		var items []Item
		for range n {
			items = append(items, Item{10 + random.Int64N(90), 10 + random.Int64N(90), false})
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Strip(context.Background(), items, 400, Options{Steps: 100_000})
			}
		})
	}
}

// What just goes between the margins is taken, and what is one longer is not; along each side, for
// items that may be turned and those that may not.
func TestItemsJustBetweenTheMargins(t *testing.T) {
	o := Options{Margin: 10}
	for _, c := range []struct {
		it   Item
		fits bool
	}{
		{Item{80, 30, true}, true}, {Item{81, 30, true}, false}, {Item{80, 31, true}, false}, {Item{30, 80, true}, false},
		{Item{30, 80, false}, true}, {Item{30, 81, false}, false}, {Item{31, 80, false}, false}, {Item{31, 31, false}, false}, {Item{1, 1, true}, true},
	} {
		_, err := Bins(context.Background(), []Item{c.it}, 100, 50, o)
		assert.Equal(t, c.fits, err == nil, "%+v: %v", c.it, err)
	}
	for room, fits := range map[int64]bool{20: false, 21: true} {
		_, err := Bins(context.Background(), []Item{{1, 1, false}}, room, 100, o)
		assert.Equal(t, fits, err == nil, "between margins of 10: %d", room)
		_, err = Bins(context.Background(), []Item{{1, 1, false}}, 100, room, o)
		assert.Equal(t, fits, err == nil, "between margins of 10: %d", room)
	}
}
