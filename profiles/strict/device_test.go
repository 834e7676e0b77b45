package strict

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Names: Microsoft, "Naming Files, Paths, and Namespaces", from memory.
func TestDeviceNames(t *testing.T) {
	for _, name := range []string{"con", "prn", "aux", "nul", "com0", "com1", "com9", "lpt1", "lpt9", "con.txt", "nul.tar.gz"} {
		assert.True(t, IsDevice(name), name)
	}
	for _, name := range []string{"", "cone", "com", "com10", "comb", "lpt-1", "con-tray", "auxiliary", "null", "x.con"} {
		assert.False(t, IsDevice(name), name)
	}
}
