package proof_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// square is a program's way round a box, at a depth, of what is neither lit nor turning.
func square(b geometry.Box, depth float64) string {
	text := fmt.Sprintf("G0 X%g Y%g\nG1 Z%g F300\n", b.Min.X, b.Min.Y, -depth)
	for _, p := range []geometry.Point{{X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}, b.Min} {
		text += fmt.Sprintf("G1 X%g Y%g\n", p.X, p.Y)
	}
	return text + "G0 Z5\n"
}

// What is neither beam nor cutter cuts without being switched on; it throws nothing, so that
// what it has cut round falls, and only work in what has fallen is wrong.
func TestWhatIsNeitherBeamNorCutter(t *testing.T) {
	const kerf = 0.4
	tray, hole := box(0, 0, 60, 50), box(20, 15, 20, 20)
	around, inside, plug := square(tray.Grow(kerf/2), 6.2), square(hole.Grow(-kerf/2), 6.2), square(box(25, 20, 5, 5), 6.2)
	want := proof.Wanted{
		Outline: geometry.NewRegion(geometry.Rectangle(tray, 0)), OutlineDepthMM: 6, LeadInMM: 2,
		Cuts: []proof.WantedCut{{Name: "hole", Shape: geometry.NewRegion(geometry.Rectangle(hole, kerf/2)), DepthMM: 6, Through: true}},
	}
	s := proof.Setup{Machine: routerMachine(), KerfMM: map[int]float64{1: kerf}, ThicknessMM: 6, BreakthroughMM: 0.2, Tool: 1}
	s.Machine.Process = profiles.Knife
	run := func(s proof.Setup, cuts ...string) proof.Result {
		return proof.Run("", []byte("G21 G90 G17 G94 G40 G49 G80 G54\nG64 P0.01\nG0 Z5\n"+strings.Join(cuts, "")+"M5\nM2\n"), s, &want)
	}
	assert.Empty(t, rulesOf(run(s, inside, around)))
	freed := run(s, inside, around).Freed
	require.Len(t, freed, 2)
	assert.Equal(t, "hole", freed[0].Name)
	assert.Equal(t, 9, freed[0].Line, "the last side of it")
	assert.Equal(t, "the tray", freed[1].Name)
	assert.Greater(t, freed[1].AtS, freed[0].AtS)
	assert.Equal(t, []string{"loose-tray"}, rulesOf(run(s, around, inside)))
	assert.Equal(t, []string{"loose-plug"}, rulesOf(run(s, inside, plug, around)))
	assert.Contains(t, rulesOf(run(s, strings.ReplaceAll(inside, "-6.2", "-5"), around)), "undercut")

	s.Tolerances = &proof.Tolerances{ThicknessMM: proof.Range{Low: -0.1, High: 0.1}}
	r := run(s, inside, around)
	require.NotNil(t, r.Corners)
	assert.Equal(t, r.Corners.Tried, r.Corners.Safe)
	s.Tolerances.ThicknessMM.High = 0.3
	r = run(s, inside, around)
	require.Len(t, r.Corners.Weak, 2)
	for _, weak := range r.Corners.Weak {
		assert.Equal(t, proof.Uncut, weak.What)
		assert.InDelta(t, 0.1, weak.ShortMM, 1e-6)
	}
	s.Machine.Process, s.Tolerances = profiles.Router, nil
	assert.Contains(t, rulesOf(run(s, inside, around)), "spindle-off")
}
