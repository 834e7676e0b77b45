package proof_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// rulesOf is the rules of a result's findings.
func rulesOf(r proof.Result) []string {
	list := []string{}
	for _, f := range r.Findings {
		list = append(list, f.Rule)
	}
	return list
}

// Half of what the cut is too wide or too narrow comes back exactly.
func TestWallsAreMeasuredExactly(t *testing.T) {
	for _, machine := range []string{"router", "laser"} {
		p, w := routerTray()
		s, m, kerf := routerSetup(), routerMachine(), cutterMM
		tool := 1
		if machine == "laser" {
			p, w = laserTray()
			s, m, kerf, tool = laserSetup(), laserMachine(), kerfMM, 0
		}
		program := text(t, p, m)
		for _, wide := range []float64{-0.15, -0.06, -0.03, 0.03, 0.06, 0.3} {
			s.KerfMM = map[int]float64{tool: kerf + wide}
			r := proof.Run("", program, s, &w)
			assert.InDelta(t, math.Max(0, wide/2), r.WorstOvercutMM, 1e-9, "%s %v", machine, wide)
			assert.InDelta(t, math.Max(0, -wide/2), r.WorstUndercutMM, 1e-9, "%s %v", machine, wide)
			assert.Equal(t, math.Abs(wide/2) <= 0.02, r.OK, "%s %v %v", machine, wide, r.Findings)
		}
	}
}

// A controller without arcs may miss a round wall by its chord error, and by no more than 0.02 mm beside a wall's own
// tolerance of 0.02, however coarse its profile lets the chords be.
func TestChordsAreAllowedFor(t *testing.T) {
	p, w := routerTray()
	s := routerSetup()
	for _, coarse := range []float64{0.02, 0.3, 1} {
		s.Machine.Controller.Arcs, s.Machine.Controller.ChordMM = profiles.Chords, coarse
		program := string(text(t, p, s.Machine))
		r := proof.Run("", []byte(program), s, &w)
		assert.True(t, r.OK, "%v", r.Findings)
		assert.InDelta(t, 0.02, max(r.WorstOvercutMM, r.WorstUndercutMM), 0.002)
		r = proof.Run("", []byte(strings.ReplaceAll(program, "X38.4125", "X38.3625")), s, &w)
		assert.False(t, r.OK, "0.05 mm too narrow where chords may stray %v mm", coarse)
	}
}

// A wall that stands 0.1 mm off is told with its place and the line that did it.
func TestOvercutIsPlaced(t *testing.T) {
	p, w := routerTray()
	program := strings.Replace(string(text(t, p, routerMachine())), "G1 X38.4125", "G1 X38.5125", 1)
	r := proof.Run("", []byte(program), routerSetup(), &w)
	assert.False(t, r.OK)
	assert.InDelta(t, 0.1, r.WorstOvercutMM, 1e-9)
	assert.InDelta(t, 40, r.WorstOvercutAt.X, 1e-9)
	var found finding.Finding
	for _, f := range r.Findings {
		if f.Rule == "overcut" {
			found = f
		}
	}
	assert.Contains(t, found.Message, ", and leaves 7.9 mm of the wall of 8 mm", "from X 40.1 to the next pocket at X 48")
	lines := strings.Split(program, "\n")
	assert.Contains(t, lines[found.Line-1]+lines[found.Line-2], "X38.5125")
}

// Removed volume against the areas by hand: pi r^2, and a rectangle less
// (4 - pi) r^2 for its corners.
func TestRemovedVolume(t *testing.T) {
	a, wantA := rectanglePocket("a", box(10, 10, 30, 40), 12, false)
	b, wantB := roundPocket("b", geometry.Point{X: 62, Y: 50}, 12.875, 8)
	p := process.Program{Ops: []process.Op{a, b}, ClearZ: 5, ThicknessMM: thickMM}
	w := proof.Wanted{Cuts: []proof.WantedCut{wantA, wantB}}
	r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
	assert.Empty(t, r.Findings)
	corner := cutterMM / 2
	want := 12*(30*40-(4-math.Pi)*corner*corner) + 8*math.Pi*12.875*12.875
	assert.InEpsilon(t, want, r.RemovedMM3, 0.002)
}

// A pocket whose walls run through the middle of cells is no wider than it is.
func TestRemovedVolumeOfCells(t *testing.T) {
	op, wanted := rectanglePocket("a", box(10.1, 10.1, 30, 40), 12, false)
	p := process.Program{Ops: []process.Op{op}, ClearZ: 5, ThicknessMM: thickMM}
	w := proof.Wanted{Cuts: []proof.WantedCut{wanted}}
	corner := cutterMM / 2
	want := 12 * (30*40 - (4-math.Pi)*corner*corner)
	for _, cell := range []float64{0.1, 0.2} {
		setup := routerSetup()
		setup.CellMM = cell
		assert.InEpsilon(t, want, proof.Run("", text(t, p, routerMachine()), setup, &w).RemovedMM3, 0.0005, "cells of %g mm", cell)
	}
}

// Cut and dryrun look at foam in cells of different sizes, and say one volume: of a cutter, of a beam whose plugs
// fall out, and of a program that finds foam gone already.
func TestRemovedVolumeIsOneNumber(t *testing.T) {
	ours, foam := routerTray()
	beam, sheet := laserTray()
	begun, later := ours, routerSetup()
	begun.Ops = ours.Ops[:1]
	later.Before = []proof.Earlier{{Text: text(t, begun, routerMachine())}}
	for name, c := range map[string]struct {
		program process.Program
		machine profiles.Machine
		setup   proof.Setup
		want    *proof.Wanted
	}{
		"cutter": {ours, routerMachine(), routerSetup(), &foam}, "alone": {ours, routerMachine(), routerSetup(), nil},
		"beam": {beam, laserMachine(), laserSetup(), &sheet}, "later": {ours, routerMachine(), later, &foam},
	} {
		seen := map[float64]bool{}
		for _, cells := range [][2]float64{{0.2, 0}, {0.1, 0.2}} {
			c.setup.CellMM, c.setup.CountMM = cells[0], cells[1]
			seen[proof.Run("", text(t, c.program, c.machine), c.setup, c.want).RemovedMM3] = true
		}
		assert.Len(t, seen, 1, "%s: %v", name, seen)
	}
}

// Two pockets that overlap, one deeper: the shallow one's wall inside the deep
// one is none, and the deep one's wall begins at the shallow one's floor.
func TestSteppedPockets(t *testing.T) {
	a, wantA := rectanglePocket("deep", box(10, 10, 20, 20), 15, false)
	b, wantB := rectanglePocket("shallow", box(20, 5, 30, 30), 6, false)
	p := process.Program{Ops: []process.Op{b, a}, ClearZ: 5, ThicknessMM: thickMM}
	w := proof.Wanted{Cuts: []proof.WantedCut{wantA, wantB}, Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 90, 70), 0))}
	r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
	assert.Empty(t, r.Findings)
	// The shallow one cut as deep as the deep one takes the deep one's wall away.
	b, _ = rectanglePocket("shallow", box(20, 5, 30, 30), 15, false)
	p.Ops = []process.Op{b, a}
	r = proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
	assert.Contains(t, rulesOf(r), "overcut")
	assert.Contains(t, rulesOf(r), "floor-too-deep")
}

// A floor that is half a mm high in its middle, its walls as planned.
func TestFoamLeftOnAFloor(t *testing.T) {
	op, cut := roundPocket("pocket", geometry.Point{X: 40, Y: 40}, 15, 12)
	hump := geometry.Circle(geometry.Point{X: 40, Y: 40}, 15-cutterMM/2)
	low := routed("wall", []geometry.Contour{hump}, 12, 6)
	for i := range op.Moves {
		op.Moves[i].To.Z = max(op.Moves[i].To.Z, -11.5)
	}
	p := process.Program{Ops: []process.Op{op, low}, ClearZ: 5, ThicknessMM: thickMM}
	r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &proof.Wanted{Cuts: []proof.WantedCut{cut}})
	require.Equal(t, []string{"foam-left"}, rulesOf(r))
	assert.Contains(t, r.Findings[0].Message, "0.5 mm high")
	assert.False(t, r.OK)
}

func TestStrayCut(t *testing.T) {
	p, w := routerTray()
	stray, _ := rectanglePocket("stray", box(82, 30, 5, 5), 3, false)
	p.Ops = append(p.Ops, stray)
	r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
	assert.Contains(t, rulesOf(r), "stray-cut")
	assert.False(t, r.OK)
	assert.Greater(t, r.WorstOvercutMM, 0.02)
}

// A beam's stray line is found even if it passes between the middles of cells.
func TestStrayBeam(t *testing.T) {
	p, w := laserTray()
	path := geometry.Polygon(geometry.Point{X: 45, Y: 10}, geometry.Point{X: 45, Y: 20})
	p.Ops = append(p.Ops[:2:2], burned("stray", process.Pocket, path, geometry.Point{X: 45, Y: 10}, 1), p.Ops[2])
	s := laserSetup()
	for _, cell := range []float64{0, 0.1, 0.6, 1, 2} {
		s.CellMM = cell
		r := proof.Run("", text(t, p, laserMachine()), s, &w)
		assert.Equal(t, []string{"off-focus", "stray-cut"}, distinct(rulesOf(r)), "there and back: the second pass has another focus; cell %v", cell)
	}
}

// A beam's plug falls only when its contour is closed and every pass is made.
func TestPlugs(t *testing.T) {
	p, w := laserTray()
	whole := string(text(t, p, laserMachine()))
	r := proof.Run("", []byte(whole), laserSetup(), &w)
	assert.Empty(t, r.Findings)
	falls := 20*(30*40-(4-math.Pi)*4) + 20*math.Pi*12.875*12.875 // the two holes
	edge := 20 * kerfMM * (2*(90+70) - 8*4 + 2*math.Pi*4.1)      // and the kerf around the tray
	assert.InEpsilon(t, falls+edge, r.RemovedMM3, 0.003)

	for name, program := range map[string]string{
		"part of a pass":  strings.Replace(whole, "G1 X38.0000", "G1 X37.0000\nM5\nG0 X38.0000\nM3 S600", 1),
		"half the power":  strings.Replace(whole, "M3 S600", "M3 S300", 1),
		"a faster line":   strings.Replace(whole, "G1 X38.0000", "G1 X38.0000 F1800\nF900", 1),
		"one pass of two": strings.Replace(whole, "(passes: 2)", "(passes: 1)", 1),
	} {
		require.NotEqual(t, whole, program, name)
		r := proof.Run("", []byte(program), laserSetup(), &w)
		assert.Equal(t, name == "one pass of two", r.OK, name) // a comment changes nothing that is set up
	}
}

// A contour that begins and ends in the middle of an edge, and does not quite close.
func TestGapInABeamsContour(t *testing.T) {
	shape := geometry.Rectangle(box(10, 10, 30, 40), 0.1)
	for _, c := range []struct {
		gap float64
		ok  bool
	}{{0, true}, {0.05, true}, {0.15, false}, {0.2, false}, {0.3, false}, {0.5, false}, {1, false}} {
		// A gap of g leaves sqrt((g/2)^2 + (kerf/2)^2) - kerf/2 at the wall: 0.02 mm from 0.13 mm on.
		path := geometry.Polygon(geometry.Point{X: 23.111, Y: 10.1}, geometry.Point{X: 39.9, Y: 10.1}, geometry.Point{X: 39.9, Y: 49.9},
			geometry.Point{X: 10.1, Y: 49.9}, geometry.Point{X: 10.1, Y: 10.1}, geometry.Point{X: 23.111 - c.gap, Y: 10.1})
		op := burned("pocket", process.Pocket, path, geometry.Point{X: 23.111, Y: 12}, 1)
		op.Moves = op.Moves[:len(op.Moves)-1] // without the way back to the start
		if c.gap == 0 {
			op = burned("pocket", process.Pocket, path, geometry.Point{X: 23.111, Y: 12}, 1)
		}
		w := proof.Wanted{Cuts: []proof.WantedCut{{Name: "pocket", Shape: geometry.NewRegion(shape), DepthMM: thickMM, Through: true}}}
		s := laserSetup()
		s.Passes = 1
		r := proof.Run("", text(t, process.Program{Ops: []process.Op{op}, ThicknessMM: thickMM}, laserMachine()), s, &w)
		assert.Equal(t, c.ok, r.OK, "gap %v: %v", c.gap, r.Findings)
		assert.Equal(t, c.ok, depthAt(r.Field, geometry.Point{X: 30, Y: 30}) > 0, "the plug falls, gap %v", c.gap)
		if !c.ok && c.gap < 1 {
			assert.InDelta(t, math.Hypot(c.gap/2, kerfMM/2)-kerfMM/2, r.WorstUndercutMM, 0.012, "gap %v", c.gap)
		}
	}
}

// A cutter's outline may have tabs, but must be cut.
func TestOutlineOfACutter(t *testing.T) {
	p, w := routerTray()
	for _, c := range []struct {
		depth, wanted float64
		ok            bool
	}{{19, 19, true}, {18, 19, false}, {15, 20, false}, {20.5, 20, false}} { // the last one lets the tray fly
		sheet := box(0, 0, 90, 70)
		p.Ops[3] = routed("outline", []geometry.Contour{geometry.Circle(geometry.Point{X: -3, Y: -3}, 0.1), outlinePath(sheet, cutterMM/2)}, c.depth, 5)
		w.OutlineDepthMM = c.wanted
		assert.Equal(t, c.ok, proof.Run("", text(t, p, routerMachine()), routerSetup(), &w).OK, "%v", c)
	}
}

// What comes free, and what is cut after that.
func TestLooseParts(t *testing.T) {
	p, w := laserTray()
	p.Ops[0], p.Ops[2] = p.Ops[2], p.Ops[0] // the outline first
	r := proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)
	assert.False(t, r.OK)
	assert.Equal(t, []string{"loose-tray"}, rulesOf(r))

	p, w = routerTray() // a skin holds it: still, not worked on
	p.Ops[1], p.Ops[3] = p.Ops[3], p.Ops[1]
	r = proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
	assert.False(t, r.OK)
	assert.Equal(t, []string{"held-by-skin"}, rulesOf(r))

	p, w = laserTray()
	w.LeadInMM = 6
	center := geometry.Point{X: 62, Y: 50}
	late := burned("late", process.Pocket, geometry.Circle(center, 5), geometry.Point{X: 62, Y: 52}, 2)
	p.Ops = append(p.Ops, late)
	r = proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)
	assert.Equal(t, []string{"loose-plug", "loose-tray"}, rulesOf(r))

	// A ring cut through leaves an island.
	middle, wall := geometry.Point{X: 50, Y: 40}, cutterMM/2
	ring := routed("ring", []geometry.Contour{geometry.Circle(middle, 20-wall), geometry.Circle(middle, 16+wall)}, thickMM+throughMM, 5)
	cut := proof.WantedCut{Name: "ring", DepthMM: thickMM, Through: true,
		Shape: geometry.NewRegion(geometry.Circle(middle, 20), geometry.Circle(middle, 16).Reverse())}
	r = proof.Run("", text(t, process.Program{Ops: []process.Op{ring}, ClearZ: 5, ThicknessMM: thickMM}, routerMachine()), routerSetup(), &proof.Wanted{Cuts: []proof.WantedCut{cut}})
	assert.Equal(t, []string{"loose-island"}, rulesOf(r))
}

func TestProgressEndsAtOne(t *testing.T) {
	p, w := routerTray()
	s := routerSetup()
	last := 0.0
	s.Progress = func(share float64) {
		assert.GreaterOrEqual(t, share, last)
		last = share
	}
	proof.Run("", text(t, p, routerMachine()), s, &w)
	assert.Equal(t, 1.0, last)
}

func FuzzRun(f *testing.F) {
	p, w := routerTray()
	p.Ops = p.Ops[2:] // short ones are tried more often
	f.Add(text(f, p, routerMachine()), false)
	p, _ = laserTray()
	p.Ops = p.Ops[1:2]
	f.Add(text(f, p, laserMachine()), true)
	f.Add([]byte("G21\nG0 X-999999 Y999999\nM3 S9\nG1 Z-3 X999999 F9\nG2 X0 I-499999.5\nM2"), false)
	f.Fuzz(func(t *testing.T, program []byte, beam bool) {
		s := routerSetup()
		if beam {
			s = laserSetup()
		}
		s.CellMM = 2
		r := proof.Run("", program, s, &w)
		for _, v := range []float64{r.WorstOvercutMM, r.WorstUndercutMM, r.Seconds, r.LowerBoundSeconds, r.CutMM, r.RapidMM, r.RemovedMM3} {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Fatalf("%v in %+v", v, r.Findings)
			}
		}
		if r.Seconds < 0 {
			t.Fatal(r.Seconds)
		}
	})
}
