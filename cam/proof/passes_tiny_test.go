package proof_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
)

// A line in pieces shorter than two paths of one may be apart is gone once; and one that shivers
// to and fro in such pieces is not.
func TestPassesInTinyPieces(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	line := regexp.MustCompile(`(?m)^G[123] .*Y([0-9.]+).*\nG1 Y([0-9.]+)$`)
	at := line.FindStringSubmatchIndex(program)
	require.NotNil(t, at, program)
	from, err := strconv.ParseFloat(program[at[2]:at[3]], 64)
	require.NoError(t, err)
	to, err := strconv.ParseFloat(program[at[4]:at[5]], 64)
	require.NoError(t, err)
	last := strings.LastIndex(program[:at[5]], "\n")
	for _, mm := range []float64{0.004, 0.01, 0.02, 0.029, 0.035, 0.06} {
		var pieces, shivers strings.Builder
		n := math.Ceil(math.Abs(to-from) / mm)
		for i := 1.0; i <= n; i++ {
			fmt.Fprintf(&pieces, "\nG1 Y%.4f", from+(to-from)*i/n)
		}
		for i := range int(20 / mm) {
			fmt.Fprintf(&shivers, "\nG1 Y%.4f", from+math.Copysign(mm, to-from)*float64((i+1)%2))
		}
		r := proof.Run("", []byte(strings.ReplaceAll(program, program[last:at[5]]+"\n", pieces.String()+"\n")), setup, &want)
		assert.True(t, r.OK, "%v mm: %v", mm, r.Findings)
		r = proof.Run("", []byte(program[:last]+shivers.String()+program[last:]), setup, &want)
		assert.False(t, r.OK, "%v mm: %v", mm, r.Findings)
	}
}
