package read_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/proof/read"
)

// What other people's post-processors write. Cycles by hand after NISTIR 6556 3.5.16 and
// what a PC controller's interpreter answers; .ci/outside/gcode_controller.py asks it
// about many more.

// ways is the moves of a trace: r or f, and where to.
func ways(trace read.Trace) string {
	var b strings.Builder
	for _, s := range trace.Steps {
		switch {
		case s.Machine != 0:
			fmt.Fprintf(&b, "m%v ", s.Machine)
		case s.Action == read.Traverse:
			fmt.Fprintf(&b, "r%v,%v,%v ", s.To.X, s.To.Y, s.To.Z)
		case s.Action == read.Straight:
			fmt.Fprintf(&b, "f%v,%v,%v ", s.To.X, s.To.Y, s.To.Z)
		case s.Action == read.Wait:
			fmt.Fprintf(&b, "w%v ", s.Seconds)
		}
	}
	return strings.TrimSpace(b.String())
}

func TestReaderDrills(t *testing.T) {
	for lines, want := range map[string]string{
		"G98 G81 X10 Y9 Z-3 R2 F100\nX20\nG99 X30\nX40 L2\nG80": "r10,9,5 r10,9,2 f10,9,-3 r10,9,5 r20,9,5 r20,9,2 f20,9,-3 r20,9,5 " +
			"r30,9,5 r30,9,2 f30,9,-3 r30,9,2 r40,9,2 f40,9,-3 r40,9,2 f40,9,-3 r40,9,2",
		"G99 G82 X10 Z-3 R2 P.5 F100\nG98 X20 Z-4": "r10,2,5 r10,2,2 f10,2,-3 w0.5 r10,2,2 r20,2,5 r20,2,2 f20,2,-4 w0.5 r20,2,5",
		"G0 Z1\nG98 G83 X10 Z-3 R2 Q2 F100":        "r1,2,1 r1,2,2 r10,2,2 f10,2,0 r10,2,2 r10,2,0.254 f10,2,-2 r10,2,2 r10,2,-1.746 f10,2,-3 r10,2,2",
		"G91 G99 G81 X3 Y1 Z-3 R-2 F100 L2\nX1":    "r4,3,5 r4,3,3 f4,3,0 r4,3,3 r7,4,3 f7,4,0 r7,4,3 r8,4,3 f8,4,0 r8,4,3",
		"G99 G81 Z-1 R5 F9":                        "f1,2,-1 r1,2,5",
	} {
		trace := read.Program([]byte("G21 G90 G17 G94 G0 X1 Y2 Z5\n"+lines+"\nM2"), read.Options{})
		require.Empty(t, trace.Findings, lines)
		assert.Equal(t, want, strings.TrimPrefix(ways(trace), "r1,2,5 "), lines)
	}
}

func TestReaderForeignWords(t *testing.T) {
	const xyz = read.AxisX | read.AxisY | read.AxisZ
	for _, c := range []struct{ lines, ways, rule string }{
		{"G28", fmt.Sprintf("m%v", xyz), ""},
		{"G91 G28 Z0\nG90", "m4", ""},
		{"G28 Z9", "r0,0,9 m4", ""},
		{"G30 X4", "r4,0,0 m1", ""},
		{"T1 M6\nG43 H1 Z3", "r0,0,3", "length-assumed"},
		{"T1 M6\nG43 H2 Z3", "r0,0,3", "other-length"},
		{"T1 M6\nG0 G43 Z3 H1\nG49\nG0 X5 Z100", "r0,0,3 r5,0,3 m4", "length-assumed"},
		{"T1 M6\nG43 H1 Z3\nG1 Z-1 F9\nZ3\nT2 M6\nG43 H2 Z4", "r0,0,3 f0,0,-1 f0,0,3 f0,0,4", "length-assumed"},
		{"G1 X1 F9\nG43 H1", "f1,0,0", "not-followed"},
		{"T1 M6\nG43 H1 Z3\nT2 M6\nG1 Z1 F9", "r0,0,3", "not-followed"},
		{"T1 M6\nG43 H1 Z3\nT2 M6\nG0 Z9", "r0,0,3 m4", "length-assumed"},
		{"G43 H1 Z3\nG49\nG1 Z-1 F9", "r0,0,3", "not-followed"},
		{"G49 G40 G80", "", ""},
		{"G90.1 G2 X0 Y0 I5 J0 F9", "", "g90.1"},
		{"G90.1 G2 X0 Y0 I5 F9", "", "arc-without-centre"},
		{"M50 P0\nM51\nM53 P1\nM48\nM60", "", ""},
		{"G81 X1 Z-1 R2 F9", "r0,0,2 r1,0,2 f1,0,-1 r1,0,2", ""},
		{"G0 Z9\nG81 X1 Z-1 R2 F9", "r0,0,9 r1,0,9 r1,0,2 f1,0,-1 r1,0,2", "return-unstated"},
		{"G81 X1 Z-1 F9", "", "cycle-incomplete"},
		{"G82 X1 Z-1 R2 F9", "", "cycle-incomplete"},
		{"G83 X1 Z-1 R2 F9", "", "cycle-incomplete"},
		{"G83 X1 Z-1 R2 Q0 F9", "", "out-of-range"},
		{"G83 X1 Z-1 R2 Q.0001 F9", "", "out-of-range"},
		{"G81 X1 Z-1 R2 L0 F9", "", "out-of-range"},
		{"G81 X1 Z-1 R2 L1001 F9", "", "out-of-range"},
		{"G81 X1 Z3 R2 F9", "", "cycle-upside-down"},
		{"G81 X1 Z-1 R2", "", "no-feed"},
		{"G81 R2 F9", "", "no-axis"},
		{"G18\nG81 X1 Z-1 R2 F9", "", "not-followed"},
		{"G93\nG81 X1 Z-1 R2 F9", "", "no-feed"},
		{"H1", "", "unused-word"},
		{"G0 X1 L2", "r1,0,0", "unused-word"},
	} {
		trace := follow(c.lines, read.Options{})
		if c.rule == "" {
			assert.Empty(t, trace.Findings, c.lines)
		} else if assert.NotEmpty(t, trace.Findings, c.lines) {
			last := trace.Findings[len(trace.Findings)-1]
			assert.Equal(t, c.rule, last.Rule, c.lines)
			assert.NotEmpty(t, last.Hint)
		}
		if got := strings.TrimSpace(strings.TrimPrefix(ways(trace), "r0,0,0")); c.rule != "unused-word" && got != "" {
			assert.Equal(t, c.ways, got, c.lines)
		}
	}
}

// What is not followed is one error, and nothing behind it is read.
func TestReaderEndsAtWhatItDoesNotFollow(t *testing.T) {
	for _, line := range []string{
		"G41 D1", "G42", "G33 Z-1 K1", "G38.2 Z-5 F9", "G73 X1 Z-1 R2 Q1", "G84 X1", "G76 X1", "G10 L2 P1 X0", "G5 X1", "G95", "G7",
		"#1=5", "G0 X#1", "G0 X[1+2]", "O100 sub", "O<a> call", "o1 while [1 LT 2]", "M98 P100", "M99", "M101", "G0 A5", "G55", "G54.1 P2", "G43.1 Z1",
		"G66.6", "G1 @5 ^60 F9", "G0 U5",
	} {
		trace := read.Program([]byte("G21 G90 G17 G94\nG54 G0 X0 Y0 Z5\n"+line+"\nG0 X9\nrubbish\nG55 G0 X8\n"), read.Options{})
		require.Len(t, trace.Findings, 1, line)
		f := trace.Findings[0]
		assert.Equal(t, finding.Error, f.Severity, line)
		assert.Equal(t, "not-followed", f.Rule, line)
		assert.Equal(t, 3, f.Line, line)
		assert.NotEmpty(t, f.Hint, line)
		assert.Equal(t, 3, trace.Unfollowed, line)
		assert.Len(t, trace.Steps, 1, line)
	}
}

// A lift to a reference point is a lift; what it leaves unknown stays so.
func TestReaderLifts(t *testing.T) {
	trace := read.Program([]byte("G21 G90 G17 G94\nG0 X0 Y0 Z8\nG1 Z-2 F9\nG91 G28 Z0\nG90 G0 X5\nG0 Z1\nX6\nM2"), read.Options{})
	require.Empty(t, trace.Findings)
	s := trace.Steps
	require.Len(t, s, 6)
	assert.True(t, s[2].Home && s[2].Lifted && s[2].Machine == read.AxisZ)
	assert.Equal(t, 8.0, s[2].To.Z)
	assert.True(t, s[3].Lifted && s[3].Unknown == read.AxisZ)
	assert.True(t, s[4].Unknown == read.AxisZ && s[4].Lifted)
	assert.False(t, s[5].Lifted || s[5].Unknown != 0)
}

// Upright arcs as chords, and their end: a half turn in ZX and a quarter in YZ, by hand.
// G2 is clockwise seen from the positive end of the third axis (NISTIR 6556 3.5.3.1).
func TestReaderUprightArcs(t *testing.T) {
	for _, c := range []struct {
		line           string
		middle, end    read.Place
		length, radius float64
		center         read.Place
	}{
		{"G18 G2 X10 I5 F9", read.Place{X: 5, Z: -5}, read.Place{X: 10}, 5 * math.Pi, 5, read.Place{X: 5}},
		{"G18 G3 X10 I5 F9", read.Place{X: 5, Z: 5}, read.Place{X: 10}, 5 * math.Pi, 5, read.Place{X: 5}},
		{"G19 G3 Y4 Z-4 K-4 F9", read.Place{}, read.Place{Y: 4, Z: -4}, 6 * math.Pi, 4, read.Place{Z: -4}},
		{"G19 G2 Y4 Z-4 R4 F9", read.Place{}, read.Place{Y: 4, Z: -4}, 2 * math.Pi, 4, read.Place{Z: -4}},
	} {
		trace := follow(c.line, read.Options{})
		require.Empty(t, trace.Findings, c.line)
		length, nearest := 0.0, math.Inf(1)
		for _, s := range trace.Steps[1:] {
			length += math.Hypot(s.From.XY().DistanceTo(s.To.XY()), s.To.Z-s.From.Z)
			out := math.Hypot(math.Hypot(s.To.X-c.center.X, s.To.Y-c.center.Y), s.To.Z-c.center.Z)
			assert.InDelta(t, c.radius, out, 1e-9, c.line)
			nearest = min(nearest, math.Hypot(math.Hypot(s.To.X-c.middle.X, s.To.Y-c.middle.Y), s.To.Z-c.middle.Z))
		}
		assert.InDelta(t, c.length, length, 0.002*c.length, c.line)
		assert.InDelta(t, c.end.X, trace.Steps[len(trace.Steps)-1].To.X, 1e-9, c.line)
		assert.InDelta(t, c.end.Y, trace.Steps[len(trace.Steps)-1].To.Y, 1e-9, c.line)
		assert.InDelta(t, c.end.Z, trace.Steps[len(trace.Steps)-1].To.Z, 1e-9, c.line)
		if c.middle != (read.Place{}) {
			assert.Less(t, nearest, 0.1, c.line)
		}
	}
	lathe := read.Program([]byte("G21 G90 G18 G94\nG0 X5 Z0\nG3 X0 Z5 I-5 F9\nM2\n"), read.Options{})
	require.Empty(t, lathe.Findings)
	assert.Equal(t, read.AxisY, lathe.Steps[len(lathe.Steps)-1].Unknown)
	for line, rule := range map[string]string{
		"G18 G2 X10 J5 F9": "unused-word", "G19 G2 Y1 R9": "no-feed", "G18 G2 Y1 R9 F9": "no-axis", "G18 G2 X1 Z1 K0 I0 F9": "zero-radius", "G19 G2 Y9 Z9 K4 F9": "arc-off-circle",
	} {
		found := follow(line, read.Options{}).Findings
		require.NotEmpty(t, found, line)
		assert.Equal(t, rule, found[0].Rule, line)
	}
}

// A helix that stands upright rises evenly along its axis: half way round it is half way along.
func TestReaderUprightHelix(t *testing.T) {
	trace := follow("G0 Y2\nG18 G2 X10 Y8 I5 F9", read.Options{})
	require.Empty(t, trace.Findings)
	for _, s := range trace.Steps[2:] {
		around := math.Atan2(math.Abs(s.To.Z), 5-s.To.X) / math.Pi // 0 at its start, 1 at its end
		assert.InDelta(t, 2+6*around, s.To.Y, 1e-9)
	}
}
