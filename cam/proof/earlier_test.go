package proof_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// program is lines in mm, with the end that they must have.
func program(body string) []byte {
	return []byte("G21 G90 G17 G94\n" + strings.ReplaceAll(body, "; ", "\n") + "\nM5\nM2\n")
}

// A program is tried on the foam that those before it in its setup have left: a rapid goes through what they have cut and nothing more,
// and it removes what is left of a groove of 50 mm and 3 mm deep, of which another has taken 2 mm or, from Y20, nothing.
func TestFoamThatEarlierProgramsLeave(t *testing.T) {
	groove := func(y, z string) []byte {
		return program("G0 Z5; G0 X10 Y" + y + "; M3 S18000; G1 Z-" + z + " F300; G1 X60 F900; G0 Z5")
	}
	run := func(text []byte, before ...proof.Earlier) proof.Result {
		s := routerSetup()
		s.Before = before
		return proof.Run("", text, s, nil)
	}
	two, beside := proof.Earlier{Text: groove("10", "2"), Tool: 1}, proof.Earlier{Text: groove("20", "2"), Tool: 1}
	rapid := func(z string) []byte { return program("G0 Z5; G0 X10 Y10; M3 S18000; G0 Z-" + z + "; G0 X50; G0 Z5") }
	for _, c := range []struct {
		z      string
		before []proof.Earlier
		hits   bool
	}{{"1.9", nil, true}, {"1.9", []proof.Earlier{beside}, true}, {"1.9", []proof.Earlier{two}, false}, {"1.9", []proof.Earlier{two, beside}, false}, {"2.1", []proof.Earlier{beside, two}, true}} {
		assert.Equal(t, c.hits, len(errorsOf(run(rapid(c.z), c.before...))) > 0, "%+v", c)
	}
	whole := 3 * (50*cutterMM + math.Pi*cutterMM*cutterMM/4)
	for want, before := range map[float64][]proof.Earlier{1: nil, 1.0 / 3: {two}, 1.00001 / 3: {beside, two}, 0.99999: {beside}, 0: {{Text: groove("10", "3"), Tool: 1}}} {
		assert.InDelta(t, want*whole, run(groove("10", "3"), before...).RemovedMM3, 0.01*whole)
	}
}

// A slit takes its width of foam, from where it begins to where it ends.
func TestFoamOfASlit(t *testing.T) {
	b := proof.WantedSlit{To: geometry.Point{X: 10}, WidthMM: 2}.Region()
	assert.InDelta(t, 20, b.Area(), 1e-12)
	assert.Equal(t, geometry.Box{Min: geometry.Point{Y: -1}, Max: geometry.Point{X: 10, Y: 1}}, b.Bounds())
	assert.True(t, proof.WantedSlit{WidthMM: 2}.Region().Empty())
}

// What falls short by more than tolerances can take is so as planned.
func TestWeakAsPlanned(t *testing.T) {
	w := proof.Weak{ShortMM: 0.502}
	w.ShareMM[0], w.ShareMM[1] = 0.3, 0.2
	assert.True(t, w.AsPlanned())
	w.ShortMM = 0.5005
	assert.False(t, w.AsPlanned())
}

// How another tool comes into the spindle is said in the words of that machine.
func TestToolsThatNobodyHasPutIn(t *testing.T) {
	const body = "G0 Z5; G0 X10 Y10; M3 S18000; T1; G1 Z-2 F300; G1 X20 F900; G0 Z5; T2; G0 X30; G1 Z-2 F300; G0 Z5"
	for way, hint := range map[string]string{profiles.ByHand: "M5, a lift and M0 behind T2", profiles.ByItself: "M6 behind T2", profiles.OwnFiles: "split the program here"} {
		s := routerSetup()
		s.Machine.Controller.ToolChange = way
		told := 0
		for _, f := range proof.Run("", program(body), s, nil).Findings {
			if f.Rule == "tool-not-changed" {
				told++
				assert.Contains(t, f.Hint, hint)
			}
		}
		assert.Equal(t, 1, told, way)
	}
	s := routerSetup()
	s.Machine.Controller.ToolChange = profiles.ByHand
	assert.Contains(t, rules(s, "G0 Z5; G0 X10 Y10; M3 S18000; G1 Z-2 F300; G0 Z12; M5; T1; M6"), "change-by-itself@8")
	changed := func(behind string) []string {
		return rules(s, "G0 Z5; G0 X-20 Y10; T1; M3 S18000; G4 P3; G0 Z12; M5; M0; T2; "+behind)
	}
	assert.Contains(t, changed("G0 X30; G0 Z12"), "change-no-lift@10")
	assert.Contains(t, changed("M3 S18000; G0 Z12"), "spin-up-unlifted@10")
	assert.NotContains(t, strings.Join(changed("G0 Z14; M3 S18000; G4 P3; G0 X30"), " "), "lift")
}
