package read_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof/read"
)

// Where the blade points behind each line, and what turning it alone takes; common practice of controllers with a turning axis.
func TestReaderTurnsABlade(t *testing.T) {
	for lines, c := range map[string]struct {
		turns []float64 // from the first G0, which says none, on
		feed  float64   // of the last step
		rule  string
	}{
		"G0 A90":                       {[]float64{0, 90}, 0, ""},
		"G1 A-90 F100":                 {[]float64{0, -90}, 100, ""},
		"G1 X5 A30 F100\nY5\nA30":      {[]float64{0, 30, 30, 30}, 100, ""},
		"G0 A30\nG91\nG1 A10 F50\nA-5": {[]float64{0, 30, 40, 35}, 50, ""},
		"G93\nG1 A-10 F2":              {[]float64{0, -10}, 20, ""}, // 10 degrees twice a minute
		"G0 A20\nG93\nG1 A50 F2":       {[]float64{0, 20, 50}, 60, ""},
		"G2 X4 I2 A180 F50":            {[]float64{0, 180}, 50, ""},
		"G91\nG0 A5":                   {nil, 0, "start-unknown"},
		"G0 A5\nG28\nG91 G0 A5":        {[]float64{0, 5, 5}, 0, "start-unknown"},
		"G0 A5\nG28 Z0\nG91 G0 A5":     {[]float64{0, 5, 5, 10}, 0, ""},
		"G1 A5":                        {nil, 0, "no-feed"},
		"G93\nG1 A5 F1\nA6":            {[]float64{0, 5}, 5, "no-feed"},
		"G2 X1 I.5 F9\nA20":            {nil, 9, "no-axis"},
		"G92 A0":                       {nil, 0, "not-followed"},
		"G53 G0 A0":                    {nil, 0, "not-followed"},
		"G18\nG2 X1 I.5 A5 F9":         {nil, 0, "not-followed"},
		"G81 X1 Z-1 R2 A5 F9":          {nil, 0, "not-followed"},
	} {
		trace := follow(lines, read.Options{Turns: true})
		if c.rule != "" {
			require.NotEmpty(t, trace.Findings, lines)
			last := trace.Findings[len(trace.Findings)-1]
			assert.Equal(t, c.rule, last.Rule, lines)
			assert.NotEmpty(t, last.Hint)
			continue
		}
		require.Empty(t, trace.Findings, lines)
		assert.Equal(t, c.turns, trace.Turns, lines)
		last := trace.Steps[len(trace.Steps)-1]
		assert.Equal(t, c.feed, last.FeedMMPerMin, lines)
		if fields := strings.Fields(lines); strings.HasPrefix(fields[len(fields)-2]+fields[len(fields)-1], "G0A") {
			assert.Equal(t, read.Turn, last.Action)
		}
	}
	assert.Nil(t, follow("G0 X1", read.Options{Turns: true}).Turns, "none is said")
}

// At their edges: how many holes and pecks a line may stand for, how low R may lie, and how wide a P and Q of G64 let corners be.
func TestReaderBoundsOfCycles(t *testing.T) {
	for lines, want := range map[string]struct {
		steps int
		rule  string
	}{
		"G99 G81 X1 Z-1 R2 L1000 F9":     {1 + 1 + 1 + 2*1000, ""}, // on the spot: to X1 at R, then down and up again
		"G99 G81 X1 Z-1 R2 L1.5 F9":      {1, "out-of-range"},
		"G99 G83 X1 Z-498 R2 Q.5 F9":     {1 + 2 + 3*999 + 2, ""}, // 1000 pecks
		"G99 G83 X1 Z-498 R2 Q.499 F9":   {1, "out-of-range"},
		"G99 G83 X1 Z-1 R2 Q-1 F9":       {1, "out-of-range"},
		"G99 G82 X1 Z-1 R2 P-1 F9":       {1, "out-of-range"},
		"G99 G82 X1 Z-1 R2 P0 F9":        {1 + 2 + 3, ""},
		"G99 G81 X1 Z2 R2 F9":            {1 + 3, ""}, // nothing deep
		"G99 G81 X1 Z2.01 R2 F9":         {1, "cycle-upside-down"},
		"G28 Z0\nG99 G81 X1 Z-1 R2 F9":   {2, "start-unknown"},
		"G92 F1":                         {1, "no-axis"},
		"G53 G0":                         {1, "no-axis"},
		"G0 X99999999":                   {1, "out-of-range"},
		"G3 X5 Y5 R0 F9":                 {1, "zero-radius"},
		"G43 H-1 Z3":                     {1, "out-of-range"},
		"G43 H1.5 Z3":                    {1, "out-of-range"},
		"G18 G90.1\nG2 X2 Z0 I1 K0 F9":   {1, "not-followed"},
		"G18\nG2 X2e9 Z0 I1e9 K0 F9":     {1, "unknown-word"},
		"G18\nG2 X9000000 I4500000 F9":   {1, "out-of-range"},
		"G0 X900000\nG0 X-900000\nG0 X0": {4, ""},
	} {
		trace := follow(lines, read.Options{})
		if want.rule == "" {
			assert.Empty(t, trace.Findings, lines)
		} else if assert.NotEmpty(t, trace.Findings, lines) {
			assert.Equal(t, want.rule, trace.Findings[len(trace.Findings)-1].Rule, lines)
		}
		assert.Equal(t, want.steps, len(trace.Steps), lines)
	}
	for lines, mm := range map[string]float64{"G64 P.05": 0.05, "G64 P.05 Q.2": 0.2, "G64 P.3 Q.2": 0.3, "G64 P.05\nG64 P.3\nG64 P.1": 0.3} {
		assert.InDelta(t, mm, follow(lines, read.Options{}).Blend.MM, 1e-12, lines)
	}
	_, any := read.Trace{}.First(func(string) bool { return true })
	assert.False(t, any)
}

// Lines during which the spindle or beam stays on and the machine may stop: for what is switched, measured or waited for.
func TestReaderNotesWhatMayHoldTheMachine(t *testing.T) {
	for line, holds := range map[string]bool{
		"G4 P1": true, "G61": true, "G61.1": true, "G64 P1": true, "G54": true, "G59.3": true, "M7": true, "M8": true, "M9": true, "M5": true, "M3": true, "M4": true, "S200": true,
		"G1 X1 F9": false, "G1 X1 F9 S200": false, "G1 X1 F9 M3": false, "G90": false, "G17": false, "M48": false, "F9": false, "M10": false, "M6": false, "G53 G0 X1": false,
	} {
		trace := follow("S100 M3\n"+line, read.Options{Offsets: map[int]read.Place{1: {}, 9: {}}})
		held := false
		for _, at := range trace.Holds {
			held = held || at == 4
		}
		assert.Equal(t, holds, held, line)
	}
	assert.Empty(t, follow("S0 M3\nG4 P1", read.Options{}).Holds, "nothing turns")
	assert.Empty(t, follow("S10\nG4 P1", read.Options{}).Holds)
}

// A reference point of X and Y alone lifts nothing: Z stays where it is, and known.
func TestReaderGoesHomeAside(t *testing.T) {
	s := follow("G0 Z8\nG0 Z2\nG28 X0 Y0\nG0 Z1", read.Options{}).Steps
	home := s[len(s)-2]
	assert.Equal(t, []any{2.0, false, read.AxisX | read.AxisY}, []any{home.To.Z, home.Lifted, home.Machine})
	assert.Equal(t, read.AxisX|read.AxisY, s[len(s)-1].Unknown)
	for n, name := range map[int]string{54: "G54", 59: "G59", 591: "G59.1", 593: "G59.3"} {
		other := "G55"
		trace := read.Program([]byte("G21 G90 G17 G94\n"+name+"\nG0 X0 Y0 Z0\n"+other+"\nG0 X1\nM2\n"), read.Options{})
		assert.Contains(t, trace.Findings[0].Message, "second zero beside "+name+",", n)
	}
}

// Of comments beside commands 1000 are kept, and all that stand alone; a % may open a program and nothing but close it.
func TestReaderKeepsComments(t *testing.T) {
	trace := follow(strings.Repeat("G0 X1 (a)\n", 1001)+"(alone)", read.Options{})
	assert.Equal(t, 1001, len(trace.Comments))
	assert.True(t, trace.Comments[1000].Alone)
	for text, bad := range map[string]bool{"%\nM2\n%\n": false, "M2\n": false, "G0 X1\n%\nM2\n": true, "$\n%\nM2\n": true, "G0\rX1\n%\nM2\n": true} {
		hit := false
		for _, f := range read.Program([]byte(text), read.Options{}).Findings {
			hit = hit || f.Line == 2 && text[0] != '%'
		}
		assert.Equal(t, bad, hit, "%q", text)
	}
}
