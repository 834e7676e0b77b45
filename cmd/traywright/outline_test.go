package main

import (
	"bytes"
	"context"
	"encoding/json"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/fogleman/gg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
)

// photograph draws a card and a buoy, a disc 40 mm across with a handle, on paper, four
// pixels a mm, and saves it.
func photograph(t *testing.T, name string, withCard bool) {
	const mm = 4
	d := gg.NewContext(200*mm, 140*mm)
	d.SetHexColor("#e8e4da")
	d.Clear()
	if withCard {
		d.SetHexColor("#204a87")
		d.DrawRoundedRectangle(20*mm, 40*mm, 85.60*mm, 53.98*mm, 3.18*mm)
		d.Fill()
	}
	d.SetHexColor("#a02c1c")
	d.DrawCircle(155*mm, 70*mm, 20*mm)
	d.Fill()
	d.DrawRectangle(150*mm, 30*mm, 10*mm, 30*mm)
	d.Fill()
	require.NoError(t, d.SavePNG(name))
}

// typed runs the program as typed, in a folder.
func typed(args ...string) (code int, out, talk string) {
	var o, e bytes.Buffer
	code = run(context.Background(), append([]string{"traywright"}, args...), strings.NewReader(""), &o, &e)
	return code, o.String(), e.String()
}

func names(t *testing.T, dir string) (found []string) {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		found = append(found, e.Name())
	}
	return found
}

// The outline of a photograph is a pocket's `outline:` like any other, at true size.
func TestOutlineOfAPhotographReadsBackAtTrueSize(t *testing.T) {
	for _, kind := range []string{"dxf", "svg"} {
		dir := t.TempDir()
		photo, out := filepath.Join(dir, "buoy.png"), filepath.Join(dir, "buoy."+kind)
		photograph(t, photo, true)
		code, text, talk := typed("outline", photo, "--out", out, "--clearance", "1 mm", "--tool-radius", "1.5")
		require.Equal(t, exitDone, code, talk)
		assert.Contains(t, text, "card: edges straight to 0.0")
		assert.Contains(t, talk, "buoy-check.png before you cut")
		assert.ElementsMatch(t, []string{"buoy-check.png", "buoy." + kind, "buoy.png"}, names(t, dir))

		j := &job.Job{Trays: []job.Tray{{Pockets: []job.Pocket{{OutlineFile: "buoy." + kind}}}}}
		read, found, err := cam.ReadOutlines(context.Background(), os.DirFS(dir), j)
		require.NoError(t, err)
		require.Empty(t, found)
		box := read["buoy."+kind].Bounds()
		assert.InDelta(t, 40+2, box.Width(), 0.2)
		assert.InDelta(t, 60+2, box.Height(), 0.3)
		// Disc and handle, less the handle's part inside the disc: its segment beyond the disc
		// is 10 mm wide from y = 30 mm to the rim; then Steiner's formula is an upper bound.
		rim := 20 * math.Cos(math.Asin(5.0/20))
		piece := math.Pi*400 + 10*(40-rim) - (400*math.Asin(5.0/20) - 5*rim)
		area := read["buoy."+kind].Area()
		assert.Greater(t, area, piece)
		assert.Less(t, area, piece+1*(2*math.Pi*20+2*40)+math.Pi)

		check, err := os.Open(filepath.Join(dir, "buoy-check.png"))
		require.NoError(t, err)
		defer check.Close()
		header, err := png.DecodeConfig(check)
		require.NoError(t, err)
		assert.Equal(t, [2]int{800, 560}, [2]int{header.Width, header.Height})
	}
}

func TestOutlineAsJSON(t *testing.T) {
	dir := t.TempDir()
	photo := filepath.Join(dir, "buoy.png")
	photograph(t, photo, true)
	code, text, talk := typed("outline", photo, "--out", filepath.Join(dir, "buoy.dxf"), "--json", "--camera", "500", "--height", "10 mm", "--picture", filepath.Join(dir, "look.png"))
	require.Equal(t, exitDone, code, talk)
	var report outlineReport
	require.NoError(t, json.Unmarshal([]byte(text), &report))
	assert.InDelta(t, 40*490/499.24, report.Piece[0], 0.2)
	assert.InDelta(t, report.Piece[0]+1, report.Pocket[0], 0.01)
	assert.InDelta(t, 4, report.PixelsPerMM, 0.02)
	assert.InDelta(t, 3.18, report.RadiusMM, 0.5)
	assert.Positive(t, report.ParallaxPerMM)
	assert.Equal(t, []string{"buoy.dxf", "buoy.png", "look.png"}, names(t, dir))
}

func TestOutlineRefuses(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	photograph(t, in("buoy.png"), true)
	photograph(t, in("alone.png"), false)
	require.NoError(t, os.WriteFile(in("job.yaml"), []byte("game: Tidewrack\n"), 0o644))
	require.NoError(t, os.MkdirAll(in("folder.dxf"), 0o755))
	require.NoError(t, os.WriteFile(in("kept.dxf"), []byte("kept"), 0o644))
	before := names(t, dir)
	out := in("new.dxf")
	for _, c := range []struct {
		name string
		code int
		args []string
		want string
	}{
		{"no card", exitRefused, []string{in("alone.png"), "--out", out}, "no card is found"},
		{"no photograph", exitUsage, []string{in("gone.png"), "--out", out}, "cannot be read"},
		{"no picture", exitUsage, []string{in("job.yaml"), "--out", out}, "neither a PNG nor a JPEG"},
		{"a folder", exitUsage, []string{dir, "--out", out}, "cannot be read"},
		{"nothing to write", exitUsage, []string{in("buoy.png")}, "needs a file"},
		{"another format", exitUsage, []string{in("buoy.png"), "--out", in("new.pdf")}, "neither .dxf nor .svg"},
		{"there already", exitUsage, []string{in("buoy.png"), "--out", in("kept.dxf")}, "is there already"},
		{"a folder to write to", exitUsage, []string{in("buoy.png"), "--out", in("folder.dxf"), "--force"}, "is no file"},
		{"over the photograph", exitUsage, []string{in("buoy.png"), "--out", out, "--picture", in("buoy.png"), "--force"}, "the photograph itself"},
		{"one name", exitUsage, []string{in("buoy.png"), "--out", out, "--picture", out}, "one file"},
		{"no place", exitUsage, []string{in("buoy.png"), "--out", in("gone/new.dxf")}, "cannot be written"},
		{"clearance", exitUsage, []string{in("buoy.png"), "--out", out, "--clearance", "wide"}, "--clearance takes"},
		{"height alone", exitUsage, []string{in("buoy.png"), "--out", out, "--height", "20"}, "--height needs --camera"},
		{"threshold", exitUsage, []string{in("buoy.png"), "--out", out, "--threshold", "40"}, "--threshold takes"},
		{"pixel", exitUsage, []string{in("buoy.png"), "--out", out, "--card", "here"}, "--card takes a pixel"},
		{"pixel outside", exitRefused, []string{in("buoy.png"), "--out", out, "--card", "9000,10"}, "outside the picture"},
		{"wrong card", exitRefused, []string{in("buoy.png"), "--out", out, "--card", "620,280"}, "no card is found"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, text, talk := typed(append([]string{"outline"}, c.args...)...)
			assert.Equal(t, c.code, code)
			assert.Contains(t, talk, c.want)
			assert.Contains(t, talk, "hint: ")
			assert.Empty(t, text)
			assert.Equal(t, before, names(t, dir), "nothing is written")
		})
	}
	kept, err := os.ReadFile(in("kept.dxf"))
	require.NoError(t, err)
	assert.Equal(t, "kept", string(kept))
}
