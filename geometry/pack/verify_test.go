package pack

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Every way in which a packing can be wrong is told.
func TestVerify(t *testing.T) {
	items := []Item{{4, 2, true}, {2, 4, false}, {3, 3, false}}
	good := []Placement{{Item: 0, X: 1, Y: 1}, {Item: 1, X: 1, Y: 5, Turned: true}, {Item: 2, X: 7, Y: 1}}
	o := Options{Spacing: 2, Margin: 1}
	require.NoError(t, verify(items, good, []room{{11, 8, nil}}, o))
	wrong := []struct {
		name   string
		change func(list []Placement)
		says   string
	}{
		{"of another item", func(l []Placement) { l[1].Item = 0 }, "item 1 has no place"},
		{"in a bin that is not there", func(l []Placement) { l[1].Bin = 1 }, "item 1 has no place"},
		{"before the first bin", func(l []Placement) { l[1].Bin = -1 }, "item 1 has no place"},
		{"a fixed one turned", func(l []Placement) { l[0].Turned = true }, "item 0 is turned"},
		{"in the left margin", func(l []Placement) { l[0].X = 0 }, "item 0 sticks out"},
		{"in the lower margin", func(l []Placement) { l[0].Y = 0 }, "item 0 sticks out"},
		{"in the right margin", func(l []Placement) { l[2].X = 8 }, "item 2 sticks out"},
		{"in the upper margin", func(l []Placement) { l[1].Y = 6 }, "item 1 sticks out"},
		{"not turned where it was", func(l []Placement) { l[1].Turned = false }, "item 1 sticks out"},
		{"too near in X", func(l []Placement) { l[2].X = 6 }, "items 0 and 2 are too near"},
		{"too near in Y", func(l []Placement) { l[1].Y = 4 }, "items 0 and 1 are too near"},
		{"on another", func(l []Placement) { l[2].X = 1 }, "are too near"},
	}
	for _, w := range wrong {
		list := append([]Placement(nil), good...)
		w.change(list)
		assert.ErrorContains(t, verify(items, list, []room{{11, 8, nil}}, o), w.says, w.name)
	}
	good[2] = Placement{Item: 2, Bin: 1, X: 1, Y: 1}
	assert.NoError(t, verify(items, good, []room{{11, 8, nil}, {11, 8, nil}}, o), "of two bins each is its own room")
}

// The sweep says what holding every pair against each other says.
func TestMeetingIsThatOfAllPairs(t *testing.T) {
	apart, together := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		room := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) lying {
			x, y := rapid.Int64Range(0, 40).Draw(t, "x"), rapid.Int64Range(0, 40).Draw(t, "y")
			return lying{0, x, y, x + rapid.Int64Range(1, 9).Draw(t, "l"), y + rapid.Int64Range(1, 9).Draw(t, "w")}
		}), 0, 12).Draw(t, "room")
		want := map[[2]int]bool{}
		for i := range room {
			room[i].item = i
			for j := range i {
				r, s := room[i], room[j]
				if r.x0 < s.x1 && s.x0 < r.x1 && r.y0 < s.y1 && s.y0 < r.y1 {
					want[[2]int{i, j}], want[[2]int{j, i}] = true, true
				}
			}
		}
		a, b, met := meeting(room)
		require.Equal(t, len(want) > 0, met)
		require.Equal(t, met, want[[2]int{a, b}])
		if met {
			together++
		} else {
			apart++
		}
	})
	assert.NotZero(t, apart)
	assert.NotZero(t, together)
}

// Sides near the limit: three areas together, and three heights, outgrow 63
// and 31 bits.
func TestLargestSides(t *testing.T) {
	const most = maxLength - 7
	items := []Item{{most, most, false}, {most, most, false}, {most, most, false}}
	o := Options{Spacing: 7, Margin: 3, Steps: 100}
	r, err := Strip(context.Background(), items, most+6, o)
	require.NoError(t, err)
	assert.EqualValues(t, 3*most+2*7+2*3, r.Height)
	assert.Equal(t, r.Height, r.LowerBound)
	b, err := Bins(context.Background(), items, most+6, 2*most+7+6, o)
	require.NoError(t, err)
	assert.Equal(t, 2, b.Bins)
}

func TestWhatCannotBePacked(t *testing.T) {
	ctx := context.Background()
	for name, o := range map[string]Options{"spacing": {Spacing: -1}, "margin": {Margin: -1}, "no room": {Margin: 5}, "wide": {Spacing: maxLength + 1}} {
		_, err := Strip(ctx, nil, 10, o)
		assert.Error(t, err, name)
		_, err = Bins(ctx, nil, 10, 10, o)
		assert.Error(t, err, name)
	}
	_, err := Bins(ctx, nil, 20, 10, Options{Margin: 5})
	assert.Error(t, err)
	for _, it := range []Item{{maxLength - 1, 1, true}, {1, maxLength - 1, true}, {1, 0, true}, {-1, 1, true}} {
		_, err := Strip(ctx, []Item{it}, maxLength, Options{Spacing: 2})
		assert.ErrorContains(t, err, "item 0: its sides")
	}
}
