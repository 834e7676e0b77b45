package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/profiles"
)

// A glass tube stays dark at a low drive; where that begins its owner measures (one build: 15 %,
// after a forum). The shipped recipe cuts at 45 % and engraves at a tenth of that.
func TestABeamIsNotAskedForLessThanItBurnsAt(t *testing.T) {
	run := func(least, share float64, label bool) string {
		tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true }))
		tray.Layers = tray.Layers[1:]
		if label {
			tray.Labels = []job.Label{{Making: job.Making{X: mm(20), Y: mm(50)}, Text: "pad", Height: mm(10), Font: "strokes"}}
		}
		in := input(t, bench(tray), "bench-laser")
		in.Machine.Controller.LeastPowerPercent = least
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.MarkShare.Value = share
			return r, ok
		}
		_, found := Make(in)
		for _, f := range found {
			if f.Rule == "power-too-low" {
				return f.Message + "; " + f.Hint
			}
		}
		return ""
	}
	assert.Empty(t, run(0, 0.1, true), "nobody has said")
	assert.Empty(t, run(45, 0.1, false))
	assert.Contains(t, run(46, 0.1, false), "cuts at 45 % of full power, and below 46 % its beam does not burn steadily; raise power_percent")
	assert.Contains(t, run(15, 0.1, true), "engraves at 4.5 % of full power, and below 15 % its beam does not burn steadily; set mark_share to 0.34 or more")
	assert.Empty(t, run(15, 0.34, true), "what the hint says works")
	assert.Contains(t, run(30, 0.1, true), "leave the label out, or cut its letters through")
}

// A beam's walls lean by a taper that a coupon tells; in thin foam it is no matter
// (common practice, no source).
func TestATaperThatNobodyMeasuredIsTold(t *testing.T) {
	run := func(thicknessMM, taper float64, coupon bool) string {
		tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true }))
		tray.Layers = tray.Layers[:1]
		tray.Layers[0].Thickness = mm(thicknessMM)
		in := input(t, bench(tray), "bench-laser")
		in.ProudTold = coupon
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.TaperDegrees.Value = taper
			return r, ok
		}
		_, found := Make(in)
		return rules(found)
	}
	assert.NotContains(t, run(15, 0, false), "taper-unknown")
	assert.Contains(t, run(15.1, 0, false), "warning:taper-unknown")
	assert.NotContains(t, run(25.4, 0.5, false), "taper-unknown")
	assert.NotContains(t, run(25.4, 0, true), "taper-unknown", "a coupon is cut to find out")
}
