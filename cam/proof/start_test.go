package proof_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/profiles"
)

// spoil changes a program: the first line that matches, with $1 and on as in
// regexp; a pattern that matches nothing is a mistake of the test's.
func spoil(t *testing.T, program, pattern, with string) string {
	match := regexp.MustCompile("(?m)" + pattern)
	at := match.FindStringSubmatchIndex(program)
	require.NotNil(t, at, pattern)
	return program[:at[0]] + string(match.ExpandString(nil, with, program, at)) + program[at[1]:]
}

var comments = regexp.MustCompile(`(?m)^\(.*\)\n`)

var stateFaults = []struct{ on, pattern, with, rule string }{
	{"", "^G21\n", "", "start-unstated"},
	{"", "^G90\n", "", "start-unstated"},
	{"", "^G17\n", "", "start-unstated"},
	{"", "^G94\n", "", "start-unstated"},
	{"", "^G54\n", "", "start-unstated"},
	{"", "^G40\n", "", "start-unstated"},
	{"", "^G49\n", "", "start-unstated"},
	{"", "^G80\n", "", "start-unstated"},
	{"", "^G54\n", "G55\n", "other-offset"},
	{"", "^G54\n", "G59.3\n", "other-offset"},
	{"", "^G54\n", "G54\nG92 X0 Y0\n", "zero-moved"},
	{"", "^G54\n", "G54\nG92.3\n", "zero-moved"},
	{"", "^(G0 X.*\n)", "${1}G92 X0 Y0\n", "zero-moved"},
	{"", "^(G0 X.*\n)", "${1}G10 L2 P1 X0 Y0\n", "not-followed"},
	{"", "^(G0 X.*\n)", "${1}G55\n", "not-followed"},
	{"", "^(G0 X)", "G53 G0 Z0\n$1", "machine-coordinates"},
	{"router", "^(G1 X)", "G53 G1 X10 F100\n$1", "machine-coordinates"},
	{"router", "^(G1 X)", "G53 G0 X10\n$1", "machine-coordinates"},
	{"", "^G54\n", "G54\nG64\n", "corners-rounded"},
	{"", "^G54\n", "G54\nG64 P0.5\n", "corners-rounded"},
	{"", "^G54\n", "G54\nG64 P0.01 Q5\n", "corners-rounded"},
	{"", "^G54\n", "G54\rG40\n", "mixed-line-ends"},
	{"", "^G54\n", "G54 (LOGOPEN,a)\n", "acting-comment"},
	{"", "^G54\n", "G54\nG43\n", "table-length"},
	{"router", "^G0 Z5.0000\nM5\nM2", "G0 Z5.0000\nM5\nT1 M6\nM2", "change-midway"},
	{"router", "^(G4 P3\n)", "${1}T1 M6\nS18000 M3\n${1}", "stop-turning"},
	{"router", "^G0 Z5.0000\n", "", "no-first-lift"},
	{"router", "^G0 Z5.0000\n", "G0 X0 Y0 Z5.0000\n", "no-first-lift"},
	{"router", "^G0 Z5.0000\n", "G0 Z-5.0000\n", "no-first-lift"},
	{"router", "^G0 Z5.0000\nM5\nM2", "M5\nM2", "left-in-foam"},
	{"", "^M5\n(M9\n)?M2", "${1}M2", "left-on"},
	{"", "^M2\n", "", "no-end"},
	{"", `\A([^%]*)M2\n`, "%\n${1}%\n", "no-end"},
	{"", `\A([^%]*)^M5\n((?:M9\n)?)M2\n`, "%\n${1}%\nM5\n${2}M2\n", "left-on"},
	{"", "^M2\n", "M2\nG0 X0 Y0\n", "behind-end"},
	{"", `^M2\n\z`, "M2\nG21\nG90\nG0 Z5\nS9 M3\nG1 Z-5 F9\nM5\nM30\n", "behind-end"},
	{"", "^(G1 X)", "/$1", "block-delete"},
}

// State and place, spoiled. Each is an error in a program of ours without its
// job, and with its job whether or not it says that it is ours.
func TestStateAndPlaceAreHeld(t *testing.T) {
	router, wantRouter := routerTray()
	laser, wantLaser := laserTray()
	machines := []struct {
		name, text string
		setup      proof.Setup
		want       proof.Wanted
	}{
		{"router", string(text(t, router, routerMachine())), routerSetup(), wantRouter},
		{"laser", string(text(t, laser, laserMachine())), laserSetup(), wantLaser},
	}
	for i := range machines {
		machines[i].setup.CellMM = 0.5
	}
	for _, c := range stateFaults {
		for _, m := range machines {
			if c.on != "" && c.on != m.name {
				continue
			}
			spoiled := spoil(t, m.text, c.pattern, c.with)
			for how, r := range map[string]proof.Result{
				"alone":            proof.Run("", []byte(spoiled), m.setup, nil),
				"with its job":     proof.Run("", []byte(spoiled), m.setup, &m.want),
				"without comments": proof.Run("", []byte(comments.ReplaceAllString(spoiled, "")), m.setup, &m.want),
			} {
				assert.False(t, r.OK, "%s, %s: %s -> %s", m.name, how, c.pattern, c.with)
				assert.Contains(t, errorsOf(r), c.rule, "%s, %s: %s -> %s", m.name, how, c.pattern, c.with)
			}
		}
	}
}

// errorsOf is the rules of a result's errors.
func errorsOf(r proof.Result) []string {
	list := []string{}
	for _, f := range r.Findings {
		if f.Severity == finding.Error {
			list = append(list, f.Rule)
		}
	}
	return list
}

// What `cut` never writes is an error only in a program that says it is from there.
func TestWhatIsNeverWritten(t *testing.T) {
	p, _ := routerTray()
	program := string(text(t, p, routerMachine()))
	for _, line := range []string{"G91\nG90", "G18\nG17", "G93\nG94", "M48", "M1", "M4\nM3", "G98", "M8", "M7"} {
		spoiled := spoil(t, program, "^G54\n", "G54\n"+line+"\n")
		r := proof.Run("", []byte(spoiled), routerSetup(), nil)
		assert.Equal(t, []string{"not-ours"}, errorsOf(r), line)
		r = proof.Run("", []byte(comments.ReplaceAllString(spoiled, "")), routerSetup(), nil)
		assert.True(t, r.OK, "%s: %v", line, r.Findings)
	}
}

// The same in a program of somebody else, tried alone, is a warning or nothing:
// the machine may be set up for it.
func TestForeignStartAndEnd(t *testing.T) {
	for body, want := range map[string]string{
		"G0 Z5\nG0 X1 Y1\nS9 M3\nG1 Z-1 F9\nG0 Z5\nM5\nM2\n":              "start-unstated@1",
		"G21\nG0 Z5\nG0 X1 Y1\nM2\n":                                      "start-unstated@2",
		"G21 G90\nG0 Z5\nG0 X1 Y1\nM2\n":                                  "",
		"G21 G90\nG0 Z5\nG0 X1 Y1\nS9 M3\nG2 X3 I1 F9\nM5\nM2\n":          "start-unstated@5",
		"G21 G90 G55\nG0 Z5\nG0 X1 Y1\nM2\n":                              "",
		"G21 G90\nG0 Z5\nG92 X0 Y0\nG0 X1 Y1\nM2\n":                       "zero-moved@3",
		"G21 G90\nG0 Z5\nS9 M3\nG0 X1 Y1\nM30\n":                          "left-on@5",
		"%\nG21 G90\nG0 Z5\n%\n":                                          "no-end@4",
		"G21 G90\nG0 Z5\nM2\n(a note)\n\n":                                "",
		"G21 G90\nG0 Z5\nM2\nM3\n":                                        "behind-end@4",
		"G21 G90\n/G0 Z5\nM2\n":                                           "block-delete@2",
		"G21 G90 G64\nG0 Z5\nM2\n":                                        "corners-rounded@1",
		"G21 G90 G64 P.05\nG0 Z5\nM2\n":                                   "",
		"G21 G90\nG0 Z5\nG0 X1 Y1\nS9 M3\nG1 Z-1 F9\nG53 G0 Z0\nM5\nM2\n": "machine-coordinates@6",
		"G21 G90\nG0 X1 Y1 Z5\nS9 M3\nG1 Z-1 F9\nG0 Z5\nM5\nM2\n":         "",
		"O0100 (dice)\nG21 G90\nG0 Z5\nM2\n":                              "program-number@1",
		"G21 G90\nG1\nF100\nG0\nZ5\nM2\n":                                 "motion-alone@2",
	} {
		r := proof.Run("", []byte(body), routerSetup(), nil)
		assert.True(t, r.OK, "%s %v", body, r.Findings)
		assert.Equal(t, want, strings.Join(rulesAt(r), " "), body)
	}
	r := proof.Run("", []byte("%\nG21 G90\nG0 Z5\nS9 M3\n%\n"), routerSetup(), nil)
	assert.Contains(t, errorsOf(r), "left-on", "nothing stops it")
	r = proof.Run("", []byte("G21 G90\nG0 Z5\nG0 X1 Y1\nS9 M3\nG1 Z-1 F9\nM5\nM2\n"), routerSetup(), nil)
	assert.Equal(t, []string{"left-in-foam"}, errorsOf(r))
}

// A controller that is described as one that takes chords is sent no arcs.
func TestArcsForAControllerThatTakesNone(t *testing.T) {
	setup := routerSetup()
	text := "G21 G90 G17 G94 G54\nG0 Z5\nG0 X10 Y10\nS18000 M3\nG4 P3\nG1 Z-2 F300\nG2 X30 Y10 I10 J0 F1200\nG0 Z5\nM5\nM2\n"
	assert.NotContains(t, rulesOf(proof.Run("", []byte(text), setup, nil)), "arc-unknown")
	setup.Machine.Controller.Arcs, setup.Machine.Controller.ChordMM = profiles.Chords, 0.01
	r := proof.Run("", []byte(text), setup, nil)
	assert.Contains(t, rulesOf(r), "arc-unknown", "%v", r.Findings)
}
