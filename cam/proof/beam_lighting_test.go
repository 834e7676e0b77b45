package proof_test

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
)

// A lap runs on past its own start, and begins in the waste: without either, and without both,
// it is not the plan's.
func TestALapWithoutItsWayInOrOn(t *testing.T) {
	m := laserMachine()
	program, setup, want := made(t, randomTray(t, rand.New(rand.NewPCG(3, 15)), m), m)
	run := func(lines []string) proof.Result {
		return proof.Run("", []byte(strings.Join(lines, "\n")), setup, &want)
	}
	lines := strings.Split(string(program), "\n")
	good := run(lines)
	require.True(t, good.OK, "%v", good.Findings)
	cuts := regexp.MustCompile(`^G[123] `)
	lit := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "M3") })
	out := lit + slices.Index(lines[lit:], "M5")
	for !cuts.MatchString(lines[out-1]) {
		out--
	}
	short := slices.Delete(slices.Clone(lines), out-1, out)
	assert.Contains(t, rulesOf(run(short)), "out-elsewhere")
	late, _ := wayInLost(rand.New(rand.NewPCG(1, 1)), slices.Clone(lines))
	assert.Contains(t, rulesOf(run(late)), "lit-elsewhere")
}
