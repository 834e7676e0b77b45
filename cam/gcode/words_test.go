package gcode

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/process"
	"traywright/geometry"
	"traywright/profiles"
)

func is(v float64) profiles.Number { return profiles.Number{Value: v} }

// Where Z is 0 and which way it grows, what scales a program is written for, and whose machine it is.
func TestWordsOfAHeader(t *testing.T) {
	for want, m := range map[string]profiles.Machine{
		"bed, positive up": {ZZero: profiles.ZBed}, "top of the foam, positive up": {ZZero: profiles.ZTop}, "top of the foam, positive down": {ZZero: profiles.ZTop, ZCounts: profiles.ZDown},
	} {
		assert.Equal(t, want, zeroText(m))
	}
	assert.Empty(t, scaleText(profiles.Machine{}))
	assert.Contains(t, scaleText(profiles.Machine{ScaleX: is(1.002)}), "X 1.002 Y 1, measured")
	assert.Contains(t, scaleText(profiles.Machine{ScaleY: is(0.998)}), "X 1 Y 0.998, measured")
	for _, c := range []struct{ header, id, want string }{{"Bench", "", "Bench"}, {"", "mill", "mill"}, {"mill", "mill", "mill"}, {"Bench", "mill", "mill, Bench"}} {
		assert.Equal(t, c.want, machineName(Header{Machine: c.header}, profiles.Machine{ID: c.id}))
	}
	s := process.Stats{Min: process.Point{Point: geometry.Point{X: -1, Y: -2}, Z: -20}, Max: process.Point{Point: geometry.Point{X: 10, Y: 20}, Z: 5}}
	assert.Equal(t, [3][2]float64{{-1, 10}, {-2, 20}, {-10, 15}}, extents(s, 10, 1))
	assert.Equal(t, [3][2]float64{{-1, 10}, {-2, 20}, {-5, 20}}, extents(s, 0, -1))
	op := func(n int, change func(*profiles.Tool)) process.Op {
		tool := profiles.Tool{ID: "flat", Number: n}
		change(&tool)
		return process.Op{Tool: tool, KerfMM: float64(n)}
	}
	p := process.Program{Ops: []process.Op{
		op(2, func(t *profiles.Tool) { t.StickoutMM = is(30) }), op(1, func(t *profiles.Tool) { t.Name, t.TrailMM = "thin", is(0.5) }), op(2, func(t *profiles.Tool) { t.StickoutMM = is(30) }),
		op(3, func(t *profiles.Tool) { t.ChordMM, t.GougeMM = is(6), is(0.1) }),
	}}
	assert.Equal(t, []string{"T2 flat", "T1 thin", "T3 flat"}, toolLines(p))
	assert.Equal(t, []string{"T2 2 mm", "T1 1 mm", "T3 3 mm"}, kerfLines(p))
	assert.Equal(t, []string{"T2 30 mm", ""}, stickouts(p))
	assert.Equal(t, []string{"", "T1 0.5 mm behind its axis, at the start the blade points along X"}, trails(p))
	assert.Equal(t, []string{"", "T3 6 mm wide, gouge 0.1 mm, A0 along X, A counter-clockwise"}, blades(p, profiles.Machine{}))
	assert.Contains(t, blades(p, profiles.Machine{ACounts: profiles.AClockwise})[1], "A clockwise")
}

// What is switched on goes on once, at the speed or power that each cut asks for, and is off for none.
func TestSpeedsAndPowersAreWrittenWhereTheyChange(t *testing.T) {
	written := func(c profiles.Controller, do func(*emitter) error) string {
		c.LongestLine = 99
		e := &emitter{machine: profiles.Machine{ID: "m", Controller: c}}
		require.NoError(t, do(e))
		return e.buffer.String()
	}
	spins := func(e *emitter) error {
		for _, rpm := range []float64{18000, 18000.4, 12000} {
			if err := e.spin(rpm); err != nil {
				return err
			}
		}
		return nil
	}
	lights := func(e *emitter) error {
		for _, percent := range []float64{0, 50, 50, 60, 0, 0, 60} {
			if err := e.light(percent); err != nil {
				return err
			}
		}
		return nil
	}
	ctl := profiles.Controller{SpinUpS: 3, PowerScale: 1000, LaserOn: "M4"}
	assert.Equal(t, "S18000 M3\nG4 P3\nS12000\nG4 P3\n", written(ctl, spins))
	assert.Equal(t, "M4 S500\nS600\nM5\nM4 S600\n", written(ctl, lights))
	ctl.SpindleWords, ctl.DwellUnit = profiles.Ordered, profiles.DwellMS
	assert.Equal(t, "M3 S18000\nG4 P3000\nM3 S12000\nG4 P3000\n", written(ctl, spins))
	assert.Equal(t, "M4 S500\nM4 S600\nM5\nM4 S600\n", written(ctl, lights))
	ctl.Class = profiles.Printer
	assert.Contains(t, written(ctl, spins), "G4 S3\n")
	ctl.SpinUpS = 0
	assert.NotContains(t, written(ctl, spins), "G4")

	e := &emitter{machine: profiles.Machine{Controller: profiles.Controller{PowerScale: 1000, LeastPowerPercent: 4, LongestLine: 99}}}
	for percent, ok := range map[float64]bool{-0.1: false, 100.1: false, math.NaN(): false, 3.9: false, 4: true, 100: true, 0: true} {
		assert.Equal(t, ok, e.light(percent) == nil, percent)
	}
	for rpm, ok := range map[float64]bool{0: false, -1: false, math.Inf(1): false, 1: true} {
		assert.Equal(t, ok, e.spin(rpm) == nil, rpm)
	}
	for _, scale := range []float64{0, math.Inf(1), -1} {
		e.machine.Controller.PowerScale = scale
		assert.Error(t, e.light(50))
	}
	e = &emitter{machine: profiles.Machine{ID: "m", Controller: profiles.Controller{LongestLine: 5}}}
	e.line("12345")
	assert.NoError(t, e.tooLong)
	e.line("123456")
	assert.ErrorContains(t, e.tooLong, "6 characters")
}

// A blade that is turned says where it points where that changes, at its own feed, and counts as its machine does.
func TestBladesSayWhereTheyPoint(t *testing.T) {
	e := &emitter{steers: true, machine: profiles.Machine{ACounts: profiles.AClockwise, Controller: profiles.Controller{LongestLine: 99}}}
	assert.InDelta(t, -90, e.degrees(math.Pi/2), 1e-12)
	e.blade = angles{from: 0, to: 90, at: "0"}
	assert.Equal(t, []string{"", " A45", "", " A90"}, []string{e.aWord(0), e.aWord(0.5), e.aWord(0.5), e.aWord(1)})
	e.turnTo(0, 1000)
	e.turnTo(0, 1000)
	e.turnTo(1, 1000)
	e.turnTo(0, 500)
	assert.Equal(t, "G1 A0 F1000\nG1 A90\nG1 A0 F500\n", e.buffer.String())
	e.steers = false
	assert.Empty(t, e.aWord(1))
}

// An arc of less than a tenth of a mm becomes chords that stray by 0.0015 mm at most: 2 acos(1 - tol/r) each.
func TestArcsThatNoMachineTurns(t *testing.T) {
	quarter := func(r float64) geometry.Segment {
		return geometry.Segment{A: geometry.Point{X: r}, B: geometry.Point{Y: r}, Bulge: math.Tan(math.Pi / 8)}
	}
	assert.Zero(t, Straights(quarter(0.1001)))
	assert.Equal(t, int(math.Ceil(math.Pi/2/(2*math.Acos(1-0.0015/0.0999)))), Straights(quarter(0.0999)))
	assert.Equal(t, 4, Straights(quarter(0.001)))
	assert.Zero(t, Straights(geometry.Segment{B: geometry.Point{X: 0.01}}))
	assert.Equal(t, 1, Straights(geometry.Segment{B: geometry.Point{X: 0.001}, Bulge: 0.01}))
	for _, c := range []struct {
		r, sweep float64
		want     bool
	}{{0.1, 1, true}, {0.0999, 2, false}, {10, 0.01, true}, {10, -0.01, true}, {10, 0.0099, false}} {
		assert.Equal(t, c.want, large(c.r, c.sweep), "%+v", c)
	}
}
