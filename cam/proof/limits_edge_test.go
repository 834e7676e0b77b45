package proof_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
)

// Each limit of a machine, a shop or a sheet: what just keeps it passes, what just does not is
// told by its rule; and where none is known, nothing is held.
func TestLimitsAtTheirEdges(t *testing.T) {
	const mill = "G0 Z5; G0 X10 Y10; M3 S18000; G1 Z-2 F300; "
	const lit = "G0 X10 Y10 Z20; M3 S600 M8; "
	shop := func(change func(*proof.Setup)) func(proof.Setup) proof.Setup {
		return func(s proof.Setup) proof.Setup { change(&s); return s }
	}
	plain := shop(func(*proof.Setup) {})
	hand := shop(func(s *proof.Setup) { s.Machine.Controller.ToolChange = "manual" })
	free := shop(func(s *proof.Setup) {
		s.Machine.MaxFeedMMPerMin.Value, s.Machine.MaxRPM.Value, s.Machine.Tools[0].ReachMM.Value = 0, 0, 0
	})
	for _, c := range []struct {
		what      string
		beam      bool
		setup     func(proof.Setup) proof.Setup
		body      string // with % for a number
		good, bad float64
		rule      string
	}{
		{"feed of the machine", false, plain, mill + "G1 X20 F%; G0 Z5", 3000, 3001, "feed-too-high"},
		{"feed of the shop", false, shop(func(s *proof.Setup) { s.MaxFeedMMPerMin = 800 }), mill + "G1 X20 F%; G0 Z5", 800, 801, "feed-too-high"},
		{"a feed below 1", false, shop(func(s *proof.Setup) { s.MaxFeedMMPerMin = 0.5 }), "G0 Z5; G0 X10 Y10; M3 S18000; G1 Z-0.2 F%; G0 Z5", 0.5, 0.51, "feed-too-high"},
		{"no feed known", false, free, mill + "G1 X20 F%; G0 Z5", 90000, 0, ""},
		{"speed of the machine", false, plain, "G0 Z5; G0 X10 Y10; M3 S%; G1 Z-2 F300; G0 Z5", 24000, 24001, "spindle-too-fast"},
		{"no speed known", false, free, "G0 Z5; G0 X10 Y10; M3 S%; G1 Z-2 F300; G0 Z5", 90000, 0, ""},
		{"to the right", false, plain, mill + "G1 X% F900; G0 Z5", 400, 411, "outside-travel"},
		{"away", false, plain, mill + "G1 Y% F900; G0 Z5", 300, 311, "outside-travel"},
		{"full power", true, plain, lit + "S%; G1 X20 F900; M5", 1000, 1001, "power-too-high"},
		{"power of the shop", true, shop(func(s *proof.Setup) { s.MaxPowerPercent = 50 }), lit + "S%; G1 X20 F900; M5", 500, 501, "power-too-high"},
		{"power below 1 %", true, shop(func(s *proof.Setup) { s.MaxPowerPercent = 0.5 }), "G0 X10 Y10 Z20; M3 S1 M8; S%; G1 X20 F900; M5", 5, 6, "power-too-high"},
		{"feed of a beam", true, plain, lit + "G1 X20 F%; M5", 6000, 6001, "feed-too-high"},
		{"through the foam", false, plain, mill + "G1 Z-% F300; G0 Z5", 20.5, 20.6, "too-deep"},
		{"depth of the shop", false, shop(func(s *proof.Setup) { s.MaxDepthMM = 12 }), mill + "G1 Z-% F300; G0 Z5", 12, 12.1, "depth-over-limit"},
		{"depth below 1 mm", false, shop(func(s *proof.Setup) { s.MaxDepthMM = 0.5 }), "G0 Z5; G0 X10 Y10; M3 S18000; G1 Z-% F300; G0 Z5", 0.5, 0.6, "depth-over-limit"},
		{"reach of the tool", false, shop(func(s *proof.Setup) { s.ThicknessMM = 60 }), mill + "G1 Z-% F300; G0 Z5", 38, 38.1, "beyond-reach"},
		{"a wait that turns", false, plain, "G0 Z5; G0 X10 Y10; M3 S18000; G4 P%; G1 Z-2 F300; G0 Z5", 60, 61, "waits-long"},
		{"a wait that stands", false, plain, "G0 Z5; G0 X10 Y10; G4 P%; M3 S18000; G4 P3; G1 Z-2 F300; G0 Z5", 90, 0, ""},
		{"a wait in the foam", false, plain, mill + "G4 P%; G0 Z5", 0.5, 0.6, "stands-in-foam"},
		{"a stop above the foam", false, plain, mill + "G0 Z%; M5; M0; M3 S18000; G4 P3; G1 X20 F900; G0 Z5", 1, 0.9, "stop-low"},
		{"a change above the foam", false, hand, mill + "G0 Z%; M5; T1; M0; G0 Z5; M3 S18000; G4 P3; G1 Z-2 F300; G0 Z5", 10, 9.9, "change-low"},
		{"corners that are rounded", false, plain, "G64 P%; " + mill + "G1 X20 F900; G0 Z5", 0.05, 0.06, "corners-rounded"},
		{"no reach known", false, shop(func(s *proof.Setup) { *s = free(*s); s.ThicknessMM = 60 }), mill + "G1 Z-% F300; G0 Z5", 59, 0, ""},
	} {
		setup := routerSetup
		if c.beam {
			setup = laserSetup
		}
		at := func(v float64) string {
			return strings.Join(rules(c.setup(setup()), strings.ReplaceAll(c.body, "%", fmt.Sprint(v))), " ")
		}
		assert.Empty(t, at(c.good), c.what)
		if c.rule != "" {
			assert.Contains(t, at(c.bad), c.rule+"@", c.what)
		}
	}
}

// A recipe's numbers at the edges of what may differ: a thousandth more of what is printed, a
// hundredth less of feed and off in energy and a spindle's speed (the reasons stand at these numbers).
func TestRecipesAtTheirEdges(t *testing.T) {
	for _, c := range []struct {
		on, what, from, good, bad, rule string
	}{
		{"router", "feed", "F1200", "F1201", "F1202", "feed-too-high"},
		{"router", "feed, slow", "F1200", "F1189", "F1187", "feed-too-low"},
		{"router", "plunge, slow", "F300", "F298", "F296", "feed-too-low"},
		{"router", "plunge", "F300", "F300.2", "F301", "plunge-too-fast"},
		{"router", "speed", "S18000", "S18179", "S18181", "spindle-too-fast"},
		{"router", "speed, slow", "S18000", "S17821", "S17819", "spindle-too-slow"},
		{"laser", "power", "S600", "S600.5", "S601", "power-too-high"},
		{"laser", "energy, low", "S600", "S595", "S593", "beam-too-weak"},
		{"laser", "feed", "F900", "F900.8", "F901", "feed-too-high"},
		{"laser", "energy, high", "F900", "F892", "F890", "beam-too-strong"},
	} {
		for _, with := range []string{c.good, c.bad} {
			program, setup, want := spoiled(t, c.on)
			r := proof.Run("", []byte(all(c.from+`\b`, with)(t, program)), setup, &want)
			if with == c.good {
				assert.Empty(t, errorsOf(r), "%s: %s: %v", c.on, c.what, r.Findings)
			} else {
				assert.Contains(t, errorsOf(r), c.rule, "%s: %s: %v", c.on, c.what, r.Findings)
			}
		}
	}
}

// A hand reaches in where a tool is changed: beside the tray, and never over it.
func TestAToolIsChangedBesideTheFoam(t *testing.T) {
	_, setup, want := spoiled(t, "router")
	setup.Machine.Controller.ToolChange = "manual"
	for place, over := range map[string]bool{"X-30 Y20": false, "X20 Y-30": false, "X500 Y20": false, "X20 Y500": false, "X20 Y20": true, "X60 Y50": true} {
		text := "G21 G90 G17 G94\nG0 Z20\nG0 " + place + "\nM5\nT1\nM0\nG0 Z5\nM2\n"
		found := rulesOf(proof.Run("", []byte(text), setup, &want))
		assert.Equal(t, over, slices.Contains(found, "change-over-foam"), "%s: %v", place, found)
	}
}
