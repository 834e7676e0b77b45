package proof_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/profiles"
)

// all changes every line that matches, and first the first one only.
func all(pattern, with string) func(*testing.T, string) string {
	match := regexp.MustCompile("(?m)" + pattern)
	return func(t *testing.T, program string) string {
		assert.True(t, match.MatchString(program), pattern)
		return match.ReplaceAllString(program, with)
	}
}

func first(pattern, with string) func(*testing.T, string) string {
	return func(t *testing.T, program string) string { return spoil(t, program, pattern, with) }
}

// Settings spoiled in ways that leave the path as it was. Each is an error with
// its job, and it does not matter what the comments say.
func TestSettingsAreHeld(t *testing.T) {
	for _, c := range []struct {
		on, what string
		spoil    func(*testing.T, string) string
		rule     string
	}{
		{"laser", "a fiftieth of the power", all("S600", "S12"), "beam-too-weak"},
		{"laser", "a fifth less power", first("S600", "S480"), "beam-too-weak"},
		{"laser", "a fifth more power", first("S600", "S720"), "power-too-high"},
		{"laser", "a twentieth of the feed", all("F900", "F45"), "beam-too-strong"},
		{"laser", "a hundredth less power and a little", all("S600", "S593"), "beam-too-weak"},
		{"laser", "a few thousandths more power", all("S600", "S602"), "power-too-high"},
		{"laser", "a few thousandths more feed", all("F900", "F902"), "feed-too-high"},
		{"router", "a hundredth slower and a little", all("F1200", "F1187"), "feed-too-low"},
		{"router", "a few thousandths faster", all("F1200", "F1203"), "feed-too-high"},
		{"router", "a spindle slower by more than a hundredth", all("S18000", "S17800"), "spindle-too-slow"},
		{"router", "a spindle faster by more than a hundredth", all("S18000", "S18200"), "spindle-too-fast"},
		{"laser", "four fifths of the feed", all("F900", "F720"), "beam-too-strong"},
		{"laser", "a quarter more feed", all("F900", "F1125"), "feed-too-high"},
		{"laser", "another way to hold the power", all(`M3 S600`, "M4 S600"), "beam-mode"},
		{"laser", "another way to hold it in one cut", first(`M3 S600`, "M4 S600"), "beam-mode"},
		{"laser", "a beam lit off the foam", first(`^M9\nM2`, "M8\nG0 X300 Y100\nM3 S600\nG1 X400 F900\nM5\nM9\nM2"), "cut-beyond-plan"},
		{"router", "a slot beside the foam", first(`^M5\nM2`, "G0 X300 Y100\nG1 Z-4 F300\nG1 X350 F1200\nG0 Z5\nM5\nM2"), "cut-beyond-plan"},
		{"laser", "no air", first("^M8\n", ""), "air-off"},
		{"laser", "mist for flood", first("^M8\n", "M7\n"), "air-off"},
		{"laser", "air off half way", first(`(\(op: outline\)\n)`, "${1}M9\n"), "air-off"},
		{"laser", "the head too low", all(`Z(18|20)\.0000`, "Z-5.0000"), "off-focus"},
		{"laser", "the head too high", all(`Z(18|20)\.0000`, "Z30.0000"), "off-focus"},
		{"laser", "one focus for both passes", all("Z18.0000", "Z20.0000"), "off-focus"},
		{"laser", "half of a circle once more", first(`(?s)(.*\nG3 )X49\.2250 (Y50\.0000 I-12\.7750 J0\.0000\n)`, "${1}${2}"), "too-many-passes"},
		{"laser", "one pass for two", first(`(?s)^G0 X\S+ Y\S+\nG0 Z18.*?^M5\n`, ""), "not-through"},
		{"router", "one pass for three", all(`G1 Z-(4|8)\.0000`, "G1 Z-12.0000"), "bite-too-deep"},
		{"router", "one pass for two", all(`^G1 Z-4\.0000 F300\n`, "G1 Z-8.0000 F300\n"), "bite-too-deep"},
		{"router", "a plunge at the cutting feed", first("^(G1 Z.*) F300", "${1} F1200"), "plunge-too-fast"},
		{"router", "nine tenths of the feed", all("F1200", "F1080"), "feed-too-low"},
		{"router", "half the plunge", first("^(G1 Z.*) F300", "${1} F150"), "feed-too-low"},
		{"laser", "a tenth slower", all("F900", "F820"), "beam-too-strong"},
		{"laser", "half the power and half the feed", all("S600", "S300 F450"), "feed-too-low"},
		{"router", "a plunge a little aside", first(`^G1 (Z-.*) F300\nG1`, "G1 X24.9900 ${1} F1200\nG1"), "plunge-too-fast"},
		{"router", "a plunge too slow", first("^(G1 Z.*) F300", "${1} F15"), "feed-too-low"},
		{"router", "a twentieth of the feed", all("F1200", "F60"), "feed-too-low"},
		{"router", "a quarter more feed", all("F1200", "F1500"), "feed-too-high"},
		{"router", "the spindle backwards", first("M3", "M4"), "spindle-backwards"},
		{"router", "the spindle hardly turning", first("S18000", "S180"), "spindle-too-slow"},
		{"router", "the spindle at two thirds", first("S18000", "S12000"), "spindle-too-slow"},
		{"router", "the spindle too fast", first("S18000", "S23000"), "spindle-too-fast"},
		{"router", "no time to run up", first("^G4 P3\n", ""), "no-spin-up"},
		{"router", "a third of it", first("^G4 P3\n", "G4 P1\n"), "no-spin-up"},
		{"router", "milliseconds meant", first("^G4 P3\n", "G4 P0.003\n"), "no-spin-up"},
		{"router", "thousandths taken for seconds", first("^G4 P3\n", "G4 P3000\n"), "waits-long"},
		{"router", "a wait in the foam", first("^(G1 Z.*\n)", "${1}G4 P2\n"), "stands-in-foam"},
		{"router", "another tool", first("^(S18000)", "T2\n${1}"), "other-tool"},
	} {
		program, setup, want := spoiled(t, c.on)
		program = c.spoil(t, program)
		for _, text := range []string{program, comments.ReplaceAllString(program, "")} {
			r := proof.Run("", []byte(text), setup, &want)
			assert.False(t, r.OK, "%s: %s", c.on, c.what)
			assert.Contains(t, errorsOf(r), c.rule, "%s: %s: %v", c.on, c.what, r.Findings)
		}
	}
}

// spoiled is the good program of a machine, to be spoiled.
func spoiled(t *testing.T, machine string) (string, proof.Setup, proof.Wanted) {
	if machine == "laser" {
		p, w := laserTray()
		setup := laserSetup()
		setup.CellMM = 0.5
		return string(text(t, p, laserMachine())), setup, w
	}
	p, w := routerTray()
	setup := routerSetup()
	setup.CellMM, setup.SpinUpSeconds = 0.5, 3
	return string(text(t, p, routerMachine())), setup, w
}

// What changes neither foam nor tool nor fire passes.
func TestSettingsThatMayDiffer(t *testing.T) {
	for _, c := range []struct {
		on, what string
		spoil    func(*testing.T, string) string
	}{
		{"laser", "a hundredth less power", all("S600", "S595")},
		{"laser", "a hundredth less feed", all("F900", "F892")},
		{"laser", "mist as well", first("^M8\n", "M8\nM7\n")},
		{"router", "a hundredth slower", all("F1200", "F1190")},
		{"laser", "a hair more feed", all("F900", "F900.5")},
		{"router", "a hair faster", all("F1200", "F1201")},
		{"router", "a spindle faster by less than a hundredth", all("S18000", "S18150")},
		{"router", "a spindle slower by less than a hundredth", all("S18000", "S17850")},
		{"router", "a longer run-up", first("^G4 P3\n", "G4 P3\nG4 P2\n")},
		{"router", "the last pass takes the most foam, and air below it", all(`Z-16\.4000`, "Z-15.2000")},
		{"router", "one pass more", first(`^(G1 Z-)4\.0000( F300\n)`, "${1}2.0000${2}${1}4.0000${2}")},
	} {
		program, setup, want := spoiled(t, c.on)
		r := proof.Run("", []byte(c.spoil(t, program)), setup, &want)
		assert.True(t, r.OK, "%s: %s: %v", c.on, c.what, r.Findings)
		assert.Empty(t, r.Findings, "%s: %s", c.on, c.what)
	}
}

// A plan that does not say how is not held against it.
func TestSettingsUnknown(t *testing.T) {
	for _, machine := range []string{"laser", "router"} {
		program, setup, want := spoiled(t, machine)
		setup.SpinUpSeconds = 0
		program = strings.NewReplacer("S18000", "S9000", "F300", "F100", "F1200", "F1500", "F900", "F1000").Replace(program)
		r := proof.Run("", []byte(program), setup, unlimited(want))
		assert.True(t, r.OK, "%s: %v", machine, r.Findings)
	}
}

// In a block each layer has its own numbers, and the tip's layer rules.
func TestSettingsOfALayer(t *testing.T) {
	program, setup, want := spoiled(t, "router")
	upper, lower := routerLimits()[0], routerLimits()[0]
	upper.ToMM, lower.ToMM, lower.FeedMMPerMin = 8, 20, 900
	for i := range want.Cuts {
		want.Cuts[i].Limits = []proof.Limits{upper, lower}
	}
	lines := strings.Split(program, "\n")
	r := proof.Run("", []byte(program), setup, &want)
	assert.False(t, r.OK)
	z := 0.0
	deep := map[int]bool{}
	for i, line := range lines {
		if at := strings.Index(line, "Z"); at >= 0 && !strings.HasPrefix(line, "(") {
			z, _ = strconv.ParseFloat(strings.Fields(line[at+1:])[0], 64)
		}
		deep[i+1] = z < -upper.ToMM
	}
	for _, f := range r.Findings {
		assert.Equal(t, "feed-too-high", f.Rule, "%v", f)
		assert.True(t, deep[f.Line], "line %d: %s", f.Line, lines[f.Line-1])
	}
}

// Air is asked for where the machine has it.
func TestNoAirToAskFor(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	setup.Machine.Controller.Air = nil
	r := proof.Run("", []byte(strings.Replace(program, "M8\n", "", 1)), setup, &want)
	assert.True(t, r.OK, "%v", r.Findings)
	setup.Machine = profiles.Machine{}
	r = proof.Run("", []byte("G21 G90\nG0 X1 Y1\nS9 M3\nG1 X2 F9\nM5\nM2\n"), setup, nil)
	assert.True(t, r.OK, "%v", r.Findings)
}

// Marks have numbers of their own, where they are.
func TestSettingsOfMarks(t *testing.T) {
	p, w := routerTray()
	w.Marks, w.MarkDepthMM = []proof.WantedMark{{Path: anchor(), WidthMM: cutterMM}}, markMM
	p.Ops = append([]process.Op{routerMarked(anchor(), markMM)}, p.Ops...)
	program := text(t, p, routerMachine())
	w.MarkLimits = markedSlowly()
	r := proof.Run("", program, routerSetup(), &w)
	assert.True(t, r.OK, "%v", r.Findings)
	w.MarkLimits[0].FeedMMPerMin = 800 // they go at 900
	assert.Equal(t, []string{"feed-too-high"}, distinct(errorsOf(proof.Run("", program, routerSetup(), &w))))
}

// A recipe for a faster machine is held as far as this one goes.
func TestSettingsOfASlowMachine(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	setup.Machine.MaxFeedMMPerMin = number(900)
	for _, l := range [][]proof.Limits{want.Cuts[0].Limits, want.Cuts[1].Limits, want.OutlineLimits} {
		l[0].FeedMMPerMin = 9000
	}
	r := proof.Run("", []byte(program), setup, &want)
	assert.True(t, r.OK, "%v", r.Findings)
}

// A beam that goes over a place more often than planned heats it as often, and a
// head below the foam runs into something, wherever the beam is dark.
func TestBeamTooOftenAndTooLow(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	first := regexp.MustCompile(`(?s)\(op: .*?\(op: `).FindString(program)
	again := strings.Replace(program, first, strings.TrimSuffix(first, "(op: ")+"M5\n"+first, 1)
	r := proof.Run("", []byte(again), setup, &want)
	assert.Equal(t, []string{"too-many-passes"}, distinct(errorsOf(r)), "%v", r.Findings)
	assert.Contains(t, messagesOf(r, "too-many-passes"), "goes over this place 3 times, and the plan has 2 passes")

	low := all(`^(G0 X\S+ Y\S+)`, "G0 Z-0.5000\n$1")(t, program) // of foam on a bed at 0
	for _, w := range []*proof.Wanted{&want, nil} {
		assert.Contains(t, errorsOf(proof.Run("", []byte(low), setup, w)), "head-too-low")
	}
}

// A change lower than the machine's change_at is told with a plan, and one there or higher is not.
func TestAChangeBelowItsPlace(t *testing.T) {
	for z, told := range map[string]bool{"Z25": false, "Z40": false, "Z24.9": true, "Z10": true} {
		m := routerMachine()
		m.Controller.ToolChange, m.Controller.ChangeAt = "manual", []float64{-30, -30, 25}
		_, want := routerTray()
		setup := routerSetup()
		setup.Machine = m
		text := "G21 G90 G17 G94 G54\nG0 Z5\nT1\nS9000 M3\nG4 P3\nG0 X-9 Y-9\nG0 " + z + "\nM5\nT2\nM0\nG0 Z25\nM2\n"
		assert.Equal(t, told, slices.Contains(rulesOf(proof.Run("", []byte(text), setup, &want)), "change-lower"), z)
	}
}

// Stops are for hands: nothing turns, the tool is out of the foam, and no other tool
// cuts before there was one. In a foreign program they are warnings.
func TestStops(t *testing.T) {
	twoTools := routerMachine()
	twoTools.Controller.ToolChange = "manual"
	body := "G21\nG90\nG17\nG94\nG40\nG49\nG80\nG54\nG64 P0.01\nG0 Z5\nT1\nS9000 M3\nG4 P3\nG0 X0 Y0\nG1 Z-2 F200\nG1 X9 F900\nG0 Z25\nM5\nT2\nM0\nG0 Z25\nS9000 M3\nG4 P3\nG1 Z-2 F200\nG1 X18 F900\nG0 Z5\nM5\nM2\n"
	ours := "(machine: bench-router)\n(thickness: 20 mm)\n(tool: T1 thin)\n(tool: T2 thick)\n(passes: 1)\n(z zero: top of the foam, positive up)\n(time: 1 s)\n"
	for _, c := range []struct{ what, old, new, rule string }{
		{"as it is", "", "", ""},
		{"no stop", "M0\n", "", "tool-not-changed"},
		{"the stop before the T word", "T2\nM0\n", "M0\nT2\n", ""},
		{"it turns at the stop", "G0 Z25\nM5\nT2", "G0 Z25\nT2", "stop-turning"},
		{"stopped in the foam", "G0 Z25\nM5\nT2", "M5\nT2", "stop-in-foam"},
		{"changed 5 mm above the foam", "G0 Z25\nM5\nT2", "G0 Z5\nM5\nT2", "change-low"},
		{"spun up before it is lifted", "M0\nG0 Z25\n", "M0\n", "spin-up-unlifted"},
		{"a tool that nobody named", "T2\n", "T3\n", "other-tool"},
		{"no run-up", "G4 P3\n", "", "no-spin-up"},
	} {
		setup := routerSetup()
		setup.Machine = twoTools
		text := strings.Replace(body, c.old, c.new, 1)
		r := proof.Run("", []byte(ours+text), setup, nil)
		if c.rule == "" {
			assert.True(t, r.OK, "%s: %v", c.what, r.Findings)
			continue
		}
		assert.Contains(t, errorsOf(r), c.rule, c.what)
		assert.True(t, proof.Run("", []byte(text), setup, nil).OK, "%s, in a foreign program", c.what)
	}
}

// A rapid over foam keeps to a clearance; in the air beside it, or in a pocket that is
// cut, it may be lower.
func TestRapidTooLow(t *testing.T) {
	program, setup, want := spoiled(t, "router")
	low := all(`^G0 Z5\.0000`, "G0 Z0.5000")(t, program)
	r := proof.Run("", []byte(low), setup, &want)
	assert.Equal(t, []string{"rapid-down", "rapid-too-low", "spin-up-low"}, distinct(errorsOf(r)), "%v", r.Findings)
	for _, text := range []string{all(`^G0 Z5\.0000`, "G0 Z4.9950")(t, program), program} {
		assert.True(t, proof.Run("", []byte(text), setup, &want).OK)
	}
	assert.Equal(t, []string{"rapid-down", "rapid-too-low", "spin-up-low"}, distinct(errorsOf(proof.Run("", []byte(low), setup, nil))), "a program of ours is held to it without a job as well")
	half := proof.Run("", []byte(all(`^G0 Z5\.0000`, "G0 Z2.6000")(t, program)), setup, &want)
	assert.Equal(t, []string{"rapid-too-low"}, distinct(errorsOf(half)), "half of the clearance that was planned: %v", half.Findings)
	foreign := comments.ReplaceAllString(low, "")
	r = proof.Run("", []byte(foreign), setup, nil)
	assert.True(t, r.OK && slices.Contains(rulesOf(r), "rapid-too-low"), "and a foreign one is warned of: %v", r.Findings)
	assert.NotContains(t, rulesOf(proof.Run("", []byte(strings.ReplaceAll(foreign, "G0 Z0.5000", "G0 Z1.0000")), setup, nil)), "rapid-too-low")
}

// Passes in pieces that are each shorter than two kerfs are passes; only where a lap
// runs on past its own start is more than planned.
func TestBeamTooOftenInShortPieces(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	line := regexp.MustCompile(`(?m)^G1 (?:.*)?Y([0-9.]+)$`).FindAllStringSubmatchIndex(program, -1)
	at := line[len(line)/2]
	y, err := strconv.ParseFloat(program[at[2]:at[3]], 64)
	require.NoError(t, err)
	again := program[:at[1]] + strings.Repeat(fmt.Sprintf("\nG1 Y%.4f\nG1 Y%.4f", y+0.2, y), 9) + program[at[1]:]
	r := proof.Run("", []byte(again), setup, &want)
	assert.Contains(t, distinct(errorsOf(r)), "too-many-passes", "%v", r.Findings)
}

// An operation that stands in a program twice is told of, however much the others cut.
func TestAPocketMilledAgain(t *testing.T) {
	program, setup, want := spoiled(t, "router")
	lines := strings.Split(program, "\n")
	for _, name := range []string{"pocket 1", "pocket 2", "pocket 3"} {
		first, end := opLines(lines, name)
		again := slices.Concat(lines[:end], lines[first:end], lines[end:])
		r := proof.Run("", []byte(strings.Join(again, "\n")), setup, &want)
		assert.Contains(t, rulesOf(r), "cuts-again", "%s: %v", name, r.Findings)
	}
	assert.Empty(t, proof.Run("", []byte(program), setup, &want).Findings)
}

// A cut with another tool out in the waste is none of the plan's, and nobody is told to fit the plan's tool for it.
func TestStrayCutIsToBeTakenOut(t *testing.T) {
	program, setup, want := spoiled(t, "router")
	box := want.Outline.Bounds()
	for beside, takeOut := range map[float64]bool{20: true, 1: false} {
		stray := fmt.Sprintf("T2\nG0 X%.4f Y%.4f\nG1 Z-2 F300\nG1 Y%.4f F1200\nG0 Z5\nM5\nM2", box.Max.X+beside, box.Min.Y+20, box.Min.Y+40)
		r := proof.Run("", []byte(spoil(t, program, `^M5\nM2`, stray)), setup, &want)
		told := 0
		for _, f := range r.Findings {
			if f.Rule == "other-tool" && !strings.Contains(f.Message, "opening comments") {
				told++
				assert.Equal(t, takeOut, strings.HasPrefix(f.Hint, "take the cut out"), f.Hint)
				assert.Equal(t, takeOut, strings.Contains(f.Message, "in the waste"), f.Message)
			}
		}
		assert.Positive(t, told)
	}
}
