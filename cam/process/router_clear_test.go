package process

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// A lap is cut after every lap that it goes around, and before every lap that
// goes around it, however the pocket falls into pieces.
func TestLapsComeAfterThoseInsideThem(t *testing.T) {
	for name, shape := range shapes(t) {
		c, err := planClearing(shape, geometry.Region{}, clearingWidths{wall: 3.175, kerf: 3.175, sure: 3.175, step: 1.27, finish: 0.4}, tol)
		require.NoError(t, err)
		for i, earlier := range c.visits {
			if earlier.wall || earlier.contour.Area() < 0 {
				continue
			}
			for _, later := range c.visits[i+1:] {
				if !later.wall && later.contour.Area() > 0 {
					assert.Zero(t, earlier.contour.Winding(later.begin()), "%s: lap %d goes around a later one", name, i)
				}
			}
		}
	}
}

func TestRampSinksNoFasterThanAPlunge(t *testing.T) {
	r := routerRecipe("pad")
	for degrees, want := range map[float64]float64{10: 1800, 30: 1200, 45: 600 * math.Sqrt2} {
		r.RampDegrees = number(degrees)
		f := feedsOf(r, benchRouter())
		assert.InDelta(t, want, f.ramp, 1e-9)
		assert.InDelta(t, math.Tan(degrees*math.Pi/180), f.slope, 1e-12)
	}
	slow := benchRouter()
	slow.MaxFeedMMPerMin = number(500)
	f := feedsOf(r, slow)
	assert.Equal(t, [3]float64{500, 500, 500}, [3]float64{f.cut, f.plunge, f.ramp})
}

// A steep ramp is as slow as its plunge feed asks; a way down that whole turns of a helix make flatter is no slower than
// that way asks, or the dry run refuses it: so slow a cutter rubs.
func TestFlatWaysDownAreNoSlowerThanTheyMust(t *testing.T) {
	recipe := routerRecipe("pad")
	recipe.RampDegrees.Value = 25
	sheet := sheetOf([]profiles.Recipe{recipe}, []float64{12}, cutter3, []plan.Cut{{Name: "hole", Shape: rectangle(30, 30, 9, 9, 3), DepthMM: 10}})
	p, err := made(sheet, benchRouter(), tol)
	require.NoError(t, err)
	feed, plunge, seen := recipe.FeedMMPerMin.Value, recipe.PlungeMMPerMin.Value, 0
	each(p.Ops[0], func(from Point, m Move) {
		along, down := from.DistanceTo(m.To.Point), from.Z-m.To.Z
		if m.Kind == CW || m.Kind == CCW {
			along = geometry.Segment{A: from.Point, B: m.To.Point, Bulge: 1}.Length() // a helix goes in half turns
		}
		if m.Kind != Rapid && along > 0 && down > 1e-9 {
			assert.InEpsilon(t, math.Min(feed, plunge*math.Hypot(along, down)/down), m.FeedMMPerMin, 1e-6)
			seen++
		}
	})
	assert.Positive(t, seen)
}
