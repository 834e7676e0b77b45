package pack

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// cutUp cuts a rectangle into pieces by straight cuts and turns half of them: a
// strip as long as the rectangle holds them without waste.
func cutUp(t *rapid.T, l, w int64, depth int) []Item {
	if depth == 0 || l < 2 && w < 2 || rapid.IntRange(0, 5).Draw(t, "whole") == 0 {
		if rapid.Bool().Draw(t, "turned") {
			return []Item{{Length: w, Width: l}}
		}
		return []Item{{Length: l, Width: w, Fixed: rapid.Bool().Draw(t, "fixed")}}
	}
	if w < 2 || l > 1 && rapid.Bool().Draw(t, "across") {
		c := rapid.Int64Range(1, l-1).Draw(t, "cut")
		return append(cutUp(t, c, w, depth-1), cutUp(t, l-c, w, depth-1)...)
	}
	c := rapid.Int64Range(1, w-1).Draw(t, "cut")
	return append(cutUp(t, l, c, depth-1), cutUp(t, l, w-c, depth-1)...)
}

// Small sides make duplicates, squares and packings without waste common, and
// with them the exhaustive search. The height of the rectangle is known, so
// that the bound can be held against it; most of them are packed as low.
func TestPerfectStripsAreSound(t *testing.T) {
	perfect, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		length, height := rapid.Int64Range(3, 24).Draw(t, "length"), rapid.Int64Range(3, 24).Draw(t, "height")
		items := cutUp(t, length, height, 4)
		o := Options{Seed: rapid.Uint64().Draw(t, "seed"), Steps: 60_000}
		r, err := Strip(context.Background(), items, length, o)
		require.NoError(t, err)
		requireSound(t, items, r.Placements, length, r.Height, o)
		require.LessOrEqual(t, r.LowerBound, height)
		require.GreaterOrEqual(t, r.Height, r.LowerBound)
		all++
		if r.Height <= height {
			perfect++
		}
	})
	assert.Greater(t, perfect, all*9/10)
}

// Duplicates that lie both ways, with spacing and margin: the items grown by
// the spacing fill the strip without waste.
func TestPerfectStripsWithSpacing(t *testing.T) {
	for seed := range uint64(20) {
		random := rand.New(rand.NewPCG(seed, 3))
		items := []Item{{29, 9, false}, {9, 29, false}, {29, 19, false}, {19, 29, false}, {59, 9, false}, {9, 59, false}, {29, 29, false}}
		random.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		o := Options{Spacing: 1, Margin: 4, Seed: seed, Steps: 200_000}
		r, err := Strip(context.Background(), items, 67, o)
		require.NoError(t, err)
		requireSound(t, items, r.Placements, 67, r.Height, o)
	}
}

// Duplicates in bins: pieces of one size that lie both ways.
func TestDuplicatesInBinsAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, width := rapid.Int64Range(3, 24).Draw(t, "length"), rapid.Int64Range(3, 24).Draw(t, "width")
		var items []Item
		for range rapid.IntRange(1, 3).Draw(t, "bins") {
			items = append(items, cutUp(t, length, width, 3)...)
		}
		for i := range items { // a piece that was turned may not fit as it is
			items[i].Fixed = items[i].Fixed && items[i].Length <= length && items[i].Width <= width
		}
		o := Options{Seed: rapid.Uint64().Draw(t, "seed"), Steps: 20_000}
		r, err := Bins(context.Background(), items, length, width, o)
		require.NoError(t, err)
		requireSound(t, items, r.Placements, length, width, o)
		require.GreaterOrEqual(t, r.Bins, r.LowerBound)
	})
}
