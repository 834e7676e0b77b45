package arrange

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
)

// Of trays that hold the same each leaves to the next what has no room in it: arranged again nothing moves, though an
// earlier one would have room for more if ways in were left out or pockets moved.
func TestWhatWentOnStays(t *testing.T) {
	went := 0
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob(t)
		j.Cases = nil
		var names []string
		for _, p := range j.Roster {
			names = append(names, p.ID)
		}
		for _, id := range []string{"crew", "mates", "stores"} {
			one := tray(id, names...)
			one.Layers, one.Habits, one.Halves = layers(2*inch, inch/4), j.Defaults.Habits, rapid.IntRange(1, 2).Draw(t, "halves")
			one.Length = mmOf(float64(rapid.IntRange(1500, 2500).Draw(t, "length")) / 10)
			j.Trays = append(j.Trays[:len(j.Trays):len(j.Trays)], one)
		}
		j.Trays = j.Trays[len(j.Trays)-3:]
		first := run(t, j, func(in *Input) { in.Try = 0 })
		if first.Job == nil || len(first.Job.Trays[1].Pockets) == 0 {
			return
		}
		went++
		again := run(t, j, func(in *Input) { in.Try, in.Previous = 0, first.Job })
		require.NotNil(t, again.Job, "%v", again.Findings)
		assert.Zero(t, again.Moved.Pockets)
	})
	assert.Positive(t, went)
}

// Nine in piles of four are 4 + 4 in the first tray and one in the second, in a pocket that, through the pad, looks as if it
// took four as well: arranged again the first tray keeps both of its own.
func TestLastOfAPileStaysWhereItIs(t *testing.T) {
	j := bench(piece("tile", "g", 9, 47.5, 12, 50.3, job.Lying))
	j.Machine, j.Roster[0].Pile = "bench-laser", 4
	for _, id := range []string{"crew", "mates"} {
		one := tray(id, "g")
		one.Layers, one.Length, one.Width = layers(2*inch, inch/4), 150*mm, 90*mm
		j.Trays = append(j.Trays, one)
	}
	first := run(t, j)
	require.NotNil(t, first.Job, "%v", first.Findings)
	require.Equal(t, 2, placesFor(first.Job, []string{"crew"}, "tile"))
	require.Equal(t, 1, placesFor(first.Job, []string{"mates"}, "tile"))
	again := run(t, j, func(in *Input) { in.Previous = first.Job })
	require.NotNil(t, again.Job, "%v", again.Findings)
	assert.Zero(t, again.Moved.Pockets)
}
