package profiles

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whatever is said of a machine, its file loads, says what was said, and its recipes are
// never deeper, faster or hotter than the shipped ones that they start from; a beam gives
// a mm of its way no more energy, a pass of a weaker one goes as much less deep.
func TestOwnRecipesAreNeverMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, err := Shipped()
		require.NoError(t, err)
		o := Own{ID: "own", Process: rapid.SampledFrom([]Process{Router, Laser}).Draw(t, "process"), TravelMM: [3]float64{900, 600, 90},
			MaxFeedMMPerMin: rapid.Float64Range(100, 20000).Draw(t, "feed")}
		if o.Process == Router {
			o.MaxRPM = rapid.Float64Range(MostPowerScale+1, 60000).Draw(t, "rpm")
			for i := range rapid.IntRange(1, 3).Draw(t, "cutters") {
				o.Tools = append(o.Tools, OwnTool{DiameterMM: rapid.Float64Range(0.5, 12).Draw(t, "diameter") + 13*float64(i), ReachMM: 20, Flutes: 2})
			}
		} else {
			o.PowerW, o.WavelengthNM, o.PowerScale = rapid.Float64Range(1, 400).Draw(t, "watts"), 10600, 255
			o.Tools = []OwnTool{{DiameterMM: 0.2}}
		}
		like, ok := c.Like(o.Process, o.ChordMM > 0)
		require.True(t, ok)
		require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: c.OwnFile(o)}}), "%s", c.OwnFile(o))
		m, _ := c.Machine("own")
		assert.Equal(t, o.MaxFeedMMPerMin, m.MaxFeedMMPerMin.Value)
		require.Len(t, m.Tools, len(o.Tools))
		for i, tool := range m.Tools {
			assert.Equal(t, o.Tools[i].DiameterMM, tool.DiameterMM.Value)
			from := nearestTool(like, tool.DiameterMM.Value)
			for _, f := range c.Foams() {
				r, ok := c.Recipe(f.ID, "own", tool.ID)
				was, ships := c.Recipe(f.ID, like.ID, from.ID)
				if o.Process == Router {
					assert.Equal(t, ships, ok, f.ID)
				}
				if !ok {
					continue
				}
				assert.LessOrEqual(t, r.FeedMMPerMin.Value, was.FeedMMPerMin.Value)
				assert.LessOrEqual(t, r.StepdownMM.Value, was.StepdownMM.Value)
				assert.LessOrEqual(t, r.RPM.Value, was.RPM.Value)
				assert.LessOrEqual(t, r.PassJPerMM(m), was.PassJPerMM(like)*(1+1e-9))
				assert.LessOrEqual(t, r.MMPerPass.Value, was.MMPerPass.Value)
				if r.PowerPercent.Value == 100 {
					assert.LessOrEqual(t, r.MMPerPass.Value, was.MMPerPass.Value*r.PassJPerMM(m)/was.PassJPerMM(like)*(1+1e-9))
				}
			}
		}
	})
}

// By the formulas that a recipe's source names: a thinner cutter goes as much less deep and as
// much slower as it is thinner, a slower spindle as much slower again, and no feed is more than the
// machine's; a weaker tube as much less deep, a stronger one turned down to as much.
func TestOwnRecipesByTheFormula(t *testing.T) {
	num := func(v float64) Number { return Number{v, "x"} }
	from := Tool{DiameterMM: num(6)}
	for _, c := range []struct{ diameter, rpm, most, feed, step, turns, plunge float64 }{
		{6, 24000, 9000, 1200, 10, 18000, 600},
		{8, 24000, 9000, 1200, 10, 18000, 600},
		{3, 24000, 9000, 600, 5, 18000, 300},
		{6, 9000, 9000, 600, 10, 9000, 300},
		{3, 9000, 9000, 300, 5, 9000, 150},
		{6, 0, 9000, 1200, 10, 18000, 600},
		{6, 24000, 500, 500, 10, 18000, 500},
	} {
		r := Recipe{FeedMMPerMin: num(1200), PlungeMMPerMin: num(600), StepdownMM: num(10), RPM: num(18000)}
		r.forCutter(from, Tool{DiameterMM: num(c.diameter)}, Machine{MaxRPM: num(c.rpm), MaxFeedMMPerMin: num(c.most)})
		assert.InDeltaSlice(t, []float64{c.diameter, c.feed, c.step, c.turns, c.plunge},
			[]float64{r.KerfMM.Value, r.FeedMMPerMin.Value, r.StepdownMM.Value, r.RPM.Value, r.PlungeMMPerMin.Value}, 1e-9, "%+v", c)
		assert.Equal(t, c.feed < 1200, strings.Contains(r.FeedMMPerMin.Source, "less, because"))
	}
	tube := Machine{ID: "tube", PowerW: num(40), WavelengthNM: num(10600)}
	for _, c := range []struct{ watts, nm, most, power, perPass, deepest, feed float64 }{
		{40, 10600, 9000, 50, 10, 30, 1200},
		{20, 10600, 9000, 100, 10, 30, 1200},
		{80, 10600, 9000, 25, 10, 30, 1200},
		{30, 10600, 9000, 66.666, 10, 30, 1200},
		{10, 10600, 9000, 100, 5, 15, 1200},
		{40, 10600, 600, 25, 10, 30, 600},
		{40, 9550, 9000, 50, 10, 30, 1200}, // within a tenth
		{40, 9500, 9000, 0, 0, 0, 0},
		{40, 11700, 9000, 0, 0, 0, 0},
		{0.15, 10600, 9000, 0, 0, 0, 0}, // less than a tenth of a mm in a pass
		{0.25, 10600, 9000, 100, 0.12, 0.37, 1200},
	} {
		r := Recipe{FeedMMPerMin: num(1200), PowerPercent: num(50), MMPerPass: num(10), MostMM: num(30), Passes: num(1)}
		ok := r.forBeam(tube, Machine{PowerW: num(c.watts), WavelengthNM: num(c.nm), MaxFeedMMPerMin: num(c.most)})
		assert.Equal(t, c.power > 0, ok, "%+v", c)
		if ok {
			assert.InDeltaSlice(t, []float64{c.power, c.perPass, c.deepest, c.feed},
				[]float64{r.PowerPercent.Value, r.MMPerPass.Value, r.MostMM.Value, r.FeedMMPerMin.Value}, 1e-9, "%+v", c)
		}
	}
}

// A diode's light is not a tube's: no recipe is made up for it.
func TestNoRecipeForLightOfAnotherColour(t *testing.T) {
	c, err := Shipped()
	require.NoError(t, err)
	o := Own{ID: "own", Process: Laser, TravelMM: [3]float64{300, 300, 0}, PowerW: 10, WavelengthNM: 450, PowerScale: 1000, Tools: []OwnTool{{DiameterMM: 0.2}}}
	require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: c.OwnFile(o)}}))
	for _, r := range c.Recipes() {
		assert.NotEqual(t, "own", r.Machine)
	}
}

// Of a wire: no more heat for a mm of it nor for its surface than the shipped one has (R goes with 1/d², so
// that heat is I²/d² and heat by surface I²/d³: derived), and foam goes as much slower by as it
// gets less heat; what is said of the current is kept.
func TestOwnWiresAreNoHotter(t *testing.T) {
	num := func(v float64) Number { return Number{v, "x"} }
	for _, c := range []struct{ wide, current, amps, feed, kerf float64 }{
		{1, 0, 2, 100, 1},
		{0.81, 0, 1.45, 80.11, 1},
		{2, 0, 4, 100, 2},
		{1, 1, 1, 25, 1},
		{1, 3, 3, 100, 2.25},
	} {
		r := Recipe{FeedMMPerMin: num(100), CurrentA: num(2), KerfMM: num(1)}
		r.forWire(Tool{DiameterMM: num(0.4)}, Tool{DiameterMM: num(0.4 * c.wide)}, c.current)
		assert.InDeltaSlice(t, []float64{c.amps, c.feed, c.kerf}, []float64{r.CurrentA.Value, r.FeedMMPerMin.Value, r.KerfMM.Value}, 0.011, "%+v", c)
	}
}

// A blade that trails twice as far needs twice the way until it is on its line; one that trails less
// keeps what the shipped one has, and of one of which nobody knows it nothing is said.
func TestOwnBlades(t *testing.T) {
	num := func(v float64) Number { return Number{v, "x"} }
	for trail, lead := range map[float64]float64{1: 6.2, 0.25: 3.1, 0: 3.1} {
		r := Recipe{LeadInMM: num(3.1)}
		r.forBlade(Tool{TrailMM: num(0.5)}, Tool{TrailMM: num(trail)})
		assert.InDelta(t, lead, r.LeadInMM.Value, 1e-9)
	}
	c := shippedCatalog(t)
	text := string(c.OwnFile(Own{ID: "own", Process: Knife, TravelMM: [3]float64{300, 300, 40}, MaxFeedMMPerMin: 100, Tools: []OwnTool{{}}}))
	assert.NotContains(t, text, "trail_mm:")
	assert.Contains(t, text, "# Not known of blade: trail_mm")
	require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: []byte(text)}}), "a slow machine plunges no faster than it goes")
}

// Without a stand-off no pass lowers the head; with one that is near, none lowers it too far.
func TestOwnHeadsStayOffTheFoam(t *testing.T) {
	for standoff, most := range map[float64]float64{0: 0, 1: 0, 4: 2, 12: 5, 100: 5} {
		c := shippedCatalog(t)
		o := Own{ID: "own", Process: Laser, TravelMM: [3]float64{300, 300, 40}, PowerW: 40, WavelengthNM: 10600, PowerScale: 255, StandoffMM: standoff, Tools: []OwnTool{{}}}
		text := string(c.OwnFile(o))
		assert.Equal(t, standoff == 0, strings.Contains(text, "# Not known: standoff_mm"))
		require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: []byte(text)}}))
		r, ok := c.Recipe("pe-30", "own", "beam")
		require.True(t, ok)
		assert.InDelta(t, most, r.FocusStepMM.Value, 1e-9, "%g", standoff)
	}
}
