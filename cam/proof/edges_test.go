package proof_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

// What burns or mills far from all that is planned is an error: a beam at its focus, which is the foam's very
// top, as well; a tool that only passes there, above the foam, is told of as travel.
func TestFarFromThePlanWhatCutsAndWhatPasses(t *testing.T) {
	for _, c := range []struct{ on, what, end, with, rule string }{
		{"laser", "lit at the first pass's focus", `^M9\nM2`, "M8\nG0 X300 Y100 Z20\nM3 S600\nG1 X350 F900\nM5\nM9\nM2", "cut-beyond-plan"},
		{"laser", "dark", `^M9\nM2`, "G0 X300 Y100 Z20\nG1 X350 F900\nM9\nM2", "travel-beyond-plan"},
		{"router", "in the foam", `^M5\nM2`, "G0 X300 Y100\nG1 Z-4 F300\nG1 X350 F1200\nG0 Z5\nM5\nM2", "cut-beyond-plan"},
		{"router", "above it", `^M5\nM2`, "G0 X300 Y100\nG1 X350 F1200\nM5\nM2", "travel-beyond-plan"},
	} {
		program, setup, want := spoiled(t, c.on)
		r := proof.Run("", []byte(spoil(t, program, c.end, c.with)), setup, &want)
		found := rulesOf(r)
		assert.Contains(t, found, c.rule, "%s: %s: %v", c.on, c.what, r.Findings)
		assert.Equal(t, c.rule == "cut-beyond-plan", slices.Contains(found, "cut-beyond-plan"), "%s: %s: %v", c.on, c.what, r.Findings)
	}
}

// Short waits in the foam, each at another place, are told once, by the line with which they are more than five
// seconds in all; and in a foreign program without a job, which may have to wait there, not at all.
func TestShortWaitsAreAddedUpInOursOnly(t *testing.T) {
	const waits = 16 // of 0.4 s: the thirteenth makes 5.2 s
	body := "G0 Z5\nG0 X10 Y10\nM3 S18000\nG4 P3\nG1 Z-2 F300\n"
	for i := range waits {
		body += fmt.Sprintf("G1 X%d F1200\nG4 P0.4\n", 20+10*i)
	}
	ours := "(machine: bench-router)\n(thickness: 20 mm)\n(tool: T1 thin)\n(passes: 1)\n(z zero: top of the foam, positive up)\n(time: 1 s)\n"
	stands := func(head string, n int) (lines []string) {
		short := strings.Join(strings.Split(body, "\n")[:5+2*n], "\n") + "\n"
		text := head + "G21 G90 G17 G94 G54\n" + short + "G0 Z5\nM5\nM2\n"
		said := strings.Split(text, "\n")
		for _, f := range proof.Run("", []byte(text), routerSetup(), nil).Findings {
			if f.Rule == "stands-in-foam" {
				at := slices.Index(said, "G4 P0.4")
				lines = append(lines, fmt.Sprint((f.Line-1-at)/2+1, " ", f.Message))
			}
		}
		return lines
	}
	assert.Empty(t, stands(ours, 12))
	assert.Equal(t, []string{"13 by this line the tool has stood turning in the foam for 5.2 s, and melts it"}, stands(ours, waits))
	assert.Empty(t, stands("", waits))
}

// A beam that is lit from the program's first move on, and nowhere gives more than a mark, cuts nothing, and that is told.
func TestNothingCutFromTheFirstMoveOn(t *testing.T) {
	setup := laserSetup()
	setup.Recipe, setup.MarkShare = proof.Limits{FeedMMPerMin: 900, PowerPercent: 60, MMPerPass: 12, Passes: 1}, 0.1
	for power, told := range map[string]bool{"S60": true, "S600": false, "S0": false} {
		text := "G21 G90 G17 G94\nM8\nM3 " + power + "\nG1 X10 Y10 F900\nG1 X50\nM5\nM9\nM2\n"
		assert.Equal(t, told, slices.Contains(rulesOf(proof.Run("", []byte(text), setup, nil)), "nothing-cut"), power)
	}
}

// groovedPlug is a plug of 30 mm in a groove that goes to a skin of 1 mm, and how far the cutter goes on in it.
func groovedPlug(on float64) (process.Program, proof.Wanted) {
	r := cutterMM / 2
	hole := box(20, 20, 30, 30)
	way := geometry.Rectangle(hole.Grow(-r), 0)
	op := routed("plug", []geometry.Contour{way}, thickMM-1, 5)
	op.Moves = op.Moves[:len(op.Moves)-2] // without the way back and the lift
	from := start(way)
	z := op.Moves[len(op.Moves)-1].To.Z
	op.Moves = append(op.Moves,
		process.Move{Kind: process.Line, To: process.Point{Point: from.Add(geometry.Point{X: on}), Z: z}, FeedMMPerMin: 1200},
		process.Move{To: process.Point{Point: from.Add(geometry.Point{X: on}), Z: 5}})
	cut := proof.WantedCut{Name: "plug", Shape: geometry.NewRegion(geometry.Rectangle(hole, r)), DepthMM: thickMM - 1, Plug: true, Limits: routerLimits()}
	return process.Program{Ops: []process.Op{op}, ClearZ: 5, ThicknessMM: thickMM, SkinMM: 1},
		proof.Wanted{Cuts: []proof.WantedCut{cut}, Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 90, 70), 4))}
}

// A lap in a groove that is down to its skin may run on past its own start for four kerfs, and no more.
func TestALapRunsOnForFourKerfs(t *testing.T) {
	for kerfs, told := range map[float64]bool{3.9: false, 3.2: false, 4.1: true} {
		p, w := groovedPlug(kerfs * cutterMM)
		r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
		assert.Equal(t, told, slices.Contains(rulesOf(r), "held-by-skin"), "%v kerfs: %v", kerfs, r.Findings)
	}
}

// Foam that has come loose may be trimmed where the lap with which it came loose ends, for a kerf from there. Who has gone
// on along the groove in the meantime bites into foam that nothing holds, however short the bite.
func TestWhatClosesALapFollowsItAtOnce(t *testing.T) {
	const lap = "G0 Z5; G0 X21.5875 Y21.5875; M3 S18000; G1 Z-20.5 F300; G1 X48.4125 F1200; G1 Y48.4125; G1 X21.5875; G1 Y21.5875; "
	shape := geometry.NewRegion(geometry.Rectangle(box(20, 20, 30, 30), cutterMM/2))
	want := proof.Wanted{Cuts: []proof.WantedCut{{Name: "hole", Shape: shape, DepthMM: thickMM, Through: true}}, Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 90, 70), 4))}
	for body, told := range map[string]bool{
		"G1 X23.78 Y23.78; G0 Z5":                                 false, // 3.1 mm, and the kerf is 3.175 mm
		"G1 X23.9 Y23.9; G0 Z5":                                   true,  // 3.27 mm
		"G1 X48.4125; G1 Y48.4125; G1 X46.22 Y46.22; G0 Z5":       true,  // 3.1 mm, behind a way of 54 mm
		"G1 X48.4125; G1 X46.22 Y23.78; G0 Z5":                    true,
		"G0 Z5; G0 X22; G1 Z-20.5 F300; G1 X23.78 Y23.78; G0 Z5":  true, // lifted
		"G1 X22.6 Y22.6; G1 X23.2 Y23.2; G1 X23.78 Y23.78; G0 Z5": false,
	} {
		r := proof.Run("", program(lap+body), routerSetup(), &want)
		assert.Equal(t, told, strings.Contains(messagesOf(r, "loose-foam"), "cuts foam at"), "%s: %v", body, r.Findings)
	}
}

// An outline that tabs are to hold is cut to its depth along three fifths of its way at the least; how far it is, and
// how far it has to be, is told. The tray is 313.1 mm around, its corners of 4 mm are 6.28 mm each.
func TestAnOutlineIsCutButForItsTabs(t *testing.T) {
	sheet := box(0, 0, 90, 70)
	path := outlinePath(sheet, cutterMM/2)
	around := 2*(82.0+62) + 2*3.14159265*4
	for share, told := range map[float64]string{
		0.5:  "the outline is cut to its depth of 20 mm along 5",
		0.58: "the outline is cut to its depth of 20 mm along 5",
		0.62: "",
		0.9:  "",
	} {
		p, w := routerTray()
		edge := routed("outline", []geometry.Contour{geometry.Circle(geometry.Point{X: -3, Y: -3}, 0.1), path}, thickMM/2, 5)
		last := edge.Moves[len(edge.Moves)-1].To
		edge.Moves = append(edge.Moves, process.Move{To: process.Point{Point: start(path), Z: last.Z}})
		deep, left := follow(path, -thickMM, 1200, 0), share*around
		edge.Moves = append(edge.Moves, process.Move{Kind: process.Line, To: process.Point{Point: start(path), Z: -thickMM}, FeedMMPerMin: 300})
		at := start(path)
		for _, m := range deep {
			length := m.To.DistanceTo(at)
			if m.Kind != process.Line {
				length = 2 * 3.14159265 * 4 / 4 // of the tray's own corner
			}
			if length > left && m.Kind == process.Line {
				m.To.Point = at.Add(m.To.Sub(at).Scale(left / length))
			}
			edge.Moves = append(edge.Moves, m)
			at = m.To.Point
			if left -= length; left <= 0 {
				break
			}
		}
		edge.Moves = append(edge.Moves, process.Move{To: process.Point{Point: at, Z: 5}})
		p.Ops[3], w.OutlineDepthMM = edge, thickMM
		r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
		assert.NotContains(t, rulesOf(r), "undercut", "%v: %v", share, r.Findings)
		if told == "" {
			assert.NotContains(t, rulesOf(r), "outline-not-cut", "%v: %v", share, r.Findings)
			continue
		}
		assert.Contains(t, messagesOf(r, "outline-not-cut"), told, "%v: %v", share, r.Findings)
		for _, f := range r.Findings {
			if f.Rule == "outline-not-cut" {
				var percent float64
				_, err := fmt.Sscanf(f.Message, "the outline is cut to its depth of 20 mm along %f %% of its length only", &percent)
				assert.NoError(t, err)
				assert.InDelta(t, 100*share, percent, 5) // of its probes, which stand closer in corners
				assert.Equal(t, "cut it to that depth along 60 % or more; only tabs may stand", f.Hint)
			}
		}
	}
}
