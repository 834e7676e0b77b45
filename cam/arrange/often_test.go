package arrange

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
)

// What is used every game is gathered in as few trays as that takes without one more, and these lie on top.
func TestOftenTogether(t *testing.T) {
	j := bench(piece("a", "g", 20, 40, 30, 20, job.Upright), piece("dice", "h", 8, 40, 30, 20, job.Upright), piece("b", "i", 30, 40, 30, 20, job.Upright),
		piece("pen", "i", 6, 40, 30, 20, job.Upright))
	j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(8 * inch)}}
	plain := run(t, j)
	require.NotNil(t, plain.Job, "%v", plain.Findings)
	j.Roster[1].Often, j.Roster[3].Often = true, true
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	assert.Len(t, r.Trays, len(plain.Trays))
	with := map[string]bool{}
	for _, k := range r.Kinds {
		if k.Piece == "dice" || k.Piece == "pen" {
			with[k.Tray] = true
		}
	}
	assert.Len(t, with, 1)
	stack := slices.DeleteFunc(slices.Clone(r.Job.Cases[0].Stack), func(id string) bool {
		return !slices.ContainsFunc(r.Trays, func(t Tray) bool { return t.ID == id })
	})
	assert.True(t, with[stack[0]], "%v %v", stack, with)
}
