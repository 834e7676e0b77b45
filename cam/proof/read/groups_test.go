package read_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof/read"
)

// The modal groups of NISTIR 6556, Table 4, as far as they are read here: two of a group
// cannot share a line, and two of different ones are not refused for it. Written out from the standard, not from the code.
func TestModalGroupsOfTheStandard(t *testing.T) {
	groups := [][]string{
		{"G0", "G1", "G2", "G3", "G80", "G81", "G82", "G83"}, {"G17", "G18", "G19"}, {"G90", "G91"}, {"G93", "G94"}, {"G20", "G21"},
		{"G43", "G49"}, {"G98", "G99"}, {"G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"}, {"G61", "G61.1", "G64"},
		{"M0", "M1", "M2", "M30", "M60"}, {"M3", "M4", "M5"}, {"M7", "M8", "M9"}, {"M48", "M49"}, {"G40"}, {"M6"},
	}
	conflict := func(line string) bool {
		for _, f := range read.Program([]byte(line+"\nM2"), read.Options{}).Findings {
			if f.Line == 1 && f.Rule == "modal-conflict" {
				return true
			}
		}
		return false
	}
	for i, a := range groups {
		for n, x := range a {
			for _, y := range a[n+1:] {
				assert.True(t, conflict(x+" "+y), "%s %s", x, y)
			}
			for j, b := range groups {
				for _, y := range b {
					if i != j && y != x {
						assert.False(t, conflict(x+" "+y), "%s %s", x, y)
					}
				}
			}
		}
	}
}
