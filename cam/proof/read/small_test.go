package read_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof/read"
)

// A small controller keeps eight digits, zeros in front included (its source): what it then
// takes for another number is refused, and what it only rounds is not. An R that is no longer
// than half of the chord it refuses too, and goes on from the wrong place.
func TestSmallDigitsAndRadius(t *testing.T) {
	for line, rule := range map[string]string{
		"G0 X00000000010": "too-many-digits", "G0 X-000000000.5": "too-many-digits", "G0 X0000000.12": "too-many-digits", "G1 X1 F0000000100.5": "too-many-digits",
		"G0 X123.4567891": "", "G0 X00010.5": "", "G01 X1 F00000100": "", "G0 X0.123456789": "",
		"G2 X10 R5 F100": "arc-off-circle", "G2 X10 R5.001 F100": "arc-ill-conditioned", "G2 X10 R4.999 F100": "arc-off-circle",
	} {
		trace := follow(line, read.Options{Dialect: read.Small})
		if rule == "" {
			assert.Empty(t, trace.Findings, line)
		} else if assert.NotEmpty(t, trace.Findings, line) {
			assert.Equal(t, rule, trace.Findings[0].Rule, line)
		}
	}
	for number, takes := range map[string][]read.Dialect{"99999": {read.RS274, read.PC, read.Small}, "100000": {read.PC, read.Small}, "10000000": {read.PC, read.Small}, "10000001": {read.PC}} {
		for _, d := range []read.Dialect{read.RS274, read.PC, read.Small} {
			assert.Equal(t, !slices.Contains(takes, d), follow("N"+number+" G0 X1", read.Options{Dialect: d}).Findings.Failed(), "N%s for %v", number, d)
		}
	}
	assert.Empty(t, follow("G0 X00000000010", read.Options{Dialect: read.PC}).Findings)
}

// From memory: Q of G64 is how far lines may stray that become one; comments that act.
func TestWhatAPCObeys(t *testing.T) {
	assert.Equal(t, read.Blend{Line: 3, MM: 5}, follow("G64 P.01 Q5", read.Options{}).Blend)
	assert.Equal(t, read.Blend{Line: 3, MM: .01}, follow("G64 P.01 Q.005", read.Options{}).Blend)
	for _, c := range []string{"(LOGOPEN,a)", "( logappend,a)", "(PY,x)", "(PROBEOPEN a.txt)", "(abort,no)", "(PROBECLOSE)", ";py,x", "M5 (DEBUG,x)", "(print,1)"} {
		assert.Contains(t, told(read.PC, c), "acting-comment", c)
		assert.NotContains(t, told(read.Small, c), "acting-comment", c)
	}
	for _, c := range []string{"(MSG,look)", "(print this)", "(a logopen,b)", "(pyre, a game)", "(debugged)"} {
		assert.Empty(t, follow(c, read.Options{Dialect: read.PC}).Findings, c)
	}
}
