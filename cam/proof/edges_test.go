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

// What cuts beside a planned mark is held to its own limits and not to the mark's: here 900 mm/min, which is too slow for a pocket.
func TestMarkLimitsHoldOnMarksOnly(t *testing.T) {
	p, w := routerTray()
	w.Marks, w.MarkDepthMM, w.MarkLimits = []proof.WantedMark{{Path: anchor(), WidthMM: cutterMM}}, markMM, markedSlowly()
	p.Ops = append([]process.Op{routerMarked(anchor(), markMM)}, p.Ops...)
	program := string(text(t, p, routerMachine()))
	assert.NotContains(t, rulesOf(proof.Run("", []byte(program), routerSetup(), &w)), "feed-too-low")
	assert.Contains(t, errorsOf(proof.Run("", []byte(strings.ReplaceAll(program, "F1200", "F900")), routerSetup(), &w)), "feed-too-low")
}

// The waste beyond which a cut with a tool that the plan does not have there is none of the plan's begins 5 mm and half a tool beside the tray.
func TestWasteBeginsHalfAToolFartherOut(t *testing.T) {
	program, setup, want := spoiled(t, "router")
	setup.KerfMM = map[int]float64{1: cutterMM, 2: 8}
	right := want.Outline.Bounds().Max.X
	for beside, waste := range map[float64]bool{8.9: false, 9.1: true} {
		stray := fmt.Sprintf("T2\nG0 X%.4f Y20\nG1 Z-2 F300\nG1 Y40 F1200\nG0 Z5\nM5\nM2", right+beside)
		said := messagesOf(proof.Run("", []byte(spoil(t, program, `^M5\nM2`, stray)), setup, &want), "other-tool")
		assert.Equal(t, waste, strings.Contains(said, "in the waste"), "%v: %s", beside, said)
	}
}

// A program whose very first move cuts: what the layers' foam makes of that cut's width is told at its line.
func TestTheFirstMoveCutsALayersWall(t *testing.T) {
	s := routerSetup()
	s.Tool = 1
	s.Layers = []proof.Layer{{ThicknessMM: 10, KerfMM: map[int]float64{1: 3.4}}, {ThicknessMM: 10, KerfMM: map[int]float64{1: 3}}}
	want := proof.Wanted{Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 90, 70), 4)),
		Cuts: []proof.WantedCut{{Name: "hole", Shape: geometry.NewRegion(geometry.Circle(geometry.Point{X: 30, Y: 30}, 1.7)), DepthMM: 18}}}
	r := proof.Run("", program("M3 S18000; G1 X30 Y30 Z-18 F300; G0 Z5"), s, &want)
	at := slices.Index(rulesOf(r), "layer-kerf")
	if assert.GreaterOrEqual(t, at, 0, "%v", r.Findings) {
		assert.Equal(t, 3, r.Findings[at].Line)
		assert.Contains(t, r.Findings[at].Message, "in layer 2 the tool cuts 0.4 mm narrower than in the block's other foam, so walls stand 0.2 mm too far in there")
	}
}

// A recipe without a power, without a feed, or a machine that nobody knows the full power of: then nobody holds energy against it.
func TestEnergyIsHeldWhereItIsKnown(t *testing.T) {
	for what, change := range map[string]func(*proof.Limits, *proof.Setup){
		"no power": func(l *proof.Limits, _ *proof.Setup) { l.PowerPercent = 0 },
		"no feed":  func(l *proof.Limits, _ *proof.Setup) { l.FeedMMPerMin = 0 },
		"no scale": func(_ *proof.Limits, s *proof.Setup) { s.Machine.Controller.PowerScale = 0 },
	} {
		program, setup, want := spoiled(t, "laser")
		for _, l := range [][]proof.Limits{want.Cuts[0].Limits, want.Cuts[1].Limits, want.OutlineLimits} {
			change(&l[0], &setup)
		}
		r := proof.Run("", []byte(program), setup, &want)
		for _, rule := range []string{"beam-too-weak", "beam-too-strong", "not-through"} {
			assert.NotContains(t, rulesOf(r), rule, "%s: %v", what, r.Findings)
		}
	}
}

// A lap of a beam may run on past its own start for less than two kerfs of 0.2 mm, in one piece or in several, also where it is dark between them.
func TestABeamRunsOnForTwoKerfs(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	path := outlinePath(box(0, 0, 90, 70), kerfMM/2).Vertices()
	from := path[0].Point
	along := path[1].Sub(from).Scale(1 / path[1].DistanceTo(from))
	for _, c := range []struct {
		each  []float64
		dark  bool
		often bool
	}{{[]float64{0.37}, false, false}, {[]float64{0.43}, false, true}, {[]float64{0.18, 0.18}, false, false}, {[]float64{0.22, 0.22}, false, true}, {[]float64{0.22, 0.22}, true, true}, {[]float64{0.18, 0.18}, true, false}} {
		on, to := "", from
		for i, mm := range c.each {
			to = to.Add(along.Scale(mm))
			if c.dark && i > 0 {
				on += "M5\nG1 X" + fmt.Sprintf("%.4f Y%.4f\nM3 S600\n", to.X, to.Y)
				to = to.Add(along.Scale(mm))
			}
			on += fmt.Sprintf("G1 X%.4f Y%.4f\n", to.X, to.Y)
		}
		r := proof.Run("", []byte(spoil(t, program, `^M5\nM9\nM2`, on+"M5\nM9\nM2")), setup, &want)
		assert.Equal(t, c.often, slices.Contains(rulesOf(r), "too-many-passes"), "%+v: %v", c, r.Findings)
	}
}

// A piece that a wire cuts off is told of, and where the smallest lies; less than 4 mm2 is a crumb.
func TestPiecesAndCrumbsOfAWire(t *testing.T) {
	corner := func(wide, high float64) string { // of the tray's lower right
		return fmt.Sprintf("G1 X%v\nG1 Y%v\nG1 X60.5\nG1 Y-0.5\nG1 X%v\nG1 X60.5\n", 60-wide-0.5, high+0.5, 60-wide-0.5)
	}
	for _, c := range []struct{ wide, high float64 }{{4, 3}, {1.5, 2}} {
		r := wireRun(t, strings.Replace(wireWay, "G1 X60.5\n", corner(c.wide, c.high), 1))
		said := messagesOf(r, "tray-in-pieces")
		if c.wide*c.high < 4 {
			assert.Empty(t, said)
			continue
		}
		var x, y float64
		_, err := fmt.Sscanf(said, "leaves 2 pieces where the plan has 1: the smallest is at X %f Y %f.", &x, &y)
		assert.NoError(t, err, said)
		assert.True(t, x > 60-c.wide-0.2 && x < 60.2 && y > -0.2 && y < c.high+0.2, said)
	}
}

// A hole as fine as a needle's, between the middles of the field's cells, is cut in foam that is to stay all the same.
func TestAFineHoleInATrayIsSeen(t *testing.T) {
	setup := routerSetup()
	setup.CellMM, setup.KerfMM, setup.Tool = 0.5, map[int]float64{1: 0.02}, 1
	want := proof.Wanted{Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 90, 70), 4))}
	for body, told := range map[string]bool{"G1 Z-5 F300": true, "G1 Z-5 F300; G1 X40.01 F900": true, "G1 Z-5 F300; G1 X48.3 F900": true, "G1 Z1 F300": false} {
		for _, at := range []string{"X40 Y30", "X40.06 Y30.11", "X40.23 Y30.19"} {
			r := proof.Run("", program("G0 Z5; M3 S18000; G0 "+at+"; "+body+"; G0 Z5"), setup, &want)
			assert.Equal(t, told, slices.Contains(rulesOf(r), "stray-cut"), "%s at %s: %v", body, at, r.Findings)
		}
	}
}

// The field of a program that goes beyond its machine is coarse: it is wrong, and shows it in half a million cells.
func TestTheFieldOfAProgramThatGoesTooFarIsCoarse(t *testing.T) {
	for x, coarse := range map[string]bool{"390": false, "450": true} {
		setup := routerSetup()
		setup.CellMM = 0.2
		r := proof.Run("", program("G0 Z5; M3 S18000; G0 X0 Y0; G1 Z-2 F300; G1 X"+x+" Y290 F900; G0 Z5"), setup, nil)
		assert.Equal(t, coarse, slices.Contains(rulesOf(r), "outside-travel"), x)
		assert.Equal(t, coarse, r.Field.Columns*r.Field.Rows <= 500_000, "%s: %d cells", x, r.Field.Columns*r.Field.Rows)
	}
}

// Rubbing is timed from the first way on that cuts nothing, also where it is the program's second move: 54 mm at
// 270 mm/min in the groove of an earlier program are 12 s, and 24 mm back 5.3 s more.
func TestRubbingCountsFromTheFirstMoveOn(t *testing.T) {
	s := routerSetup()
	s.Tool, s.Machine.AccelerationMMPerS2 = 1, number(1e6)
	s.Before = []proof.Earlier{{Text: program("G0 Z5; G0 X10 Y10; M3 S18000; G1 Z-2 F300; G1 X64 F900; G0 Z5"), Tool: 1}}
	want := proof.Wanted{Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 90, 70), 4))}
	r := proof.Run("", program("M3 S18000; G0 X10 Y10 Z-2; G1 X64 F270; G1 X40; G0 Z5"), s, &want)
	assert.Contains(t, messagesOf(r, "cuts-again"), "by this line the cutter has gone for 17 s on end", "%v", r.Findings)
	assert.Contains(t, messagesOf(r, "rubs"), "by this line the cutter has turned in the foam for 12 s without cutting any", "%v", r.Findings)
}

// A program that is too high for its machine is told that it is so for a place of the profile's, where that is as high as it goes.
func TestTooHighForAPlaceOfTheProfile(t *testing.T) {
	s := routerSetup()
	s.Machine.Controller.ChangeAt, s.ThicknessMM = []float64{-30, -30, 25}, 70
	for before, because := range map[string]bool{"": true, "G0 Z30; ": false} {
		r := proof.Run("", program("G0 Z5; "+before+"G0 Z25; G0 X-30 Y-30; G0 X10 Y10; M3 S18000; G1 Z-56 F300; G0 Z5"), s, nil)
		said := messagesOf(r, "outside-travel")
		assert.Contains(t, said, "by this line the program is", before)
		assert.Equal(t, because, strings.Contains(said, "because it goes to change_at"), "%s%s", before, said)
	}
}
