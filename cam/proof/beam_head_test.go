package proof

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/profiles"
)

// A nozzle that stands 8 mm off may come down 6 (2 mm are kept, judged), and a beam that
// burns from 15 % on (one build, after a forum) is not asked for 14 %.
func TestHeadAndLeastPower(t *testing.T) {
	var plan *Wanted
	run := func(z, s float64, set func(*profiles.Machine)) string {
		m := profiles.Machine{Process: profiles.Laser, ZZero: profiles.ZTop}
		m.StandoffMM.Value, m.Controller.PowerScale, m.Controller.LeastPowerPercent = 8, 1000, 15
		m.TravelMM[2].Value = 60
		if set != nil {
			set(&m)
		}
		text := fmt.Sprintf("G21\nG90\nG17\nG94\nG54\nM5\nG0 X0 Y0\nG0 Z%g\nM3 S%g\nG1 X20 F900\nM5\nM2\n", z, s)
		found := ""
		for _, f := range Run("", []byte(text), Setup{Machine: m, ThicknessMM: 10}, plan).Findings {
			found += f.Rule + ": " + f.Message + "; " + f.Hint + "\n"
		}
		return found
	}
	assert.NotContains(t, run(-6, 150, nil), "nozzle")
	assert.NotContains(t, run(-6, 150, nil), "power-too-low")
	assert.Contains(t, run(-6.5, 150, nil), "nozzle-too-low: the head comes down 6.5 mm below its first focus, and its nozzle stands 8 mm off the foam: it may come down 6 mm")
	assert.NotContains(t, run(-30, 150, func(m *profiles.Machine) { m.StandoffMM.Value = 0 }), "nozzle", "nobody has said")
	down := func(m *profiles.Machine) { m.ZCounts = profiles.ZDown }
	assert.Contains(t, run(6.5, 150, down), "nozzle-too-low", "a greater Z brings them together")
	assert.NotContains(t, run(-6.5, 150, down), "nozzle-too-low")
	assert.Contains(t, run(0, 149, nil), "power-too-low: asks for 14.9 % of full power, and below 15 % the beam does not burn steadily; raise S to 150 or more")

	unsaid := func(m *profiles.Machine) { m.StandoffMM.Value = 0 }
	plan = &Wanted{OutlineLimits: []Limits{{Passes: 2, FocusMM: []float64{0, 4}}}}
	assert.NotContains(t, run(-4, 150, unsaid), "nozzle", "as the plan goes")
	assert.Contains(t, run(-5, 150, unsaid), "nozzle-too-low: the head comes down 5 mm below its first focus, and nobody has said how far its nozzle stands off the foam: it may come down 4.1 mm")
}
