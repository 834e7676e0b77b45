package pack

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is added lies beside what was there, which stays; a packing of nothing is added to as well.
func TestAdded(t *testing.T) {
	moreSheets, sameSheets := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Spacing: rapid.Int64Range(0, 2).Draw(t, "spacing"), Margin: rapid.Int64Range(0, 2).Draw(t, "margin"), Steps: 5_000}
		side := rapid.Int64Range(1, 12)
		sheets := []Sheet{{12 + 2*o.Margin, 12 + 2*o.Margin, 100, 40, false, nil}, {20 + 2*o.Margin, 15 + 2*o.Margin, 150, 2, false, nil}}
		items := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Item {
			return Item{side.Draw(t, "length"), side.Draw(t, "width"), rapid.Bool().Draw(t, "fixed")}
		}), 1, 20).Draw(t, "items")
		first := rapid.IntRange(0, len(items)).Draw(t, "first")
		before, err := Sheets(context.Background(), items[:first], sheets, o)
		require.NoError(t, err)
		after, err := before.Added(context.Background(), items, sheets, o)
		require.NoError(t, err)
		requireOnSheets(t, items, sheets, after, o)
		require.Equal(t, before.Placements, after.Placements[:first])
		require.ElementsMatch(t, before.Used, after.Used[:len(before.Used)])
		if len(after.Used) > len(before.Used) {
			moreSheets++
		} else if first < len(items) {
			sameSheets++
		}
	})
	require.Positive(t, moreSheets)
	require.Positive(t, sameSheets)
}

// A square that leaves an L takes a piece in its notch and one on top; what fits nowhere needs a sheet.
func TestAddedIntoAnL(t *testing.T) {
	sheets := []Sheet{{10, 10, 1, 2, false, nil}}
	items := []Item{{6, 6, false}, {4, 6, true}, {10, 4, true}, {1, 1, false}}
	r, err := SheetsResult{}.Added(context.Background(), items, sheets, Options{})
	require.NoError(t, err)
	require.Equal(t, []int{0, 0}, r.Used)
	require.Equal(t, Placement{Item: 3, Bin: 1}, r.Placements[3])
	sheets[0].Count = 1
	_, err = SheetsResult{}.Added(context.Background(), items, sheets, Options{})
	require.ErrorIs(t, err, ErrTooFewSheets)
}
