package proof_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/gcode"
	"traywright/cam/proof"
	"traywright/profiles"
)

func find(id string) (profiles.Machine, bool) {
	switch id {
	case "bench-router":
		return routerMachine(), true
	case "bench-laser":
		return laserMachine(), true
	}
	return profiles.Machine{}, false
}

// A program of ours says all that a dry run without a job needs.
func TestSetupFromTheHeader(t *testing.T) {
	p, w := laserTray()
	h := gcode.Header{Machine: "Bench laser; 40 W", Recipe: "pe-30 on bench-laser: starting value, measure your own. " + string(bytes.Repeat([]byte("long "), 60)),
		Cautions: []string{"polyethylene flames", "stay in the room"}}
	program := written(t, p, h, laserMachine())
	s := proof.SetupFor(program, find)
	assert.Equal(t, laserMachine(), s.Machine)
	assert.Equal(t, thickMM, s.ThicknessMM)
	assert.Equal(t, 2, s.Passes)
	assert.Equal(t, map[int]float64{0: kerfMM}, s.KerfMM)
	r := proof.Run("", program, s, &w)
	assert.True(t, r.OK, "%v", r.Findings)
	assert.Equal(t, "polyethylene flames\nstay in the room", r.Header["caution"])
	assert.Contains(t, r.Header["recipe"], "measure your own. long long")
	assert.Equal(t, "pocket 1 <logbook>", r.Motions[2].Op)
}

func TestSetupOfAForeignProgram(t *testing.T) {
	s := proof.SetupFor([]byte("(made elsewhere)\nG21\nM2\n"), find)
	assert.Equal(t, proof.Setup{KerfMM: map[int]float64{}}, s)
	r := proof.Run("", []byte("(made elsewhere)\nG21 G90\n(first hole)\nG0 Z5\nG0 X1 Y1\nM3 S1\nG1 Z-2 F100\nG0 Z5\nM5\nM2\n"), s, nil)
	assert.True(t, r.OK)
	assert.Equal(t, []string{"width-unknown"}, rulesOf(r))
	assert.Equal(t, "first hole", r.Motions[0].Op)
}

// No header of ours has a thousand comments; what comes after is not one, and costs no time.
func TestALongHeaderEnds(t *testing.T) {
	text := bytes.Repeat([]byte("(foam: x)\n"), 100_000)
	h := proof.Header(append(text, []byte("(machine: bench-router)\nG21\n")...))
	assert.Len(t, h["foam"], 2*1000-1)
	assert.Empty(t, h["machine"])
}
