package cam_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/safety"
	"traywright/profiles"
)

// lifebuoy is a ring of ink, 200 pixels across, 100 inside, as PNG.
func lifebuoy(t testing.TB) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, 240, 240))
	for y := range 240 {
		for x := range 240 {
			r := math.Hypot(float64(x)+0.5-120, float64(y)+0.5-120)
			m.SetGray(x, y, color.Gray{Y: 255})
			if r < 100 && r > 50 {
				m.SetGray(x, y, color.Gray{Y: 20})
			}
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, m))
	return b.Bytes()
}

const buoySVG = `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20"><rect x="10" y="5" width="20" height="10"/></svg>`

// coverJob is a cover with what stands in its labels and emblems.
func coverJob(labels, emblems string) string {
	return `game: Tidewrack
machine: bench-router
trays:
  - id: cover
    size: [250, 190]
    wall: 6
    edge: 10
    layers: [{foam: pe-45, thickness: 1/4 in}]
    labels: [` + labels + `]
    emblems: [` + emblems + `]
`
}

// artRequest is a job with files beside it, read.
func artRequest(t testing.TB, text string, files fstest.MapFS) (cam.Request, finding.List) {
	t.Helper()
	files["job.yaml"] = &fstest.MapFile{Data: []byte(text)}
	j, found, err := job.Load(files, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	art, found, err := cam.ReadArt(context.Background(), files, j)
	require.NoError(t, err)
	return cam.Request{Job: j, Catalog: catalog(t), Art: art}, found
}

func file(data string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(data)} }

// A PNG, an SVG and a font in the job's folder become what is asked for; areas
// against their formulas.
func TestArt(t *testing.T) {
	r, found := artRequest(t, coverJob(`{at: [20, 20], height: 30, font: harbour.ttf, make: outline}`,
		`{picture: buoy.png, at: [20, 70], width: 80}, {picture: buoy.svg, at: [120, 70], width: 60}, {picture: buoy.svg, at: [120, 120], size: [80, 20]}`),
		fstest.MapFS{"buoy.png": {Data: lifebuoy(t)}, "buoy.svg": file(buoySVG), "harbour.ttf": {Data: gobold.TTF}})
	require.Empty(t, found)
	require.Empty(t, r.Art.Found)
	require.Len(t, r.Art.Fonts, 1)
	require.Len(t, r.Art.Pictures, 3, "one for each size")
	ring, wide, fitted := r.Job.Trays[0].Emblems[0].Picture, r.Job.Trays[0].Emblems[1].Picture, r.Job.Trays[0].Emblems[2].Picture
	assert.InEpsilon(t, math.Pi*(40*40-20*20), r.Art.Pictures[ring].Area(), 0.01)
	assert.Len(t, r.Art.Pictures[ring].Contours(), 2)
	assert.InEpsilon(t, 60*30, r.Art.Pictures[wide].Area(), 1e-9)
	assert.InEpsilon(t, 40*20, r.Art.Pictures[fitted].Area(), 1e-9, "as large as fits into both")

	result := cam.Check(r)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	tray := result.Report.Trays[0]
	require.Len(t, tray.Labels, 1)
	assert.Equal(t, "harbour.ttf", tray.Labels[0].Font)
	require.Len(t, tray.Emblems, 3)
	assert.Equal(t, "buoy.png", tray.Emblems[0].Picture)
	assert.InDelta(t, 80, tray.Emblems[0].LengthMM, 0.2)
	assert.Equal(t, []page.Inscription{{Text: "cover", On: []page.InscriptionPlace{{Tray: "cover", Copies: 1, Make: "outline", HeightMM: 30}}}}, result.Report.Proof)
}

// Files that are no pictures or fonts are findings that name the file and the
// place that wants it; a picture without ink and a mess say what to try.
func TestBadArt(t *testing.T) {
	var white, noise bytes.Buffer
	blank, mess := image.NewGray(image.Rect(0, 0, 50, 50)), image.NewGray(image.Rect(0, 0, 64, 64))
	for i := range blank.Pix {
		blank.Pix[i] = 255
	}
	for i := range mess.Pix {
		mess.Pix[i] = uint8(118 + (i*7919)%23)
	}
	require.NoError(t, png.Encode(&white, blank))
	require.NoError(t, png.Encode(&noise, mess))
	files := fstest.MapFS{
		"empty.png": file(""), "text.png": file("not a picture"), "white.png": file(white.String()), "noise.png": file(noise.String()),
		"open.svg": file(`<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><path d="M0 0 L5 5"/></svg>`),
		"buoy.svg": file(buoySVG), "font.ttf": file("not a font"), "big.png": {Data: make([]byte, 33<<20)},
	}
	for _, c := range []struct{ labels, emblems, rule, where, message string }{
		{"", "{picture: none.png, at: [20, 20], width: 50}", "picture", "none.png", "cannot be read"},
		{"", "{picture: empty.png, at: [20, 20], width: 50}", "picture", "empty.png", ""},
		{"", "{picture: text.png, at: [20, 20], width: 50}", "picture", "text.png", ""},
		{"", "{picture: big.png, at: [20, 20], width: 50}", "picture", "big.png", "has 34603008 bytes"},
		{"", "{picture: white.png, at: [20, 20], width: 50}", "picture", "white.png", ""},
		{"", "{picture: noise.png, at: [20, 20], width: 50}", "picture", "noise.png", ""},
		{"", "{picture: job.yaml, at: [20, 20], width: 50}", "picture", "job.yaml", "is no .png, .jpg or .svg"},
		{"", "{picture: open.svg, at: [20, 20], width: 50}", "picture", "open.svg", ""},
		{"", "{picture: buoy.svg, at: [20, 20], width: 50, invert: true}", "picture", "buoy.svg", "has no grey"},
		{"{at: [20, 20], height: 20, font: font.ttf}", "", "font", "font.ttf", ""},
		{"{at: [20, 20], height: 20, font: none.otf}", "", "font", "none.otf", "cannot be read"},
	} {
		r, found := artRequest(t, coverJob(c.labels, c.emblems), files)
		if c.where == "noise.png" && len(found) == 0 {
			found = r.Art.Found // it may be traced, with advice
		}
		require.Len(t, found, 1, "%s", c.where)
		assert.Contains(t, found[0].Rule, c.rule)
		assert.Contains(t, found[0].Where, c.where)
		assert.Contains(t, found[0].Message, c.message)
		assert.Contains(t, found[0].Message, "job.yaml:", "the place that wants it")
		assert.NotEmpty(t, found[0].Hint)
	}
}

// Labels of every make go through the whole pipeline, and the dry run agrees.
func TestLabelsAreCut(t *testing.T) {
	labels := `{at: [20, 20], height: 25}, {text: "Bo", at: [20, 70], height: 45, make: through}, {text: "O", at: [120, 70], height: 45, make: 3 mm},
      {text: "A", at: [170, 70], height: 45, font: go-bold, make: outline}, {text: "I", at: [212, 70], height: 45, font: go-bold}`
	emblems := `{picture: buoy.png, at: [20, 130], width: 45, make: through}, {picture: buoy.png, at: [80, 130], width: 45, make: 2 mm}, {picture: buoy.png, at: [140, 130], width: 45, make: outline}`
	r, found := artRequest(t, coverJob(labels, emblems), fstest.MapFS{"buoy.png": {Data: lifebuoy(t)}})
	require.Empty(t, found)
	result, err := cam.Cut(context.Background(), r, cam.Options{Finished: true})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	require.Len(t, result.Report.DryRun, 1)
	assert.True(t, result.Report.DryRun[0].OK)
	assert.Len(t, result.Report.Proof, 5)
	sheet := string(fileNamed(t, result, "cut-sheet.md"))
	assert.Contains(t, sheet, `- [ ] Read aloud, letter by letter: "Bo" goes onto cover: cut through, 45 mm high`)
	drawing := string(fileNamed(t, result, "cover/cover-1-pe-45-6.35mm.dxf"))
	assert.True(t, strings.Contains(drawing, "\r\nMARK\r\n"))
}

func fileNamed(t testing.TB, r cam.Result, name string) []byte {
	t.Helper()
	for _, f := range r.Files {
		if f.Path == name {
			return f.Data
		}
	}
	require.Fail(t, "no "+name)
	return nil
}

// No text becomes a command: every line of a program is a command of ours or a
// comment of printable ASCII that closes on its line (NISTIR 6556 3.3.4).
func TestNastyLabelsStayText(t *testing.T) {
	for _, text := range []string{"(M3) %", ")G1 Z-50(", "a; M3 S9", strings.Repeat("W", 200)} {
		quoted := fmt.Sprintf("%q", text)
		job := strings.Replace(coverJob("{text: "+quoted+", at: [20, 60], box: [200, 40]}", ""), "size:", "label: "+quoted+"\n    size:", 1)
		r, _ := artRequest(t, job, fstest.MapFS{})
		r.Machine = "bench-laser"
		r.Rules = []safety.Rules{{Permits: []safety.Permit{{Foam: "pe-45", Process: profiles.Laser, When: "lid closed", Line: 1}}}}
		result, err := cam.Cut(context.Background(), r, cam.Options{})
		require.NoError(t, err)
		require.True(t, len(result.Files) > 0 || len(text) == 200, "%v", result.Report.Findings)
		for _, f := range result.Files {
			if !strings.HasSuffix(f.Path, ".ngc") {
				continue
			}
			for line := range strings.Lines(string(f.Data)) {
				line = strings.TrimSuffix(line, "\n")
				assert.Regexp(t, `^(\([ -'*-~]*\)|[GMTSXYZIJFP0-9. -]+)$`, line, text)
				assert.LessOrEqual(t, len(line), 256)
			}
		}
	}
}
