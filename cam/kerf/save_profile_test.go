package kerf

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry/units"
	"traywright/profiles"
)

// folder is files as a folder of profiles.
func folder(files []ProfileFile) fstest.MapFS {
	fsys := fstest.MapFS{}
	for _, f := range files {
		fsys[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	return fsys
}

// What is saved reads back as what was measured, and nothing else of recipe or
// machine has changed.
func TestProfilesReadBack(t *testing.T) {
	c := plain()
	c.sides, c.taper = []Face{Top, Bottom}, 0.25
	c.scale = map[Axis]float64{axisX: 0.97, axisY: 1.02} // plain from one day alone
	fits, found := analyse(t, "# date: 2026-03-01\n"+c.table(nil))
	require.False(t, found.Failed())
	files, found := Profiles(fits, Scales(fits, nil, ""), "")
	require.Empty(t, found)
	require.Len(t, files, 2)
	known := catalog(t)
	before, _ := known.Recipe("pe-30", "bench-laser", "beam")
	require.NoError(t, known.Add(folder(files)))
	after, _ := known.Recipe("pe-30", "bench-laser", "beam")
	assert.True(t, after.Measured())
	assert.InDelta(t, fits[0].KerfMM.Value, after.KerfMM.Value, 1e-4)
	assert.GreaterOrEqual(t, after.KerfIntervalMM.Value, fits[0].KerfMM.HalfWidth)
	assert.InDelta(t, 0.25, after.TaperDegrees.Value, 1e-3)
	for _, part := range []string{"measured 2026-03-01: ", " mm (95 %, one coupon, n = 40, Student's t with 36 degrees of freedom); 25.4 mm of pe-30, 900 mm/min, 45 %, 2 passes"} {
		assert.Contains(t, after.KerfMM.Source, part)
	}
	assert.True(t, strings.HasPrefix(after.Source, "kerf measured 2026-03-01: "), after.Source)
	assert.True(t, strings.HasSuffix(after.Source, "; else starting value, measure your own"), after.Source)
	assert.Equal(t, profiles.KerfsIn{{ThicknessMM: 25.4, KerfMM: after.KerfMM.Value, IntervalMM: after.KerfIntervalMM.Value, RestsOn: []profiles.KerfReading{fits[0].reading("")}}}, after.MeasuredIn)
	after.MeasuredIn = nil
	after.KerfMM, after.KerfIntervalMM, after.TaperDegrees, after.Source = before.KerfMM, before.KerfIntervalMM, before.TaperDegrees, before.Source
	assert.Equal(t, before, after, "nothing else")

	m, _ := known.Machine("bench-laser")
	assert.InDelta(t, 0.97, m.ScaleX.Value, 1e-4)
	assert.InDelta(t, 1.02, m.ScaleY.Value, 1e-4)
}

// Measured a second time, the source does not grow, and the scale is what was
// measured over what was in force.
func TestMeasuredAgain(t *testing.T) {
	known := catalog(t)
	for round, truth := range []float64{0.97, 0.97, 0.95, 1.02} { // it drifts
		c := plain()
		m, _ := known.Machine("bench-laser")
		x, y := m.Scale()
		c.scale = map[Axis]float64{axisX: truth / x, axisY: 1.02 / y} // the coupon's program was corrected
		c.decimals = 6
		r, _, err := Read("m.csv", []byte(c.table(nil)), units.Millimetre)
		require.NoError(t, err)
		fits, found := Analyse(r, known, nil)
		require.False(t, found.Failed(), "%v", found)
		files, found := Profiles(fits, Scales(fits, nil, "2026-03-01"), "2026-03-01")
		require.Empty(t, found)
		require.NoError(t, known.Add(folder(files)))
		recipe, _ := known.Recipe("pe-30", "bench-laser", "beam")
		assert.Equal(t, 1, strings.Count(recipe.Source, "; else "), "round %d", round)
		m, _ = known.Machine("bench-laser")
		assert.InDelta(t, truth, m.ScaleX.Value, 1e-5)
		assert.InDelta(t, 1.02, m.ScaleY.Value, 1e-5)
	}
	// A coupon that says what its program was corrected for is taken by its word.
	fits, _ := Analyse(must(t, "# scale: X 1 Y 1\n"+plain().table(nil)), known, nil)
	for _, s := range Scales(fits, nil, "") {
		assert.Equal(t, 1.0, s.InForce)
	}
}

func must(t *testing.T, text string) *Readings {
	r, _, err := Read("m.csv", []byte(text), units.Millimetre)
	require.NoError(t, err)
	return r
}

// A setting of a ladder goes into the recipe with the kerf that it gave; two
// rungs cannot both.
func TestARungIsSaved(t *testing.T) {
	text := strings.TrimSpace(head) + ",feed\n"
	for _, row := range []string{"20,20.47,19.55,600", "40,40.46,39.56,600", "20,20.35,19.66,1200", "40,40.34,39.67,1200"} {
		text += "pe-30,25.4,bench-laser,x," + row + "\n"
	}
	fits, found := analyse(t, text)
	require.False(t, found.Failed(), "%v", found)
	require.Len(t, fits, 2)
	_, found = Profiles(fits, Scales(fits, nil, ""), "")
	assert.Equal(t, "several-kerfs", errorsOf(found)[0].Rule)
	r := fits[1].measured("2026-03-01")
	assert.Equal(t, 1200.0, r.FeedMMPerMin.Value)
	assert.Equal(t, "as the coupon was cut 2026-03-01", r.FeedMMPerMin.Source)
	assert.Contains(t, r.KerfMM.Source, "1200 mm/min, 45 %")

	ladders := Ladders(fits)
	require.Len(t, ladders, 1)
	assert.Equal(t, "feed", ladders[0].Rung)
	advice := Advice("m.csv", ladders)
	require.Len(t, advice, 1)
	assert.Contains(t, advice[0].Message, "feed 1200 mm/min (step 2)")
}

// A kerf that rises with speed goes against what is known, and is told with how
// well it is known.
func TestLadderAgainstTheTrend(t *testing.T) {
	step := func(value, kerf float64, i int) Step { return Step{value, Estimate{kerf, 0.02}, i} }
	for _, c := range []struct {
		process profiles.Process
		rung    string
		kerfs   [2]float64
		against bool
	}{
		{"laser", "feed", [2]float64{0.3, 0.4}, true},
		{"laser", "feed", [2]float64{0.4, 0.3}, false},
		{"laser", "feed", [2]float64{0.40, 0.41}, false}, // within the intervals
		{"laser", "power", [2]float64{0.4, 0.3}, true},
		{"laser", "power", [2]float64{0.3, 0.4}, false},
		{"laser", "focus", [2]float64{0.4, 0.3}, true},
		{"laser", "passes", [2]float64{0.4, 0.3}, false}, // nothing is known
		{"hot-wire", "feed", [2]float64{0.5, 0.7}, true},
		{"router", "feed", [2]float64{3.1, 3.3}, false},
	} {
		l := Ladder{trends: wayOf(profiles.Machine{Process: c.process}).trends, Rung: c.rung, Steps: []Step{step(1, c.kerfs[0], 0), step(2, c.kerfs[1], 1)}}
		found := Advice("m.csv", []Ladder{l})
		assert.Equal(t, c.against, found[0].Rule == "against-the-trend", "%+v", c)
		if c.against {
			assert.Regexp(t, "abstract|derived", found[0].Hint)
		}
	}
}

// Any note that a table may hold comes back as it was, whatever YAML makes of it.
func TestNotesSurviveYAML(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		note := rapid.StringMatching(`[ -~äöµ±°]{1,40}`).Draw(t, "note")
		r, _, err := Read("m.csv", []byte("# note: "+note+"\n"+plain().table(nil)), units.Millimetre)
		if err != nil {
			t.Skip("no note")
		}
		known := catalog(t)
		fits, _ := Analyse(r, known, nil)
		files, found := Profiles(fits, Scales(fits, nil, ""), "")
		require.Empty(t, found)
		require.NoError(t, known.Add(folder(files)), note)
		recipe, _ := known.Recipe("pe-30", "bench-laser", "beam")
		assert.True(t, strings.HasSuffix(recipe.KerfMM.Source, r.Note), recipe.KerfMM.Source)
	})
}

func TestNothingToSave(t *testing.T) {
	fits, _ := analyse(t, head+"pe-30,25.4,bench-laser,x,20,20.35,19.6\n")
	_, found := Profiles(fits, Scales(fits, nil, ""), "")
	assert.Equal(t, "no-interval", found[0].Rule)
	fits, _ = analyse(t, strings.NewReplacer("pe-30", "eps-20", "bench-laser", "bench-drag-knife").Replace(plain().table(nil)))
	_, found = Profiles(fits, Scales(fits, nil, ""), "")
	assert.Equal(t, "no-recipe", found[0].Rule)
	_, found = analyse(t, strings.ReplaceAll(plain().table(nil), "pe-30", "pu-30"))
	require.NotEmpty(t, found)
	assert.Equal(t, "foam-refused", found[0].Rule, "what the safety table refuses is refused here, with its reason")
}

// Two digits of the half-width, and never a half-width made smaller.
func TestWorth(t *testing.T) {
	for _, c := range []struct{ half, step, up float64 }{{0.0123, 0.001, 0.013}, {0.35, 0.01, 0.35}, {0.0009, 0.0001, 0.0009}, {1e-9, 0.0001, 0.0001}} {
		assert.Equal(t, c.step, roundTo(worthMM(c.half), 1e-6), c.half)
		assert.InDelta(t, c.up, roundUp(c.half, worthMM(c.half)), 1e-12)
	}
	assert.Equal(t, "0.3", plainNumber(roundTo(0.1+0.2, 0.01)))
	assert.Equal(t, 1e-4, worthMM(math.Inf(1)))
}

// The depth of a pass is what a coupon has shown: 25.4 mm in two passes of an older
// recipe, or in as many as a ladder had. At the recipe's own setting it stays.
func TestTheDepthOfAPassIsSaved(t *testing.T) {
	depth := func(columns, setting string) profiles.Recipe {
		text := strings.TrimSpace(head) + columns + "\n"
		for _, row := range []string{"20,20.47,19.55", "40,40.46,39.56", "60,60.45,59.55"} {
			text += "pe-30,20,bench-laser,x," + row + setting + "\n"
		}
		fits, found := analyse(t, text)
		require.False(t, found.Failed(), "%v", found)
		return fits[0].measured("2026-03-01")
	}
	r := depth("", "")
	assert.Equal(t, 15.0, r.MMPerPass.Value)
	assert.Zero(t, r.Passes)
	for _, c := range []struct {
		column, value string
		want          float64
	}{{"passes", "1", 20}, {"passes", "2", 15}, {"passes", "4", 5}, {"power", "30", 10}, {"feed", "900", 15}} {
		r := depth(","+c.column, ","+c.value)
		assert.Equal(t, c.want, r.MMPerPass.Value, "%+v", c)
		assert.Zero(t, r.Passes)
		assert.Contains(t, string(recipeFile(r).Data), "mm_per_pass: {value: "+plainNumber(c.want))
	}
	fit := Fit{Subject: Subject{Thickness: 25_400_000}, Recipe: profiles.Recipe{Passes: profiles.Number{Value: 2}}}
	r = fit.withDepth(fit.Recipe, false, "2026-03-01")
	assert.Equal(t, profiles.Number{Value: 12.7, Source: "25.4 mm in 2 passes, as the coupon was cut 2026-03-01"}, r.MMPerPass)
	assert.Zero(t, r.Passes)
}

// Coupons of one foam in two thicknesses are one recipe, which knows both; a third, of another day, is added
// to them, one of the same thickness takes its place, and one at another setting stands alone.
func TestThicknessesAreSavedTogether(t *testing.T) {
	table := func(extra string, thick float64, kerf float64) string {
		text := ""
		for _, size := range []float64{20, 40, 60} {
			text += fmt.Sprintf("pe-30,%g,bench-laser,x,%g,%.2f,%.2f%s\n", thick, size, size+kerf+size/3000, size-kerf, extra)
		}
		return text
	}
	c := catalog(t)
	saved := func(text string) profiles.Recipe {
		r, _, err := Read("m.csv", []byte(text), units.Millimetre)
		require.NoError(t, err)
		fits, found := Analyse(r, c, nil)
		require.False(t, found.Failed(), found)
		files, found := Profiles(fits, nil, "")
		require.False(t, found.Failed(), found)
		next := *c
		require.NoError(t, next.Add(folder(files)))
		c = &next
		recipe, _ := c.Recipe("pe-30", "bench-laser", "beam")
		return recipe
	}
	thick := func(r profiles.Recipe) (list []float64) {
		for _, k := range r.MeasuredIn {
			list = append(list, k.ThicknessMM)
		}
		return list
	}
	r := saved(head + table("", 25.4, 0.4) + table("", 12.7, 0.3))
	assert.Equal(t, []float64{12.7, 25.4}, thick(r))
	assert.InDelta(t, 0.4, r.KerfMM.Value, 0.03)
	r = saved(head + table("", 20, 0.35))
	assert.Equal(t, []float64{12.7, 20, 25.4}, thick(r))
	assert.InDelta(t, 0.35, r.KerfMM.Value, 0.03)
	r = saved(head + table("", 25, 0.41))
	assert.Equal(t, []float64{12.7, 20, 25}, thick(r))
	r = saved(strings.Replace(head, "plug", "plug,feed", 1) + table(",500", 25.4, 0.45))
	assert.Equal(t, []float64{25.4}, thick(r), "nothing that was cut at another feed stays")
}
