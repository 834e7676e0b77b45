package proof_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// dragged runs a program of a drag knife whose tip trails half a mm.
func dragged(body string, want *proof.Wanted) proof.Result {
	s := proof.Setup{Machine: routerMachine(), KerfMM: map[int]float64{1: 0.4}, ThicknessMM: 6, BreakthroughMM: 0.2, Tool: 1}
	s.Machine.Process, s.Machine.Tools[0].TrailMM = profiles.Knife, number(0.5)
	return proof.Run("", []byte("G21 G90 G17 G94 G54 G40 G49 G80\nG64 P0.01\nG0 Z5\n"+strings.ReplaceAll(body, "; ", "\n")+"\nG0 Z5\nM5\nM2\n"), s, want)
}

// tipOf is where the tip is when the last cut ends.
func tipOf(r proof.Result) geometry.Point {
	return r.Motions[len(r.Motions)-2].To.Point
}

// The blade points along X at the start. Up a line at a right angle it is 40.395, 15.415 and
// 2.099 degrees off after 0.5, 1 and 2 mm, its tip 0.5 sin of that (derived and simulated).
func TestATipIsFollowed(t *testing.T) {
	for s, degrees := range map[float64]float64{0.5: 40.395, 1: 15.415, 2: 2.099} {
		tip := tipOf(dragged(fmt.Sprintf("G0 X10 Y10; G1 Z-2 F300; G1 Y%g F900", 10+s), nil))
		assert.InDelta(t, 10-0.5*math.Sin(degrees*math.Pi/180), tip.X, 1e-5)
		assert.InDelta(t, 10+s-0.5*math.Cos(degrees*math.Pi/180), tip.Y, 1e-5)
	}
	// On a circle of radius 5 the tip ends on sqrt(25 - 0.25).
	tip := tipOf(dragged("G0 X5 Y0; G1 Z-2 F300; G3 X-5 Y0 I-5 J0 F900; G3 X5 Y0 I5 J0; G3 X-5 Y0 I-5 J0", nil))
	assert.InDelta(t, 4.974937, tip.Norm(), 1e-5)
	// Turned about the tip on an arc of half a mm, it stays.
	tip = tipOf(dragged("G0 X10.5 Y10; G1 Z-2 F300; G3 X10 Y10.5 I-0.5 J0 F900", nil))
	assert.InDelta(t, 0, tip.DistanceTo(geometry.Point{X: 10, Y: 10}), 1e-9)
	// In the air it keeps its heading.
	tip = tipOf(dragged("G0 X10.5 Y10; G1 Z-2 F300; G3 X10 Y10.5 I-0.5 J0 F900; G0 Z5; G0 X30 Y40; G1 Z-2 F300", nil))
	assert.InDelta(t, 0, tip.DistanceTo(geometry.Point{X: 30, Y: 39.5}), 1e-9)
}

// A square whose axis goes where its tip should cuts its corners, and one that pushes its blade
// backwards is told; with the corners turned about the tip it passes.
func TestAKnifeProgramIsJudgedByItsTip(t *testing.T) {
	const kerf = 0.4
	hole := box(20, 15, 20, 20)
	want := proof.Wanted{
		Outline: geometry.NewRegion(geometry.Rectangle(box(0, 0, 60, 50), 0)),
		Cuts:    []proof.WantedCut{{Name: "hole", Shape: geometry.NewRegion(geometry.Rectangle(hole, kerf/2)), DepthMM: 6, Through: true}},
	}
	of := func(r proof.Result) (list []string) {
		for _, rule := range rulesOf(r) {
			if rule != "undercut" || !strings.Contains(fmt.Sprint(r.Findings), "the outline") {
				list = append(list, rule)
			}
		}
		return list
	}
	turned := dragged("G0 X30 Y15.2; G1 Z-6.2 F300; G1 X40.3 F900; G3 X39.8 Y15.7 I-0.5 J0; G1 Y35.3; G3 X39.3 Y34.8 I0 J-0.5; G1 X19.7; G3 X20.2 Y34.3 I0.5 J0; G1 Y14.7; G3 X20.7 Y15.2 I0 J0.5; G1 X31", &want)
	assert.Empty(t, of(turned))
	naive := dragged("G0 X30 Y15.2; G1 Z-6.2 F300; G1 X39.8 F900; G1 Y34.8; G1 X20.2; G1 Y15.2; G1 X31", &want)
	require.False(t, naive.OK)
	assert.Greater(t, naive.WorstUndercutMM, 0.2)
	assert.Contains(t, rulesOf(dragged("G0 X30 Y15.2; G1 Z-6.2 F300; G1 X20 F900", nil)), "blade-backwards")
	assert.NotContains(t, rulesOf(turned), "blade-backwards")
}

// About its tip it turns the short way: the other way round it cuts a whole disc at the foam's top.
func TestABladeIsTurnedTheShortWay(t *testing.T) {
	const corner = "G0 X30 Y15.2; G1 Z-6.2 F300; G1 X40.3 F900; %s; G1 Y35.3"
	assert.NotContains(t, rulesOf(dragged(fmt.Sprintf(corner, "G3 X39.8 Y15.7 I-0.5 J0"), nil)), "turned-in-foam")
	for _, c := range []string{"G2 X39.8 Y15.7 I-0.5 J0", "G3 X39.8 Y15.7 I-0.5 J0; G3 X39.3 Y15.2 I0 J-0.5; G3 X39.8 Y14.7 I0.5 J0; G3 X39.8 Y15.7 I0 J0.5"} {
		assert.Contains(t, rulesOf(dragged(fmt.Sprintf(corner, c), nil)), "turned-in-foam", c)
	}
}

// Whatever a word switches on at a knife's machine, none of its programs does.
func TestAKnifeSwitchesNothing(t *testing.T) {
	for _, word := range []string{"M3", "S0 M4", "M8"} {
		assert.Contains(t, rulesOf(dragged(word+"; G0 X10 Y10; G1 Z-2 F300; G1 X20 F900", nil)), "switched-on")
	}
}

// A blade is narrower than the cells of the foam: what it takes at once, and what it goes through in a
// rapid, is found all the same. The field's cell is 0.1 mm here and in cam 0.2, its kerf 0.4.
func TestABladesRapidsAndPassesAreJudged(t *testing.T) {
	hole := box(20, 15, 20, 20)
	limits := []proof.Limits{{Tool: 1, ToMM: 6, FeedMMPerMin: 900, PlungeMMPerMin: 300, StepDownMM: 3.2, Passes: 2}}
	want := proof.Wanted{
		Outline:       geometry.NewRegion(geometry.Rectangle(box(0, 0, 60, 50), 0)),
		OutlineLimits: limits,
		Cuts:          []proof.WantedCut{{Name: "hole", Shape: geometry.NewRegion(geometry.Rectangle(hole, 0.2)), DepthMM: 6, Through: true, Limits: limits}},
	}
	const first, second = "G0 X30 Y15.2; G1 Z-3 F300; G1 X36 F900; ", "G0 Z5; G0 X30 Y15.2; G1 Z-6.2 F300; G1 X36 F900"
	for body, rule := range map[string]string{
		first + second: "",
		second:         "bite-too-deep",
		first + strings.Replace(second, "X36", "X38", 1): "bite-too-deep",
		first + "G0 Y25": "rapid-in-foam",
		strings.Replace(first, "G1 Z-3 F300", "G0 Z-3", 1): "rapid-in-foam",
	} {
		rules := rulesOf(dragged(body, &want))
		for _, r := range []string{"bite-too-deep", "rapid-in-foam"} {
			assert.Equal(t, r == rule, slices.Contains(rules, r), "%s: %v", body, rules)
		}
	}
}

// Turns that are written as chords 0.005 mm true push a blade back by that, and pass; a blade that
// stands 20 degrees off its turn does not.
func TestChordsOfATurnAreNoPushingBack(t *testing.T) {
	turn := func(off float64) string {
		body := "G0 X10.5 Y10; G1 Z-2 F300"
		for k := 1.0; k <= 6; k++ {
			sin, cos := math.Sincos((15*k + off) * math.Pi / 180)
			body += fmt.Sprintf("; G1 X%.4f Y%.4f F900", 10+0.5*cos, 10+0.5*sin)
		}
		return body
	}
	assert.NotContains(t, rulesOf(dragged(turn(0), nil)), "blade-backwards")
	assert.Contains(t, rulesOf(dragged("G0 X10.5 Y10; G1 Z-2 F300; G1 X10.3 Y10.5 F900", nil)), "blade-backwards")
}

// A lost decimal point makes no million pieces of a tip's way; and more of them than memory holds are not followed, which is said.
func TestATipIsFollowedInFewPieces(t *testing.T) {
	for body, most := range map[string]int{
		"G0 X10 Y10; G1 Z-2 F300; G1 Y900000 F900":             800,
		"G0 X10 Y10; G1 Z-2 F300; G1 X-900000 F900":            2100, // right against where it points
		"G0 X0 Y0; G1 Z-2 F300; G2 X900000 I450000 J0 F900":    800,
		"G0 X10 Y10; G1 Z-2 F300; G3 X10 Y11 I0 J0.5 F900":     60,
		"G0 X10 Y10; G1 Z-2 F300; G1 X40 F900; G1 X50; G1 X55": 8,
	} {
		r := dragged(body, nil)
		assert.Less(t, len(r.Motions), most, body)
		assert.Zero(t, r.Unfollowed)
	}
	tip := tipOf(dragged("G0 X10 Y10; G1 Z-2 F300; G1 Y900000 F900", nil))
	assert.InDelta(t, 0, tip.DistanceTo(geometry.Point{X: 10, Y: 899999.5}), 1e-6)
	tip = tipOf(dragged("G0 X0 Y0; G1 Z-2 F300; G2 X900 I450 J0 F900", nil))
	assert.InDelta(t, math.Sqrt(450*450-0.25), tip.DistanceTo(geometry.Point{X: 450}), 1e-6)

	r := dragged("G0 X10 Y10; G1 Z-2 F300; G91; F900"+strings.Repeat("; G3 Y1 I0 J0.5; G2 Y-1 I0 J-0.5", 20_000), nil)
	assert.Contains(t, rulesOf(r), "tip-not-followed")
	assert.Positive(t, r.Unfollowed)
}

// Where the tip's pieces overtake the axis' motions, in whose list they are written, none is lost.
func TestATipsPiecesMayBeManyMoreThanItsAxis(t *testing.T) {
	turns := func(pairs int) []proof.Motion {
		return dragged("G0 X10 Y10; G1 Z-2 F300; G91; F900"+strings.Repeat("; G3 Y1 I0 J0.5; G2 Y-1 I0 J-0.5", pairs), nil).Motions
	}
	few, many := turns(20), turns(500)
	require.Greater(t, len(many), 10_000)
	for i, m := range few {
		if m.Rapid && i > len(few)/2 {
			break // the lift at its end
		}
		other := many[i]
		other.EndS = m.EndS // a longer program brakes elsewhere
		require.Equal(t, m, other)
	}
	for i := 2; i < len(many); i++ { // nobody knows where the first comes from
		require.Equal(t, many[i-1].To, many[i].From)
		require.LessOrEqual(t, many[i-1].Line, many[i].Line)
	}
	assert.Equal(t, few[len(few)-1].Line+2*480, many[len(many)-1].Line)
}

// A program of three decimals whose arc ends a thousandth farther from its centre than it begins: the
// tip goes round it all the same, and not straight across.
func TestATipGoesRoundARoundedArc(t *testing.T) {
	r := dragged("G0 X66.642 Y63.531; G1 Z-2 F300; G3 X65.696 Y63.757 I-0.5 J0 F900; G3 X63.261 Y62.221 I-0.449 J-1.985; G3 X62.1 Y56.375 I11.614 J-5.346; "+
		"G3 X87.65 Y57.375 I12.775 J0.5; G3 X63.261 Y62.221 I-12.775 J-0.5; G3 X62.986 Y61.577 I11.614 J-5.346; G0 Z5; "+
		"G0 X65.94 Y63.073; G1 Z-4 F300; G2 X65.696 Y63.757 I0.202 J0.458 F900; G3 X63.261 Y62.221 I-0.449 J-1.985", nil)
	round := 0
	for _, m := range r.Motions {
		if way := m.From.DistanceTo(m.To.Point); way > 0.1 && m.To.Z < 0 && !m.Rapid {
			assert.True(t, m.Arc, "%v to %v", m.From, m.To)
			round++
		}
	}
	assert.Greater(t, round, 3)
}
