package proof_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/profiles"
)

// What a cutter does just above the foam: no wall shows it, and a shop hand winces.
func TestCloseAboveTheFoam(t *testing.T) {
	const lift = `(?s)\A(.*?)^G0 Z5\.0000\n(\(op: pocket 2.*?\n)G0 (X\S+ Y\S+)\n`
	for _, c := range []struct {
		what  string
		spoil func(*testing.T, string) string
		rule  string
	}{
		{"dragged over the foam", first(lift, "${1}G1 Z0.0000 F300\n${2}G1 ${3}\nG0 Z5\n"), "low-travel"},
		{"dragged in its face by less than rounding", first(lift, "${1}G1 Z-0.0010 F300\n${2}G1 ${3}\nG0 Z5\n"), "low-travel"},
		{"scratched over its face", first(lift, "${1}G1 Z-0.0050 F300\n${2}G1 ${3} F1200\nG0 Z5\n"), "stray-cut"},
		{"scratched by as much as a wall may be off", first(lift, "${1}G1 Z-0.0200 F300\n${2}G1 ${3} F1200\nG0 Z5\n"), "stray-cut"},
		{"a tenth above it", first(lift, "${1}G1 Z0.1000 F300\n${2}G1 ${3}\nG0 Z5\n"), "low-travel"},
		{"half a millimetre above it", first(lift, "${1}G1 Z0.5000 F300\n${2}G1 ${3}\nG0 Z5\n"), "low-travel"},
		{"down on the foam at rapid", first(`^(G0 X\S+ Y\S+)\n(G1 Z-)`, "${1}\nG0 Z0\n${2}"), "rapid-down"},
		{"down to a tenth at rapid", first(`^(G0 X\S+ Y\S+)\n(G1 Z-)`, "${1}\nG0 Z0.1\n${2}"), "rapid-down"},
		{"down on the foam as fast as a rapid", first(`^(G0 X\S+ Y\S+)\n(G1 Z-)`, "${1}\nG0 Z1.25\nG1 Z0 F1200\n${2}"), "plunge-too-fast"},
		{"a hair into it at rapid", first(`^(G0 X\S+ Y\S+)\n(G1 Z-)`, "${1}\nG0 Z-0.005\n${2}"), "rapid-in-foam"},
		{"into it by less than rounding", first(`^(G0 X\S+ Y\S+)\n(G1 Z-)`, "${1}\nG0 Z-0.0002\n${2}"), "rapid-in-foam"},
		{"over the foam a hair too low", first(lift, "${1}G0 Z-0.0050\n${2}G0 ${3}\nG0 Z5\n"), "rapid-too-low"},
		{"over it by less than rounding", first(lift, "${1}G0 Z-0.0002\n${2}G0 ${3}\nG0 Z5\n"), "rapid-too-low"},
		{"aside in a pocket", first(lift, "${1}G0 Z-1\nG91 G0 X0.01\nG0 X-0.01\nG90 G0 Z5\n${2}G0 ${3}\n"), "rapid-too-low"},
		{"spun up on the foam", first(`^(S18000 M3\n)`, "G1 Z0 F300\n${1}"), "spin-up-low"},
		{"spun up in the foam", first(`^(G1 Z-4\S+ F300\n)`, "${1}M5\nM3\nG4 P3\n"), "spin-up-low"},
		{"a stop with the tool on the foam", first(`^M5\nM2`, "G1 Z0 F300\nM5\nM0\nG0 Z5\nM2"), "stop-low"},
	} {
		program, setup, want := spoiled(t, "router")
		r := proof.Run("", []byte(c.spoil(t, program)), setup, &want)
		assert.False(t, r.OK, c.what)
		assert.Contains(t, errorsOf(r), c.rule, "%s: %v", c.what, r.Findings)
	}
	for _, z := range []string{"-0.0002", "-0.0050", "-0.0100", "-0.0150", "-0.0500"} { // of anybody's program without a plan too
		program, setup, _ := spoiled(t, "router")
		r := proof.Run("", []byte(first(lift, "${1}G0 Z"+z+"\n${2}G0 ${3}\nG0 Z5\n")(t, program)), setup, nil)
		assert.False(t, r.OK, z)
	}
	program, setup, want := spoiled(t, "router") // a millimetre is enough, at feed and to sink to
	for _, spoil := range []func(*testing.T, string) string{
		first(lift, "${1}G1 Z1.0000 F1200\n${2}G1 ${3}\nG0 Z5\n"),
		first(`^(G0 X\S+ Y\S+)\n(G1 Z-)`, "${1}\nG0 Z1\n${2}"),
	} {
		r := proof.Run("", []byte(spoil(t, program)), setup, &want)
		assert.True(t, r.OK, "%v", r.Findings)
	}
}

// A rapid straight down keeps its millimetre from the highest top that the tolerances allow: of a zero that is
// off, and from the bed of a sheet that is thicker. The programs that are made do, and one that does not is refused.
func TestSinkingKeepsFromTheHighestTop(t *testing.T) {
	for _, c := range []struct {
		what    string
		machine profiles.Machine
		given   proof.Tolerances
		room    float64 // above the planned top
	}{
		{"zero", routerMachine(), proof.Tolerances{ZeroMM: proof.Range{Low: -0.6, High: 0.6}}, 1.6},
		{"zero, and a sheet that is set off from its top", routerMachine(), proof.Tolerances{ZeroMM: proof.Range{Low: -0.6, High: 0.6}, ThicknessMM: proof.Range{Low: -0.5, High: 0.9}}, 1.6},
		{"zero and thickness from the bed", onTheBed(), proof.Tolerances{ZeroMM: proof.Range{Low: -0.6, High: 0.6}, ThicknessMM: proof.Range{Low: -0.5, High: 0.9}}, 2.5},
	} {
		c.machine.ZeroMM.Value = -c.given.ZeroMM.Low
		s := randomTray(t, seeded(3), c.machine)
		s.Layers[0].Foam.ThickerMM.Value = c.given.ThicknessMM.High
		program, setup, want := made(t, s, c.machine)
		setup.Tolerances = &c.given
		top := 0.0
		if c.machine.ZZero == profiles.ZBed {
			top = s.ThicknessMM()
		}
		down := fmt.Sprintf("G0 Z%.4f\n", top+c.room)
		require.Contains(t, string(program), down, c.what)
		r := proof.Run("", program, setup, &want)
		assert.True(t, r.OK, "%s: %v", c.what, r.Findings)
		lower := strings.ReplaceAll(string(program), down, fmt.Sprintf("G0 Z%.4f\n", top+c.room-0.05))
		r = proof.Run("", []byte(lower), setup, &want)
		assert.Equal(t, []string{"rapid-down"}, distinct(errorsOf(r)), "%s: %v", c.what, r.Findings)
	}
}

// A program that goes far out of what is planned is no worse a cut; what stands there
// only the person sees.
func TestFarTravelIsTold(t *testing.T) {
	for _, c := range []struct {
		by   string
		told bool
	}{{"X-100 Y-100", true}, {"X300", true}, {"X-20 Y-20", false}} {
		for _, machine := range []string{"router", "laser"} {
			program, setup, want := spoiled(t, machine)
			r := proof.Run("", []byte(first(`^M2`, "G0 "+c.by+"\nM2")(t, program)), setup, &want)
			told := 0
			for _, f := range r.Findings {
				if f.Rule == "travel-beyond-plan" {
					told++
					assert.Equal(t, finding.Warning, f.Severity)
				}
			}
			assert.Equal(t, c.told, told == 1, "%s: %s: %v", machine, c.by, r.Findings)
			assert.True(t, r.OK)
		}
	}
}

// A head whose height nobody has said burns with what the last program left.
func TestBeamSaysItsHeight(t *testing.T) {
	program, setup, want := spoiled(t, "laser")
	silent := all(`^G0 Z\S+\n`, "")(t, program)
	assert.Contains(t, errorsOf(proof.Run("", []byte(silent), setup, &want)), "focus-unsaid")
	foreign := proof.Run("", []byte(comments.ReplaceAllString(silent, "")), setup, nil)
	assert.NotContains(t, errorsOf(foreign), "focus-unsaid", "a foreign program is told of it only")
	setup.Machine.TravelMM[2].Value = 0
	assert.NotContains(t, rulesOf(proof.Run("", []byte(silent), setup, &want)), "focus-unsaid", "a head that a hand sets")
}
