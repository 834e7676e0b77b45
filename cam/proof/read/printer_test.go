package read_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof/read"
)

// Source files of printer-style firmware, 2020 to 2024, say which codes it has; which
// letters belong to them, and that M0 S goes on by itself, is from memory.
func TestPrinterTakesAClosedList(t *testing.T) {
	for line, rule := range map[string]string{
		"G0 X1 Y2 Z3 F100": "", "G1 X1 F100": "", "G2 X1 Y1 I1 F100": "", "G3 X1 Y1 R1 F100": "", "G4 S3": "", "G4 P300": "",
		"G17": "", "G54": "", "G80": "", "M0": "", "M3 S100": "", "M4 S100": "", "M5": "", "M7": "", "M8": "", "M9": "", "": "", "; G28 in a comment": "",
		"G28": "not-followed", "G28 Z0": "not-followed", "G30": "not-followed", "G20": "not-followed", "G91.1": "not-followed", "G90.1": "not-followed",
		"G19": "not-followed", "G56": "not-followed", "G57": "not-followed", "G58": "not-followed", "G59": "not-followed", "G59.1": "not-followed", "G59.2": "not-followed", "G59.3": "not-followed",
		"G18": "not-followed", "G55": "not-followed", "G53": "not-followed",
		"G61": "not-for-printer", "G64 P1": "not-for-printer", "G93": "not-for-printer", "G94": "not-for-printer", "G81 X1 Z-1 R2 F9": "not-for-printer",
		"G43 H1": "not-for-printer", "M48": "not-for-printer", "M6": "not-for-printer", "M60": "not-for-printer", "M2": "not-for-printer", "M30": "not-for-printer", "T2": "not-for-printer",
		"M106 S9": "not-followed", "M0 S5": "stray-word", "M1 P5": "stray-word", "M0 P5": "stray-word",
		"G1 X1 F9 S450": "stray-word", "G0 X1 S450": "stray-word", "G4 S1 F300": "stray-word", "M3 S100 F300": "stray-word", "M5 S9": "stray-word",
		"M3 S9 I": "bad-number", "M3 S9 I1": "stray-word", "M5 I1": "stray-word", "M8 S9": "stray-word", "G90 X1": "stray-word", "G21 F9": "stray-word", "G92 X0 F9": "stray-word",
		"G4 S1 P1": "dwell-twice", "G0 X1 0": "blank-inside", "G0 X 10": "blank-inside", "G 0 X10": "blank-inside",
	} {
		trace := read.Program([]byte("G21\nG90\nG0 X0 Y0 Z0\n"+line+"\n"), read.Options{Dialect: read.Printer, Milliseconds: true})
		if rule == "" {
			assert.Empty(t, trace.Findings, line)
			continue
		}
		if assert.NotEmpty(t, trace.Findings, line) {
			assert.Equal(t, rule, trace.Findings[0].Rule, line)
			assert.True(t, trace.Findings.Failed(), line)
			assert.NotEmpty(t, trace.Findings[0].Hint, line)
		}
	}
}

// A letter beside M0 or M1 lets the machine go on by itself, and that is said; what S and F are for goes elsewhere.
func TestStrayLettersSayWhatTheyDo(t *testing.T) {
	for line, words := range map[string][2]string{
		"M0 P5": {"may go on by itself", "remove P"}, "M1 S5": {"may go on by itself", "remove S"}, "M5 S9": {"some acts on it", "beside M3"}, "G4 S1 F300": {"some acts on it", "beside the G0"}, "M5 I1": {"some acts on it", "remove I"},
	} {
		found := read.Program([]byte("G21\nG90\nG0 X0 Y0 Z0\n"+line+"\n"), read.Options{Dialect: read.Printer}).Findings
		if assert.NotEmpty(t, found, line) {
			assert.Contains(t, found[0].Message, words[0], line)
			assert.Contains(t, found[0].Hint, words[1], line)
		}
	}
}

// S of G4 is seconds on printer-style firmware, whatever its P counts (after source files of 2020 to 2024).
func TestSOfAPrintersWaitIsSeconds(t *testing.T) {
	for milliseconds, p := range map[bool]float64{true: 0.003, false: 3} {
		for line, want := range map[string]float64{"G4 S3": 3, "G4 P3": p} {
			trace := read.Program([]byte("G21\nG90\n"+line+"\n"), read.Options{Dialect: read.Printer, Milliseconds: milliseconds})
			waited := 0.0
			for _, step := range trace.Steps {
				waited += step.Seconds
			}
			assert.InDelta(t, want, waited, 1e-9, "%s %v", line, milliseconds)
		}
	}
}
