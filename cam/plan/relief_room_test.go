package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// A relief that is advised leaves all walls and edges as thick as they were asked for, and one that is not would
// not; where none is, the room that the hint asks for is enough.
func TestAdvisedReliefsHaveRoom(t *testing.T) {
	narrow := func(found finding.List) (n int) {
		for _, f := range found {
			if f.Rule == "wall-too-thin" || f.Rule == "edge-too-thin" || f.Rule == "pocket-outside-tray" {
				n++
			}
		}
		return n
	}
	drawn, none := 0, 0
	rapid.Check(t, func(r *rapid.T) {
		spare := func(name string) units.Length { return mm(rapid.Float64Range(0, 5).Draw(r, name)) }
		edge, wall := mm(8), mm(8)
		left, lower, between := edge+spare("left"), edge+spare("lower"), wall+spare("between")
		sizes := []units.Length{mm(rapid.Float64Range(12, 40).Draw(r, "length")), mm(rapid.Float64Range(12, 30).Draw(r, "width"))}
		tray := func(relief job.Relief, more units.Length) job.Tray {
			first, second := rect(20, 20, 30, 20), rect(20, 20, 30, 20)
			for _, p := range []*job.Pocket{&first, &second} {
				p.X, p.Y, p.Length, p.Width, p.Corner, p.Relief = left+more, lower+more, sizes[0], sizes[1], 0, relief
			}
			second.X += sizes[0] + between + 2*more
			pad := pad(first, second)
			pad.Length, pad.Width, pad.Edge, pad.Wall = mm(140), mm(80), edge, wall
			return pad
		}
		_, found := make1(t, bench(tray(job.NoRelief, 0)))
		require.Zero(t, narrow(found))
		hint := ""
		for _, f := range found {
			if f.Rule == "round-corners" {
				hint = f.Hint
			}
		}
		require.NotEmpty(t, hint)
		drawn++
		works := func(kind job.Relief, more units.Length) bool {
			_, found := make1(t, bench(tray(kind, more)))
			return narrow(found) == 0
		}
		if more := lengthsIn(t, hint); strings.Contains(hint, "more foam") {
			none++
			assert.False(r, works(job.Dogbone, 0))
			assert.False(r, works(job.TBone, 0))
			assert.True(r, works(job.Dogbone, mm(more[0])), hint)
			return
		}
		assert.Equal(r, works(job.Dogbone, 0), strings.Contains(hint, "dogbone"), hint)
		assert.Equal(r, works(job.TBone, 0), strings.Contains(hint, "tbone"), hint)
	})
	assert.Positive(t, none, drawn)
}
