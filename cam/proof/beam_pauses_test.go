package proof

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
	"traywright/profiles"
)

// A machine with two scales has its arcs taken apart, and the clock with them.
func TestPausesOnAMachineWithAScale(t *testing.T) {
	s := span{2, 5}
	assert.Equal(t, []span{{2, 3}, {3, 4}, {4, 5}}, []span{s.part(0, 3), s.part(1, 3), s.part(2, 3)})
	m := profiles.Machine{Process: profiles.Laser, ZZero: profiles.ZTop}
	m.ScaleX.Value, m.ScaleY.Value, m.Controller.PowerScale, m.RapidMMPerMin.Value = 1.01, 0.99, 100, 6000
	lap := "M3 S50\nG2 X10 I10 J0 F900\nM5\n"
	for _, wait := range []string{"", "G4 P3\n"} {
		r := Run("", []byte("G21\nG90\nG17\nG94\nG54\nM5\nG0 X10 Y30\n"+lap+wait+lap+"M2\n"), Setup{Machine: m, ThicknessMM: 10, KerfMM: map[int]float64{0: 0.2}, Recipe: Limits{PowerPercent: 50, FeedMMPerMin: 900, MMPerPass: 5, Passes: 1, PauseS: 3}}, nil)
		told := false
		for _, f := range r.Findings {
			told = told || f.Rule == "no-pause"
		}
		assert.Equal(t, wait == "", told, "%v", r.Findings)
	}
}

// pauseRun tries a beam's program for a square of 20 mm in foam of 10 mm: two passes of 5 mm
// with a pause of 3 s between, and a power supply that takes 0.2 s, 3 mm at F900.
func pauseRun(t *testing.T, lines ...string) (Result, string) {
	t.Helper()
	m := profiles.Machine{ID: "m", Process: profiles.Laser, ZZero: profiles.ZTop, Tools: []profiles.Tool{{Number: 1}}}
	m.Tools[0].DiameterMM.Value, m.RiseS.Value, m.Controller.PowerScale = 0.2, 0.2, 1000
	m.RapidMMPerMin.Value, m.AccelerationMMPerS2.Value, m.MaxFeedMMPerMin.Value = 12000, 1500, 12000
	for i := range m.TravelMM {
		m.TravelMM[i].Value = 300
	}
	m.TravelMM[2].Value = 0
	limits := []Limits{{Tool: 1, FeedMMPerMin: 900, PowerPercent: 50, Passes: 2, MMPerPass: 5, PauseS: 3}}
	hole := geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: 10, Y: 10}, Max: geometry.Point{X: 30, Y: 30}}, 0))
	tray := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 60, Y: 60}}, 0))
	want := &Wanted{Outline: tray, OutlineDepthMM: 10, OutlineLimits: limits, Cuts: []WantedCut{{Name: "square", Shape: hole, DepthMM: 10, Through: true, Limits: limits}}}
	lap := func(past string) []string {
		return []string{"G0 X20 Y10.1", "M3 S500", "G1 X29.9 F900", "Y29.9", "X10.1", "Y10.1", "X" + past, "M5"}
	}
	var text []string
	for _, l := range lines {
		switch past, is := strings.CutPrefix(l, "lap to "); {
		case is:
			text = append(text, lap(past)...)
		default:
			text = append(text, l)
		}
	}
	all := "G21\nG90\nG17\nG94\nG54\nM5\n" + strings.Join(text, "\n") + "\nM5\nM2\n"
	r := Run("", []byte(all), Setup{Machine: m, ThicknessMM: 10, KerfMM: map[int]float64{1: 0.2}}, want)
	found := ""
	for _, f := range r.Findings {
		found += f.Rule + ": " + f.Message + "; " + f.Hint + "\n"
	}
	return r, found
}

// The heat of a pass goes away in the dark only: a pause counts, a way elsewhere counts, and
// what is lit counts not. The hint works.
func TestPausesBetweenPasses(t *testing.T) {
	_, found := pauseRun(t, "lap to 20.2", "lap to 20.2")
	assert.Contains(t, found, "no-pause: goes over a place again ")
	assert.Contains(t, found, "write G4 P3 with the beam off before it")
	r, found := pauseRun(t, "lap to 20.2", "G4 P3", "lap to 20.2")
	assert.NotContains(t, found, "no-pause")
	assert.NotContains(t, found, "too-many-passes")
	short, found := pauseRun(t, "lap to 20.2", "G4 P2.9", "lap to 20.2")
	assert.Contains(t, found, "goes over a place again 2.9")
	assert.InDelta(t, 0.1, r.Seconds-short.Seconds, 1e-9, "the clock counts a pause")
	assert.InDelta(t, r.OnSeconds, short.OnSeconds, 1e-9, "in the dark")
	_, found = pauseRun(t, "G0 X20 Y10.1", "M3 S500", "G1 X29.9 F900", "Y29.9", "X10.1", "Y10.1", "X29.9", "Y29.9", "X10.1", "Y10.1", "X20.2", "M5")
	assert.Contains(t, found, "goes over a place again 0 s", "round twice without going dark")
	_, found = pauseRun(t, "G0 X20 Y10.1", "M3 S500", "G1 X29.9 F900", "Y29.9", "X10.1", "Y10.1", "X20", "M5", "G4 P3", "M3 S500", "X29.9", "Y29.9", "X10.1", "Y10.1", "X20.2")
	assert.NotContains(t, found, "no-pause", "dark in one place")
}

// A lap runs on past its start until a slow power supply has brought the beam up: 3 mm here,
// and two kerfs are allowed anyway. That is no pass more; what goes farther is.
func TestALapRunsOnForASlowPowerSupply(t *testing.T) {
	_, found := pauseRun(t, "lap to 23.2", "G4 P3", "lap to 23.2")
	assert.NotContains(t, found, "too-many-passes")
	assert.NotContains(t, found, "no-pause")
	_, found = pauseRun(t, "lap to 23.6", "G4 P3", "lap to 23.6")
	assert.Contains(t, found, "too-many-passes")
	assert.Contains(t, found, "no-pause")
}
