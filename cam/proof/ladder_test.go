package proof_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/process"
	"traywright/cam/proof"
)

// ladderTray is the laser's tray with its first pocket cut in one slow pass and
// its second in two passes at a third of the power.
func ladderTray() (process.Program, proof.Wanted) {
	p, w := laserTray()
	p.Ops[0].Name, p.Ops[1].Name = "square A", "square B"
	first := &p.Ops[0]
	first.Moves = first.Moves[:len(first.Moves)/2]
	for i := range first.Moves {
		if first.Moves[i].Kind != process.Rapid {
			first.Moves[i].FeedMMPerMin = 300
		}
	}
	for i := range p.Ops[1].Moves {
		p.Ops[1].Moves[i].PowerPercent /= 3
	}
	return p, w
}

// A ladder's settings are believed to cut through, each in its own passes.
func TestLadderOfSettings(t *testing.T) {
	p, w := ladderTray()
	s := laserSetup()
	run := func() proof.Result { return proof.Run("ladder.ngc", text(t, p, s.Machine), s, &w) }
	r := run()
	require.False(t, r.OK)
	assert.Equal(t, []string{"beam-too-strong", "beam-too-weak", "foam-left", "not-through"}, distinct(errorsOf(r)), "held against one recipe, the single pass is half way and too strong, the weak one too weak")

	w.Cuts[0].Limits = []proof.Limits{{FeedMMPerMin: 300, PowerPercent: 60, Passes: 1}}
	w.Cuts[1].Limits = []proof.Limits{{FeedMMPerMin: 900, PowerPercent: 20, Passes: 2}}
	r = run()
	assert.True(t, r.OK, "%v", r.Findings)

	w.Cuts[1].Limits[0].Passes = 3
	assert.Equal(t, []string{"foam-left", "not-through"}, distinct(errorsOf(run())), "two passes of three")

	w.Cuts[1].Limits[0].Passes = 0
	assert.Contains(t, errorsOf(run()), "undercut", "what only marks does not cut")
}

func distinct(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}
