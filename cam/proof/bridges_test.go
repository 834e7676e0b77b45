package proof_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

// heldToken is the beam's tray with its token cut in two halves, each ended so far from
// where a bridge of the plan stands, mm along the path; the plan's bridges are 1 mm wide.
func heldToken(leftMM float64) (process.Program, proof.Wanted) {
	p, w := laserTray()
	center, radius := geometry.Point{X: 62, Y: 50}, 12.875
	on := func(angle float64) geometry.Point {
		sin, cos := math.Sincos(angle)
		return center.Add(geometry.Point{X: (radius - kerfMM/2) * cos, Y: (radius - kerfMM/2) * sin})
	}
	op := &p.Ops[1]
	op.Moves = nil
	back := leftMM / (radius - kerfMM/2)
	for pass := range 2 {
		z := -2 * float64(pass)
		for half := range 2 {
			from := math.Pi * float64(half)
			op.Moves = append(op.Moves, process.Move{To: process.Point{Point: on(from + back), Z: z}},
				process.Move{Kind: process.CCW, To: process.Point{Point: on(from + math.Pi - back), Z: z}, Center: center, FeedMMPerMin: 900, PowerPercent: 60})
		}
	}
	w.Cuts[1].Bridged = proof.Bridges{At: []geometry.Point{{X: center.X + radius, Y: center.Y}, {X: center.X - radius, Y: center.Y}}, WidthMM: 1}
	return p, w
}

// A bridge of 1 mm is left by two kerfs whose round ends are 1 mm apart (arithmetic).
func TestBridges(t *testing.T) {
	judge := func(leftMM float64, change func(*proof.Wanted)) []string {
		p, w := heldToken(leftMM)
		if change != nil {
			change(&w)
		}
		return rulesOf(proof.Run("", text(t, p, laserMachine()), laserSetup(), &w))
	}
	planned := (1 + kerfMM) / 2
	assert.Empty(t, judge(planned, nil))
	assert.Contains(t, judge(0, nil), "bridge-cut", "cut through")
	assert.Equal(t, []string{"bridge-cut", "bridge-cut"}, judge(planned/3, nil), "too narrow to hold")
	assert.Equal(t, []string{"foam-left", "undercut"}, judge(planned+1, nil), "foam left beside them")
	assert.Equal(t, []string{"foam-left", "undercut"}, judge(planned, func(w *proof.Wanted) { w.Cuts[1].Bridged = proof.Bridges{} }), "the plan wants none")
	assert.Equal(t, []string{"bridge-cut"}, judge(planned, func(w *proof.Wanted) {
		w.Cuts[1].Bridged.At = append(w.Cuts[1].Bridged.At, geometry.Point{X: 62, Y: 62.875})
	}), "one is missing")

	p, w := heldToken(planned)
	other := w
	other.Cuts = append([]proof.WantedCut{}, w.Cuts...)
	other.Cuts[1].Bridged.WidthMM = 2
	assert.NotEqual(t, proof.PlanSeal(laserSetup(), &w), proof.PlanSeal(laserSetup(), &other))
	// What bridges hold has not dropped: work in it is no work in a loose plug.
	p.Ops = append(p.Ops[:2:2], burned("late", process.Pocket, geometry.Circle(geometry.Point{X: 62, Y: 50}, 5), geometry.Point{X: 62, Y: 52}, 2), p.Ops[2])
	assert.NotContains(t, rulesOf(proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)), "loose-plug")
}

// A bridge of 1 mm is 0.6 mm where the kerf is 0.4 mm wider, and 0.4 mm where it is 0.6 mm wider, 0.1 mm less than has to stand;
// 0.02 mm on each side are the dry run's own tolerance (arithmetic).
func TestBridgesInCorners(t *testing.T) {
	p, w := heldToken((1 + kerfMM) / 2)
	s := laserSetup()
	for wider, safe := range map[float64]int{0.4: 2, 0.6: 1} {
		s.Tolerances = &proof.Tolerances{KerfMM: map[int]proof.Range{0: {Low: -0.1, High: wider}}}
		r := proof.Run("", text(t, p, s.Machine), s, &w)
		require.True(t, r.OK, "%v", r.Findings)
		assert.Equal(t, safe, r.Corners.Safe, "%+v", r.Corners.Weak)
		if safe == 1 {
			assert.InDelta(t, 0.05, weakOf(t, r.Corners, proof.Bridge).ShortMM, 0.015, "its middle lies a little aside of the round ends")
		}
	}
}
