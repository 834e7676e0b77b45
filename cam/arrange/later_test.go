package arrange

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
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
