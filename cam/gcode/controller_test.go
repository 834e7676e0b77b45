package gcode_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/gcode"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/profiles"
)

// Every key of a controller changes what is written: none is read and forgotten. The
// extension is the file's name and not the program's: cam has it, and so has axes of a
// cutter, which needs all three.
func TestEveryKeyOfAControllerIsWritten(t *testing.T) {
	cut := program(thin, process.Move{To: at(10, 10, 5)},
		process.Move{Kind: process.Line, To: at(10, 10, -2), FeedMMPerMin: 300, PowerPercent: 45.55},
		process.Move{Kind: process.CW, To: at(20, 10, -2), Center: at(15, 10, 0).Point, FeedMMPerMin: 900, PowerPercent: 45.55})
	both := cut
	both.Ops = append(append([]process.Op{}, cut.Ops...), program(thick, cut.Ops[0].Moves...).Ops...)
	long := gcode.Header{Job: "a text so long that it is broken into lines where the controller takes no more than so many letters"}
	elsewhere := []string{"extension"} // of the file's name: TestSameFoamUnderEveryClass of cam
	covered := append(elsewhere, "least_power_percent")
	for key, c := range map[string]struct {
		set   func(*profiles.Controller)
		laser bool
		two   bool
	}{
		"comments":          {set: func(c *profiles.Controller) { c.Comments = profiles.Semicolon }},
		"longest_line":      {set: func(c *profiles.Controller) { c.LongestLine = 70 }},
		"decimals":          {set: func(c *profiles.Controller) { c.Decimals = 3 }},
		"units":             {set: func(c *profiles.Controller) { c.Units = profiles.Inches }},
		"arcs, chord_mm":    {set: func(c *profiles.Controller) { c.Arcs, c.ChordMM = profiles.Chords, 0.02 }},
		"spindle_words":     {set: func(c *profiles.Controller) { c.SpindleWords = profiles.Ordered }},
		"dwell_unit":        {set: func(c *profiles.Controller) { c.DwellUnit = profiles.DwellMS }},
		"spin_up_s":         {set: func(c *profiles.Controller) { c.SpinUpS = 4 }},
		"laser_on":          {laser: true, set: func(c *profiles.Controller) { c.LaserOn = "M4" }},
		"power_scale":       {laser: true, set: func(c *profiles.Controller) { c.PowerScale = 255 }},
		"whole_power":       {laser: true, set: func(c *profiles.Controller) { c.WholePower = true }},
		"tool_change":       {two: true, set: func(c *profiles.Controller) { c.ToolChange = profiles.ByItself }},
		"change_at":         {two: true, set: func(c *profiles.Controller) { c.ChangeAt = []float64{-9, 0, 50} }},
		"park_at":           {set: func(c *profiles.Controller) { c.ParkAt = []float64{0, 200, 40} }},
		"path_tolerance_mm": {set: func(c *profiles.Controller) { c.PathToleranceMM = 0.02 }},
		"start":             {set: func(c *profiles.Controller) { c.Start = append([]string{"G40"}, c.Start...) }},
		"end":               {set: func(c *profiles.Controller) { c.End = []string{"M30"} }},
		"air":               {laser: true, set: func(c *profiles.Controller) { c.Air = []string{"M7", "M9"} }},
		"dust":              {set: func(c *profiles.Controller) { c.Dust = []string{"M8", "M9"} }},
		"axes":              {laser: true, set: func(c *profiles.Controller) { c.Axes = []string{"X", "Y"} }},
	} {
		covered = append(covered, strings.Split(key, ", ")...)
		m, p := router(), cut
		if c.laser {
			m = laser()
		}
		if c.two {
			p = both
		}
		before := text(t, p, long, m)
		c.set(&m.Controller)
		assert.NotEqual(t, before, text(t, p, long, m), key)
	}
	m := laser()
	m.Controller.LeastPowerPercent = 50
	_, err := gcode.Body(cut, m)
	assert.ErrorContains(t, err, "less than the 50 % at which the beam of bench-laser burns steadily")
	var keys []string
	for _, k := range m.Controller.Keys() {
		keys = append(keys, k.Key)
	}
	assert.Greater(t, len(keys), 15)
	assert.ElementsMatch(t, keys, covered, "a key that nothing is written of")
}

func text(t *testing.T, p process.Program, h gcode.Header, m profiles.Machine) string {
	t.Helper()
	body, err := gcode.Body(p, m)
	require.NoError(t, err)
	return string(gcode.Opening(p, process.Stats{}, h, m)) + string(body)
}

// The same moves for every class remove the same foam: to what a chord may stray.
func TestEveryClassCutsTheSameFoam(t *testing.T) {
	p := program(thin, process.Move{To: at(10, 10, 5)}, process.Move{Kind: process.Line, To: at(10, 10, -6), FeedMMPerMin: 300},
		process.Move{Kind: process.CW, To: at(37.123, 10, -6), Center: at(23.5615, 10, 0).Point, FeedMMPerMin: 900},
		process.Move{Kind: process.CCW, To: at(37.123, 30.2, -6), Center: at(37.123, 20.1, 0).Point, FeedMMPerMin: 900},
		process.Move{To: at(37.123, 30.2, 5)})
	removed := map[profiles.Class]float64{}
	for _, c := range profiles.Controllers() {
		if c.Class == profiles.Drawing {
			continue
		}
		m := router()
		m.Controller, m.RapidMMPerMin, m.MaxRPM = c, profiles.Number{Value: 3000}, profiles.Number{Value: 24000}
		r := proof.Run("", []byte(text(t, p, gcode.Header{}, m)), proof.Setup{Machine: m, ThicknessMM: 20, CellMM: 0.1, Tool: 1, SpinUpSeconds: 3}, nil)
		assert.False(t, r.Findings.Failed(), "%s: %v", c.Class, r.Findings)
		removed[c.Class] = r.RemovedMM3
	}
	require.Len(t, removed, 3)
	assert.Greater(t, removed[profiles.PC], 500.0)
	assert.InEpsilon(t, removed[profiles.PC], removed[profiles.Small], 1e-3)
	assert.InEpsilon(t, removed[profiles.PC], removed[profiles.Printer], 3e-3)
}

// Whatever is in the spindle, a machine that changes by itself may change it for the first tool: above its place, not above the foam.
func TestTheFirstToolIsTakenAsideToo(t *testing.T) {
	m := router()
	m.Controller.ToolChange, m.Controller.ChangeAt = profiles.ByItself, []float64{-30, 12, 40}
	p := program(thin, process.Move{To: at(10, 10, 5)}, process.Move{Kind: process.Line, To: at(10, 10, -2), FeedMMPerMin: 300})
	before, _, found := strings.Cut(text(t, p, gcode.Header{}, m), "T1 M6")
	require.True(t, found)
	assert.Contains(t, before, "Z40.0000\nG0 X-30.0000 Y12.0000\n")
	assert.Equal(t, -30.0, gcode.Reach(p, process.Measure(p), m).Min.X)
	m.Controller.ToolChange = profiles.ByHand
	assert.NotContains(t, text(t, p, gcode.Header{}, m), "X-30", "a hand has put it in before")
}
