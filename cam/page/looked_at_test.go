package page

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/kerf"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

// What is on a page, and where, no rule decides: someone has to look at it. The pages in
// testdata/looked-at were, and what changes one has to be looked at again (lookedat.Anew).
//
// An eighth of a picture is kept, and half a shade in sixteen is forgiven: less than a
// line of a pixel's width that is missing.
const (
	keptShare  = 8
	mostShades = 8
)

// smaller is a picture's mean over squares, larger ones where it ends within one.
func smaller(im image.Image) *image.RGBA {
	b := im.Bounds()
	out := image.NewRGBA(image.Rect(0, 0, (b.Dx()+keptShare-1)/keptShare, (b.Dy()+keptShare-1)/keptShare))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			var sum [3]uint32
			n := uint32(0)
			for v := y * keptShare; v < min((y+1)*keptShare, b.Dy()); v++ {
				for u := x * keptShare; u < min((x+1)*keptShare, b.Dx()); u++ {
					c := color.RGBAModel.Convert(im.At(b.Min.X+u, b.Min.Y+v)).(color.RGBA)
					sum[0], sum[1], sum[2], n = sum[0]+uint32(c.R), sum[1]+uint32(c.G), sum[2]+uint32(c.B), n+1
				}
			}
			out.SetRGBA(x, y, color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255})
		}
	}
	return out
}

// sameAsLookedAt holds a picture against the one that was looked at.
func sameAsLookedAt(t *testing.T, name string, im image.Image) {
	t.Helper()
	got, file := smaller(im), lookedat.File(name+".png")
	if *lookedat.Anew {
		var b bytes.Buffer
		require.NoError(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, got))
		require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	}
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	want, err := png.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	if !assert.Equal(t, want.Bounds(), got.Bounds(), name) {
		return
	}
	for y := range got.Rect.Dy() {
		for x := range got.Rect.Dx() {
			a, b := color.RGBAModel.Convert(want.At(x, y)).(color.RGBA), got.RGBAAt(x, y)
			off := max(math.Abs(float64(a.R)-float64(b.R)), math.Abs(float64(a.G)-float64(b.G)), math.Abs(float64(a.B)-float64(b.B)))
			if !assert.LessOrEqual(t, off, float64(mostShades), "%s is not as it was looked at, at pixel %d, %d", name, keptShare*x, keptShare*y) {
				return
			}
		}
	}
}

func TestSheetsAsLookedAt(t *testing.T) {
	butNotRaced(t)
	router, wanted := trayResult()
	bad, badWanted := badTray()
	laser, laserWanted := laserResult()
	failing, _ := faulty(25)
	inches := routerOptions(wanted)
	inches.Unit = units.Inch
	set := setter(t)
	for name, s := range map[string]*sheet{
		"router":  newSheet(set, router, routerOptions(wanted)),
		"inches":  newSheet(set, router, inches),
		"bad":     newSheet(set, bad, routerOptions(badWanted)),
		"failing": newSheet(set, failing, routerOptions(wanted)),
		"laser":   newSheet(set, laser, laserOptions(laserWanted)),
		"crowded": newSheet(set, crowded(400), PictureOptions{ThicknessMM: 30}),
	} {
		sameAsLookedAt(t, "sheet-"+name, s.draw())
	}
	for i, high := range []float64{paperHeights[0], paperHeights[len(paperHeights)-1]} {
		s := newSheet(set, router, routerOptions(wanted))
		s.onPaper, s.paperPX = true, high
		sameAsLookedAt(t, fmt.Sprintf("sheet-paper-%d", i+1), s.draw())
	}
}

func TestOverviewsAsLookedAt(t *testing.T) {
	butNotRaced(t)
	for name, o := range map[string]OverviewOptions{"mm": {}, "inches": {Unit: units.Inch, Lines: []string{"arranged, not cut yet"}}} {
		for _, onPaper := range []bool{false, true} {
			v := newOverview(setter(t), demoPlan(t), o, onPaper)
			parts := v.parts()
			for i, rows := range parts {
				sameAsLookedAt(t, fmt.Sprintf("overview-%s-%t-%d", name, onPaper, i+1), v.draw(rows, i == len(parts)-1))
			}
		}
	}
}

func TestSectionsAndFramesAsLookedAt(t *testing.T) {
	butNotRaced(t)
	r, wanted := trayResult()
	o := SectionOptions{Title: "crew: layer 1 of 2", Layers: []SectionLayer{{"pe-30", 19.05}, {"pe-45", 6.35}}, Wanted: wanted}
	sameAsLookedAt(t, "section-y", newSection(setter(t), r, AtY, 130, o).draw().im)
	o.Unit = units.Inch
	sameAsLookedAt(t, "section-x", newSection(setter(t), r, AtX, 208, o).draw().im)
	frames := FrameOptions{PictureOptions: routerOptions(wanted)}
	require.NoError(t, Frames(r, 3, frames, func(number int, data []byte) error {
		im, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		sameAsLookedAt(t, fmt.Sprintf("frame-%d", number), im)
		return nil
	}))
}

func TestChartsAsLookedAt(t *testing.T) {
	butNotRaced(t)
	fits := kerfFits(t, measuredTable())
	for _, unit := range []units.Unit{units.Millimetre, units.Inch} {
		for i, f := range fits[:2] {
			sameAsLookedAt(t, fmt.Sprintf("fit-%d-%s", i+1, unit), drawFit(setter(t), f, unit).im)
		}
		for _, c := range kerf.Curves(fits) {
			sameAsLookedAt(t, "curve-"+unit.String(), drawCurve(setter(t), c, unit).im)
		}
		for _, l := range kerf.Ladders(fits) {
			sameAsLookedAt(t, "ladder-"+unit.String(), drawLadder(setter(t), l, unit).im)
		}
	}
}

// What is printed is held as the PDF says it: its pages' contents, unpacked.
func TestPaperAsLookedAt(t *testing.T) {
	butNotRaced(t)
	large := tray(400, 280, pocket("keg", box(20, 20, 60, 40), 12.7), pocket("mast", box(100, 20, 60, 40), 31.75), pocket("a name much longer than its pocket", box(300, 200, 9, 30), 6))
	for name, pdf := range map[string][]byte{
		"cutsheet-a4":      cutSheetBytes(t, cutSheetJob(t, 2), a4),
		"cutsheet-letter":  cutSheetBytes(t, cutSheetJob(t, 1), letter),
		"templates-a4":     templateBytes(t, a4, tray(250, 190, pocket("keg", box(20, 20, 60, 40), 12.7)), large),
		"templates-letter": templateBytes(t, letter, large),
	} {
		said := pagesOf(pdf)
		require.NotEmpty(t, said)
		lookedat.Text(t, name+".txt", said)
	}
}

// pagesOf is what a PDF says on its pages, unpacked.
func pagesOf(pdf []byte) string {
	var said strings.Builder
	for _, m := range packed.FindAllSubmatch(pdf, -1) {
		z, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue
		}
		content, _ := io.ReadAll(z)
		if !bytes.HasPrefix(content, []byte("0 J")) {
			continue // a picture, or a font
		}
		for _, b := range bytes.ReplaceAll(content, []byte{0}, nil) { // letters are UTF-16
			said.WriteRune(rune(b))
		}
	}
	return said.String()
}

var printed = regexp.MustCompile(`\(((?:[^()\\]|\\.)*)\) ?Tj`)

// wordsOf is what a PDF says, its lines in one.
func wordsOf(pdf []byte) string {
	var lines []string
	for _, m := range printed.FindAllStringSubmatch(pagesOf(pdf), -1) {
		lines = append(lines, regexp.MustCompile(`\\(.)`).ReplaceAllString(m[1], "$1"))
	}
	return strings.Join(lines, " ")
}

// butNotRaced leaves pages that are compared byte for byte to the run without the race detector,
// which draws them ten times as fast.
func butNotRaced(t *testing.T) {
	if raced {
		t.Skip("compared in the run without the race detector")
	}
}
