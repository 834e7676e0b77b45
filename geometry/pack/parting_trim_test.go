package pack

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A panel of 400 x 500 that an item of 100 x 200 lies on needs 100 and two margins of 10 and 3 to spare, 123 x 223; the one behind it moves
// down, and the strip beside it to the left. One that would save less than 10, or whose rest is narrower than 60, stays.
func TestTrimmedByHand(t *testing.T) {
	o := Options{Margin: 10, Parting: Parting{Reach: [2]int64{400, 500}, Step: 1, Least: 60, Gain: 10, Spare: 3}}
	sheets := []Sheet{{Length: 1000, Width: 1000, Count: 1}}
	items := []Item{{Length: 100, Width: 200}, {Length: 80, Width: 90}, {Length: 371, Width: 440}}
	r := SheetsResult{Used: []int{0}, Laid: []bool{false}, Panels: [][]Panel{{{0, 0, 400, 500}, {0, 500, 400, 500}, {400, 0, 400, 500}}},
		Placements: []Placement{{Item: 0, X: 10, Y: 10}, {Item: 1, X: 10, Y: 510}, {Item: 2, X: 410, Y: 10}}}
	got, err := r.Trimmed(items, sheets, o)
	require.NoError(t, err)
	assert.Equal(t, []Panel{{0, 0, 123, 223}, {0, 223, 123, 113}, {123, 0, 394, 463}}, got.Panels[0])
	assert.Equal(t, []Placement{{Item: 0, X: 10, Y: 10}, {Item: 1, X: 10, Y: 233}, {Item: 2, X: 133, Y: 10}}, got.Placements)
	assert.Equal(t, Panel{0, 500, 400, 500}, r.Panels[0][1], "what was given stays")
	o.Parting.Hold = [2]int64{0, 150}
	got, err = r.Trimmed(items, sheets, o)
	require.NoError(t, err)
	assert.Equal(t, Panel{0, 223, 123, 150}, got.Panels[0][1], "what holds it lies there")
	o.Parting.Gain = 280 // the upper one of the strip saves 350, the one beside it 37, and both strips together 283
	got, err = r.Trimmed(items, sheets, o)
	require.NoError(t, err)
	assert.Equal(t, Panel{123, 0, 394, 500}, got.Panels[0][2])
	sheets[0].Length, o.Parting.Least = 800, 290 // 283 would be left
	got, err = r.Trimmed(items, sheets, o)
	require.NoError(t, err)
	assert.Equal(t, int64(400), got.Panels[0][0].Length)
}

// Whatever was packed, trimming keeps the sheets and the panels, makes none larger, and leaves nothing to trim.
func TestTrimmedOfAnything(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		side := func(name string) int64 { return int64(rapid.IntRange(10, 150).Draw(rt, name)) }
		var items []Item
		for range rapid.IntRange(1, 12).Draw(rt, "items") {
			items = append(items, Item{Length: side("length"), Width: side("width")})
		}
		sheets := []Sheet{{Length: int64(rapid.IntRange(170, 700).Draw(rt, "l")), Width: int64(rapid.IntRange(170, 700).Draw(rt, "w")), Cost: 1, Count: 12}}
		o := Options{Spacing: 3, Margin: 5, Steps: 2000, Parting: Parting{Reach: [2]int64{200, 250}, Step: 1, Least: 30, Gain: 5, Spare: 2, Equal: rapid.Bool().Draw(rt, "equal"),
			Hold: [2]int64{int64(rapid.IntRange(0, 260).Draw(rt, "hold")), 0}}}
		r, err := Sheets(t.Context(), items, sheets, o)
		require.NoError(rt, err)
		got, err := r.Trimmed(items, sheets, o)
		require.NoError(rt, err, "%v", r.Panels)
		assert.Equal(rt, r.Used, got.Used)
		for bin, panels := range r.Panels {
			require.Len(rt, got.Panels[bin], len(panels))
			for i, p := range panels {
				assert.LessOrEqual(rt, got.Panels[bin][i].Length, p.Length)
				assert.LessOrEqual(rt, got.Panels[bin][i].Width, p.Width)
			}
		}
		again, err := got.Trimmed(items, sheets, o)
		require.NoError(rt, err)
		assert.Equal(rt, got, again)
	})
}
