package read_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof/read"
	"traywright/geometry"
)

// read reads a program in mm and absolute, from X0 Y0 Z0, that ends as it must.
func follow(lines string, opt read.Options) read.Trace {
	return read.Program([]byte("G21 G90 G17 G94\nG0 X0 Y0 Z0\n"+lines+"\nM2\n"), opt)
}

// The rules of NISTIR 6556 and where they stand there; empty is legal.
var ruleCases = []struct {
	section, lines, rule string
}{
	{"3.3", "G1 X1 F100 (" + strings.Repeat("a", 243) + ")", ""}, // 256 characters
	{"3.3", "G1 X1 F100 (" + strings.Repeat("a", 244) + ")", "line-too-long"},
	{"3.3", "G1 X1 F100 $", "bad-character"},
	{"3.3", "G1 X1 Fé", "bad-number"},
	{"3.3", "G1 X1 F100\x00", "bad-character"},
	{"3.3", "g 0 x +0. 12 34 y 7", ""},
	{"3.3", "\t g1\tx1\tf 100", ""},
	{"3.3.1", "N99999 G0 X1", ""},
	{"3.3.1", "N1 G0 X1\nN1 G0 X2", ""},
	{"3.3.1", "N100000 G0 X1", "line-number"},
	{"3.3.1", "N-1 G0 X1", "line-number"},
	{"3.3.1", "N1.5 G0 X1", "line-number"},
	{"3.3.1", "G0 N1 X1", "line-number"},
	{"3.3.2.1", "G0 X1e3", "unknown-word"},
	{"3.3.2.1", "G0 X.", "bad-number"},
	{"3.3.2.1", "G0 X", "bad-number"},
	{"3.3.2.1", "G0 X1.2.3", "bad-number"},
	{"3.3.2.1", "G0 X--1", "bad-number"},
	{"3.3.2.1", "G0 X1,5", "bad-character"},
	{"3.3.2.1", "G0 X+.5 Y-5.", ""},
	{"3.3.2.1", "G0 X" + strings.Repeat("9", 65), "bad-number"},
	{"3.3.2.1", "G0 X99999999999", "out-of-range"},
	{"3.3.2.1", "M3.00005", ""},
	{"3.3.2.1", "G1.00001 X1 F100", ""},
	{"3.3.2.1", "M3.5", "unknown-code"},
	{"Table 3", "G0 U1", "not-followed"},
	{"no section: a word of a cycle that is not followed", "G76 P1 E2", "not-followed"},
	{"no section: PC controllers", "G1 X1 F9\nG94\nX2", "feed-before-mode"},
	{"no section: PC controllers", "G1 X1 F9\nG94\nX2 F9", ""},
	{"Table 3", "O100 X1", "not-followed"},
	{"Table 3", "O", "not-followed"},
	{"Table 3", "G0 X1 O100", "not-followed"},
	{"no section: habits", "O0100 (tray)", "program-number"},
	{"3.3.4", "G0 X1 (a comment", "open-comment"},
	{"3.3.4", "G0 X1 (a (nested) comment)", "nested-comment"},
	{"3.3.4", "G0 X1 )", "bad-character"},
	{"3.3.4", "(first) G0 (second) X1 (third)", ""},
	{"3.3.5", "G0 G1 X1 F100", "modal-conflict"},
	{"3.3.5", "G90 G91", "modal-conflict"},
	{"3.3.5", "G20 G21", "modal-conflict"},
	{"3.3.5", "M3 M5", "modal-conflict"},
	{"3.3.5", "G17 G40 G49 G54 G80 G94", ""},
	{"3.3.5", "M3 M8 M48 M6 M0 T1 S1", "too-many-m"},
	{"3.3.5", "G0 X1 X2", "word-twice"},
	{"3.4", "G80\nX1", "no-motion"},
	{"3.5.15", "G80 X1", "no-motion"},
	{"3.4", "G92 G1 X1 F100", "axis-words-twice"},
	{"3.5.1", "G0", "motion-alone"},
	{"3.5.1", "G3 R5 F1", "no-axis"},
	{"3.5.2", "G1 F100", "motion-alone"},
	{"3.5.2", "G1 X1", "no-feed"},
	{"3.5.2", "G1 X1 F0", "no-feed"},
	{"3.5.2", "G1 X1 F-100", "out-of-range"},
	{"3.5.3.2", "G3 X0 Y10 I0 J5 F100", ""},
	{"3.5.3.2", "G3 X0 Y10 J5 F100", ""},
	{"3.5.3.2, and PC controllers", "G3 I5 F100", ""},
	{"3.5.3.2", "G3 X0 I5 F100", ""},
	{"3.5.3.2", "G3 X10 F100", "arc-without-centre"},
	{"3.5.3.2", "G3 X0 Y10 J5 K1 F100", "unused-word"},
	{"3.5.3.2", "G3 X0 Y10.0019 J5 F100", ""},
	{"3.5.3.2", "G3 X0 Y10.0021 J5 F100", "arc-off-circle"},
	{"3.5.3.2", "G20\nG3 X0 Y1.00019 J.5 F100", "units-changed"},
	{"3.5.3.2", "G20\nG3 X0 Y1.00021 J.5 F100", "arc-off-circle"},
	{"3.5.3.2", "G3 X0 Y0 I0 J0 F100", "zero-radius"},
	{"from memory: ends that all but meet", "G3 X.0099 J30 F100", "arc-ends-meet"},
	{"from memory: ends that all but meet", "G2 X.000001 I1 F100", "arc-ends-meet"},
	{"from memory: ends that all but meet", "G3 X.005 R5 F100", "arc-ends-meet"},
	{"from memory: ends that all but meet", "G18 G3 X.005 I5 F100", "arc-ends-meet"},
	{"from memory: ends that all but meet", "G3 X.0101 J30 F100", ""},
	{"from memory: ends that all but meet", "G91\nG3 X0 Y0 I1 F100", ""},
	{"3.5.3.1", "G3 X10 R8 F100", ""},
	{"3.5.3.1", "G3 X10 R5 F100", "arc-ill-conditioned"},
	{"3.5.3.1", "G3 X10 R-5.05 F100", ""}, // 196 degrees
	{"3.5.3.1", "G3 X10 R-5.03 F100", "arc-ill-conditioned"},
	{"3.5.3.1", "G3 X10 R-38 F100", ""}, // 345 degrees
	{"3.5.3.1", "G3 X10 R-39 F100", "arc-ill-conditioned"},
	{"3.5.3.1", "G3 X10 R4.9 F100", "arc-off-circle"},
	{"3.5.3.1", "G3 X10 R4.9999 F100", "arc-off-circle"},
	{"3.5.3.1", "G3 X0 Y0 R5 F100", "arc-without-centre"},
	{"3.5.3.1", "G3 X10 R8 I5 F100", "arc-two-ways"},
	{"3.5.3", "G1 X10 I5 F100", "unused-word"},
	{"3.5.3", "G18\nG3 X10 I5 F100", ""},
	{"3.5.4", "G4 P0.5", ""},
	{"3.5.4", "G4", "no-dwell-time"},
	{"3.5.4", "G4 P-1", "out-of-range"},
	{"3.5.4", "G1 X1 P1 F100", "unused-word"},
	{"3.5.16", "G88 X1", "not-followed"},
	{"3.5.12", "G53 G1 X1 F100", ""},
	{"3.5.12", "G91\nG53 G0 X1", "g53-incremental"},
	{"3.5.12", "G2 X1 I.5 F100\nG53 X1", "g53-motion"},
	{"3.5.13", "G55\nG0 X1", "not-followed"},
	{"3.5.19", "G93\nG1 X1 F2", ""},
	{"3.5.19", "G93\nG1 X1 F2\nX2", "no-feed"},
	{"3.5.19", "G93\nG0 X1", ""},
	{"3.5.10", "G41 D1", "not-followed"},
	{"3.6.2", "M3 S0", ""},
	{"3.7.2", "S-1", "out-of-range"},
	{"3.7.3", "T-1", "out-of-range"},
	{"3.7.3", "T1.5", "out-of-range"},
	{"3.6.3", "M6", "no-tool"},
	{"3.6", "M99", "not-followed"},
	{"3.5", "G5 X1", "not-followed"},
	{"3.5", "G-1 X1", "unknown-code"},
	{"no section: habits", "G0 X1 ; a comment", "semicolon-comment"},
	{"no section: habits", "G91.1", "g91.1"},
	{"no section: this machine", "G0 A1", "not-followed"},
	{"no section: not followed", "#1=2", "not-followed"},
	{"no section: not followed", "G0 X[1+2]", "not-followed"},
	{"3.3", "/G0 X1", ""},
	{"3.5.14", "G64 P0.05", ""},
	{"3.5.14", "G61\nG0 X1", ""},
	{"3.5.14", "G0 X1 P0.05", "unused-word"},
}

func TestReaderRules(t *testing.T) {
	for _, c := range ruleCases {
		t.Run(c.section+" "+c.lines[:min(len(c.lines), 30)], func(t *testing.T) {
			trace := follow(c.lines, read.Options{})
			if c.rule == "" {
				assert.Empty(t, trace.Findings)
				return
			}
			require.NotEmpty(t, trace.Findings)
			last := trace.Findings[len(trace.Findings)-1]
			assert.Equal(t, c.rule, last.Rule, last.Message)
			assert.NotEmpty(t, last.Hint, last.Message)
			assert.GreaterOrEqual(t, last.Line, 3)
		})
	}
}

// NISTIR 6556 3.1: percent signs; 3.6.1: the end.
func TestReaderEnds(t *testing.T) {
	for _, c := range []struct{ text, rule string }{
		{"M2", ""},
		{"M30\n", ""},
		{"%\nM2\n%\nrubbish", ""},
		{"\n \n%\nM2\n%", ""},
		{"%\nM2\n", "no-end"},
		{"%\nG21\n%\n", ""},
		{"G21\n", "no-end"},
		{"", "no-end"},
		{"G21\n%\nM2\n", "bad-percent"},
		{"% name\nM2\n%", "bad-percent"},
		{"M2\nG0 X1\n", ""},
		{"G21\r\nM2\r\n", ""},
		{"G21\rM2\r", "mixed-line-ends"},
		{"G21\nM2\r", "mixed-line-ends"},
		{"G21\r\r\nM2\n", "mixed-line-ends"},
		{"G21\n(a\rb)\nM2\n", "mixed-line-ends"},
		{"M2\n(a\rG0 X5)\n", "mixed-line-ends"},
		{"\ufeffM2\n", "byte-order-mark"},
		{"M2\n\x1a", "end-mark"},
		{"M2\n\x1a\n", ""},
		{"G21\n\x1a\nM2\n", "bad-character"},
		{"G21\nM2\x1a\x1a", "bad-character"},
	} {
		trace := read.Program([]byte(c.text), read.Options{})
		if c.rule == "" {
			assert.Empty(t, trace.Findings, "%q", c.text)
			assert.Positive(t, trace.End.Line, "%q", c.text)
			continue
		}
		if assert.NotEmpty(t, trace.Findings, "%q", c.text) {
			assert.Equal(t, c.rule, trace.Findings[0].Rule, "%q", c.text)
		}
	}
}

// What the end of a program, its switches and its codes tell.
func TestReaderTellsOfTheEnd(t *testing.T) {
	for text, want := range map[string]read.End{
		"M3 S1\nM2":                   {Line: 2, Word: true, Spin: read.Clockwise},
		"M3 S1\nM5 M2\n\n(a comment)": {Line: 2, Word: true},
		"M2\n(a)\nG0 X1\nG0 X2":       {Line: 1, Word: true, Behind: 3},
		"%\nM4 S1\n%\nM5\nM2":         {Line: 3, Spin: read.Counterclockwise, Behind: 4},
		"%\nM2\n%\n\n (x)\n":          {Line: 2, Word: true},
		"%\nM2\n%\n%":                 {Line: 2, Word: true, Behind: 4},
		"%\nM2\n%\n\nG1 Z-50":         {Line: 2, Word: true, Behind: 5},
		"%\nM2\nG0 X1\nG0 X2\n%":      {Line: 2, Word: true, Behind: 3},
		"M30\n\u00e9":                 {Line: 1, Word: true, Behind: 2},
		"M30\n%":                      {Line: 1, Word: true, Behind: 2},
	} {
		assert.Equal(t, want, read.Program([]byte(text), read.Options{}).End, "%q", text)
	}
	trace := read.Program([]byte("G21 g90\nG0 X1\n/G00 X2\n/G92.1\nM8\nG1 X3 F1\nG64\nG64 P.1\nM09\nM2"), read.Options{})
	assert.Equal(t, 3, trace.Skipped)
	assert.Equal(t, []read.Code{{"G21", 1}, {"G90", 1}, {"G0", 2}, {"G92.1", 4}, {"M8", 5}, {"G1", 6}, {"G64", 7}, {"M9", 9}, {"M2", 10}}, trace.Codes)
	assert.Equal(t, read.Blend{Line: 7, MM: math.Inf(1)}, trace.Blend)
	assert.Equal(t, read.Blend{Line: 2, MM: 2.54}, read.Program([]byte("G20\nG64 P.1\nM2"), read.Options{}).Blend)
	assert.Equal(t, []read.Air{0, 0, read.Flood}, []read.Air{trace.Steps[0].Air, trace.Steps[1].Air, trace.Steps[2].Air})
	assert.Equal(t, read.Plane|read.FeedMode|read.Offset, trace.Steps[0].Unsaid)
	code, ok := trace.First(func(name string) bool { return name == "G92.1" })
	assert.True(t, ok && code.Line == 4)
}

// moved is where the last move of a program ends.
func moved(t *testing.T, lines string, opt read.Options) read.Step {
	trace := follow(lines, opt)
	require.False(t, trace.Findings.Failed(), "%v", trace.Findings)
	for i := len(trace.Steps) - 1; ; i-- {
		if trace.Steps[i].Action.Moves() {
			return trace.Steps[i]
		}
	}
}

func TestReaderPlaces(t *testing.T) {
	known := read.Options{Offsets: map[int]read.Place{1: {X: 100, Y: 50, Z: -20}, 2: {X: 130, Y: 50, Z: -20}}}
	for _, c := range []struct {
		lines string
		want  read.Place
		opt   read.Options
	}{
		{lines: "G0 X1 Y2 Z3", want: read.Place{X: 1, Y: 2, Z: 3}},
		{lines: "G91\nG0 X1 Y2\nX1 Y2", want: read.Place{X: 2, Y: 4}},
		{lines: "G20\nG0 X1", want: read.Place{X: 25.4}},
		{lines: "G0 X25.4\nG20\nG91\nG0 X1", want: read.Place{X: 50.8}},
		{lines: "G0 X5\nG92 X0\nG0 X1", want: read.Place{X: 6}},
		{lines: "G0 X5\nG92 X0\nG92.1\nG0 X1", want: read.Place{X: 1}},
		{lines: "G0 X5\nG92 X0\nG92.2\nG92.3\nG0 X1", want: read.Place{X: 6}},
		{lines: "G0 X5\nG92 X3\nG92 X4\nG0 X5", want: read.Place{X: 6}},
		{lines: "G55\nG0 X1", want: read.Place{X: 31}, opt: known},
		{lines: "G55\nG0 X1\nG92 X0\nG0 X2", want: read.Place{X: 33}, opt: known},
		{lines: "G53 G0 X101 Z0", want: read.Place{X: 1, Z: 20}, opt: known},
		{lines: "G91 G1 F100 X1\nG90\nG3 X1 Y4 J2", want: read.Place{X: 1, Y: 4}},
		{lines: "/G0 X9\nG0 Y1", want: read.Place{X: 9, Y: 1}},
		{lines: "/G0 X9\nG0 Y1", want: read.Place{Y: 1}, opt: read.Options{BlockDelete: true}},
	} {
		got := moved(t, c.lines, c.opt).To
		assert.InDelta(t, c.want.X, got.X, 1e-9, c.lines)
		assert.InDelta(t, c.want.Y, got.Y, 1e-9, c.lines)
		assert.InDelta(t, c.want.Z, got.Z, 1e-9, c.lines)
	}
}

// Order of execution within a line, NISTIR 6556 Table 8: M5 before the move, F
// before the units, S and M3 before the move.
func TestReaderOrderWithinALine(t *testing.T) {
	s := moved(t, "M3 S100\nG1 X1 F100 M5", read.Options{})
	assert.Equal(t, read.Off, s.Spin)
	s = moved(t, "X1 F100 G1 M3 S500", read.Options{})
	assert.Equal(t, read.Clockwise, s.Spin)
	assert.Equal(t, 500.0, s.S)
	s = moved(t, "G1 X1 F100 G20", read.Options{})
	assert.InDelta(t, 25.4, s.To.X, 1e-12)
	assert.InDelta(t, 2540, s.FeedMMPerMin, 1e-9) // the number 100 stays, the unit does not
}

// NISTIR 6556 3.5.19: in G93 F is one over the minutes of the move.
func TestReaderInverseTime(t *testing.T) {
	assert.InDelta(t, 20, moved(t, "G93 G1 X10 F2", read.Options{}).FeedMMPerMin, 1e-12)
}

// NISTIR 6556 3.6.3 and 3.7.3: T selects, M6 changes; a program without M6 has
// its tool changed by hand.
func TestReaderTools(t *testing.T) {
	trace := follow("T1 M6\nG0 X1\nT2\nG0 X2\nM6\nG0 X3", read.Options{})
	var tools []int
	for _, s := range trace.Steps {
		if s.Action == read.Traverse {
			tools = append(tools, s.Tool)
		}
	}
	assert.Equal(t, []int{0, 1, 1, 2}, tools)
	assert.Equal(t, 2, moved(t, "T2\nG0 X1", read.Options{}).Tool)
}

// A place that the program has not said is not known, and G53 loses it again.
func TestReaderUnknownPlaces(t *testing.T) {
	trace := read.Program([]byte("G21\nG0 Z5\nG0 X1 Y2\nG53 G0 Z0\nG0 X3\nM2"), read.Options{})
	require.Empty(t, trace.Findings)
	var unknown []read.Axes
	for _, s := range trace.Steps {
		unknown = append(unknown, s.Unknown)
	}
	xy := read.AxisX | read.AxisY
	assert.Equal(t, []read.Axes{xy | read.AxisZ, xy, 0, read.AxisZ}, unknown)
	assert.Equal(t, read.AxisZ, trace.Steps[2].Machine)
	assert.Equal(t, "start-unknown", read.Program([]byte("G21 G2 X1 I1 F1\nM2"), read.Options{}).Findings[0].Rule)
}

func TestZeroValues(t *testing.T) {
	assert.Equal(t, "no-end", read.Program(nil, read.Options{}).Findings[0].Rule)
	assert.False(t, read.Trace{}.Findings.Failed())
	assert.Equal(t, geometry.Point{}, read.Place{}.XY())
	assert.True(t, read.Traverse.Moves())
	assert.False(t, read.Wait.Moves())
}

func TestReaderLimits(t *testing.T) {
	assert.Equal(t, "too-large", read.Program([]byte("G0 X1\nM2"), read.Options{MaxBytes: 5}).Findings[0].Rule)
	long := read.Program([]byte("G21\nG0 X1\nM2"), read.Options{MaxLines: 2})
	require.Len(t, long.Findings, 1)
	assert.Equal(t, "too-large", long.Findings[0].Rule)
	many := read.Program([]byte(strings.Repeat("rubbish\n", 1000)), read.Options{})
	assert.Len(t, many.Findings, 101)
	assert.Equal(t, "too-many-findings", many.Findings[100].Rule)
	assert.Equal(t, 100, many.Lines)
}

func FuzzProgram(f *testing.F) {
	for _, c := range ruleCases {
		f.Add([]byte(c.lines))
	}
	f.Add([]byte("%\nG21 G90\nG92 X0 Y0 Z0\nG91 G2 X1 I.5 F1\nG53 G0 Z0\nG20 G93 G1 X2 F3\nM30\n%"))
	f.Fuzz(func(t *testing.T, text []byte) {
		trace := read.Program(text, read.Options{Offsets: map[int]read.Place{1: {X: 1}, 3: {Z: 5}}})
		require.LessOrEqual(t, len(trace.Findings), 200)
		for _, f := range trace.Findings {
			require.NotEmpty(t, f.Hint, f.Message)
			require.Positive(t, f.Line, f.Message)
		}
		require.LessOrEqual(t, len(trace.Steps), 3*trace.Lines)
		for _, s := range trace.Steps {
			for _, v := range []float64{s.From.X, s.From.Y, s.From.Z, s.To.X, s.To.Y, s.To.Z, s.Center.X, s.Center.Y, s.FeedMMPerMin} {
				require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", s)
			}
			require.False(t, s.Action.Moves() && s.Action != read.Traverse && s.FeedMMPerMin < 0)
		}
		require.True(t, trace.End.Line > 0 || trace.Findings.Failed())
	})
}
