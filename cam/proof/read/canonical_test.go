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
