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

// A lap that is put out and lit again on its way is not the plan's, whatever takes no time between: at each lighting a slow
// power supply leaves the wall behind it uncut. Without a plan it is told as well.
func TestALapThatIsLitAgainOnItsWay(t *testing.T) {
	m := laserMachine()
	program, setup, want := made(t, randomTray(t, rand.New(rand.NewPCG(3, 15)), m), m)
	lines := strings.Split(string(program), "\n")
	at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "G1 Y") })
	for _, between := range [][]string{{}, {"G91", "G0 X0", "G90", "G1"}, {"G91", "G1 X0", "G90"}, {"M0"}} {
		relit := slices.Concat(lines[:at+1], []string{"M5"}, between, []string{"M3"}, lines[at+1:])
		text := []byte(strings.Join(relit, "\n"))
		r := proof.Run("", text, setup, &want)
		assert.Contains(t, rulesOf(r), "out-elsewhere", "%v", between)
		if len(between) == 0 || between[0] == "G91" {
			alone := proof.Run("", text, setup, nil)
			assert.Contains(t, rulesOf(alone), "beam-interrupted", "%v", between)
			assert.True(t, alone.Findings.Failed(), "%v", between)
		}
	}
}
