package proof_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// rules is the findings of a program's body, "rule@line" with line 1 the body's first.
func rules(s proof.Setup, body string) []string {
	const opening = "G21 G90 G17 G94\n"
	r := proof.Run("", []byte(opening+strings.ReplaceAll(body, "; ", "\n")+"\nM5\nM2\n"), s, nil)
	for i := range r.Findings {
		r.Findings[i].Line--
	}
	return rulesAt(r)
}

// rulesAt is a result's findings, "rule@line".
func rulesAt(r proof.Result) []string {
	list := []string{}
	for _, f := range r.Findings {
		list = append(list, fmt.Sprintf("%s@%d", f.Rule, f.Line))
	}
	return list
}

func TestRouterStates(t *testing.T) {
	const ready = "G0 Z5; G0 X10 Y10; M3 S18000; " // lines 1 to 3
	for _, c := range []struct{ body, want string }{
		{ready + "G1 Z-2 F300; G1 X20 F1200; G0 Z5", ""},
		{"G0 Z5; G0 X10 Y10; G1 Z-2 F300; G0 Z5", "spindle-off@3"},
		{"G0 Z5; G0 X10 Y10; M3; G1 Z-2 F300; G0 Z5", "spindle-off@4"},
		{"G0 Z5; M3 S1; G0 X10 Y10; G1 Z1 F300; M5; G1 X20; G0 Z5", ""},
		{ready + "G0 Z-2; G0 Z5", "rapid-in-foam@4"},
		{ready + "G0 Z-2; G1 Z-3 F300; G0 Z5", "rapid-in-foam@4"}, // cut only later
		{ready + "G1 Z-2 F300; G0 Z5; G0 Z-2; G0 Z5", ""},
		{ready + "G1 Z-2 F300; G0 Z5; G0 Z-2.5; G0 Z5", "rapid-in-foam@6"},
		{ready + "G1 Z-2 F300; G0 Z5; G0 X10.2; G0 Z-2; G0 Z5", "rapid-in-foam@7"},
		{ready + "G1 Z-2 F300; G0 X20; G0 Z5", "rapid-in-foam@5"},
		{ready + "G1 Z-2 F300; G1 X20 F1200; G0 X10; G0 Z5", ""},
		{ready + "G1 Z-20.5 F300; G0 Z5", ""},
		{ready + "G1 Z-20.6 F300; G0 Z5", "too-deep@4"},
		{ready + "G1 Z-2 F300; G1 X20 F3001; G0 Z5", "feed-too-high@5"},
		{ready + "S25000; G1 Z-2 F300; G0 Z5", "spindle-too-fast@4"},
		{ready + "G1 Z-2 F300; G1 X411 F1000; G0 Z5", "outside-travel@5"},
		{ready + "G3 X10 Y10 I160 F1000; G0 Z5", "outside-travel@4"}, // the circle's top and bottom
		{ready + "G1 Z-2 F300; T1 M6; M3 S1; G0 Z5", "change-in-foam@5 spin-up-low@6"},
		{ready + "G1 Z-2 F300; M0; G0 Z5", "stop-in-foam@5"},
		{ready + "G1 Z-2 F300; M5; G0 Z5", "stopped-in-foam@6"},
		{ready + "G1 Z-2 F300; G0 Z5; M5; G0 X0 Y0", ""},
		{"G0 X10 Y10; G0 Z5", "height-unknown@1"},
		{"M3 S1; G1 X10 Y10 F100; G0 Z5", "height-unknown@2"},
		{ready + "G53 G0 Z0; G0 X20; G0 Z5", "machine-coordinates@4 height-unknown@5"},
		{ready + "G91.1; G1 Z-2 F300; G0 Z5", "g91.1@4"},
	} {
		assert.Equal(t, strings.Fields(c.want), rules(routerSetup(), c.body), c.body)
	}
}

func TestLaserStates(t *testing.T) {
	const ready = "G0 X10 Y10 Z20; M3 S600 M8; " // lines 1 and 2
	for _, c := range []struct{ body, want string }{
		{ready + "G1 X20 F900; M5; G0 X30", ""},
		{ready + "G1 X20 F900; G0 X30", "beam-on-in-rapid@4"},
		{"G0 X10 Y10 Z20; G1 X20 F900", "beam-off-in-cut@2"},
		{"G0 X10 Y10 Z20; M3 S0; G1 X20 F900", "beam-off-in-cut@3"},
		{ready + "G4 P1; G1 X20 F900", "beam-standing@3"},
		{ready + "M5; G0 X30", "beam-standing@2"},
		{ready + "G1 X20 F900; M0", "beam-standing@4"},
		{ready + "G1 X20 F900; G1 Z19; G1 X10", "beam-standing@4"},
		{ready + "S1001; G1 X20 F900", "power-too-high@4"},
		{ready + "G1 X20 F6001", "feed-too-high@3"},
		{"G0 X10 Y10 Z20; M4 S600 M8; G1 X20 F900; M5", ""},
		{"G0 X10 Y10; M3 S600 M8; G1 X20 F900; G1 Y20; M5", "focus-unsaid@3"},
	} {
		assert.Equal(t, strings.Fields(c.want), rules(laserSetup(), c.body), c.body)
	}
}

func TestShopLimits(t *testing.T) {
	s := laserSetup()
	s.MaxPowerPercent, s.MaxFeedMMPerMin = 50, 800
	assert.Equal(t, []string{"power-too-high@3", "feed-too-high@3"}, rules(s, "G0 X1 Y1 Z20; M3 S600 M8; G1 X20 F900"))
}

func TestReachAndUnknownTool(t *testing.T) {
	s := routerSetup()
	s.ThicknessMM = 60
	assert.Equal(t, []string{"beyond-reach@4"}, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-38.1 F300; G0 Z5"))
	s.Machine.Tools[0].FluteMM = number(22) // deeper, and its shank follows its edges: told once
	assert.Equal(t, []string{"beyond-flute@4"}, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-22.1 F300; G1 Z-23; G0 Z5"))
	assert.Empty(t, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-22 F300; G0 Z5"))
	s.Machine.Tools[0].StickoutMM = number(23) // there the collet meets the foam
	assert.Equal(t, []string{"beyond-reach@4"}, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-23.1 F300; G0 Z5"))
	s.Machine.Tools, s.KerfMM = nil, nil
	assert.Equal(t, []string{"width-unknown@4"}, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-2 F300; G0 Z5"))
}

func TestClamps(t *testing.T) {
	s := routerSetup()
	s.ZeroMM = geometry.Point{X: 100, Y: 100}
	s.Machine.Clamps = []profiles.ClampZone{{Name: "left", XMM: 90, YMM: 120, LengthMM: 20, WidthMM: 30, HeightMM: 24}}
	const ready = "G0 Z5; G0 X50 Y40; M3 S1; "
	for _, c := range []struct{ body, want string }{
		{ready + "G0 X0", ""},                      // above it
		{ready + "G0 Z4.9; G0 X0", "clamp-near@5"}, // with less room than is planned above it
		{ready + "G1 Z3 F100; G1 X0", "clamp@5"},
		{ready + "G1 Z3 F100; G1 X13.7", ""},
		{ready + "G1 Z3 F100; G1 X13.5", "clamp-near@5"}, // less than 2 mm beside half a cutter: judged, no source
		{ready + "G1 Z3 F100; G1 X11.7", "clamp-near@5"},
		{ready + "G1 Z3 F100; G1 X11.5", "clamp@5"}, // half a cutter away
		{ready + "G1 Z3 F100; G2 X50 Y40 I-25 J-10", "clamp@5"},
	} {
		assert.Equal(t, strings.Fields(c.want), rules(s, c.body), c.body)
	}
}

// A program comes from wherever the machine stands, and goes to where it parks: lower than a
// clamp it may hit it, wherever Z0 is. So may the nut, where a clamp stands taller than the tool.
func TestClampsOnTheWayInAndOut(t *testing.T) {
	for _, zero := range []profiles.ZZero{profiles.ZTop, profiles.ZBed} {
		s := routerSetup() // 20 mm of foam
		s.Machine.ZZero = zero
		s.Machine.Clamps = []profiles.ClampZone{{Name: "right", XMM: 90, YMM: 0, LengthMM: 20, WidthMM: 30, HeightMM: 30}}
		s.Machine.Tools[0].StickoutMM, s.Machine.Tools[0].ColletMM = number(15), number(19)
		up := 0.0
		if zero == profiles.ZBed {
			up = 20
		}
		for _, c := range []struct{ body, want string }{
			{fmt.Sprintf("G0 Z%v; G0 X50 Y15; M3 S1; G1 Z%v F100; G0 Z%v; G0 X150", up+11, up-2, up+11), ""},
			{fmt.Sprintf("G0 Z%v; G0 X50 Y15", up+9), "clamp-approach@1 clamp-approach@2"},
			{fmt.Sprintf("G0 Z%v; G0 X50 Y15; G0 Z%v; G0 X150", up+11, up+9), "clamp@4"},
			{fmt.Sprintf("G0 Z%v; G0 X82 Y15; M3 S1; G1 Z%v F100; G0 Z%v", up+11, up-4, up+11), ""},                          // the nut is above it
			{fmt.Sprintf("G0 Z%v; G0 X82 Y15; M3 S1; G1 Z%v F100; G0 Z%v", up+11, up-6, up+11), "clamp@4 clamp@5"},           // 9.5 mm to the side, 1 mm below its top
			{fmt.Sprintf("G0 Z%v; G0 X79 Y15; M3 S1; G1 Z%v F100; G0 Z%v", up+11, up-6, up+11), "clamp-near@4 clamp-near@5"}, // the nut is 1.5 mm beside it
			{fmt.Sprintf("G0 Z%v; G0 X78 Y15; M3 S1; G1 Z%v F100; G0 Z%v", up+11, up-6, up+11), ""},
		} {
			assert.Equal(t, strings.Fields(c.want), rules(s, c.body), "%s %s", zero, c.body)
		}
	}
}

// A beam's head may pass over a clamp; the beam itself goes down to the bed.
func TestBeamOverAClamp(t *testing.T) {
	s := laserSetup()
	s.Machine.Clamps = []profiles.ClampZone{{Name: "rear", XMM: 40, YMM: 0, LengthMM: 10, WidthMM: 10, HeightMM: 5}}
	assert.Empty(t, rules(s, "G0 X10 Y5 Z20; G0 X90"))
	assert.Equal(t, []string{"clamp@3"}, rules(s, "G0 X10 Y5 Z20; M3 S600 M8; G1 X90 F900"))
	assert.Empty(t, rules(s, "G0 X10 Y15 Z20; M3 S600 M8; G1 X90 F900"))
	assert.Equal(t, []string{"clamp-near@3"}, rules(s, "G0 X10 Y11.5 Z20; M3 S600 M8; G1 X90 F900"))
}

// What the shop rules say of depth; breakthrough is no foam.
func TestDepthLimit(t *testing.T) {
	s := routerSetup()
	s.MaxDepthMM = 12
	assert.Equal(t, []string{"depth-over-limit@5"}, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-12 F300; G1 Z-12.1; G0 Z5"))
	s.MaxDepthMM = thickMM
	assert.Empty(t, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-20.4 F300; G0 Z5"))
	s = laserSetup()
	s.MaxDepthMM = 12
	assert.Equal(t, []string{"depth-over-limit@3"}, rules(s, "G0 X1 Y1 Z20; M3 S600 M8; G1 X20 F900"))
}

// Errors of the language come with their lines as well.
func TestLanguageErrorsHaveLines(t *testing.T) {
	const ready = "G0 Z5; G0 X10 Y10; M3 S1; "
	for body, want := range map[string]string{
		ready + "G1 Z-2 F300; G2 X20 Y10 I5.1; G0 Z5": "arc-off-circle@5",
		ready + "G1 Z-2; G0 Z5":                       "no-feed@4",
		ready + "G1 Q-2 F300; G0 Z5":                  "unused-word@4",
		ready + "G84 X1 Y1 Z-1 R2; G0 Z5":             "not-followed@4",
	} {
		assert.Equal(t, []string{want}, rules(routerSetup(), body), body)
	}
	r := proof.Run("", []byte("G21 G90\nG0 Z5\nG0 X1 Y1\n"), routerSetup(), nil)
	require.Len(t, r.Findings, 1)
	assert.Equal(t, "no-end", r.Findings[0].Rule)
	assert.Equal(t, 3, r.Findings[0].Line)
}

// An upright wire is no tool that reaches down: nothing is said of depths, only that it moves in Z.
func TestOtherProcesses(t *testing.T) {
	s := routerSetup()
	s.Machine.Process = profiles.HotWire
	assert.Equal(t, []string{"wire-lifted@1"}, rules(s, "G0 Z5; G0 X9 Y9; G1 Z-2 F300; G0 Z5"))
	assert.Equal(t, []string{"wire-lifted@1", "switched-on@3"}, rules(s, "G0 Z5; G0 X9 Y9; M3 S1; G1 Z-2 F300; G0 Z5"))
}

// Messages speak the user's unit.
func TestMessagesInInches(t *testing.T) {
	s := routerSetup()
	s.Unit = units.Inch
	r := proof.Run("", []byte("G20 G90\nG0 Z.2\nG0 X1 Y2\nM3 S1\nG1 Z-1 F40\nG0 Z.2\nM5\nM2\n"), s, nil)
	require.Len(t, r.Findings, 1)
	assert.Equal(t, "goes 1 in below the foam's top; the foam with its breakthrough ends at 0.8071 in", r.Findings[0].Message)
	r = proof.Run("", []byte("G20 G90\nG0 Z.2\nG0 X1 Y2\nM3 S1\nG0 Z-.5\nG0 Z.2\nM5\nM2\n"), s, nil)
	require.Len(t, r.Findings, 1)
	assert.Regexp(t, `^a rapid sinks to 0\.5 in below the top at X [01]\.\d+ in Y [12]\.\d+ in: into foam`, r.Findings[0].Message)
}

// Heights above the bed are the same program 20 mm higher.
func TestZeroOnTheBed(t *testing.T) {
	s := routerSetup()
	s.Machine.ZZero = profiles.ZBed
	assert.Empty(t, rules(s, "G0 Z25; G0 X9 Y9; M3 S1; G1 Z-.5 F300; G0 Z25"))
	assert.Equal(t, []string{"too-deep@4"}, rules(s, "G0 Z25; G0 X9 Y9; M3 S1; G1 Z-.6 F300; G0 Z25"))
}

func TestManyFindingsAreCounted(t *testing.T) {
	body := "G0 Z5; G0 X1 Y1" + strings.Repeat("; G1 Z-1 F100; G0 Z5", 25)
	r := proof.Run("", []byte("G21\n"+strings.ReplaceAll(body, "; ", "\n")+"\nM2\n"), routerSetup(), nil)
	var off []string
	for _, f := range r.Findings {
		if f.Rule == "spindle-off" {
			off = append(off, f.Text())
		}
	}
	require.Len(t, off, 20)
	assert.Contains(t, off[19], "(and 5 more like it)")
}
