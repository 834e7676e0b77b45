package proof_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The model is not blind: of each kind of harm one example, and it says which it is.
// And it does not see ghosts: what a controller obeys just so has none.
func TestTheModelSeesHarm(t *testing.T) {
	list := patients(t)
	r := rand.New(rand.NewPCG(7, 7))
	for _, c := range []struct {
		on    string
		spoil func(*rand.Rand, []string) ([]string, bool)
		harm  string // "" for none
	}{
		{"router", everyLine(`S18000`, "S6000"), "the spindle is slow or too fast"},
		{"router", everyLine(`M3`, "M4"), "the spindle turns backwards"},
		{"router", remove(`^G4 `), "no time to run up"},
		{"router", everyLine(`F1200`, "F2400"), "too fast"},
		{"router", everyLine(`F1200`, "F60"), "too slow"},
		{"router", everyLine(`^(G1 Z-\S+) F300`, "$1 F1200"), "plunges"},
		{"router", toTheFloor, "too much in one pass"},
		{"router", putBehind(`^G1 X`, "G4 P2"), "it stands in the foam"},
		{"router", putBehind(`^G1 Z-`, "G0 X0 Y0"), "a rapid through foam"},
		{"router", leftDown, "left in the foam"},
		{"router", everywhere(`Z-[0-9.]+`, func(v float64) float64 { return v - 0.2 }), "other foam is left"},
		{"router", everywhere(`X-?[0-9.]+`, func(v float64) float64 { return v + 0.3 }), "other foam is left"},
		{"router", everywhere(`Z-[0-9.]+`, func(v float64) float64 { return v - 9 }), "cuts into the bed"},
		{"router", remove(`^M2`), "it never ends"},
		{"router", everywhere(`X[0-9.]+`, func(v float64) float64 { return 9 * v }), "out of travel"},
		{"router", remove(`^S18000 M3`), "cuts with the spindle off"},
		{"router", everyLine(`^G0 Z5.0000`, "G0 Z6.0000"), ""},
		{"router", everyLine(`F1200`, "F1150"), ""},
		{"laser", everyLine(`S600`, "S300"), "not cut through"},
		{"laser", operationAgain, "too much heat"},
		{"laser", everyLine(`F900`, "F400"), "too much heat"},
		{"laser", everyLine(`^M8`, "M7"), "lit without air"},
		{"laser", everyLine(`Z18\.0000`, "Z16.0000"), "out of focus"},
		{"laser", putBehind(`^G1 X`, "M0"), "a standing beam"},
		{"laser", everyLine(`^M5$`, "M3"), "lit in a rapid"},
		{"laser", everywhere(`X[0-9.]+`, func(v float64) float64 { return v + 3 }), "a cut in the tray"},
		{"laser", everyLine(`S600`, "S610"), ""},
		{"wire", everyLine(`^G1 `, "G0 "), "a rapid through foam"},
		{"wire", replace(`^G0 X-\S+`, "G0 X4.0000"), "begins in the foam"},
		{"wire", removeLast(`^G1 X-20`), "left in the foam"},
		{"wire", putBehind(`^G1 Y`, "G4 P2"), "the wire stands in the foam"},
		{"wire", everywhere(`F[0-9.]+`, func(v float64) float64 { return 1.5 * v }), "too fast"},
		{"wire", everywhere(`F[0-9.]+`, func(v float64) float64 { return 0.4 * v }), "too slow"},
		{"wire", replace(`^G0 X-\S+`, "G0 X99.0000"), "foam is cut that stays"},
		{"wire", operationGone, "something is not cut free"},
		{"wire", inOperation(func(_ *rand.Rand, op []string) []string { return slices.Concat(op[:len(op)-1], op[2:]) }), "it melts wider"},
		{"wire", rimFirst, "the tray is loose before it is done"},
		{"wire", inOperation(func(_ *rand.Rand, op []string) []string { return slices.Insert(op, len(op)/2, "G1 X-3", "G1 X30") }), "the tray is in pieces"},
		{"wire", everywhere(`F[0-9.]+`, func(v float64) float64 { return 1.05 * v }), ""},
		{"knife", everywhere(`Z-?[0-9.]+`, func(v float64) float64 { return v - 0.5 }), "cuts into the bed"},
		{"knife", everywhere(`X-?[0-9.]+`, func(v float64) float64 { return v + 0.3 }), "a wall is cut"},
		{"knife", pushedBack, "the blade is pushed backwards"},
		{"knife", putBehind(`^G3 .*J`, "G0 X20 Y20"), "a rapid through foam"},
		{"knife", inOperation(deepAtOnce), "too much in one pass"},
		{"knife", everywhere(`F1200`, func(float64) float64 { return 2400 }), "too fast"},
		{"knife", everywhere(`F300`, func(float64) float64 { return 1200 }), "plunges"},
		{"knife", inOperation(somePasses(func(list [][]string) [][]string { return list[:1] })), "something is not cut free"},
		{"knife", putBehind(`^G3 .*J`, "G1 X34 Y36"), "a cut in the tray"},
		{"knife", trayFirst, "the tray is loose before it is done"},
		{"knife", removeLast(`^G0 Z`), "left in the foam"},
		{"knife", inOperation(everyPass(func(_ *rand.Rand, pass []string) []string { return pass[:len(pass)-1] })), ""},
	} {
		i := slices.IndexFunc(list, func(p patient) bool { return p.name == c.on })
		lines, ok := c.spoil(r, strings.Split(strings.TrimSpace(list[i].text), "\n"))
		assert.True(t, ok, "%v", c.harm)
		found := list[i].harmsOf(strings.Join(lines, "\n"))
		if c.harm == "" {
			assert.Empty(t, found)
			continue
		}
		assert.Contains(t, found, c.harm)
	}
	assert.Less(t, math.Abs(list[0].model.milled.depth[0]), 1e-9, "a corner of the blank is untouched")
}

// pushedBack goes back with the blade as it was set by hand, along X.
func pushedBack(_ *rand.Rand, lines []string) ([]string, bool) {
	at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "G1 Z") })
	return slices.Insert(lines, at+1, "G91", "G1 X-4", "G90"), true
}
