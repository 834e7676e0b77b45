package page

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// show decodes a picture, and writes it to the folder named by DRAW_SHOW, to be
// looked at.
func show(t *testing.T, name string, data []byte) image.Image {
	t.Helper()
	im, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	if dir := os.Getenv("DRAW_SHOW"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".png"), data, 0o600))
	}
	return im
}

func routerOptions(wanted *proof.Wanted) PictureOptions {
	return PictureOptions{
		Title: "crew: layer 1 of 2, pe-30", Lines: []string{"Tidewrack", "Gull Watch crew"},
		ThicknessMM: fixtureThickness, Machine: fixtureMachine(), ZeroMM: geometry.Point{X: 30, Y: 30}, Wanted: wanted,
	}
}

func drawSheet(t *testing.T, name string, r proof.Result, o PictureOptions) image.Image {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Picture(&b, r, o))
	return show(t, name, b.Bytes())
}

// badTray is the fixture with a pocket in the wrong place and one too shallow.
func badTray() (proof.Result, *proof.Wanted) {
	r, wanted := cutTray()
	cutouts := trayCutouts()
	cutouts[4].x += 3
	cutouts[7].depth = 8
	r.OK, r.Field = false, trayField(cutouts, 0.1)
	r.WorstOvercutMM, r.WorstOvercutAt = 1.25, geometry.Point{X: 120, Y: 100}
	r.WorstUndercutMM, r.WorstUndercutAt = 4, geometry.Point{X: 40, Y: 20}
	r.Findings = finding.List{
		{Line: 12, Rule: "rapid-in-foam", Message: "line 12: rapid at X52.00 Y73.60 through foam 10 mm deep"},
		{Line: 30, Rule: "feed", Message: "line 30: feed 4000 mm/min is over the machine's 3000 mm/min", Severity: finding.Warning},
	}
	return r, wanted
}

func laserOptions(wanted *proof.Wanted) PictureOptions {
	o := routerOptions(wanted)
	o.Machine.Name, o.Machine.Process = "Bench laser", profiles.Laser
	o.Machine.Tools[0].DiameterMM.Value = 0.2
	return o
}

// drawn is a picture with what is known of it.
func drawn(t *testing.T, r proof.Result, o PictureOptions) (*sheet, *image.RGBA) {
	t.Helper()
	s := newSheet(setter(t), r, o)
	return s, s.draw()
}

// at is the colour of the picture at a place of the foam.
func (s *sheet) colourAt(im *image.RGBA, x, y float64) color.RGBA {
	p := s.v.at(geometry.Point{X: x, Y: y})
	return im.RGBAAt(int(p.X), int(p.Y))
}

func TestPocketsHaveTheShadeOfTheirDepth(t *testing.T) {
	r, wanted := trayResult()
	s, im := drawn(t, r, routerOptions(wanted))
	assert.Equal(t, foamColour, s.colourAt(im, 97, 30), "foam between pockets")
	for _, k := range []struct {
		name        string
		x, y, depth float64
	}{
		{"logbook", 25, 90, 10}, {"sea charts", 184, 170, 6}, {"kraken", 122, 151, 20}, {"coin", 37, 27, 12},
	} {
		class := s.shades.class(float32(k.depth))
		assert.Equal(t, s.shades.colours[class], s.colourAt(im, k.x, k.y), k.name)
		assert.NotEqual(t, foamColour, s.colourAt(im, k.x, k.y), k.name)
	}
	seen := map[color.RGBA]bool{}
	for i := range 12 {
		seen[s.colourAt(im, 110+0.5*float64(i), 81.5)] = true
	}
	deep := s.shades.colour(fixtureThickness)
	assert.True(t, seen[deep], "the dice pocket goes through")
	assert.True(t, seen[linesOn(deep)], "and is hatched")
}

// What the drawing shows of a depth the legend shows as well, in the file that is
// written.
func TestLegendHasTheShadesOfTheField(t *testing.T) {
	r, wanted := trayResult()
	o := routerOptions(wanted)
	s, _ := drawn(t, r, o)
	im := drawSheet(t, "router", r, o)
	drawing := pixels(s.v.on())
	for _, depth := range []float64{6, 10, 12, 20, fixtureThickness} {
		inDrawing, inLegend := 0, 0
		for y := range im.Bounds().Dy() {
			for x := range im.Bounds().Dx() {
				if im.At(x, y) == s.shades.colour(depth) {
					if image.Pt(x, y).In(drawing) {
						inDrawing++
					} else if x > drawing.Max.X {
						inLegend++
					}
				}
			}
		}
		assert.Greater(t, inDrawing, 200, "%g mm in the drawing", depth)
		assert.Greater(t, inLegend, 500, "%g mm in the legend", depth)
	}
}

func TestPageSizeIsForA4(t *testing.T) {
	r, wanted := trayResult()
	im := drawSheet(t, "router", r, routerOptions(wanted)).Bounds()
	assert.Equal(t, longPX, im.Dx())
	assert.InDelta(t, math.Sqrt2, float64(im.Dx())/float64(im.Dy()), 0.12)
}

func TestKerfIsToScale(t *testing.T) {
	r, wanted := trayResult()
	s, im := drawn(t, r, routerOptions(wanted))
	edge := s.shades.colours[s.shades.class(fixtureThickness-0.4)]
	n := 0
	for y := range im.Bounds().Dy() {
		x := int(s.v.px(-1.6))
		if im.RGBAAt(x, y) == edge {
			n++
		}
	}
	assert.Greater(t, n, 500, "the groove around the tray runs along X -1.6")
	width := 0
	for x := int(s.v.px(-4)); x < int(s.v.px(3)); x++ {
		if im.RGBAAt(x, int(s.v.py(85))) == edge {
			width++
		}
	}
	assert.InDelta(t, 3.2*s.v.scale, float64(width), 3, "3.2 mm wide")
}

func TestDifferencesAreMarked(t *testing.T) {
	r, wanted := trayResult()
	s, _ := drawn(t, r, routerOptions(wanted))
	assert.False(t, s.used.over || s.used.under || s.used.crosses || s.used.flags, "nothing to mark on a good tray")

	r, wanted = badTray()
	s, im := drawn(t, r, routerOptions(wanted))
	assert.True(t, s.used.over && s.used.under && s.used.crosses && s.used.flags)
	assert.Contains(t, s.measured(), fact{"Plan", "differs by up to 4.000 mm"})
	hatched := func(x0, x1, y float64, want color.RGBA) (n int) {
		for x := s.v.px(x0); x < s.v.px(x1); x++ {
			if im.RGBAAt(int(x), int(s.v.py(y))) == want {
				n++
			}
		}
		return n
	}
	assert.Greater(t, hatched(166.2, 168.8, 90, yellow), 2, "cut beyond the dice pocket's right end")
	assert.Greater(t, hatched(104.2, 106.8, 90, purple), 2, "and short of its left end")
	drawSheet(t, "bad", r, routerOptions(wanted))
	o := routerOptions(wanted)
	o.Unit = units.Inch
	drawSheet(t, "bad-inch", r, o)
}

// What is no deeper than the labels is no difference.
func TestMarksAreNoDifference(t *testing.T) {
	r, wanted := trayResult()
	wanted.Cuts = nil
	s, _ := drawn(t, r, routerOptions(wanted))
	assert.True(t, s.used.over)
	wanted.MarkDepthMM = fixtureThickness
	s, _ = drawn(t, r, routerOptions(wanted))
	assert.False(t, s.used.over)
}

func TestLoosePiecesFallOut(t *testing.T) {
	r, wanted := laserResult()
	s, im := drawn(t, r, laserOptions(wanted))
	assert.True(t, s.used.loose)
	assert.False(t, s.used.under, "a piece that falls out is not foam left standing")
	p := s.v.at(geometry.Point{X: 30, Y: 160})
	colours := map[color.RGBA]bool{}
	for y := range 24 {
		for x := range 24 {
			colours[im.RGBAAt(int(p.X)+x, int(p.Y)+y)] = true
		}
	}
	assert.True(t, colours[paper] && colours[softInk], "dotted paper in the logbook's pocket")
	assert.Equal(t, foamColour, s.colourAt(im, 97, 90), "the tray itself stays")
	drawSheet(t, "laser", r, laserOptions(wanted))

	router, w := trayResult()
	s, _ = drawn(t, router, routerOptions(w))
	assert.False(t, s.used.loose)
}

// Without a cut around it the tray is one with the stock, and then the largest
// piece inside a cut is not the tray.
func TestAPlugIsLooseWithoutAnOutlineToo(t *testing.T) {
	f := newField(0, 0, 100, 80, 0.2)
	each(f, 20, 20, 60, 60, func(x, y float64) float64 {
		if r := math.Hypot(x-40, y-40); r > 10 && r < 10.5 {
			return 25
		}
		return 0
	})
	each(f, 80, 20, 90, 70, func(x, y float64) float64 { return 25 })
	s, im := drawn(t, proof.Result{Field: f, Motions: []proof.Motion{{To: proof.Point{Point: geometry.Point{X: 100, Y: 80}}}}}, PictureOptions{ThicknessMM: 25})
	assert.True(t, s.used.loose)
	assert.Equal(t, foamColour, s.colourAt(im, 15, 11), "the stock")
	assert.NotEqual(t, foamColour, s.colourAt(im, 42, 43), "the plug")
}

func TestManyOperationsAreNumberedInSteps(t *testing.T) {
	for n, want := range map[int]int{0: 1, 25: 1, 90: 1, 100: 5, 400: 5, 500: 10, 10000: 500} {
		assert.Equal(t, want, everyNth(n), "%d operations", n)
	}
	drawSheet(t, "crowded", crowded(400), PictureOptions{ThicknessMM: 30})
}

func TestSameBytesTwice(t *testing.T) {
	r, wanted := badTray()
	var first bytes.Buffer
	require.NoError(t, Picture(&first, r, routerOptions(wanted)))
	var all sync.WaitGroup
	for range 3 {
		all.Go(func() {
			var b bytes.Buffer
			assert.NoError(t, Picture(&b, r, routerOptions(wanted)))
			assert.True(t, bytes.Equal(first.Bytes(), b.Bytes()))
		})
	}
	all.Wait()
}

func TestAwkwardResultsStillGiveAPicture(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	move := func(x, y float64) proof.Motion {
		return proof.Motion{On: true, Op: "a", To: proof.Point{Point: geometry.Point{X: x, Y: y}, Z: -1}}
	}
	arc := move(5, 5)
	arc.Arc, arc.Center = true, geometry.Point{X: nan, Y: inf}
	tooShort := newField(0, 0, 10, 10, 0.5)
	tooShort.DepthMM = tooShort.DepthMM[:7]
	for name, r := range map[string]proof.Result{
		"empty":           {},
		"not numbers":     {Motions: []proof.Motion{move(nan, 3), move(inf, -inf), arc}, Seconds: nan, CutMM: inf, RemovedMM3: nan, WorstOvercutMM: nan},
		"far away":        {Motions: []proof.Motion{move(1e300, 0), move(9e5, -9e5), move(0, 0)}},
		"one point":       {Motions: []proof.Motion{move(4, 4)}},
		"short field":     {Field: tooShort, Motions: []proof.Motion{move(4, 4)}},
		"field of zeros":  {Field: proof.Field{CellMM: 0, Columns: 3, Rows: 3, DepthMM: make([]float32, 9)}},
		"negative cells":  {Field: proof.Field{CellMM: 1, Columns: -3, Rows: 3, DepthMM: make([]float32, 9)}},
		"field elsewhere": {Field: proof.Field{Origin: geometry.Point{X: nan}, CellMM: 1, Columns: 3, Rows: 3, DepthMM: make([]float32, 9)}},
		"depths":          {Field: strip(float32(nan), float32(inf), -4, 3e38, 2), Motions: []proof.Motion{move(4, 0)}},
		"long and thin":   {Motions: []proof.Motion{move(0, 0), move(2000, 3)}, Field: newField(-5, -5, 2010, 13, 1)},
		"tall":            {Motions: []proof.Motion{move(0, 0), move(3, 900)}, Field: newField(-5, -5, 13, 910, 1)},
		"findings":        {Findings: make(finding.List, 500), Motions: []proof.Motion{move(4, 4)}},
		"long words":      {Path: strings.Repeat("x", 3000), Header: map[string]string{"job": strings.Repeat("Ünï帆 ", 900), "kerf": "T1\nT2 x mm\n"}},
	} {
		for _, o := range []PictureOptions{{}, {ThicknessMM: nan, Unit: units.Inch, Title: "帆\n船", Lines: make([]string, 40), Wanted: &proof.Wanted{}, Machine: fixtureMachine(), ZeroMM: geometry.Point{X: inf}}} {
			im := drawSheet(t, "awkward-"+name, r, o).Bounds()
			assert.LessOrEqual(t, im.Dx(), longPX, name)
			assert.LessOrEqual(t, im.Dy(), longPX+extraPX, name)
			assert.GreaterOrEqual(t, im.Dx(), shortPX, name)
		}
	}
}

func TestWritersErrorComesBack(t *testing.T) {
	assert.ErrorContains(t, Picture(failing{}, proof.Result{}, PictureOptions{}), "disk full")
	assert.ErrorContains(t, Overview(failing{}, nil, OverviewOptions{}), "disk full")
	assert.ErrorContains(t, Section(failing{}, proof.Result{}, AtX, 0, SectionOptions{}), "disk full")
}

func BenchmarkSheet(b *testing.B) {
	r, wanted := trayResult()
	o := routerOptions(wanted)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := Picture(&out, r, o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(out.Len())/1024, "KiB")
}

// A sheet as large as the bed of the laser that ships with the program, at its
// finest cell.
func BenchmarkSheetOf600By400(b *testing.B) {
	r := crowded(400)
	r.Field = newField(-5, -5, 610, 410, 0.1)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := Picture(&out, r, PictureOptions{ThicknessMM: 30}); err != nil {
			b.Fatal(err)
		}
	}
}
