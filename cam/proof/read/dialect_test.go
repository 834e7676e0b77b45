package read_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof/read"
)

// told are the rules that a line breaks for a controller, in a program that is well formed for it.
func told(d read.Dialect, line string) (rules []string) {
	text := "G21\nG90\nG17\nG0 X0 Y0 Z0\n" + line + "\nG0 Z5\n"
	if d != read.Printer { // which knows neither
		text = "G94\n" + text + "M2\n"
	}
	for _, f := range read.Program([]byte(text), read.Options{Dialect: d}).Findings {
		rules = append(rules, f.Rule)
	}
	return rules
}

// What each class of controllers reads otherwise than it is written, and the same a step within
// what it reads: from the manuals and sources that the dialects name.
func TestDialects(t *testing.T) {
	long := func(head string, n int) string { return head + strings.Repeat(" ", max(0, n-len(head))) }
	for _, c := range []struct{ line, rule, of string }{
		{long("G0 X1", 252), "line-too-long", "printer"},
		{long("G0 X1", 253), "line-too-long", "pc printer"},
		{long("G0 X1", 95), "line-too-long", ""},
		{long("G0 X1", 96), "line-too-long", "printer"},
		{"G1 F100 X" + strings.Repeat("1", 3) + "." + strings.Repeat("0", 68), "line-too-long", ""}, // 79 without blanks
		{"G1 F100 X" + strings.Repeat("1", 3) + "." + strings.Repeat("0", 69), "line-too-long", "small"},
		{"G0 X1 (" + strings.Repeat("a", 85) + ")", "line-too-long", ""},
		{"G0 X1 ;" + strings.Repeat("a", 85), "line-too-long", ""},
		{"G0 X1 (what?)", "acting-character", "small"},
		{"G0 X1 (!)", "acting-character", "small"},
		{"G0 X1 (~)", "acting-character", "small"},
		{"G0 X1 (mm)", "acting-character", ""},
		{"/G0 X1", "block-delete", "small printer"},
		{"G0 X1 (a)", "bracket-comment", "printer"},
		{"g0 X1", "small-letters", "printer"},
		{"N10 G0 X1", "line-number", "printer"},
		{"X1", "no-command", "printer"},
		{"G0 X1", "no-command", ""},
		{"G90 G0 X1", "second-command", "printer"},
		{"S1000 M3", "no-command", "printer"},
		{"M3", "no-speed", "printer"},
		{"M4", "no-speed", "printer"},
		{"M3 S1000", "no-speed", ""},
		{"G61.1", "not-for-small", "small"},
		{"G64 P0.01", "not-for-small", "small"},
		{"M7", "not-for-small", "small"},
		{"M6 T1", "not-for-small", "small"},
		{"T255", "not-for-small", ""},
		{"T256", "not-for-small", "small"},
		{"G2 I5 F100", "circle-alone", "small"},
		{"G3 J5 F100", "circle-alone", "small"},
		{"G2 X0 I5 F100", "circle-alone", ""},
		{"G3 Y0 I5 F100", "circle-alone", ""},
		{"G2 F100 I5\nI5", "circle-alone", "small"},
	} {
		for name, d := range map[string]read.Dialect{"standard": read.RS274, "pc": read.PC, "small": read.Small, "printer": read.Printer} {
			assert.Equal(t, strings.Contains(c.of, name), slices.Contains(told(d, c.line), c.rule), "%s for %s: %v", c.line, name, told(d, c.line))
		}
	}
	// Every word that a small controller knows, and its neighbours that it does not.
	for g, known := range map[string]bool{"G4 P1": true, "G10 L2 P1 X0": true, "G17": true, "G28": true, "G38.2 Z-1 F9": true, "G40": true,
		"G43.1 Z1": true, "G49": true, "G54": true, "G59": true, "G59.1": false, "G61": true, "G80": true, "G81 Z-1 R1 F9": false, "G91.1": true, "G92 X0": true, "G92.1": true, "G93": true, "M0": true, "M8": true, "M48": false} {
		assert.Equal(t, !known, slices.Contains(told(read.Small, g), "not-for-small"), "%s: %v", g, told(read.Small, g))
	}
}

// Printer-style firmware waits for S seconds, ends without a word, and takes M30 for a deletion.
func TestPrinterStyleFirmware(t *testing.T) {
	for seconds, word := range map[float64]string{3: "G4 S3", 0.25: "G4 S0.25", 2: "G4 P2000"} {
		trace := read.Program([]byte("G21\nG90\nG0 X0 Y0 Z5\n"+word+"\n"), read.Options{Dialect: read.Printer, Milliseconds: true})
		i := slices.IndexFunc(trace.Steps, func(s read.Step) bool { return s.Action == read.Wait })
		require.GreaterOrEqual(t, i, 0, "%v", trace.Findings)
		assert.InDelta(t, seconds, trace.Steps[i].Seconds, 1e-12, word)
	}
	assert.Contains(t, told(read.Printer, "M30"), "not-for-printer")
	assert.Contains(t, told(read.Printer, "M2"), "not-for-printer")
	assert.Empty(t, told(read.Printer, "G1 X1 F100"))
}

// The first whole circle that names neither X nor Y is the one that is told of.
func TestTheFirstCircleAlone(t *testing.T) {
	for first := 3; first <= 5; first++ {
		text := "G21 G90 G17 G94\nG0 X0 Y0 Z0\n"
		for line := 3; line <= 6; line++ {
			if line < first {
				text += "G2 X0 I5 F100\n"
			} else {
				text += "G2 I5 F100\n"
			}
		}
		assert.Equal(t, first, read.Program([]byte(text+"M2\n"), read.Options{}).Alone, fmt.Sprint(first))
	}
}
