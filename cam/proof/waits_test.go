package proof_test

import (
	"fmt"
	"iter"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
)

// A minute in all is waited without a word beyond what is planned: a spindle's running up behind its start, and
// the pauses of a beam's passes as often as there are any. Nothing is planned before a spindle starts, and a beam has none to run up.
func TestWaitsThatNobodyPlanned(t *testing.T) {
	for _, c := range []struct {
		machine, before, wait string
		planned               []float64
		fits                  bool
	}{
		{"router", "G0 Z5", "G4 P60", nil, true},
		{"router", "G0 Z5", "G4 P60.1", nil, false},
		{"router", "M2", "G4 P30\nG4 P30.1", nil, false},
		{"laser", "M3", "G4 P60", nil, true},
		{"laser", "M3", "G4 P62", nil, false},
		{"laser", "M3", "G4 P90", []float64{10, 20}, true},
		{"laser", "M3", "G4 P90.1", []float64{10, 20}, false},
		{"laser", "M2", "G4 P40\nG4 P50.1", []float64{10, 20}, false},
	} {
		p, want := routerTray()
		machine, setup := routerMachine(), routerSetup()
		if c.machine == "laser" {
			p, want = laserTray()
			machine, setup = laserMachine(), laserSetup()
		}
		want.Way, setup.SpinUpSeconds = pausing(wayOf(p, machine), c.planned), 3
		waiting := first(`^(.*`+c.before+`)`, c.wait+"\n${1}")(t, string(text(t, p, machine)))
		r := proof.Run("", []byte(waiting), setup, &want)
		assert.Equal(t, c.fits, r.OK, "%s: %v", fmt.Sprint(c), r.Findings)
		if !c.fits {
			assert.Equal(t, []string{"waits-unplanned"}, errorsOf(r), fmt.Sprint(c))
		}
	}
}

// pausing is a way that waits as long here and there.
func pausing(way iter.Seq[proof.Motion], seconds []float64) iter.Seq[proof.Motion] {
	return func(yield func(proof.Motion) bool) {
		left := seconds
		for m := range way {
			if len(left) > 0 && m.Rapid {
				m.WaitS, left = left[0], left[1:]
			}
			if !yield(m) {
				return
			}
		}
	}
}
