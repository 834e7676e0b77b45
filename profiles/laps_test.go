package profiles_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/profiles"
)

// The words of a recipe's laps: left out they are none, a foam's own go over the common ones, and
// what is none of them is refused, with the nearest.
func TestWordsOfLaps(t *testing.T) {
	add := func(machine, common, own string) (profiles.Recipe, error) {
		c, err := profiles.Shipped()
		require.NoError(t, err)
		shipped, ok := c.Recipe("pe-30", "bench-router", "flat-3")
		require.True(t, ok)
		assert.Empty(t, shipped.Laps(), "what ships says nothing of it")
		numbers := "kerf_mm: 3.175, feed_mm_per_min: 900, plunge_mm_per_min: 300, stepdown_mm: 6, stepover: 0.4, rpm: 12000, ramp_degrees: 3, finish_mm: 0.2, breakthrough_mm: 0.3, skin_mm: 0.5"
		tool := "flat-3"
		if machine == "bench-knife" {
			numbers, tool = "kerf_mm: 0.3, feed_mm_per_min: 900, mm_per_pass: 6, most_mm: 30, lead_in_mm: 1", "blade"
		}
		err = c.Add(fstest.MapFS{"own.yaml": {Data: []byte("recipes:\n  - {machine: " + machine + ", tool: " + tool + ", source: mine, common: {" + common + "}, foams: {pe-30: {" + own + numbers + "}}}\n")}})
		if err != nil {
			return profiles.Recipe{}, err
		}
		r, _ := c.Recipe("pe-30", machine, tool)
		return r, nil
	}
	r, err := add("bench-router", "cut_direction: conventional, wall_lap: once", "cut_direction: climb, ")
	require.NoError(t, err)
	assert.Equal(t, profiles.Climb, r.CutDirection)
	assert.Equal(t, profiles.LapOnce, r.WallLap)
	for text, says := range map[string]string{
		"cut_direction: conventionl, ": "conventional", "cut_direction: up, ": "climb, conventional", "wall_lap: onc, ": "once", "wall_lap: 2, ": "levels, once", "wall_laps: once, ": "wall_lap",
	} {
		_, err := add("bench-router", "", text)
		require.Error(t, err, text)
		assert.Contains(t, strings.ReplaceAll(err.Error(), " or ", ", "), says, text)
	}
	_, err = add("bench-knife", "", "wall_lap: once, ")
	assert.ErrorContains(t, err, "a recipe with wall_lap is a router's")
}
