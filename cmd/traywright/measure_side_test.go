package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/fogleman/gg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// shelfPhoto draws, eight pixels a mm, a card on its long edge and things beside it on one line, in the card's plane: what
// each is wide and high.
func shelfPhoto(t *testing.T, name string, sizes ...[2]float64) {
	const mm, ground = 8, 105
	d := gg.NewContext(260*mm, 180*mm)
	d.SetHexColor("#e8e4da")
	d.Clear()
	d.SetHexColor("#204a87")
	d.DrawRoundedRectangle(150*mm, (ground-53.98)*mm, 85.60*mm, 53.98*mm, 3.18*mm)
	d.Fill()
	d.SetHexColor("#6a1c80")
	x := 12.0
	for _, s := range sizes {
		d.DrawRectangle(x*mm, (ground-s[1])*mm, s[0]*mm, s[1]*mm)
		d.Fill()
		x += s[0] + 9
	}
	require.NoError(t, d.SavePNG(name))
}

// One of each kind, from the side, gives all of its kind their heights, and what stands so high is
// measured anew from above; what is told of the wrong piece is not taken.
func TestMeasureTakesHeightsFromTheSide(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	tabletop(t, in("table.png"), false, false)
	shelfPhoto(t, in("side.png"), [2]float64{30, 12.5}, [2]float64{22, 20}, [2]float64{28, 7})
	measured := func(out string, more ...string) (cam.MeasureReport, int, string) {
		code, text, talk := typed(append([]string{"measure", in("table.png"), "--out", in(out), "--camera", "450", "--within", "0.8", "--json"}, more...)...)
		var report cam.MeasureReport
		if text != "" {
			require.NoError(t, json.Unmarshal([]byte(text), &report), talk)
		}
		return report, code, talk
	}
	plain, code, talk := measured("plain")
	require.Equal(t, exitDone, code, talk)
	require.Len(t, plain.Kinds, 3)
	side := []string{"--side", in("side.png"), "--side-camera", "900"}

	// In the order of their numbers: box, coin, hexagon.
	report, code, talk := measured("first", side...)
	require.Equal(t, exitDone, code, talk)
	high := map[string]float64{}
	for i, k := range report.Kinds {
		high[k.Shape] = k.HeightMM
		assert.Positive(t, k.HighOff, k.ID)
		assert.LessOrEqual(t, k.HighOff, 1.0, k.ID)
		assert.Less(t, k.LengthMM, plain.Kinds[i].LengthMM, "what stands higher is seen too large")
	}
	assert.InDelta(t, 12.5, high["rect"], 0.3)
	assert.InDelta(t, 20, high["round"], 0.3)
	assert.InDelta(t, 7, high["odd"], 0.3)
	assert.Contains(t, names(t, in("first")), "side-check.png")
	roster, err := os.ReadFile(in("first/roster.csv"))
	require.NoError(t, err)
	assert.Regexp(t, `(?m)^# heights from the side; they may be off: piece-1 by 0\.\d\d mm`, string(roster))
	assert.NotContains(t, string(roster), "fill in")
	require.Equal(t, 1, report.Kinds[0].Pieces[0].Number)

	// Of two kinds of one length the order tells; of others the length does.
	report, code, talk = measured("turned", append(side, "--stands", "2,1,4")...)
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, talk+report.Findings[0].Message, "it is seen 30.0 mm wide from the side, and from above it is")

	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{append(side, "--stands", "1,2"), exitRefused, "3 things stand beside the card, and --stands names 2"},
		{append(side, "--stands", "1,2,9"), exitRefused, "no measured piece has the number 9"},
		{append(side, "--stands", "1,1,2"), exitUsage, "--stands takes numbers of pieces, each once"},
		{append(side, "--height", "3"), exitUsage, "--side measures heights, and --height says one"},
		{[]string{"--side", in("side.png")}, exitUsage, "--side needs --side-camera"},
		{[]string{"--stands", "1,2"}, exitUsage, "--stands is of a photograph from the side"},
	} {
		report, code, talk := measured("no", c.args...)
		assert.Equal(t, c.code, code, c.want)
		for _, f := range report.Findings {
			talk += f.Message
		}
		assert.Contains(t, talk, c.want)
		assert.NoDirExists(t, in("no"))
	}
	code, _, talk = typed("measure", in("table.png"), "--out", in("no"), "--side", in("side.png"), "--side-camera", "900")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "--side needs --camera")
}
