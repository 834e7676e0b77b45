package safety

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/profiles"
)

// The shipped start of xps-32 under a wire is 100 mm/min at 2 A. Heat goes with the square of the current and with one over
// the feed (facts of a wire, P' = I2 R'): 41 mm/min at 2 A are 2.4 times as much, 10 are 10, 10 at 0.63 A are 0.99.
func TestAWireIsBoundByItsStart(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	m, _ := c.Machine("bench-hotwire")
	f, _ := c.Foam("xps-32")
	wire, _ := m.Tool("wire")
	u := Use{Foam: f, Machine: m}
	n := func(v float64) profiles.Number { return profiles.Number{Value: v} }
	for _, k := range []struct {
		feed, amps, diameter float64
		want                 string
	}{
		{100, 2, 0.4049, ""}, {50, 2, 0.4049, ""}, {41, 2, 0.4049, "warning:wire-slow"}, {20, 2, 0.4049, "warning:wire-slow"},
		{19, 2, 0.4049, "error:wire-too-slow"}, {10, 2, 0.4049, "error:wire-too-slow"}, {1, 2, 0.4049, "error:wire-too-slow"}, {10, 0.63, 0.4049, ""},
		{100, 4, 0.4049, "warning:wire-slow"}, {100, 4.5, 0.4049, "error:wire-too-slow"},
		{100, 2, 0.25, "warning:wire-slow"}, // through a thinner wire, of more resistance: 2.6 times
		{0, 2, 0.4049, ""},
	} {
		r, _ := c.Recipe("xps-32", m.ID, "wire")
		tool := wire
		tool.DiameterMM = n(k.diameter)
		r.FeedMMPerMin, r.CurrentA = n(k.feed), n(k.amps)
		got := ""
		for _, f := range CheckWireHeat(r, tool, u, c) {
			got = f.Severity.String() + ":" + f.Rule
		}
		assert.Equal(t, k.want, got, "%+v", k)
	}
}

// A recipe that was measured, or a feed and a current that a ladder coupon tested, open what is no hotter than they are,
// with a warning; the refusal stays for what is hotter than what was measured, in another foam, on another machine. Up to five
// times the start's heat a measured one is not told of.
func TestAWireMeasuredSoHotIsWarnedOf(t *testing.T) {
	shipped, err := profiles.Shipped()
	require.NoError(t, err)
	m, _ := shipped.Machine("bench-hotwire")
	wire, _ := m.Tool("wire")
	for _, k := range []struct {
		measured, tested, feed float64 // mm/min at 2 A: the start has 100
		foam, on, want         string
	}{
		{10, 0, 10, "xps-32", m.ID, "warning:wire-too-slow"}, {10, 0, 15, "xps-32", m.ID, "warning:wire-too-slow"}, {10, 0, 20, "xps-32", m.ID, ""}, {10, 0, 40, "xps-32", m.ID, ""},
		{10, 0, 9, "xps-32", m.ID, "error:wire-too-slow"}, {60, 0, 10, "xps-32", m.ID, "error:wire-too-slow"}, {60, 0, 40, "xps-32", m.ID, "warning:wire-slow"},
		{100, 10, 10, "xps-32", m.ID, "warning:wire-too-slow"}, {100, 10, 9, "xps-32", m.ID, "error:wire-too-slow"},
		{10, 0, 10, "xps-32", "mine", "error:wire-too-slow"}, {10, 0, 10, "eps-20", m.ID, "error:wire-too-slow"},
	} {
		c, err := profiles.Shipped()
		require.NoError(t, err)
		ladder := ""
		if k.tested > 0 {
			ladder = fmt.Sprintf(", tested: [{feed_mm_per_min: %v, current_a: 2, kerf_mm: 5, kerf_interval_mm: 0.1}]", k.tested)
		}
		require.NoError(t, c.Add(fstest.MapFS{"mine.yaml": {Data: fmt.Appendf(nil, "measured:\n  - machine: bench-hotwire\n    tool: wire\n    source: coupons\n    foams:\n      xps-32: {kerf_mm: 1, kerf_interval_mm: 0.03, feed_mm_per_min: %v, current_a: 2, lead_in_mm: 20%s}\n", k.measured, ladder)}}))
		u := Use{Machine: m}
		u.Foam, _ = c.Foam(k.foam)
		u.Machine.ID = k.on
		r, _ := shipped.Recipe(k.foam, m.ID, "wire")
		r.FeedMMPerMin.Value = k.feed
		got := ""
		for _, f := range CheckWireHeat(r, wire, u, c) {
			got = f.Severity.String() + ":" + f.Rule
			assert.Equal(t, got == "warning:wire-too-slow", f.Hint == "a coupon was measured at this setting: watch every second of it, extinguisher in hand", "%+v", k)
		}
		assert.Equal(t, k.want, got, "%+v", k)
	}
}

// A tenth of the feed takes a tenth of the heat: sqrt(0.1) of 2 A, in hundredths below. What was tested so slow at that
// current keeps it, and what no rule has lowered is left alone.
func TestALowerFeedCoolsAWire(t *testing.T) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	m, _ := c.Machine("bench-hotwire")
	was, _ := c.Recipe("xps-32", m.ID, "wire")
	slow := was
	slow.FeedMMPerMin.Value = 10
	cooled, found := CoolWire(was, slow, m)
	assert.InDelta(t, 0.63, cooled.CurrentA.Value, 1e-9)
	require.Len(t, found, 2)
	assert.Equal(t, "current lowered from 2 to 0.63 A by the lower feed", found[0].Message)
	assert.Equal(t, "wire-cool", found[1].Rule)
	same, found := CoolWire(was, was, m)
	assert.Equal(t, was.CurrentA, same.CurrentA)
	assert.Empty(t, found)
	was.Tested = profiles.TestedKerfs{{FeedMMPerMin: 10, CurrentA: 2, KerfMM: 5, IntervalMM: 0.1}}
	kept, found := CoolWire(was, slow, m)
	assert.InDelta(t, 2, kept.CurrentA.Value, 1e-9)
	assert.Empty(t, found)
}
