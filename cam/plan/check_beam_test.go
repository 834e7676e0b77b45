package plan

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/profiles"
)

// A glass tube stays dark at a low drive; where that begins its owner measures (one build: 15 %,
// after a forum). The shipped recipe cuts at 45 % and engraves at a tenth of that.
func TestABeamIsNotAskedForLessThanItBurnsAt(t *testing.T) {
	warned := ""
	run := func(least, share float64, label bool) string {
		warned = ""
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
			if f.Rule == "least-power-unknown" {
				warned += f.Where + ": " + f.Message
			}
			if f.Rule == "power-too-low" {
				return f.Message + "; " + f.Hint
			}
		}
		return ""
	}
	assert.Empty(t, run(0, 0.1, true), "nobody has said")
	assert.Equal(t, "recipe for pe-45 on bench-laser with beam: engraves at 4.5 % of full power, and nobody has said at how much the beam of bench-laser burns: many glass tubes are dark, or flicker, below 10 to 15 %", warned)
	for _, quiet := range []struct {
		least, share float64
		label        bool
	}{{0, 0.1, false}, {0, 0.34, true}, {4, 0.1, true}} {
		assert.Empty(t, run(quiet.least, quiet.share, quiet.label))
		assert.Empty(t, warned, quiet)
	}
	assert.Empty(t, run(45, 0.1, false))
	assert.Contains(t, run(46, 0.1, false), "cuts at 45 % of full power, and below 46 % its beam does not burn steadily; raise power_percent")
	assert.Contains(t, run(15, 0.1, true), "engraves at 4.5 % of full power, and below 15 % its beam does not burn steadily; set mark_share to 0.34 or more")
	assert.Empty(t, run(15, 0.34, true), "what the hint says works")
	assert.Contains(t, run(30, 0.1, true), "leave the label out, or cut its letters through")
}

// A cut at less than many tubes burn at is told, once, where nobody has said what this one needs; an owner's limit on the feed
// lowers the power so.
func TestADimCutIsTold(t *testing.T) {
	for power, dim := range map[float64]bool{1.27: true, 14.9: true, 15: false, 45: false} {
		for _, least := range []float64{0, 1} {
			first, second := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true })), pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true }))
			first.Layers, second.Layers, second.ID = first.Layers[1:], second.Layers[1:], "second"
			in := input(t, bench(first), "bench-laser")
			in.Job.Trays = append(in.Job.Trays, second)
			in.Machine.Controller.LeastPowerPercent = least
			recipe := in.Recipe
			in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
				r, ok := recipe(foam, tool)
				r.PowerPercent.Value = power
				return r, ok
			}
			told := 0
			_, found := Make(in)
			for _, f := range found {
				if f.Rule == "least-power-unknown" {
					told++
					assert.Contains(t, f.Message, fmt.Sprintf("cuts at %.3g %% of full power, and nobody has said", power))
				}
			}
			assert.Equal(t, dim && least == 0, told == 1, "%g %%, least %g: told %d times", power, least, told)
		}
	}
}

// Where S has no decimals, what is written counts: 15 % of 255 is S38.25, and S38 is 14.9 %
// (arithmetic).
func TestABeamsPowerIsWhatTheControllerCanSay(t *testing.T) {
	scale, least := 255.0, 15.0
	run := func(percent float64) string {
		tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true }))
		tray.Layers = tray.Layers[1:]
		in := input(t, bench(tray), "bench-laser")
		in.Machine.Controller.LeastPowerPercent, in.Machine.Controller.WholePower, in.Machine.Controller.PowerScale = least, true, scale
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.PowerPercent.Value = percent
			return r, ok
		}
		_, found := Make(in)
		return rules(found)
	}
	assert.Contains(t, run(15), "error:power-too-low")
	assert.NotContains(t, run(15.3), "power-too-low", "S39, 15.29 %")
	scale, least = 10, 0
	assert.NotContains(t, run(44), "power-too", "S4 is 40 %, 9 % less")
	assert.Contains(t, run(45), "error:power-too-coarse", "S4 is 11 % less, and may not go through")
	assert.Contains(t, run(9), "error:power-too-low", "S0 is dark")
}

// The head goes down with the focus, and its nozzle stands off the foam by no more than it
// does; 2 mm are kept (judged, no source). A hint, followed literally, works.
func TestAFocusKeepsTheNozzleOffTheFoam(t *testing.T) {
	run := func(standoff, step float64, set func(*profiles.Machine)) (list string, said string) {
		tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true }))
		tray.Layers = tray.Layers[:1]
		tray.Layers[0].Thickness = mm(25.4) // in four passes of 7 mm
		in := input(t, bench(tray), "bench-laser")
		in.Machine.StandoffMM.Value = standoff
		if set != nil {
			set(&in.Machine)
		}
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.MMPerPass.Value, r.FocusStepMM.Value = 7, step
			return r, ok
		}
		_, found := Make(in)
		for _, f := range found {
			if strings.Contains(f.Rule, "nozzle") || strings.Contains(f.Rule, "focus") {
				said = f.Message + "; " + f.Hint
			}
		}
		return rules(found), said
	}
	list, said := run(8, 5, nil)
	assert.Contains(t, list, "error:nozzle-too-low")
	assert.Contains(t, said, "lowers the head by 15 mm in 4 passes, and its nozzle stands 8 mm off the foam: it may come down 6 mm; set focus_step_mm to 2 or less")
	list, _ = run(8, 2, nil)
	assert.NotContains(t, list, "nozzle")
	list, _ = run(1, 0, nil)
	assert.NotContains(t, list, "nozzle", "it stays where it is")
	list, said = run(1, 1, nil)
	assert.Contains(t, list, "error:nozzle-too-low")
	assert.Contains(t, said, "set focus_step_mm to 0 in the recipe")
	list, said = run(0, 5, nil)
	assert.Contains(t, list, "error:nozzle-unknown", "nobody has said")
	list, _ = run(0, 0, nil)
	assert.NotContains(t, list, "nozzle", "the hint, followed")
	assert.Contains(t, said, "until then set focus_step_mm to 0")
	list, _ = run(1, 5, func(m *profiles.Machine) { m.ZCounts = profiles.ZDown })
	assert.Contains(t, list, "error:nozzle-too-low", "whichever way Z counts")
	list, _ = run(30, 5, func(m *profiles.Machine) { m.ZCounts = profiles.ZDown })
	assert.NotContains(t, list, "focus")
	list, _ = run(1, 5, func(m *profiles.Machine) { m.TravelMM[2].Value = 0 })
	assert.NotContains(t, list, "nozzle", "no Z to move")
	assert.Contains(t, list, "warning:focus-fixed")
	list, said = run(1, 5, func(m *profiles.Machine) { m.Controller.Axes = []string{"X", "Y"} })
	assert.Contains(t, list, "warning:focus-fixed", "its controller drives none")
	assert.Contains(t, said, "moves no Z: all its passes are cut with the focus on the foam's top; set focus_step_mm to 0 in the recipe")
	list, _ = run(1, 0, func(m *profiles.Machine) { m.TravelMM[2].Value = 0 })
	assert.NotContains(t, list, "focus", "the hint, followed")
	list, _ = run(1, 5, func(m *profiles.Machine) {
		m.Controller = profiles.Controller{Class: profiles.Drawing, Axes: []string{"X", "Y"}}
	})
	assert.Contains(t, list, "error:nozzle-too-low", "a hand lowers it")
}

// Foam that a beam comes back to at once is still hot; one pass comes back to none. The hint,
// followed, ends it, and names what the shipped recipe has (our rule).
func TestPassesWithoutAPauseAreTold(t *testing.T) {
	run := func(passes, pause float64) (list, said string, shipped float64) {
		tray := pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true }))
		tray.Layers = tray.Layers[:1]
		in := input(t, bench(tray), "bench-laser")
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			shipped = r.PauseS.Value
			r.MMPerPass.Value, r.PauseS.Value = tray.Layers[0].Thickness.MM()/passes, pause
			return r, ok
		}
		_, found := Make(in)
		for _, f := range found {
			if f.Rule == "no-pause" {
				said = f.Where + ": " + f.Message + "; " + f.Hint
			}
		}
		return rules(found), said, shipped
	}
	list, said, shipped := run(3, 0)
	assert.Equal(t, 1, strings.Count(list, "warning:no-pause"), "once of a recipe")
	assert.Contains(t, said, "recipe for pe-30 on bench-laser with beam: goes over each place in 3 passes and has no pause_s")
	assert.Contains(t, said, fmt.Sprintf("write pause_s into the recipe, how long it stays dark before it goes over a place again: %g, as in", shipped))
	for _, quiet := range [][2]float64{{1, 0}, {3, shipped}} {
		list, _, _ = run(quiet[0], quiet[1])
		assert.NotContains(t, list, "no-pause")
	}
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
