package kerf_test

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/geometry/units"
	"traywright/profiles"
)

// rulesOf are the rules that failed.
func rulesOf(found finding.List) []string {
	var list []string
	for _, f := range found {
		if f.Severity == finding.Error {
			list = append(list, f.Rule)
		}
	}
	return list
}

// Every foam under every machine: what the safety table refuses is refused, what
// it leaves to the owner needs the owner's word, and what passes has every file.
func TestGate(t *testing.T) {
	c := shipped(t)
	for _, m := range c.Machines() {
		for _, f := range c.Foams() {
			name := f.ID + " on " + m.ID
			thickness := f.Thicknesses[len(f.Thicknesses)/2]
			if m.Process == profiles.Knife {
				thickness = f.Thicknesses[0]
			}
			result := cut(t, m.ID, "", kerf.CouponSpec{Foam: f.ID, Thickness: thickness})
			failed := rulesOf(result.Report.Findings)
			switch v := c.Safety(f.Kind, m.Process); {
			case v.Answer == profiles.Refused:
				assert.Contains(t, failed, "foam-refused", name)
			case v.Answer == profiles.OwnerWord:
				assert.Contains(t, failed, "owners-word-needed", name)
			case m.Process == profiles.Hand:
				assert.Equal(t, []string{"no-coupon"}, failed, name) // a scrap is cut and measured
			case m.Process == profiles.Knife && !hasRecipe(c, f.ID, m.ID):
				assert.Equal(t, []string{"no-recipe"}, failed, name)
			default:
				require.Empty(t, failed, "%s: %v", name, result.Report.Findings)
				files := 7
				if m.Process != profiles.Laser { // its finished foam is drawn apart
					files += 2
				}
				assert.Len(t, result.Files, files, name)
				assert.True(t, result.Report.DryRun[0].OK, name)
				continue
			}
			assert.Empty(t, result.Files, name)
		}
	}
}

func hasRecipe(c *profiles.Catalog, foam, machine string) bool {
	return slices.ContainsFunc(c.Recipes(), func(r profiles.Recipe) bool { return r.Foam == foam && r.Machine == machine })
}

func TestRefusals(t *testing.T) {
	pe := func(change func(*kerf.CouponSpec)) kerf.CouponSpec {
		s := kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4)}
		change(&s)
		return s
	}
	ladder := func(key string, values ...float64) kerf.CouponSpec {
		return pe(func(s *kerf.CouponSpec) { s.Ladder = kerf.CouponLadder{Key: key, Values: values} })
	}
	sizes := func(list ...float64) kerf.CouponSpec {
		return pe(func(s *kerf.CouponSpec) {
			for _, v := range list {
				s.Sizes = append(s.Sizes, mm(v))
			}
		})
	}
	cases := []struct {
		name, machine, rules string
		spec                 kerf.CouponSpec
		rule, says           string
	}{
		{"no such machine", "bench-lazer", permit, pe(func(*kerf.CouponSpec) {}), "unknown-machine", "did you mean bench-laser?"},
		{"no such foam", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Foam = "pe-31" }), "unknown-foam", "did you mean pe-30?"},
		{"no such tool", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Tool = "flat-4" }), "unknown-tool", "flat-3, flat-6"},
		{"tool too short", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Tool, s.Thickness = "flat-3", mm(50.8) }), "tool-too-short", "flat-3 reaches 38 mm"},
		{"every tool too short", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Thickness = mm(100) }), "tool-too-short", "flat-6 reaches 60 mm"},
		{"no thickness", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Thickness = 0 }), "no-thickness", "0 mm is none"},
		{"negative thickness", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Thickness = -mm(3) }), "no-thickness", "-3 mm is none"},
		{"foam thinner than two skins", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Foam, s.Thickness = "xps-32", mm(5) }), "foam-too-thin", "a skin of 3 mm"},
		{"forbidden", "bench-router", "owner: Q\nforbids: [{foam: pe-30}]\n", pe(func(*kerf.CouponSpec) {}), "forbidden", "shop-rules.yaml:2"},
		{"too deep for the shop", "bench-router", "owner: Q\nlimits: {depth: 20 mm}\n", pe(func(*kerf.CouponSpec) {}), "too-deep", "25.40 mm"},
		{"too long for the shop", "bench-router", "owner: Q\nlimits: {minutes: 1}\n", pe(func(*kerf.CouponSpec) {}), "too-long", "allows 1"},
		{"larger than the bed", "bench-router", "", sizes(900), "coupon-too-large", "bench-router travels"},
		{"negative size", "bench-router", "", sizes(20, -5), "bad-size", "-5 mm is none"},
		{"plug too small", "bench-router", "", sizes(20, 10), "square-too-small", "leaves a plug of 6.83 mm"},
		{"smaller than the cutter", "bench-router", "", sizes(2), "square-too-small", "leaves a plug of 0 mm"},
		{"too many sizes", "bench-router", "", sizes(20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31, 32), "too-many-sizes", "13 sizes"},
		{"taper of a cutter", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Taper = true }), "no-taper", "for a beam"},
		{"nothing at all", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.NoSquares = true }), "nothing-to-cut", "nothing to cut"},
		{"a ladder of no squares", "bench-router", "", pe(func(s *kerf.CouponSpec) {
			s.NoSquares, s.Comb, s.Ladder = true, mm(25), kerf.CouponLadder{Key: "feed", Values: []float64{900, 1200}}
		}), "nothing-to-cut", "there are to be none"},
		{"a comb narrower than the cutter", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Comb = mm(4) }), "comb-too-small", "too narrow"},
		{"a comb too fine", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Comb, s.CombStep = mm(25), mm(0.1) }), "comb-too-fine", "28 slots"},
		{"a comb of less than nothing", "bench-router", "", pe(func(s *kerf.CouponSpec) { s.Comb = -mm(25) }), "bad-size", "-25 mm"},
		{"ladder of one", "bench-router", "", ladder("feed", 900), "ladder-length", "has 2 to 8 steps"},
		{"ladder of nine", "bench-router", "", ladder("feed", 1, 2, 3, 4, 5, 6, 7, 8, 9), "ladder-length", "a ladder of 9"},
		{"twice the same", "bench-router", "", ladder("feed", 900, 900), "ladder-value", "twice"},
		{"a feed of nothing", "bench-router", "", ladder("feed", 0, 900), "ladder-value", "feed 0 mm/min cannot be set"},
		{"half a pass", "bench-laser", permit, ladder("passes", 1.5, 2), "ladder-value", "whole numbers from 1 to 20"},
		{"more than full power", "bench-laser", permit, ladder("power", 40, 101), "ladder-value", "power 101 % cannot be set"},
		{"power of a router", "bench-router", "", ladder("power", 40, 50), "ladder-not-of-process", "has no power"},
		{"step-down of a laser", "bench-laser", permit, ladder("stepdown", 4, 5), "ladder-not-of-process", "has no stepdown"},
		{"step-downs alike", "bench-router", "", ladder("stepdown", 30, 40), "ladder-alike", "the same number of passes, 1"},
		{"faster than the machine", "bench-router", "", ladder("feed", 1200, 3100), "ladder-over-limit", "goes no faster than 3000 mm/min"},
		{"faster than the shop", "bench-router", "owner: Q\nlimits: {feed: 1000 mm/min}\n", ladder("feed", 900, 1200), "ladder-over-limit", "step B, feed 1200 mm/min"},
		{"stronger than the shop", "bench-laser", permit + "limits: {power: 50 %}\n", ladder("power", 45, 60), "ladder-over-limit", "power lowered from 60 to 50"},
		{"a fire", "bench-laser", permit, ladder("feed", 900, 100), "ladder-too-hot", "9 times the heat"},
		{"too hot in a wide foam", "bench-laser", permit, pe(func(s *kerf.CouponSpec) {
			s.Foam, s.Thickness, s.Ladder = "eva-90", mm(6), kerf.CouponLadder{Key: "feed", Values: []float64{100, 600}}
		}), "ladder-too-hot", "6 times the heat"},
	}
	for _, c := range cases {
		result := cut(t, c.machine, c.rules, c.spec)
		assert.Contains(t, rulesOf(result.Report.Findings), c.rule, "%s: %v", c.name, result.Report.Findings)
		text := ""
		for _, f := range result.Report.Findings {
			text += f.String() + "\n"
		}
		assert.Contains(t, text, c.says, c.name)
		assert.Empty(t, result.Files, c.name)
	}
}

// A refused foam is told together with what else is wrong, not after it.
func TestRefusedFoamIsToldFirst(t *testing.T) {
	result := cut(t, "bench-laser", "", kerf.CouponSpec{Foam: "pu-30", Thickness: mm(25.4), Sizes: []units.Length{mm(5000)}})
	assert.Equal(t, []string{"foam-refused", "coupon-too-large"}, rulesOf(result.Report.Findings))
}

// A limit lowers a coupon without a ladder as it lowers a job, and tells.
func TestLimitLowersThePlainCoupon(t *testing.T) {
	result := cut(t, "bench-router", "owner: Q\nlimits: {feed: 1000 mm/min}\n", kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4)})
	require.Empty(t, rulesOf(result.Report.Findings))
	assert.Equal(t, 1000.0, result.Coupon.Groups[0].Recipe.FeedMMPerMin.Value)
	assert.Contains(t, fmt.Sprint(result.Report.Findings), "feed lowered from 1800 to 1000 mm/min")
	assert.NotContains(t, string(file(t, result.Files, "coupon.ngc")), "F1800")
}

// Warnings let a coupon pass.
func TestWarnings(t *testing.T) {
	spec := kerf.CouponSpec{Foam: "pe-30", Thickness: mm(23), Ladder: kerf.CouponLadder{Key: "power", Values: []float64{30, 100}}}
	result := cut(t, "bench-laser", permit, spec)
	require.Empty(t, rulesOf(result.Report.Findings))
	text := fmt.Sprint(result.Report.Findings)
	assert.Contains(t, text, "step B, power 100 %, gives the foam 2.2 times the heat of the recipe")
	assert.Contains(t, text, "is not a usual thickness")
	spec = kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), Ladder: kerf.CouponLadder{Key: "feed", Values: []float64{100, 1800}}}
	assert.Contains(t, fmt.Sprint(cut(t, "bench-router", "", spec).Report.Findings), "step A, feed 100 mm/min, is 0.056 times the recipe's 1800")
	spec.Ladder = kerf.CouponLadder{Key: "stepdown", Values: []float64{8, 24}}
	assert.Contains(t, fmt.Sprint(cut(t, "bench-router", "", spec).Report.Findings), "step B, stepdown 24 mm, is 3 times the recipe's 8")
}

// A square's path is its nominal size, whatever the kerf is believed to be.
func TestNothingIsTakenOff(t *testing.T) {
	for _, machine := range []string{"bench-laser", "bench-router"} {
		result := cut(t, machine, permit, kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), Sizes: []units.Length{mm(33.33)}})
		require.Empty(t, rulesOf(result.Report.Findings))
		cut := result.Plan.Trays[0].Sheets[0].Cuts[0]
		k := cut.Recipes[0].KerfMM.Value
		assert.InDelta(t, 33.33, cut.Along.Bounds().Width(), 1e-9)
		assert.InDelta(t, 33.33+k, cut.Shape.Bounds().Width(), 1e-9, "the hole that is expected")
		if machine == "bench-router" {
			assert.InDelta(t, 33.33-k, cut.Shape.Contours()[1].Bounds().Width(), 1e-9, "and the plug")
			assert.InDelta(t, 25.4-cut.Recipes[0].SkinMM.Value, cut.DepthMM, 1e-9)
		}
		text := string(file(t, result.Files, "coupon.ngc"))
		assert.Contains(t, text, "(note: no kerf is taken off the squares")
		assert.Contains(t, string(file(t, result.Files, "coupon.svg")), "Note: no kerf is taken off the squares")
	}
}

// A length that inches would round is printed in mm, so that the table is read
// back as it was.
func TestLengthsThatInchesRound(t *testing.T) {
	spec := kerf.CouponSpec{Foam: "pe-30", Thickness: mm(6), Units: units.Inch, Sizes: []units.Length{mm(20), mm(25.4)}}
	result := cut(t, "bench-router", "", spec)
	require.Empty(t, rulesOf(result.Report.Findings))
	table := string(result.Coupon.Table())
	assert.Contains(t, table, "pe-30,6 mm,bench-router,x,20 mm,,,flat-3,square 20 mm\n")
	assert.Contains(t, table, "pe-30,6 mm,bench-router,x,1,,,flat-3,square 1\n")
	read, _, err := kerf.Read("coupon.csv", result.Coupon.Table(), units.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, []units.Length{mm(25.4), mm(20)}, []units.Length{read.Rows[0].Size, read.Rows[1].Size})
	assert.Equal(t, mm(6), read.Rows[0].Thickness)
	assert.NotRegexp(t, `\d\.\d{4} in`, string(file(t, result.Files, kerf.CouponID+".md")))
}

// A rigid foam, whose outline is held by tabs, gets a skin as high as they are.
func TestTabsBecomeASkin(t *testing.T) {
	result := cut(t, "bench-router", "", kerf.CouponSpec{Foam: "xps-32", Thickness: mm(30)})
	require.Empty(t, rulesOf(result.Report.Findings))
	assert.InDelta(t, 27, result.Plan.Trays[0].Sheets[0].Cuts[0].DepthMM, 1e-9, "tabs are 3 mm high")
	assert.Contains(t, string(file(t, result.Files, kerf.CouponID+".md")), "a skin of 3 mm")
}

func TestComb(t *testing.T) {
	result := cut(t, "bench-laser", permit, kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), NoSquares: true, Comb: mm(25)})
	require.Empty(t, rulesOf(result.Report.Findings))
	var got []string
	for _, s := range result.Coupon.Slots {
		got = append(got, fmt.Sprintf("%s:%s", s.Label, strings.Join(s.Fits, ",")))
	}
	assert.Equal(t, []string{"23.5:", "24:tight", "24.5:", "25:snug", "25.5:", "26:", "26.5:easy", "27:"}, got,
		"from a step below the foam's tightest fit to a step above its easiest: -1, 0 and 1.5 mm")
	for i, c := range result.Plan.Trays[0].Sheets[0].Cuts {
		assert.InDelta(t, result.Coupon.Slots[i].Width.MM(), c.Shape.Bounds().Width(), 1e-6, "the finished slot: kerf is taken off its path")
		assert.Zero(t, c.Along.Len())
	}
	assert.Len(t, result.Files, 6, "nothing to measure: no table")
}

func roster(t *testing.T, text string) []job.Piece {
	pieces, found, err := job.ReadRoster("roster.csv", []byte("id,count,length,width,height,shape,pose\n"+text), units.Millimetre)
	require.NoError(t, err)
	require.Empty(t, found)
	return pieces
}

// The strip has the pockets that an arrangement would make: snug adds nothing in
// pe-30, and sizes are rounded up to half a millimetre.
func TestFitStrip(t *testing.T) {
	pieces := roster(t, "die,9,16,16,16,rect,upright\ncube,1,15.8,15.9,16,rect,upright\ntoken,4,25.3,25.3,3,round,upright\nmast,1,20,12,80,rect,upright\ncoin,1,23,23,2,round,any\n")
	strip := kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), NoSquares: true, FitStrip: pieces}
	for _, machine := range []string{"bench-laser", "bench-router"} {
		result := cut(t, machine, permit, strip)
		require.Empty(t, rulesOf(result.Report.Findings), "%v", result.Report.Findings)
		trials := result.Coupon.Trials
		require.Len(t, trials, 4, "die and cube share a pocket")
		assert.Equal(t, []string{"die", "cube"}, trials[0].Pieces)
		assert.Equal(t, mm(16), trials[0].Length)
		assert.True(t, trials[1].Round)
		assert.Equal(t, mm(25.5), trials[1].Length)
		assert.True(t, trials[2].Proud, "80 mm in 25.4 mm of foam")
		if machine == "bench-router" {
			assert.Equal(t, mm(16), trials[0].Depth, "as deep as the die")
			assert.Greater(t, min(trials[3].Length, trials[3].Width), mm(3.175), "a coin on its edge is too thin for the cutter")
		} else {
			assert.Zero(t, trials[0].Depth, "a beam goes through")
		}
		text := string(file(t, result.Files, kerf.CouponID+".md"))
		assert.Contains(t, text, " | 16 mm × 16 mm | ")
		assert.Contains(t, text, "| 1 | die, cube | ")
		assert.Contains(t, text, "stands proud |")
	}
}

func TestSameBytes(t *testing.T) {
	spec := kerf.CouponSpec{
		Foam: "pe-30", Thickness: mm(25.4), Ladder: kerf.CouponLadder{Key: "feed", Values: []float64{600, 900}}, Comb: mm(20),
		FitStrip: roster(t, "die,9,16,16,16,rect,upright\ntoken,4,25.3,25.3,3,round,upright\nlog,1,105,74,20,rect,any\n"),
	}
	first, again := cut(t, "bench-laser", permit, spec), cut(t, "bench-laser", permit, spec)
	require.NotEmpty(t, first.Files)
	require.Equal(t, len(first.Files), len(again.Files))
	for i, f := range first.Files {
		assert.Equal(t, f.Path, again.Files[i].Path)
		assert.True(t, bytes.Equal(f.Data, again.Files[i].Data), f.Path)
	}
}

// What the user writes stays text in the page and in the program.
func TestUserTextStaysText(t *testing.T) {
	pieces := roster(t, "\"a|b<script>`) G0 X9\",1,16,16,16,rect,upright\n")
	result := cut(t, "bench-laser", permit, kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), FitStrip: pieces})
	require.Empty(t, rulesOf(result.Report.Findings))
	text := string(file(t, result.Files, kerf.CouponID+".md"))
	assert.NotContains(t, text, "<script>")
	assert.Contains(t, text, `a\|b&lt;script&gt;`)
	assert.NotContains(t, string(file(t, result.Files, "coupon.ngc")), "G0 X9\n")
}

const measuredYAML = `scales:
  - {machine: bench-laser, source: measured, scale_x: 0.997, scale_y: 1.003}
recipes:
  - machine: bench-laser
    tool: beam
    source: mine
    foams:
      pe-30: {kerf_mm: 0.35, feed_mm_per_min: 900, power_percent: 45, passes: 2, focus_step_mm: 5, lead_in_mm: 2, corner_radius_mm: 1, taper_degrees: 0.4}
`

// A machine whose scale was measured, with a beam whose taper was: the coupon
// passes its dry run all the same, and says what its readings will mean.
func TestMeasuredMachine(t *testing.T) {
	c := shipped(t)
	require.NoError(t, c.Add(fstest.MapFS{"mine.yaml": {Data: []byte(measuredYAML)}}))
	spec := kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4), Taper: true, Comb: mm(25), Ladder: kerf.CouponLadder{Key: "power", Values: []float64{40, 50}}}
	result := cutWith(t, c, "bench-laser", permit, spec)
	require.Empty(t, rulesOf(result.Report.Findings), "%v", result.Report.Findings)
	assert.Contains(t, strings.ReplaceAll(string(result.Coupon.Table()), "\n#   ", " "), "corrected for the machine's measured scale, 0.997 along x and 1.003 along y")
	assert.Contains(t, string(result.Coupon.Table()), "# scale: X 0.997 Y 1.003\n")
	assert.Contains(t, string(result.Coupon.Table()), ",square A 40,bottom,40\n")
}

// The offcut has foam under the whole cut of the outline, a cutter's width on
// each side, and a rim of 10 mm to hold it by.
func TestOffcutHasARim(t *testing.T) {
	result := cut(t, "bench-router", "", kerf.CouponSpec{Foam: "pe-30", Thickness: mm(25.4)})
	text := string(file(t, result.Files, kerf.CouponID+".md"))
	// Beside 141 x 158 mm and the groove: 15 mm under a clamp and half of what a nut of 19 mm is wider
	// than the groove, in steps of 5 mm, X0 Y0 first.
	groove, rim := 3.175, 15+(19-3.175)/2
	up := func(mm float64) float64 { return 5 * math.Ceil(mm/5) }
	in := up(groove + rim)
	assert.Contains(t, text, fmt.Sprintf("at least %g × %g mm", up(in+141+groove+rim), up(in+158+groove+rim)))
	assert.Contains(t, text, fmt.Sprintf("%g mm from the foam's left edge and %g mm from its front edge", in, in))
}

// Nothing in a zero coupon breaks what only reads it.
func TestZeroCoupon(t *testing.T) {
	var c kerf.Coupon
	assert.NotPanics(t, func() {
		c.Table()
		c.Report()
		err := page.Coupon{Coupon: &c}.Markdown(io.Discard)
		assert.NoError(t, err)
	})
	_, found := kerf.DesignCoupon(kerf.CouponInput{Catalog: shipped(t)})
	assert.Equal(t, []string{"no-thickness", "unknown-foam"}, rulesOf(found))
}
