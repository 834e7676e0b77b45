package proof_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

// within is a tolerance of a single tool.
func within(low, high float64) map[int]proof.Range {
	return map[int]proof.Range{1: {Low: low, High: high}}
}

// The tray of shop_test.go: 20 mm of foam, 0.5 mm below it, a skin of 1 mm, floors of
// 8 and 12 mm, a wall of 7.125 mm, a rapid 5 mm above. Expected by hand: what is left
// as planned, less what the tolerances take.
func TestCornersOfATrayByHand(t *testing.T) {
	for _, c := range []struct {
		name   string
		given  proof.Tolerances
		onBed  bool
		tried  int
		safe   int
		what   proof.Weakness
		by     proof.Tolerance
		value  float64
		short  float64
		nobody bool    // is weak
		high   float64 // on the bed: how much shallower the seat may be; 0 is any
	}{
		{name: "nothing is off", tried: 1, safe: 1, nobody: true},
		{name: "just enough", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -0.6, High: 0.3}, ZeroMM: proof.Range{Low: -0.2, High: 0.2}}, tried: 4, safe: 4, nobody: true},
		{name: "not through", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -0.4, High: 0.4}, ZeroMM: proof.Range{Low: -0.2, High: 0.2}},
			tried: 4, safe: 3, what: proof.Uncut, by: proof.Thickness, value: 0.4, short: 0.1},
		{name: "loose", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -1.2}, ZeroMM: proof.Range{Low: -0.1, High: 0.1}},
			tried: 4, safe: 2, what: proof.Loose, by: proof.Thickness, value: -1.2, short: 0.3},
		{name: "skin", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -0.5}, ZeroMM: proof.Range{Low: -0.1, High: 0.1}, LeastLeftMM: 0.6},
			tried: 4, safe: 3, what: proof.Skin, by: proof.Thickness, value: -0.5, short: 0.2},
		{name: "bed", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -0.4}, ZeroMM: proof.Range{Low: -0.1, High: 0.1}, BedMM: 0.8},
			tried: 4, safe: 3, what: proof.Bed, by: proof.Thickness, value: -0.4, short: 0.2},
		{name: "floor", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -8.5}}, tried: 2, safe: 1, what: proof.Floor, by: proof.Thickness, value: -8.5, short: 0.5},
		{name: "zero on the bed", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -3, High: 3}, ZeroMM: proof.Range{Low: -0.4, High: 0.4}}, onBed: true, tried: 4, safe: 4, nobody: true},
		{name: "zero off on the bed", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -3, High: 3}, ZeroMM: proof.Range{Low: -0.6, High: 0.6}}, onBed: true,
			tried: 4, safe: 2, what: proof.Uncut, by: proof.Zero, value: 0.6, short: 0.1},
		{name: "rapid in thick foam", given: proof.Tolerances{ThicknessMM: proof.Range{High: 5.5}}, onBed: true, tried: 2, safe: 1, what: proof.RapidLow, by: proof.Thickness, value: 5.5, short: 0.5},
		{name: "tight, or rattles", given: proof.Tolerances{KerfMM: within(-0.15, 0.15), RunoutMM: within(0, 0.05)}, tried: 4, safe: 1, what: proof.Rattles, by: proof.Kerf, value: 0.15, short: 0.1},
		{name: "tight", given: proof.Tolerances{KerfMM: within(-0.15, 0.05), RunoutMM: within(0, 0.05)}, tried: 4, safe: 3, what: proof.Tight, by: proof.Kerf, value: -0.15, short: 0.05},
		{name: "stands out", given: proof.Tolerances{ZeroMM: proof.Range{Low: -0.1, High: 0.4}}, tried: 2, safe: 1, what: proof.Proud, by: proof.Zero, value: 0.4, short: 0.1},
		{name: "stands out of thin foam", given: proof.Tolerances{ThicknessMM: proof.Range{Low: -0.4, High: 0.1}}, onBed: true, high: 0.3, tried: 2, safe: 1, what: proof.Proud, by: proof.Thickness, value: -0.4, short: 0.1},
		{name: "wall", given: proof.Tolerances{KerfMM: within(0, 0.05), RunoutMM: within(0, 0.1), LeastLeftMM: 7}, tried: 4, safe: 0, what: proof.Wall, by: proof.Runout, value: 0.1, short: 0.025},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, w := routerTray()
			seat := proof.Seat{Name: "logbook", TighterMM: 0.1, LooserMM: 0.1, HigherMM: 0.3}
			s := routerSetup()
			if c.onBed {
				s.Machine, seat.HigherMM = onTheBed(), cmp.Or(c.high, math.Inf(1))
			}
			w.Cuts[0].Seats = []proof.Seat{seat}
			s.Tolerances = &c.given
			r := proof.Run("", text(t, p, s.Machine), s, &w)
			require.True(t, r.OK, "%v", r.Findings)
			require.NotNil(t, r.Corners)
			assert.Equal(t, c.tried, r.Corners.Tried)
			assert.Equal(t, c.safe, r.Corners.Safe, "%+v", r.Corners.Weak)
			if c.nobody {
				assert.Empty(t, r.Corners.Weak)
				return
			}
			weak := weakOf(t, r.Corners, c.what)
			assert.Equal(t, c.by, weak.Tolerance)
			assert.InDelta(t, c.value, weak.ValueMM[c.by], 1e-9)
			assert.InDelta(t, c.short, weak.ShortMM, 1e-3)
		})
	}
}

// A way down that ends above foam is safe while thicker foam does not come up to it; over a pocket that is open it
// is safe however near to the top it ends, and however thick the foam is.
func TestAWayDownOverAPocket(t *testing.T) {
	s := routerSetup()
	s.Machine = onTheBed()
	s.Tolerances = &proof.Tolerances{ThicknessMM: proof.Range{Low: -2, High: 2}}
	p, w := routerTray()
	program := text(t, p, s.Machine)
	for _, z := range []string{"20.5", "21.5", "22.5", "24"} {
		over := func(place string) proof.Result {
			return proof.Run("", []byte(first(`^M5\nM2`, "G0 "+place+"\nG0 Z"+z+"\nG0 Z25\nM5\nM2")(t, string(program))), s, &w)
		}
		r := over("X25 Y30")
		require.True(t, r.OK, "%s: %v", z, r.Findings)
		assert.Equal(t, 2, r.Corners.Safe, "%s: %+v", z, r.Corners.Weak)
		if r = over("X5 Y5"); z == "24" {
			assert.Equal(t, 2, r.Corners.Safe, "%s: %+v", z, r.Corners.Weak)
		} else {
			assert.Equal(t, []string{"rapid-down"}, distinct(errorsOf(r)), "%s: %v", z, r.Findings)
		}
	}
	s.Tolerances.ThicknessMM.High = 4.5
	s.Machine.ClearanceMM.Value = 4
	for place, safe := range map[string]int{"X25 Y30": 2, "X5 Y5": 1} {
		r := proof.Run("", []byte(first(`^M5\nM2`, "G0 "+place+"\nG0 Z24\nG0 Z25\nM5\nM2")(t, string(program))), s, &w)
		require.True(t, r.OK, "%s: %v", place, r.Findings)
		assert.Equal(t, safe, r.Corners.Safe, "%s: %+v", place, r.Corners.Weak)
	}
}

// weakOf is the first weakness of a kind.
func weakOf(t *testing.T, c *proof.Corners, what proof.Weakness) proof.Weak {
	for _, w := range c.Weak {
		if w.What == what {
			return w
		}
	}
	require.Fail(t, "not weak", "%v in %+v", what, c.Weak)
	return proof.Weak{}
}

// What fails at the smallest part of the tolerances comes first: the way through is
// gone at 0.5 of 0.6 mm, the skin at 1 of 1.1.
func TestFirstToFail(t *testing.T) {
	p, w := routerTray()
	s := routerSetup()
	s.Tolerances = &proof.Tolerances{ThicknessMM: proof.Range{Low: -1.1, High: 0.6}}
	r := proof.Run("", text(t, p, s.Machine), s, &w)
	require.Len(t, r.Corners.Weak, 3)
	assert.Equal(t, proof.Uncut, r.Corners.Weak[0].What)
	assert.Equal(t, "pocket 2 (dice)", r.Corners.Weak[0].Name)
	assert.Equal(t, proof.Loose, r.Corners.Weak[1].What)
	s.Tolerances.ThicknessMM = proof.Range{Low: -2, High: 0.51}
	r = proof.Run("", text(t, p, s.Machine), s, &w)
	assert.Equal(t, proof.Loose, r.Corners.Weak[0].What, "at 1 of 2 mm")
}

// Two laps d apart, d less than the cutter is wide: a cutter that is narrower than d
// leaves foam standing between them. The field sees what is as wide as a cell.
func TestFoamBetweenLaps(t *testing.T) {
	const apart = 3.025
	r := cutterMM / 2
	b := box(20, 20, 40, apart+cutterMM)
	op := routed("slot", []geometry.Contour{geometry.Rectangle(b.Grow(-r), 0)}, 12, 5)
	cut := proof.WantedCut{Name: "slot", Shape: geometry.NewRegion(geometry.Rectangle(b, r)), DepthMM: 12, Limits: routerLimits()}
	p := process.Program{Ops: []process.Op{op}, ClearZ: 5, ThicknessMM: thickMM}
	w := proof.Wanted{Cuts: []proof.WantedCut{cut}}
	s := routerSetup()
	s.Tolerances = &proof.Tolerances{KerfMM: within(-0.1, 0.4)}
	got := proof.Run("", text(t, p, s.Machine), s, &w)
	require.True(t, got.OK, "%v", got.Findings)
	assert.Equal(t, 2, got.Corners.Safe, "%v", got.Corners.Weak)
	s.Tolerances.KerfMM = within(-0.4, 0.4)
	got = proof.Run("", text(t, p, s.Machine), s, &w)
	assert.Equal(t, 1, got.Corners.Safe)
	weak := weakOf(t, got.Corners, proof.Standing)
	assert.InDelta(t, 0.4-(cutterMM-apart), weak.ShortMM, got.Field.CellMM+0.01)
}

// Tabs hold the tray as long as one of them is higher than what may be missing.
func TestTabsInCorners(t *testing.T) {
	m := routerMachine()
	recipe := routerRecipe(seeded(7))
	recipe.SkinMM, recipe.TabHeightMM = number(0), number(3)
	s := randomSheet(t, seeded(8), m, recipe)
	program, setup, want := made(t, s, m)
	setup.Tolerances = &proof.Tolerances{ThicknessMM: proof.Range{Low: -2.5}, LeastLeftMM: 0.4}
	got := proof.Run("", program, setup, &want)
	require.True(t, got.OK, "%v", got.Findings)
	assert.Equal(t, 2, got.Corners.Safe, "%+v", got.Corners.Weak)
	setup.Tolerances.LeastLeftMM = 0.6
	weak := weakOf(t, proof.Run("", program, setup, &want).Corners, proof.Skin)
	assert.InDelta(t, 0.1, weak.ShortMM, 1e-3)
	setup.Tolerances.ThicknessMM.Low = -3.2
	weak = weakOf(t, proof.Run("", program, setup, &want).Corners, proof.Loose)
	assert.InDelta(t, 0.2, weak.ShortMM, 1e-3)
}

// A kerf that is wider by k takes k of a tab's width: of 2 mm it leaves nothing from 2 mm on.
func TestNarrowTabsInCorners(t *testing.T) {
	m := routerMachine()
	recipe := routerRecipe(seeded(7))
	recipe.SkinMM, recipe.TabHeightMM, recipe.TabWidthMM = number(0), number(3), number(2)
	s := randomSheet(t, seeded(8), m, recipe)
	s.Cuts = nil
	program, setup, want := made(t, s, m)
	run := func(kerf, runout, least float64) *proof.Corners {
		setup.Tolerances = &proof.Tolerances{KerfMM: within(-0.01, kerf), RunoutMM: within(0, runout), LeastLeftMM: least}
		got := proof.Run("", program, setup, &want)
		require.True(t, got.OK, "%v", got.Findings)
		return got.Corners
	}
	assert.Equal(t, 4, run(1.5, 0.4, 0.1).Safe)
	weak := weakOf(t, run(1.5, 0.4, 0.2), proof.Neck)
	assert.InDelta(t, 0.1, weak.ShortMM, 1e-9)
	assert.Equal(t, 1, weak.Corners)
	weak = weakOf(t, run(1.9, 0.4, 0), proof.Parted)
	assert.InDelta(t, 0.3, weak.ShortMM, 1e-9)
	assert.Equal(t, 1, weak.Corners, "the run-out alone does not part it")
	assert.Equal(t, proof.Kerf, weak.Tolerance)
}

// A letter O of two halves, whose island hangs on two bridges, comes free when the wider of them is
// gone; in one that does not go through it stands on the floor. A chip of less than 2 mm is none.
func TestIslandsInCorners(t *testing.T) {
	m := routerMachine()
	at := geometry.Point{X: 50, Y: 45}
	for name, c := range map[string]struct {
		island, left, right float64 // radius, and what the bridges are wide
		blind               bool
		comes               float64
	}{
		"two bridges": {8, 0.4, 0.7, false, 0.7}, "the other": {8, 0.9, 0.4, false, 0.9}, "on the floor": {8, 0.4, 0.4, true, 0}, "a chip": {0.9, 0.4, 0.4, false, 0},
	} {
		recipe := routerRecipe(seeded(7))
		recipe.SkinMM = number(0.6)
		s := randomSheet(t, seeded(8), m, recipe)
		ring := geometry.NewRegion(geometry.Circle(at, 20), geometry.Circle(at, c.island).Reverse())
		halves, err := geometry.Difference(ring, geometry.NewRegion(geometry.Rectangle(box(at.X-25, at.Y-c.left/2, 25, c.left), 0), geometry.Rectangle(box(at.X, at.Y-c.right/2, 25, c.right), 0)), meetMM)
		require.NoError(t, err)
		like := s.Cuts[0]
		s.Cuts = nil
		for _, half := range halves.Pieces() {
			cut := like
			cut.Name, cut.Shape, cut.Through, cut.DepthMM = "letter O", opened(t, half, cutterMM/2), !c.blind, s.ThicknessMM()
			if c.blind {
				cut.DepthMM /= 2
			}
			cut.Design = cut.Shape
			s.Cuts = append(s.Cuts, cut)
		}
		s.Edge.Shape = geometry.NewRegion(geometry.Rectangle(box(0, 0, 100, 90), 5))
		s.Edge.Design = s.Edge.Shape
		require.Len(t, s.Cuts, 2)
		program, setup, want := made(t, s, m)
		for _, wider := range []float64{0.5, 0.65, 0.75, 0.85, 0.95} {
			setup.Tolerances = &proof.Tolerances{KerfMM: within(-0.01, wider-0.05), RunoutMM: within(0, 0.05)}
			got := proof.Run("", program, setup, &want)
			require.True(t, got.OK, "%s: %v", name, got.Findings)
			free := slices.ContainsFunc(got.Corners.Weak, func(w proof.Weak) bool { return w.What == proof.Island })
			require.Equal(t, c.comes > 0 && wider > c.comes, free, "%s, %g wider: %+v", name, wider, got.Corners.Weak)
			if free {
				weak := weakOf(t, got.Corners, proof.Island)
				assert.InDelta(t, wider-c.comes, weak.ShortMM, wider/100, name)
				assert.Equal(t, "the foam that is cut round by letter O", weak.Name)
				assert.InDelta(t, c.island, weak.At.DistanceTo(at), 1, name)
			}
		}
	}
}

// A beam has no depth of its own to be off by: only its kerf counts.
func TestCornersOfABeam(t *testing.T) {
	p, w := laserTray()
	w.Cuts[0].Seats = []proof.Seat{{Name: "logbook", TighterMM: 0.05, LooserMM: math.Inf(1), HigherMM: math.Inf(1)}}
	s := laserSetup()
	s.Tolerances = &proof.Tolerances{KerfMM: map[int]proof.Range{0: {Low: -0.1, High: 0.1}}, LeastLeftMM: 0.3}
	r := proof.Run("", text(t, p, s.Machine), s, &w)
	require.True(t, r.OK, "%v", r.Findings)
	assert.Equal(t, 2, r.Corners.Tried)
	assert.Equal(t, 1, r.Corners.Safe)
	assert.Equal(t, proof.Tight, r.Corners.Weak[0].What)
}

// Two passes of 10.2 mm go through 20.4 mm of foam, and no more.
func TestABeamInThickerFoam(t *testing.T) {
	p, w := laserTray()
	for i := range w.Cuts {
		w.Cuts[i].Limits[0].MMPerPass = 10.2
	}
	w.OutlineLimits[0].MMPerPass = 10.2
	s := laserSetup()
	for thicker, safe := range map[float64]int{0.39: 2, 0.5: 1} {
		s.Tolerances = &proof.Tolerances{ThicknessMM: proof.Range{Low: -1, High: thicker}}
		r := proof.Run("", text(t, p, s.Machine), s, &w)
		require.True(t, r.OK, "%v", r.Findings)
		assert.Equal(t, 2, r.Corners.Tried)
		assert.Equal(t, safe, r.Corners.Safe, "%+v", r.Corners.Weak)
		if safe == 1 {
			assert.Len(t, r.Corners.Weak, 3)
			assert.InDelta(t, 0.1, weakOf(t, r.Corners, proof.Uncut).ShortMM, 1e-9)
		}
	}
}

// No corners of what is wrong as it is, nor of what nobody has said.
func TestNoCornersAreClaimed(t *testing.T) {
	p, w := routerTray()
	s := routerSetup()
	program := text(t, p, s.Machine)
	assert.Nil(t, proof.Run("", program, s, &w).Corners)
	s.Tolerances = &proof.Tolerances{ThicknessMM: proof.Range{Low: -1, High: 1}}
	assert.Nil(t, proof.Run("", program, s, nil).Corners)
	w.Cuts[1].DepthMM, w.Cuts[1].Through = 8, false
	r := proof.Run("", program, s, &w)
	assert.False(t, r.OK)
	assert.Nil(t, r.Corners)
}
