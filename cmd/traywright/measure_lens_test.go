package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/fogleman/gg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// dots draws the page of dots as a lens without fault sees it.
func dots(t *testing.T, name string, w, h int) {
	d := gg.NewContext(w, h)
	d.SetHexColor("#e8e4da")
	d.Clear()
	d.SetHexColor("#202020")
	for x := 20.0; x < float64(w); x += 60 {
		for y := 25.0; y < float64(h); y += 60 {
			d.DrawCircle(x, y, 12)
			d.Fill()
		}
	}
	require.NoError(t, d.SavePNG(name))
}

// A photograph of the dots becomes a file, and pieces are measured with it.
func TestMeasureALens(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	dots(t, in("grid.png"), 1760, 1280)
	dots(t, in("wide.png"), 1760, 1000)
	tabletop(t, in("table.png"), false, false)
	code, text, talk := typed("measure", "--grid", in("grid.png"), "--out", in("my-lens.yaml"))
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, text, "the lens moves the picture's corners by")
	assert.Contains(t, talk, "give --lens")
	file, err := os.ReadFile(in("my-lens.yaml"))
	require.NoError(t, err)
	lens, err := cam.ReadLens("my-lens.yaml", file)
	require.NoError(t, err)
	assert.InDelta(t, 0, lens.K1, 0.001)
	assert.Contains(t, string(file), "residual_pixels: 0.")

	code, text, talk = typed("measure", in("table.png"), "--out", in("with"), "--lens", in("my-lens.yaml"))
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, text, "piece-1")
	assert.Contains(t, talk, "sizes rest on what is shown", "a PNG names no camera")
	bent := filepath.Join(dir, "other.yaml")
	require.NoError(t, os.WriteFile(bent, []byte("k1: 0.04\nk2: 0\noff: 0.0004\nwidth: 1760\nheight: 1280\n"), 0o600))
	dots(t, in("small.png"), 880, 640)
	code, _, talk = typed("measure", "--grid", in("small.png"), "--out", in("small.yaml"))
	require.Equal(t, exitDone, code, talk)

	code, _, talk = typed("measure", "--grid", in("wide.png"), "--out", in("wide.yaml"))
	require.Equal(t, exitDone, code, talk)
	for _, c := range []struct {
		code int
		args []string
		want string
	}{
		{exitUsage, []string{"--grid", in("grid.png"), "--out", in("my-lens.yaml")}, "is there already"},
		{exitUsage, []string{"--grid", in("grid.png")}, "needs a file to write"},
		{exitUsage, []string{in("table.png"), "--grid", in("grid.png"), "--out", in("no")}, "takes one photograph"},
		{exitRefused, []string{"--grid", in("table.png"), "--out", in("no")}, "in rows and columns"},
		{exitRefused, []string{in("table.png"), "--out", in("no"), "--lens", in("wide.yaml")}, "another camera, or one of them was cropped"},
		{exitRefused, []string{in("table.png"), "--out", in("no"), "--lens", in("small.yaml")}, "made smaller"},
		{exitRefused, []string{in("table.png"), "--out", in("no"), "--lens", bent}, "the lens file is not of the lens that took this photograph"},
		{exitUsage, []string{in("table.png"), "--out", in("no"), "--lens", in("grid.png")}, "grid.png"},
		{exitUsage, []string{"--sheet", "--out", in("no"), "--lens", in("my-lens.yaml")}, "--lens is for photographs"},
	} {
		code, _, talk := typed(append([]string{"measure"}, c.args...)...)
		assert.Equal(t, c.code, code, c.want)
		assert.Contains(t, talk, c.want)
		assert.NoFileExists(t, in("no"))
	}
}
