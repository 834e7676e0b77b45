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

// turned runs a program of a blade 2 mm wide that the A axis turns, in a box with a hole of 20 x 20 mm.
func turned(body string) proof.Result { return turnedWith(body, proof.Bridges{}) }

// turnedWith leaves so much of the hole to a hand.
func turnedWith(body string, left proof.Bridges) proof.Result {
	const kerf = 0.4
	tray, hole := box(0, 0, 60, 50), box(20, 15, 20, 20)
	want := proof.Wanted{
		Outline: geometry.NewRegion(geometry.Rectangle(tray, 0)), OutlineDepthMM: 6, LeadInMM: 2,
		Cuts: []proof.WantedCut{{Name: "hole", Shape: geometry.NewRegion(geometry.Rectangle(hole, kerf/2)), DepthMM: 6, Through: true, Bridged: left}},
	}
	s := proof.Setup{Machine: routerMachine(), KerfMM: map[int]float64{1: kerf}, ThicknessMM: 6, BreakthroughMM: 0.2, Tool: 1}
	s.Machine.Process, s.Machine.TurnRPM, s.Machine.Controller = profiles.Knife, number(100), profiles.Controller{Class: profiles.PC, Axes: []string{"X", "Y", "Z", "A"}}
	s.Machine.Tools[0].ChordMM, s.Machine.Tools[0].GougeMM = number(2), number(0.1)
	return proof.Run("", []byte("G21 G90 G17 G94 G40 G49 G80 G54\nG64 P0.01\nG0 Z5\n"+strings.ReplaceAll(body, "; ", "\n")+"M5\nM2\n"), s, &want)
}

// The hole from inside and the tray from outside, each side on its own, as they have to be.
const (
	holeSides = "G0 X21 Y15.2 A0; G1 Z-6.2 F300; G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90; G1 Z-6.2 F300; G1 Y34 F900; G0 Z5; " +
		"G0 X39 Y34.8 A180; G1 Z-6.2 F300; G1 X21 F900; G0 Z5; G0 X20.2 Y34 A-90; G1 Z-6.2 F300; G1 Y16 F900; G0 Z5; "
	traySides = "G0 X0.5 Y-0.2 A0; G1 Z-6.2 F300; G1 X59.6 F900; G0 Z5; G0 X60.2 Y0.5 A90; G1 Z-6.2 F300; G1 Y49.6 F900; G0 Z5; " +
		"G0 X59.5 Y50.2 A180; G1 Z-6.2 F300; G1 X0.4 F900; G0 Z5; G0 X-0.2 Y49.5 A270; G1 Z-6.2 F300; G1 Y0.4 F900; G0 Z5; "
)

// Every fault of a turned blade is told by its rule, and the program without passes.
func TestFaultsOfATurnedBlade(t *testing.T) {
	good := turned(holeSides + traySides)
	require.Empty(t, rulesOf(good))
	require.True(t, good.OK)
	require.Len(t, good.Freed, 2)
	assert.Equal(t, "hole", good.Freed[0].Name)
	for _, c := range []struct{ what, from, to, rule string }{
		{"stops too late", "G1 X39 F900", "G1 X39.9 F900", "blade-in-foam"},
		{"stops too early", "G1 X39 F900", "G1 X38.8 F900", "undercut"},
		{"points across", "Y16 A90", "Y16 A80", "heading-off"},
		{"points backwards", "Y16 A90", "Y16 A270", "heading-off"},
		{"is not turned", " A90;", ";", "heading-off"},
		{"is not turned again after its reference point", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90;", "G1 X39 F900; G0 Z5 A90; G28; G0 Z5; G0 X39.8 Y16;", "heading-unsaid"},
		{"turns in the foam", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90; G1 Z-6.2 F300; ", "G1 X39 F900; G1 A90 F9000; G0 Z5; G0 X39.8 Y16; G1 Z-6.2 F300; ", "turned-in-foam"},
		{"turns in the foam at rapid", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90; G1 Z-6.2 F300; ", "G1 X39 F900; G0 A90; G0 Z5; G0 X39.8 Y16; G1 Z-6.2 F300; ", "turned-in-foam"},
		{"turns in the foam by little and little", "G1 X39 F900; G0 Z5;", "G1 X30 F900; G1 A3 F900; G1 A6; G1 A9; G1 X30.05 A12; G1 A0; G1 X39 F900; G0 Z5;", "turned-in-foam"},
		{"goes round the corner", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90; G1 Z-6.2 F300; ", "G1 X39 F900; G3 X39.8 Y16 I0 J0.8 A90; ", "turned-in-foam"},
		{"turns while it comes down", "G0 X21 Y15.2 A0; G1 Z-6.2 F300", "G0 X21 Y15.2 A-30; G1 Z-6.2 A0 F300", "turned-in-foam"},
		{"turns while it is lifted", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90;", "G1 X39 F900; G0 Z5 A90; G0 X39.8 Y16;", "turned-in-foam"},
		{"turns while it is lifted at a feed", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90;", "G1 X39 F900; G1 Z5 A90; G0 X39.8 Y16;", "turned-in-foam"},
		{"turns in its slit on a rapid", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90;", "G1 X39 F900; G0 X38.5 A180; G0 Z5; G0 X39.8 Y16 A90;", "turned-in-foam"},
		{"goes back in its slit on a rapid", "G1 X39 F900; G0 Z5;", "G1 X39 F900; G0 X38.5; G0 Z5;", "heading-off"},
		{"turns while it comes down in its slit on a rapid", "G1 X39 F900; G0 Z5; G0 X39.8 Y16 A90;", "G1 X39 F900; G0 Z5; G0 X38 A60; G0 Z-6 A0; G0 Z5; G0 X39.8 Y16 A90;", "turned-in-foam"},
		{"stabs without going on", traySides, traySides + strings.Repeat("G0 X30 Y25 A0; G1 Z-3 F300; G0 Z5; ", 3), "loose-tray"},
		{"is too deep", "G1 Z-6.2 F300; G1 X39", "G1 Z-7 F300; G1 X39", "too-deep"},
		{"winds up", "G0 X39 Y34.8 A180;", "G0 X39 Y34.8 A540;", "wound-up"},
		{"winds up the other way, a turn at a time", "G0 X20.2 Y34 A-90;", "G1 A-90 F9000; G0 X20.2 Y34 A-450;", "wound-up"},
		{"winds up in its place", "G0 X20.2 Y34 A-90;", "G1 A36090 F10; G0 X20.2 Y34 A-90;", "wound-up"},
		{"winds up at its end", "G1 Y16 F900; G0 Z5; ", "G1 Y16 F900; G0 Z5 A3600; ", "wound-up"},
		{"leaves a side", "G0 X20.2 Y34 A-90; G1 Z-6.2 F300; G1 Y16 F900; G0 Z5; ", "", "undercut"},
	} {
		require.Contains(t, holeSides+traySides, c.from, c.what)
		r := turned(strings.Replace(holeSides+traySides, c.from, c.to, 1))
		assert.False(t, r.OK, c.what)
		assert.Contains(t, rulesOf(r), c.rule, "%s: %v", c.what, r.Findings)
	}
	assert.Contains(t, rulesOf(turned(traySides+holeSides)), "loose-tray")
	unsaid := strings.NewReplacer(" A0", "", " A90", "", " A180", "", " A-90", "", " A270", "").Replace(holeSides + traySides)
	assert.Contains(t, rulesOf(turned(unsaid)), "heading-unsaid")
}

// Strange ones are read to their end: several strokes that only come down, a deeper place on the way, a turn without
// end, a program that comes in sideways.
func TestStrangeTurnsAreRead(t *testing.T) {
	down := "G0 X30 Y25 A0; G1 Z-6.2 F300; G0 Z5; "
	for _, body := range []string{
		down + down + down + holeSides + traySides,
		strings.Replace(holeSides, "G1 X39 F900", "G1 X30 F900; G1 Z-6.2 F300; G1 X39 F900; G1 Z-6.3 F300", 1) + traySides,
		strings.Replace(holeSides, "G1 X39 F900", "G1 X39 A99999999 F900", 1) + traySides,
		"G0 X-5 Y-5 Z-3; G1 X70 F900; G0 Z5; " + holeSides + traySides,
		"G1 A5 F900; G0 A7; ", "G91; G1 A5 F900; ",
	} {
		assert.NotPanics(t, func() { turned(body) }, body)
	}
}

// A whole turn of the axis at 100 turns a minute takes 0.6 s, and 360 degrees at F3600 6 s.
func TestTurningTakesTime(t *testing.T) {
	base := turned(holeSides + traySides).Seconds
	assert.InDelta(t, base+6, turned(holeSides+traySides+"G1 A630 F3600; ").Seconds, 1e-6)
	assert.InDelta(t, base+0.6, turned(holeSides+traySides+"G0 A630; ").Seconds, 1e-6)
}

// A words mean nothing to a machine that turns no blade.
func TestOnlyATurnedBladeReadsA(t *testing.T) {
	r := proof.Run("", []byte("G21 G90\nG0 Z5\nG0 X1 Y1 A90\nM2\n"), proof.Setup{Machine: routerMachine()}, nil)
	assert.Contains(t, rulesOf(r), "not-followed")
	for _, line := range []string{"G53 G0 A1", "G28 A0", "G92 A0", "G0 B1"} {
		assert.Contains(t, rulesOf(turned(holeSides+traySides+line+"; ")), "not-followed", line)
	}
}

// What the plan leaves to a hand may stand and holds its plug; nothing else may, and no blade may cut it after all
// from beside.
func TestWhatIsLeftToAHandHangs(t *testing.T) {
	const leftSide = "G0 X20.2 Y34 A-90; G1 Z-6.2 F300; G1 Y16 F900; G0 Z5; "
	way := geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 20.2, Y: 34.8}}, geometry.Vertex{Point: geometry.Point{X: 20.2, Y: 15.2}})
	left := proof.Bridges{Left: []geometry.Path{way}}
	short := strings.Replace(holeSides, leftSide, "", 1)
	require.Contains(t, rulesOf(turned(short+traySides)), "undercut")
	r := turnedWith(short+traySides, left)
	require.True(t, r.OK, "%v", r.Findings)
	require.Equal(t, []string{"hangs"}, rulesOf(r))
	assert.Contains(t, r.Findings[0].Message, "hangs in one place, 19.6 mm in all")
	assert.Contains(t, r.Findings[0].Message, "the plug of hole")
	require.Len(t, r.Freed, 1)
	assert.Equal(t, "the tray", r.Freed[0].Name)
	assert.Less(t, r.RemovedMM3, turned(holeSides+traySides).RemovedMM3-6*18*18, "the plug stays")
	other := strings.Replace(short, "G0 X39 Y34.8 A180; G1 Z-6.2 F300; G1 X21 F900; G0 Z5; ", "", 1)
	require.NotEqual(t, short, other)
	assert.Contains(t, rulesOf(turnedWith(other+traySides, left)), "undercut")
	assert.Contains(t, rulesOf(turnedWith(strings.Replace(short, "X39 F900", "X39.9 F900", 1)+traySides, left)), "blade-in-foam")
	cut := turnedWith(holeSides+traySides, left)
	assert.True(t, cut.OK)
	require.Len(t, cut.Freed, 2, "where it is cut after all, it falls")
}
