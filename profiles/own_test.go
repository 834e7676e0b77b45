package profiles

import (
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
		like, ok := c.Like(o.Process)
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
