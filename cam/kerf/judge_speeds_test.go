package kerf

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/profiles"
)

func speeds(kerf func(feed float64) float64, feeds ...float64) Ladder {
	l := Ladder{melts: wayOf(profiles.Machine{Process: profiles.HotWire}).melts, rung: rungOf("feed"), Rung: "feed"}
	for i, f := range feeds {
		l.Steps = append(l.Steps, Step{Value: f, KerfMM: Estimate{kerf(f), 0.05}, Fit: i})
	}
	return l
}

// EPS of 20 kg/m3 under 29.1 W a metre melts 2.80 mm2 a second: 0.6995 mm at 4 mm/s, 1.399 at 2 (facts
// I); the law finds that from three speeds, and says nothing beyond them.
func TestSpeedLawOfAWire(t *testing.T) {
	melts := func(feed float64) float64 { return 2.798 * 60 / feed }
	law, ok := speeds(melts, 120, 180, 240).speedLaw()
	require.True(t, ok)
	assert.True(t, law.Holds)
	assert.InDelta(t, 0, law.K0MM, 1e-9)
	assert.InDelta(t, 2.798*60, law.B, 1e-6)
	for feed, want := range map[float64]float64{240: 0.6995, 120: 1.399} {
		k, ok := law.At(feed)
		require.True(t, ok)
		assert.InDelta(t, want, k, 1e-3)
	}
	for _, beyond := range []float64{119, 241, 0, math.Inf(1)} {
		_, ok := law.At(beyond)
		assert.False(t, ok, beyond)
	}
	_, ok = speeds(melts, 120, 240).speedLaw()
	assert.False(t, ok, "two speeds fit any law, and try none")
	found := speeds(melts, 120, 180, 240).judgeSpeeds("m.csv")
	assert.Equal(t, finding.Note, found[0].Severity)
	assert.Contains(t, found[0].Message, "from 120 to 240 mm/min")
}

// A kerf that jumps is farther off than its interval: nothing is said between the feeds.
func TestSpeedLawThatDoesNotHold(t *testing.T) {
	l := speeds(func(feed float64) float64 { return 1 + math.Abs(feed-180)/100 }, 120, 180, 240)
	law, ok := l.speedLaw()
	require.True(t, ok)
	assert.False(t, law.Holds)
	_, ok = law.At(180)
	assert.False(t, ok)
	assert.Equal(t, finding.Warning, l.judgeSpeeds("m.csv")[0].Severity)
}

// Three speeds about the recipe's, where nobody asks for a ladder.
func TestThreeSpeeds(t *testing.T) {
	assert.Equal(t, CouponLadder{Key: "feed", Values: []float64{70, 100, 130}}, threeSpeeds(100, 1000))
	assert.Equal(t, CouponLadder{Key: "feed", Values: []float64{22, 31, 40}}, threeSpeeds(40, 40), "none beyond what is allowed")
}
