package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/fogleman/gg"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// tabletop draws a card and pieces on paper, eight pixels a mm: two coins of 22 mm, a box of
// 30 x 16 mm turned by 0.3, a hexagon, and one coin beyond the border where asked for.
func tabletop(t *testing.T, name string, cut, fewer bool) {
	const mm = 8
	d := gg.NewContext(220*mm, 160*mm)
	d.SetHexColor("#e8e4da")
	d.Clear()
	d.SetHexColor("#204a87")
	d.DrawRoundedRectangle(68*mm, 54*mm, 85.60*mm, 53.98*mm, 3.18*mm)
	d.Fill()
	d.SetHexColor("#a02c1c")
	d.DrawCircle(35*mm, 40*mm, 11*mm)
	d.Fill()
	if !fewer {
		d.DrawCircle(185*mm, 80*mm, 11*mm)
		d.Fill()
	}
	d.SetHexColor("#6a1c80")
	d.Push()
	d.RotateAbout(0.3, 110*mm, 25*mm)
	d.DrawRectangle(95*mm, 17*mm, 30*mm, 16*mm)
	d.Fill()
	d.Pop()
	d.DrawRegularPolygon(6, 40*mm, 120*mm, 14*mm, 0.2)
	d.Fill()
	if cut {
		d.DrawCircle(218*mm, 130*mm, 9*mm)
		d.Fill()
	}
	require.NoError(t, d.SavePNG(name))
}

// Pieces of a photograph come out as a roster that reads again once its heights are
// filled in, equal ones in one row, an odd one with its outline, and what is cut off by the border as
// a row that no roster takes as it is.
func TestMeasureWritesARoster(t *testing.T) {
	dir := t.TempDir()
	photo, out := filepath.Join(dir, "table.png"), filepath.Join(dir, "measured")
	tabletop(t, photo, true, false)
	code, text, talk := typed("measure", photo, "--out", out, "--json")
	require.Equal(t, exitDone, code, talk)
	var report cam.MeasureReport
	require.NoError(t, json.Unmarshal([]byte(text), &report))
	require.Len(t, report.Kinds, 3)
	assert.Equal(t, 1, report.Unmeasured)
	assert.Contains(t, text, "thin, sharp shadow")
	round, box, odd := report.Kinds[0], report.Kinds[1], report.Kinds[2]
	if round.Shape != "round" {
		round, box = box, round
	}
	require.Len(t, round.Pieces, 2)
	assert.InDelta(t, 22, round.LengthMM, 0.1)
	assert.InDelta(t, 30, box.LengthMM, 0.1)
	assert.InDelta(t, 16, box.WidthMM, 0.1)
	assert.Equal(t, "odd", odd.Shape)
	assert.ElementsMatch(t, []string{"check.png", "outlines", "report.json", "roster.csv"}, names(t, out))

	roster, err := os.ReadFile(filepath.Join(out, "roster.csv"))
	require.NoError(t, err)
	_, _, err = job.ReadRoster("roster.csv", roster, units.Inch)
	assert.ErrorContains(t, err, "no height")
	assert.ErrorContains(t, err, "no count")
	filled, _, _ := strings.Cut(string(roster), "not-measured-1")
	pieces, found, err := job.ReadRoster("roster.csv", []byte(strings.NewReplacer(",,rect", ",5,rect", ",,round", ",5,round").Replace(filled)), units.Inch)
	require.NoError(t, err)
	require.Empty(t, found)
	require.Len(t, pieces, 3)
	outline := &job.Job{Trays: []job.Tray{{Pockets: []job.Pocket{{OutlineFile: odd.Outline}}}}}
	read, found, err := cam.ReadOutlines(t.Context(), os.DirFS(out), outline)
	require.NoError(t, err)
	require.Empty(t, found)
	assert.InDelta(t, 28, read[odd.Outline].Bounds().Width(), 0.2)
	assert.InDelta(t, 28*0.8660, read[odd.Outline].Bounds().Height(), 0.2)

	// Its own files give way to those of another run; what a person filled in stays.
	code, _, talk = typed("measure", photo, "--out", out)
	require.Equal(t, exitDone, code, talk)
	assert.ElementsMatch(t, []string{"check.png", "outlines", "report.json", "roster.csv"}, names(t, out))
	require.NoError(t, os.WriteFile(filepath.Join(out, "roster.csv"), []byte(filled), 0o644))
	code, _, talk = typed("measure", photo, "--out", out)
	assert.Equal(t, exitRefused, code)
	assert.Contains(t, talk, "roster.csv")
}

// Several photographs are of one set: they agree, or the run says where not and writes nothing.
func TestMeasureSeveralPhotographs(t *testing.T) {
	dir := t.TempDir()
	one, other, out := filepath.Join(dir, "one.png"), filepath.Join(dir, "other.png"), filepath.Join(dir, "measured")
	tabletop(t, one, false, false)
	tabletop(t, other, false, true)
	code, _, talk := typed("measure", one, one, "--out", out, "--camera", "400", "--height", "0.76")
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, names(t, out), "check-2.png")
	roster, err := os.ReadFile(filepath.Join(out, "roster.csv"))
	require.NoError(t, err)
	pieces, found, err := job.ReadRoster("roster.csv", roster, units.Millimetre)
	require.NoError(t, err, "the height was said")
	require.Empty(t, found)
	require.Len(t, pieces, 3)
	code, _, talk = typed("measure", one, other, "--out", filepath.Join(dir, "no"))
	assert.Equal(t, exitRefused, code)
	assert.Contains(t, talk, "other.png: has no piece as in")
	assert.Contains(t, talk, "22.0 x 22.0 mm")
	assert.NoDirExists(t, filepath.Join(dir, "no"))
}

func TestMeasureRefuses(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	photograph(t, in("alone.png"), false)
	require.NoError(t, os.WriteFile(in("job.yaml"), []byte("game: Tidewrack\n"), 0o644))
	out := in("measured")
	for _, c := range []struct {
		name string
		code int
		args []string
		want string
	}{
		{"nothing", exitUsage, []string{"--out", out}, "needs a photograph"},
		{"no folder", exitUsage, []string{in("alone.png")}, "needs a folder"},
		{"no card", exitRefused, []string{in("alone.png"), "--out", out}, "no card is found"},
		{"no picture", exitUsage, []string{in("job.yaml"), "--out", out}, "neither a PNG nor a JPEG"},
		{"height alone", exitUsage, []string{in("alone.png"), "--out", out, "--height", "20"}, "--height needs --camera"},
		{"within", exitUsage, []string{in("alone.png"), "--out", out, "--within", "0"}, "--within takes a length above 0"},
		{"one card, two photographs", exitUsage, []string{in("alone.png"), in("alone.png"), "--out", out, "--card", "1,1"}, "points into one photograph"},
	} {
		code, text, talk := typed(append([]string{"measure"}, c.args...)...)
		assert.Equal(t, c.code, code, c.name)
		assert.Contains(t, talk, c.want, c.name)
		assert.Contains(t, talk, "hint: ", c.name)
		assert.Empty(t, text, c.name)
		assert.NoDirExists(t, out, c.name)
	}
}

// A camera ten times too high is refused, and its hint, followed, measures; one that was zoomed in is told; of two things of a card's
// shape the hint points at neither alone, and each of its ways works.
func TestMeasureTellsOfItsCamera(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	tabletop(t, in("table.png"), false, false)
	code, _, talk := typed("measure", in("table.png"), "--out", in("far"), "--camera", "4500")
	assert.Equal(t, exitRefused, code)
	assert.Contains(t, talk, "and no usual one does")
	assert.Contains(t, talk, "mind the unit")
	assert.NoDirExists(t, in("far"))
	code, _, talk = typed("measure", in("table.png"), "--out", in("near"), "--camera", "450 mm")
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, talk, "as one does that was zoomed in")
	code, _, talk = typed("measure", in("table.png"), "--out", in("none"))
	assert.Equal(t, exitDone, code, talk)
	assert.NotContains(t, talk, "zoomed in")

	img, err := gg.LoadPNG(in("table.png"))
	require.NoError(t, err)
	d := gg.NewContextForImage(img)
	d.SetHexColor("#204a87")
	d.DrawRoundedRectangle(170*8, 115*8, 42.80*8, 26.99*8, 1.59*8) // half a card
	d.Fill()
	require.NoError(t, d.SavePNG(in("two.png")))
	code, _, talk = typed("measure", in("two.png"), "--out", in("two"))
	assert.Equal(t, exitRefused, code)
	assert.Regexp(t, `2 things of a card's shape .* hint: take all but one away, .* --card \d+,\d+ or --card \d+,\d+`, strings.ReplaceAll(talk, "\n", " "))
	code, text, talk := typed("measure", in("two.png"), "--out", in("two"), "--card", fmt.Sprintf("%d,%d", 110*8, 80*8))
	assert.Equal(t, exitDone, code, talk)
	assert.Regexp(t, `not measured +1\n`, text, "too far from the card")
}
