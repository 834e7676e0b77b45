package read_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof/read"
)

// A CR of its own is a change, wherever it stands: controllers do not agree on what it is.
func TestCanonicalSeesLoneCR(t *testing.T) {
	for plain, spoiled := range map[string]string{
		"M5\nG0 X1\n":    "M5\rG0 X1\n",
		"G0 X1\n":        "G0 X1\r\r\n",
		"M2\n":           "M2\r",
		"(a b)\nG0 X1\n": "(a\rb)\nG0 X1\n",
		"\nG0\n":         "\r\r\nG0\n",
	} {
		assert.NotEqual(t, string(read.Canonical([]byte(plain))), string(read.Canonical([]byte(spoiled))), "%q", spoiled)
	}
	assert.Equal(t, read.Canonical([]byte("G0 X1\n\nM2\n")), read.Canonical([]byte("G0 X1\r\n\r\nM2\r\n")))
	assert.NotEqual(t, read.Words([]byte("(a b)\n")), read.Words([]byte("(a\rb)\n")))
	assert.NotEqual(t, read.Words([]byte("; a b\n")), read.Words([]byte("; a\rb\n")))
	assert.Equal(t, read.Words([]byte("(a)\nM2\n")), read.Words([]byte("(a)\r\nM2\r\n")))
}

// One form for what does the same: capitals, G words first, then M words, then letters from A to Z, numbers without what changes nothing,
// no comments, blanks or line numbers. What cannot be read stays as it is, and what may be skipped keeps its stroke.
func TestCanonicalForms(t *testing.T) {
	for line, want := range map[string]string{
		"n10 g01 x+1.50 (a) y-.5 f0100 ; b": "G1 F100 X1.5 Y-0.5", "M08 G90 Z-0 M3 S100 A5 G21": "G21 G90 M3 M8 A5 S100 Z0", "G38.2 Z-5": "G38.2Z-5", "/G0 X1": "/ G0 X1", "/": "",
		"(nothing)": "", "%": "%", "G0 x!! 1": "G0X!!1", "O100": "",
	} {
		if want != "" {
			want += "\n"
		}
		assert.Equal(t, want, string(read.Canonical([]byte(line+"\n"))), line)
	}
}
