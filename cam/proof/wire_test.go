package proof_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// A tray of 60 x 50 with a hole of 20 x 20, cut by a wire of 1 mm kerf that comes in on the left:
// by hand, no code of the process'.
const wireWay = `G21 G90 G17 G94 G54 G40 G49 G80
G64 P0.01
G0 X-20 Y25
G1 X-0.5 F60
G1 X20.5
G1 Y15.5
G1 X39.5
G1 Y34.5
G1 X20.5
G1 Y25
G1 X-0.5
G1 Y-0.5
G1 X60.5
G1 Y50.5
G1 X-0.5
G1 Y25
G1 X-20
M5
M2
`

func wireRun(t *testing.T, text string) proof.Result {
	t.Helper()
	m := routerMachine()
	m.ID, m.Process, m.Clamps = "a wire", profiles.HotWire, nil
	m.TravelMM[2] = profiles.Number{}
	at := func(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
	limits := []proof.Limits{{Tool: 1, ToMM: 20, FeedMMPerMin: 60, Passes: 1}}
	want := proof.Wanted{
		Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 60, 50), 0)), OutlineDepthMM: 20, OutlineLimits: limits, LeadInMM: 20, Marks: []proof.WantedMark{},
		Cuts: []proof.WantedCut{{Name: "hole", Shape: geometry.NewRegion(geometry.Rectangle(box(20, 15, 20, 20), 0.5)), DepthMM: 20, Through: true, Limits: limits}},
		Slits: []proof.WantedSlit{
			{From: at(-20, 25), To: at(-0.5, 25), WidthMM: 1, Name: "outline"}, {From: at(-0.5, 25), To: at(20.5, 25), WidthMM: 1, Name: "hole"},
		},
	}
	return proof.Run("", []byte(text), proof.Setup{Machine: m, KerfMM: map[int]float64{1: 1}, ThicknessMM: 20, Tool: 1}, &want)
}

func TestWireIsFollowed(t *testing.T) {
	r := wireRun(t, wireWay)
	require.Empty(t, errorsOf(r), "%v", r.Findings)
	require.True(t, r.OK)
	require.Len(t, r.Falls, 2)
	assert.Equal(t, "hole", r.Falls[0].Name)
	assert.Equal(t, 10, r.Falls[0].Line, "with the last way round it")
	assert.Equal(t, "", r.Falls[1].Name, "the tray last")
	assert.Equal(t, 16, r.Falls[1].Line)
	// 19.5 + 21 mm to the hole and 4.5 sides of it: 116.5 mm at 1 mm a second; stops at corners add some.
	assert.InDelta(t, 40.5+76, r.Falls[0].Seconds, 2)
}

// It may come and go by a way around the foam, and begin farther away.
func TestAWireComesAroundTheFoam(t *testing.T) {
	for _, c := range [][2]string{
		{"G0 X-20 Y25", "G0 X-20 Y-30\nG0 X-40\nG0 X-20 Y25"},
		{"G1 X-20\nM5", "G1 X-20\nG0 X-20 Y-40\nG0 X90\nM5"},
		{"G0 X-20 Y25", "G0 X-24 Y25"},
	} {
		assert.Empty(t, errorsOf(wireRun(t, strings.Replace(wireWay, c[0], c[1], 1))), c[1])
	}
}

// Each is one change of the good program.
func TestFaultsOfAWire(t *testing.T) {
	for name, c := range map[string]struct{ old, now, rule string }{
		"out by another side":      {"G1 X39.5\nG1 Y34.5\n", "G1 X39.5\nG1 Y25\nG1 X60.5\nG1 X39.5\nG1 Y34.5\n", "tray-in-pieces"},
		"through foam that stays":  {"G1 X39.5\nG1 Y34.5\n", "G1 X39.5\nG1 Y25\nG1 X50\nG1 X39.5\nG1 Y34.5\n", "wire-through-foam"},
		"out beside its slit":      {"G1 Y25\nG1 X-0.5\nG1 Y-0.5", "G1 Y28\nG1 X-0.5\nG1 Y-0.5", "wire-through-foam"},
		"a rapid through the foam": {"G1 Y25\nG1 X-0.5\nG1 Y-0.5", "G1 Y25\nG0 X-0.5\nG1 Y-0.5", "wire-rapid"},
		"a wait in the foam":       {"G1 Y34.5\n", "G1 Y34.5\nG4 P2\n", "wire-standing"},
		"an hour before it":        {"G0 X-20 Y25\n", "G0 X-20 Y25\nG4 P3600\n", "waits-unplanned"},
		"round the hole twice":     {"G1 Y25\nG1 X-0.5\nG1 Y-0.5", "G1 Y15.5\nG1 X39.5\nG1 Y34.5\nG1 X20.5\nG1 Y25\nG1 X-0.5\nG1 Y-0.5", "wire-again"},
		"too fast":                 {"F60", "F90", "feed-too-high"},
		"too slow":                 {"F60", "F30", "feed-too-low"},
		"a jog back":               {"G1 Y34.5\n", "G1 Y34.9\nG1 Y34.5\n", "wire-again"},
		"back a hair":              {"G1 Y34.5\nG1 X20.5\nG1 Y25\n", "G1 Y34.5\nG1 X20.5\nG1 Y25\nG1 Y25.2\nG1 Y25\n", "wire-again"},
		"back by hairs":            {"G1 Y34.5\n", "G1 Y34.5\n" + strings.Repeat("G1 Y34.51\nG1 Y34.5\n", 300), "wire-again"},
		"back by less than hairs":  {"G1 Y34.5\n", "G1 Y34.5\n" + strings.Repeat("G1 Y34.501\nG1 Y34.5\n", 300), "wire-again"},
		"small rounds":             {"G1 Y34.5\n", "G1 Y34\n" + strings.Repeat("G1 X39.3\nG1 Y33.8\nG1 X39.5 Y34\n", 12) + "G1 Y34.5\n", "wire-again"},
		"a Z on the way":           {"G1 Y34.5\n", "G1 Y34.5 Z-10\n", "wire-lifted"},
		"a Z alone":                {"G1 Y34.5\n", "G1 Y34.5\nG1 Z-10\n", "wire-lifted"},
		"a Z before it":            {"G0 X-20 Y25\n", "G0 Z50\nG0 X-20 Y25\n", "wire-lifted"},
		"begins in the tray":       {"G0 X-20 Y25\nG1 X-0.5 F60\n", "G0 X10 Y25\nG1 X-0.5 F60\n", "begins-in-foam"},
		"ends in the tray":         {"G1 X-20\nM5", "G1 X-20\nG1 X10\nM5", "left-in-foam"},
		"begins at the rim":        {"G0 X-20 Y25\nG1 X-0.5 F60\n", "G0 X-0.5 Y25\nF60\n", "begins-in-foam"},
		"ends at the rim":          {"G1 X-20\nM5", "M5", "left-in-foam"},
		"comes by a rapid":         {"G0 X-20 Y25\n", "G0 X90 Y25\nG0 X-20\n", "wire-rapid"},
		"to and fro before it":     {"G0 X-20 Y25\n", "G0 X-20 Y25\nG0 X-5\nG0 X-20\n", "wire-rapid"},
		"goes by a rapid":          {"G1 X-20\nM5", "G1 X-20\nG0 X90\nM5", "wire-rapid"},
		"the hole left out":        {"G1 X20.5\nG1 Y15.5\nG1 X39.5\nG1 Y34.5\nG1 X20.5\nG1 Y25\nG1 X-0.5\n", "", "slit-missing"},
		"the tray first": {"G1 X20.5\nG1 Y15.5\nG1 X39.5\nG1 Y34.5\nG1 X20.5\nG1 Y25\nG1 X-0.5\nG1 Y-0.5\nG1 X60.5\nG1 Y50.5\nG1 X-0.5\nG1 Y25\n",
			"G1 Y-0.5\nG1 X60.5\nG1 Y50.5\nG1 X-0.5\nG1 Y25\nG1 X20.5\nG1 Y15.5\nG1 X39.5\nG1 Y34.5\nG1 X20.5\nG1 Y25\nG1 X-0.5\n", "loose-tray"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, wireWay, c.old)
			r := wireRun(t, strings.Replace(wireWay, c.old, c.now, 1))
			assert.False(t, r.OK)
			assert.Contains(t, errorsOf(r), c.rule)
		})
	}
}

// A small controller's home lies behind the foam, and what a word switches on may be the wire.
func TestAWireIsNeitherSentHomeNorSwitched(t *testing.T) {
	for more, rule := range map[string]string{"G28": "machine-coordinates", "M3": "switched-on", "M4 S0": "switched-on", "M7": "switched-on", "M8": "switched-on"} {
		r := wireRun(t, strings.Replace(wireWay, "G1 X-20\nM5", "G1 X-20\n"+more+"\nM5", 1))
		assert.Contains(t, errorsOf(r), rule, more)
	}
}
