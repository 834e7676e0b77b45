package cam

import (
	"math/bits"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry/units"
	"traywright/profiles"
)

// Of each foam as few thicknesses as every choice of the job's own would need, and each is one that its
// tool reaches through and that is as thick as its cuts are deep.
func TestFewestCouponsOfAJob(t *testing.T) {
	const mm units.Length = 1_000_000
	rapid.Check(t, func(t *rapid.T) {
		sheets := rapid.SliceOfNDistinct(rapid.SampledFrom([]units.Length{5 * mm, 10 * mm, 20 * mm, 30 * mm, 50 * mm}), 1, 5, rapid.ID[units.Length]).Draw(t, "sheets")
		var open []couponNeed
		for range rapid.IntRange(1, 5).Draw(t, "tools") {
			sheet := rapid.SampledFrom(sheets).Draw(t, "sheet") // one that the need can have
			open = append(open, couponNeed{
				foam: profiles.Foam{ID: "pe-30"}, sheets: sheets,
				low:  sheet.MM() - float64(rapid.IntRange(0, 20).Draw(t, "less")),
				high: sheet.MM() + float64(rapid.IntRange(0, 20).Draw(t, "more")),
			})
		}
		serves := func(n couponNeed, l units.Length) bool {
			return l.MM() <= n.high && (l.MM() >= n.low || profiles.Alike(l.MM(), n.low))
		}
		fewest := len(sheets)
		for set := range 1 << len(sheets) {
			all := true
			for _, n := range open {
				any := false
				for i, l := range sheets {
					any = any || set>>i&1 == 1 && serves(n, l)
				}
				all = all && any
			}
			if all {
				fewest = min(fewest, bits.OnesCount(uint(set)))
			}
		}
		used := map[units.Length]bool{}
		for i, l := range measuredAt(open, true) {
			assert.True(t, serves(open[i], l), "%v: %v", open[i], l)
			used[l] = true
		}
		assert.Len(t, used, fewest)
	})
}

// A tool is tried in foam that its edges cut, 20 mm of these, as long as its cuts are no deeper; deeper ones want 25 mm, and a warning.
func TestCouponsOfWhatEdgesCut(t *testing.T) {
	const mm units.Length = 1_000_000
	n := couponNeed{foam: profiles.Foam{ID: "pe-30", Thicknesses: []units.Length{10 * mm, 20 * mm}}, tool: profiles.Tool{ID: "own"}, sheets: []units.Length{25 * mm}, low: 18, high: 28, edges: 23}
	at := measuredAt([]couponNeed{n}, true)
	assert.Equal(t, []units.Length{20 * mm}, at)
	assert.Equal(t, "its edges are too short for foam of 25 mm: its kerf is measured in 20 mm, and counts for cuts up to so deep", n.tell(at[0], units.Millimetre, true)[0].Message)
	n.low = 24
	assert.Equal(t, []units.Length{25 * mm}, measuredAt([]couponNeed{n}, true))
	assert.Empty(t, n.tell(25*mm, units.Millimetre, true))
}

// In a job of inches a coupon is cut in foam that is sold in inches, where one serves; else in what is sold, for 20 mm it may be.
func TestCouponsOfAJobInInches(t *testing.T) {
	const mm units.Length = 1_000_000
	n := couponNeed{foam: profiles.Foam{ID: "pe-30", Thicknesses: []units.Length{12_700_000, 15 * mm, 20 * mm, 25_400_000}}, sheets: []units.Length{25_400_000}, low: 12, high: 28, edges: 23}
	for _, c := range []struct {
		u         units.Unit
		low, want float64
	}{{units.Inch, 12, 12.7}, {units.Millimetre, 12, 20}, {units.Inch, 14, 20}, {units.Inch, 24, 25.4}} {
		n.unit, n.low = c.u, c.low
		assert.InDelta(t, c.want, measuredAt([]couponNeed{n}, true)[0].MM(), 1e-9, "%v", c)
	}
}

// A tool that reaches through none that is thick enough takes the thickest that it does, and says what stays unknown.
func TestToolsTooShortForACoupon(t *testing.T) {
	const mm units.Length = 1_000_000
	n := couponNeed{foam: profiles.Foam{ID: "pe-30", Thicknesses: []units.Length{10 * mm, 15 * mm}}, tool: profiles.Tool{ID: "stub"}, sheets: []units.Length{50 * mm}, low: 20, high: 12}
	at := measuredAt([]couponNeed{n}, true)
	assert.Equal(t, []units.Length{10 * mm}, at)
	assert.Equal(t, "coupon-thinner", n.tell(at[0], units.Millimetre, true)[0].Rule)
	n.high = 5
	at = measuredAt([]couponNeed{n}, true)
	assert.Zero(t, at[0])
	assert.True(t, n.tell(at[0], units.Millimetre, true).Failed())
	n.low, n.high = 8, 12
	assert.Equal(t, "tool-short", n.tell(measuredAt([]couponNeed{n}, true)[0], units.Millimetre, true)[0].Rule)
	n.high = 60
	assert.Empty(t, n.tell(measuredAt([]couponNeed{n}, true)[0], units.Millimetre, true))
}

// An interval is never told as nothing: half a thousandth and less is said to be less than one.
func TestAnIntervalIsNeverNothing(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		u    units.Unit
		want string
	}{{0, units.Inch, "0 in"}, {0.0001, units.Inch, "less than 0.001 in"}, {0.0126, units.Inch, "less than 0.001 in"}, {0.0128, units.Inch, "0.001 in"}, {0.0004, units.Millimetre, "less than 0.001 mm"}, {0.018, units.Millimetre, "0.018 mm"}} {
		assert.Equal(t, c.want, fineIn(c.mm, c.u))
	}
}
