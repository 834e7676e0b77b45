package pack

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// requireParted holds the panels of a packing against their promise, by all pairs and by cutting: some line
// from edge to edge goes through no panel, and so on for what is on both its sides.
func requireParted(t require.TestingT, items []Item, sheets []Sheet, r SheetsResult, o Options) {
	cost := int64(0)
	require.Len(t, r.Panels, len(r.Used))
	for n, kind := range r.Used {
		s := sheets[kind]
		if r.Laid[n] {
			require.False(t, s.Fixed)
			s.Length, s.Width = s.Width, s.Length
		}
		require.NotEmpty(t, r.Panels[n])
		cost += s.Cost + int64(len(r.Panels[n]))*o.Parting.Cost
		require.True(t, cutApart(r.Panels[n], Panel{0, 0, s.Length, s.Width}), "%v of %v", r.Panels[n], s)
		for _, p := range r.Panels[n] {
			require.True(t, p.Length <= o.Parting.Reach[0] && p.Width <= o.Parting.Reach[1], "%v", p)
			require.True(t, (p.X+p.Length)%o.Parting.Step == 0 || p.X+p.Length == s.Length)
			require.True(t, (p.Y+p.Width)%o.Parting.Step == 0 || p.Y+p.Width == s.Width)
			require.NotEmpty(t, lyingOn(items, r, n, p, o), "a panel for nothing")
		}
	}
	require.Equal(t, cost, r.Cost)
	require.GreaterOrEqual(t, cost, r.LowerBound)
	require.Len(t, r.Placements, len(items))
	lie := 0
	for n := range r.Used {
		for _, p := range r.Panels[n] {
			on := lyingOn(items, r, n, p, o)
			lie += len(on)
			for i, a := range on {
				for _, b := range on[:i] {
					require.True(t, a.x0 >= b.x1+o.Spacing || b.x0 >= a.x1+o.Spacing || a.y0 >= b.y1+o.Spacing || b.y0 >= a.y1+o.Spacing)
				}
			}
		}
	}
	require.Equal(t, len(items), lie, "each on one panel, inside its margin")
}

func lyingOn(items []Item, r SheetsResult, bin int, on Panel, o Options) (list []lying) {
	for i, p := range r.Placements {
		l, w := items[i].Length, items[i].Width
		if p.Turned {
			l, w = w, l
		}
		if p.Bin == bin && p.X >= on.X+o.Margin && p.Y >= on.Y+o.Margin && p.X+l <= on.X+on.Length-o.Margin && p.Y+w <= on.Y+on.Width-o.Margin {
			list = append(list, lying{i, p.X, p.Y, p.X + l, p.Y + w})
		}
	}
	return list
}

func cutApart(panels []Panel, of Panel) bool {
	if len(panels) == 0 || len(panels) == 1 && panels[0] == of {
		return true
	}
	for _, p := range panels {
		for _, x := range []int64{p.X, p.X + p.Length} {
			left, right, through := split(panels, func(q Panel) (int64, int64) { return q.X, q.X + q.Length }, x)
			if x > of.X && x < of.X+of.Length && !through {
				return cutApart(left, Panel{of.X, of.Y, x - of.X, of.Width}) && cutApart(right, Panel{x, of.Y, of.X + of.Length - x, of.Width})
			}
		}
		for _, y := range []int64{p.Y, p.Y + p.Width} {
			front, back, through := split(panels, func(q Panel) (int64, int64) { return q.Y, q.Y + q.Width }, y)
			if y > of.Y && y < of.Y+of.Width && !through {
				return cutApart(front, Panel{of.X, of.Y, of.Length, y - of.Y}) && cutApart(back, Panel{of.X, y, of.Length, of.Y + of.Width - y})
			}
		}
	}
	return false
}

func split(panels []Panel, ends func(Panel) (int64, int64), at int64) (before, behind []Panel, through bool) {
	for _, p := range panels {
		switch from, to := ends(p); {
		case to <= at:
			before = append(before, p)
		case from >= at:
			behind = append(behind, p)
		default:
			through = true
		}
	}
	return before, behind, through
}

// Panels are within reach and come off their sheets by straight cuts, whatever is laid and added; some are cut
// from what an earlier packing had left of a sheet.
func TestPanels(t *testing.T) {
	parted, further := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Spacing: rapid.Int64Range(0, 3).Draw(t, "spacing"), Margin: rapid.Int64Range(0, 3).Draw(t, "margin"), Steps: 5_000, Seed: rapid.Uint64().Draw(t, "seed")}
		o.Parting = Parting{Reach: [2]int64{rapid.Int64Range(25, 60).Draw(t, "reach x"), rapid.Int64Range(25, 60).Draw(t, "reach y")}, Step: rapid.Int64Range(1, 5).Draw(t, "step"), Least: rapid.Int64Range(0, 8).Draw(t, "least"), Cost: rapid.Int64Range(0, 3).Draw(t, "cost")}
		long := rapid.Int64Range(25, 150)
		sheets := []Sheet{{150, 70, 1000, 60, rapid.Bool().Draw(t, "upright"), nil}, {long.Draw(t, "length"), long.Draw(t, "width"), 0, 2, false, nil}}
		side := rapid.Int64Range(1, 14)
		items := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Item {
			return Item{side.Draw(t, "length"), side.Draw(t, "width"), rapid.Bool().Draw(t, "fixed")}
		}), 1, 30).Draw(t, "items")
		first := rapid.IntRange(0, len(items)).Draw(t, "first")
		before, err := Sheets(context.Background(), items[:first], sheets, o)
		require.NoError(t, err)
		if first > 0 {
			requireParted(t, items[:first], sheets, before, o)
		}
		after, err := before.Added(context.Background(), items, sheets, o)
		require.NoError(t, err)
		requireParted(t, items, sheets, after, o)
		require.Equal(t, before.Placements, after.Placements[:first])
		for n := range before.Used {
			require.Equal(t, before.Panels[n], after.Panels[n][:len(before.Panels[n])])
			if len(after.Panels[n]) > len(before.Panels[n]) {
				further++
			}
		}
		for _, p := range after.Panels {
			if len(p) > 1 {
				parted++
			}
		}
	})
	require.Positive(t, parted)
	require.Positive(t, further)
}

// By hand: on a machine that reaches 400 x 300, four trays of 320 x 220 with 10 around them lie on panels of
// 340 x 240 of one sheet of 1000 x 500, on none of its equal parts; and two of 150 x 220 share one.
func TestUnequalPanelsByHand(t *testing.T) {
	o := Options{Spacing: 10, Margin: 10, Parting: Parting{Reach: [2]int64{400, 300}, Step: 1, Least: 60, Cost: 1}}
	sheets := []Sheet{{1000, 500, 100, 9, false, nil}}
	for _, c := range []struct {
		items []Item
		cost  int64
	}{
		{[]Item{{320, 220, false}}, 101},
		{[]Item{{320, 220, false}, {320, 220, false}, {320, 220, false}, {320, 220, false}}, 104},
		{[]Item{{150, 220, false}, {150, 220, false}}, 101},
		{[]Item{{320, 220, false}, {320, 220, false}, {320, 220, false}, {320, 220, false}, {320, 220, false}}, 205},
	} {
		r, err := Sheets(context.Background(), c.items, sheets, o)
		require.NoError(t, err)
		requireParted(t, c.items, sheets, r, o)
		assert.Equal(t, c.cost, r.Cost, "%v", r.Panels)
	}
	_, err := Sheets(context.Background(), []Item{{390, 220, false}}, sheets, o)
	require.ErrorContains(t, err, "on no sheet")
}

// What comes behind the panels of a strip is as wide as the strip, whatever lies on it.
func TestFurtherPanelsKeepToTheirStrips(t *testing.T) {
	o := Options{Margin: 10, Parting: Parting{Reach: [2]int64{440, 340}, Step: 1, Least: 60, Cost: 1}}
	sheets := []Sheet{{500, 1000, 0, 1, true, nil}}
	items := make([]Item, 60)
	for i := range items {
		items[i] = Item{40 + 3*int64(i), 50 + 2*int64(i), false}
	}
	most := 0
	for o.Seed = range 200 {
		s := newSheetSearch(context.Background(), items, sheets, o)
		s.restart(0)
		f := partedFill{sheetSearch: s, length: 500, width: 1000, most: 9, rest: s.left, cut: sheetCut{panels: []Panel{{0, 0, 300, 200}}}}
		f.further()
		require.NoError(t, verifyPanels(f.cut.panels, 500, 1000, o.Parting))
		most = max(most, len(f.cut.panels))
	}
	require.Greater(t, most, 3)
}
