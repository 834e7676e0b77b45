package proof_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// A knife's and a wire's programs in corners whose worst case is known: a blade ends 0.3 mm below the
// foam and goes 5 mm above it, a wire cuts any thickness, and both widen holes with their kerf.
func TestCornersOfAKnifeAndAWire(t *testing.T) {
	within3 := proof.Range{Low: -3, High: 3}
	off := func(low, high float64) proof.Range { return proof.Range{Low: low, High: high} }
	for _, c := range []struct {
		name    string
		machine profiles.Machine
		zero    profiles.ZZero // "" is any
		given   proof.Tolerances
		safe    [2]int // of how many
		what    proof.Weakness
		by      proof.Tolerance
		short   float64
		wallMM  float64 // more than zero: what counts as gone is thinner than the thinnest wall by that
	}{
		{name: "through", machine: knifeMachine(), zero: profiles.ZTop, given: proof.Tolerances{ThicknessMM: off(-0.4, 0.2), ZeroMM: off(-0.2, 0.2)}, safe: [2]int{3, 4}, what: proof.Uncut, short: 0.1},
		{name: "through, from the bed", machine: knifeMachine(), zero: profiles.ZBed, given: proof.Tolerances{ThicknessMM: within3, ZeroMM: off(-0.4, 0.4)}, safe: [2]int{2, 4}, what: proof.Uncut, by: proof.Zero, short: 0.1},
		{name: "the bed", machine: knifeMachine(), zero: profiles.ZTop, given: proof.Tolerances{ThicknessMM: off(-0.3, 0.1), BedMM: 0.5}, safe: [2]int{1, 2}, what: proof.Bed, short: 0.1},
		{name: "rapids", machine: knifeMachine(), zero: profiles.ZBed, given: proof.Tolerances{ThicknessMM: off(0, 5.4)}, safe: [2]int{1, 2}, what: proof.RapidLow, short: 0.4},
		{name: "tight", machine: knifeMachine(), given: proof.Tolerances{KerfMM: within(-0.15, 0.05)}, safe: [2]int{1, 2}, what: proof.Tight, by: proof.Kerf, short: 0.05},
		{name: "rattles", machine: wireMachine(), given: proof.Tolerances{ThicknessMM: off(-0.2, 3), KerfMM: within(-0.05, 0.2)}, safe: [2]int{2, 4}, what: proof.Rattles, by: proof.Kerf, short: 0.1},
		{name: "tight under a wire", machine: wireMachine(), given: proof.Tolerances{KerfMM: within(-0.2, 0.05)}, safe: [2]int{1, 2}, what: proof.Tight, by: proof.Kerf, short: 0.1},
		{name: "stands out", machine: wireMachine(), given: proof.Tolerances{ThicknessMM: off(-0.4, 3)}, safe: [2]int{1, 2}, what: proof.Proud, short: 0.1},
		{name: "a wall", machine: wireMachine(), given: proof.Tolerances{KerfMM: within(-0.05, 0.09)}, safe: [2]int{1, 2}, what: proof.Wall, by: proof.Kerf, short: 0.04, wallMM: 0.05},
		{name: "a knife's wall", machine: knifeMachine(), given: proof.Tolerances{KerfMM: within(-0.05, 0.09)}, safe: [2]int{1, 2}, what: proof.Wall, by: proof.Kerf, short: 0.04, wallMM: 0.05},
	} {
		t.Run(c.name, func(t *testing.T) {
			tried := 0
			for number := range uint64(8) {
				p := drawnTray(t, number, c.machine)
				if c.zero != "" && p.setup.Machine.ZZero != c.zero {
					continue
				}
				tried++
				p.setup.CellMM, p.setup.Tolerances = 0.25, &c.given
				p.want.Cuts[0].Seats = []proof.Seat{{Name: "piece", TighterMM: 0.1, LooserMM: 0.1, HigherMM: 0.3}}
				if c.what != proof.Proud {
					p.want.Cuts[0].Seats[0].HigherMM = math.Inf(1)
				}
				if c.wallMM > 0 {
					c.given.LeastLeftMM = p.thinnestWall() - c.wallMM
				}
				r := proof.Run(p.name, []byte(p.text), p.setup, &p.want)
				require.True(t, r.OK, "%v", r.Findings)
				require.NotNil(t, r.Corners)
				assert.Equal(t, c.safe, [2]int{r.Corners.Safe, r.Corners.Tried}, "tray %d: %+v", number, r.Corners.Weak)
				weak := weakOf(t, r.Corners, c.what)
				assert.Equal(t, c.by, weak.Tolerance)
				assert.InDelta(t, c.short, weak.ShortMM, 2e-3)
			}
			require.Positive(t, tried)
		})
	}
}

// thinnestWall is the thinnest foam between two holes, or a hole and the outline.
func (p patient) thinnestWall() float64 {
	least := math.Inf(1)
	for i, c := range p.want.Cuts {
		list := []geometry.Region{p.want.Outline}
		for _, o := range p.want.Cuts[:i] {
			list = append(list, o.Shape)
		}
		for _, r := range list {
			d, _, _ := geometry.Distance(c.Shape.Contours()[0], r.Contours()[0])
			least = math.Min(least, d)
		}
	}
	return least
}
