package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// A height that may be off by more than 1 mm is left to fill in, and nowhere printed; a larger --within takes it.
func TestWithinOfHeights(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	tabletop(t, in("table.png"), false, false)
	// Seen from 350 mm, 86 mm high is 70 mm above the lens: a front 3 mm off the line and a card that leans by 1.5 mm make some 0.9 mm of it.
	shelfPhoto(t, in("side.png"), [2]float64{30, 86}, [2]float64{22, 20}, [2]float64{28, 7})
	for within, taken := range map[string]bool{"0.8": false, "2": true} {
		args := []string{"measure", in("table.png"), "--out", in(within), "--camera", "450", "--within", within, "--side", in("side.png"), "--side-camera", "350"}
		code, text, talk := typed(args...)
		require.Equal(t, exitDone, code, talk)
		data, err := os.ReadFile(in(within + "/report.json"))
		require.NoError(t, err)
		var report cam.MeasureReport
		require.NoError(t, json.Unmarshal(data, &report))
		roster, err := os.ReadFile(in(within + "/roster.csv"))
		require.NoError(t, err)
		require.Len(t, report.Kinds, 3)
		assert.Less(t, report.Kinds[1].HighOff, 0.8)
		assert.Positive(t, report.Kinds[1].HeightMM)
		assert.Greater(t, report.Kinds[2].HighOff, 0.8, "a smaller --within is of sizes alone")
		assert.Equal(t, !taken, strings.Contains(string(roster), "fill in the heights"))
		assert.Equal(t, !taken, strings.Contains(talk, "and 1.00 mm is allowed"), talk)
		if taken {
			assert.InDelta(t, 86, report.Kinds[0].HeightMM, report.Kinds[0].HighOff)
			assert.Greater(t, report.Kinds[0].HighOff, 1.0)
			continue
		}
		assert.Zero(t, report.Kinds[0].HeightMM)
		assert.Regexp(t, `(?m)^piece-1,1,[\d.]+,[\d.]+,,rect$`, string(roster))
		for _, said := range []string{text, talk, string(data), string(roster)} {
			assert.NotRegexp(t, `\b8[4-8]\.\d`, said)
		}
	}
}
