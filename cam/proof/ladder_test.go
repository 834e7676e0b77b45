package proof_test

import (
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
	r := proof.Run("ladder.ngc", text(t, p, s.Machine), s, &w)
	require.False(t, r.OK, "without being told, the weak setting only marks and the single pass is half way")

	s.PassesByOp = map[string]int{p.Ops[0].Name: 1, p.Ops[1].Name: 2, "outline": 2}
	r = proof.Run("ladder.ngc", text(t, p, s.Machine), s, &w)
	assert.True(t, r.OK, "%v", r.Findings)

	s.PassesByOp[p.Ops[1].Name] = 3
	r = proof.Run("ladder.ngc", text(t, p, s.Machine), s, &w)
	assert.False(t, r.OK, "two passes of three")

	delete(s.PassesByOp, "outline")
	s.PassesByOp[p.Ops[1].Name] = 2
	r = proof.Run("ladder.ngc", text(t, p, s.Machine), s, &w)
	assert.False(t, r.OK, "an operation that is not named only marks")
}
