package pack

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Nothing lies where its sheet is taken, of two kinds of which other places are, on whichever panel and however often layers are
// added; what lies alone on a sheet beside it, by Holds, is found a place, and every place is as without: apart, inside, once.
func TestNothingLiesWhereSheetsAreTaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Spacing: rapid.Int64Range(0, 4).Draw(t, "spacing"), Margin: rapid.Int64Range(0, 4).Draw(t, "margin"), Seed: rapid.Uint64().Draw(t, "seed"), Steps: 20_000}
		o.Parting = Parting{Reach: [2]int64{rapid.Int64Range(40, 90).Draw(t, "reach x"), rapid.Int64Range(40, 90).Draw(t, "reach y")}, Step: rapid.Int64Range(1, 5).Draw(t, "step"), Least: 6, Cost: 3, Equal: rapid.Bool().Draw(t, "equal")}
		sheets := []Sheet{{rapid.Int64Range(60, 150).Draw(t, "length"), rapid.Int64Range(60, 150).Draw(t, "width"), 50, 99, rapid.Bool().Draw(t, "grain"), nil}}
		sheets = append(sheets, Sheet{rapid.Int64Range(30, 150).Draw(t, "length"), rapid.Int64Range(30, 150).Draw(t, "width"), 0, rapid.IntRange(1, 2).Draw(t, "offcuts"), sheets[0].Fixed, nil})
		for i := range sheets {
			for range rapid.IntRange(1, 3).Draw(t, "holes") {
				sheets[i].Taken = append(sheets[i].Taken, Panel{rapid.Int64Range(-9, 60).Draw(t, "x"), rapid.Int64Range(-9, 60).Draw(t, "y"), rapid.Int64Range(1, 20).Draw(t, "length"), rapid.Int64Range(1, 20).Draw(t, "width")})
			}
		}
		var items []Item
		for range rapid.IntRange(1, 20).Draw(t, "items") {
			it := Item{rapid.Int64Range(1, 40).Draw(t, "l"), rapid.Int64Range(1, 40).Draw(t, "w"), sheets[0].Fixed}
			if o.Holds(it, sheets[0]) {
				items = append(items, it)
			}
		}
		first := rapid.IntRange(0, len(items)).Draw(t, "first")
		r, err := Sheets(context.Background(), items[:first], sheets, o)
		require.NoError(t, err)
		r, err = r.Added(context.Background(), items, sheets, o)
		require.NoError(t, err)
		requireParted(t, items, sheets, r, o)
		for n := range r.Used {
			for _, p := range r.Panels[n] {
				for _, at := range lyingOn(items, r, n, p, o) {
					for _, h := range sheets[r.Used[n]].Taken {
						x, y := at.x0-p.X, at.y0-p.Y
						require.True(t, x >= h.X+h.Length || h.X >= x+at.x1-at.x0 || y >= h.Y+h.Width || h.Y >= y+at.y1-at.y0, "item %d at %d, %d of its panel", at.item, x, y)
					}
				}
			}
		}
	})
}

// By hand: of a sheet of 100 x 100 a clamp takes 20 x 20 in the middle of its left edge; what is 80 wide lies
// beside it, what is 81 wide and 40 high below it and above it, and what is 81 wide and 41 high nowhere.
func TestBesideAndBelowWhatIsTaken(t *testing.T) {
	sheet := []Sheet{{100, 100, 1, 1, false, []Panel{{0, 40, 20, 20}}}}
	for _, c := range []struct {
		items []Item
		fits  bool
	}{
		{[]Item{{80, 100, true}}, true},
		{[]Item{{100, 40, true}, {100, 40, true}}, true},
		{[]Item{{81, 41, true}}, false},
		{[]Item{{41, 81, false}}, true},
		{[]Item{{100, 40, true}, {100, 40, true}, {80, 20, true}}, true},
	} {
		r, err := Sheets(context.Background(), c.items, sheet, Options{})
		if assert.Equal(t, c.fits, err == nil, "%v: %v", c.items, err); c.fits {
			assert.Len(t, r.Used, 1)
		}
	}
}
