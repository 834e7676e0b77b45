package page

import (
	"bytes"
	"compress/zlib"
	"image/color"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry/units"
)

var (
	packed   = regexp.MustCompile(`(?s)/Filter /FlateDecode[^>]*>>\nstream\n(.*?)\nendstream`)
	fontSize = regexp.MustCompile(`/F\w+ ([\d.]+) Tf`)
)

// sizesOf are the sizes of letters that a PDF sets text in, in points: the operand of
// Tf in its content streams (ISO 32000-1, 9.3.1).
func sizesOf(t *testing.T, pdf []byte) (sizes []float64) {
	t.Helper()
	for _, m := range packed.FindAllSubmatch(pdf, -1) {
		z, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue
		}
		content, _ := io.ReadAll(z)
		for _, f := range fontSize.FindAllSubmatch(content, -1) {
			size, err := strconv.ParseFloat(string(f[1]), 64)
			require.NoError(t, err)
			sizes = append(sizes, size)
		}
	}
	require.NotEmpty(t, sizes)
	return sizes
}

// The design allows no text under 7 point on paper; small pockets, long names and
// long lists are where letters shrink.
func TestNoLettersUnder7PointOnPaper(t *testing.T) {
	j := cutSheetJob(t, 3)
	for i := range j.Sheets {
		for range 40 {
			j.Sheets[i].Cautions = append(j.Sheets[i].Cautions, "Stay with the machine: never run it unattended.")
		}
	}
	small := tray(250, 190, pocket("a name much longer than its pocket", box(20, 20, 9, 9), 12.7), pocket("mast", box(60, 20, 4, 60), 12.7), pocket("keg", box(90, 30, 40, 40), 25.4))
	large := tray(600, 400, pocket("keg", box(20, 20, 30, 40), 25.4))
	for _, size := range []Paper{a4, letter} {
		for _, pdf := range [][]byte{cutSheetBytes(t, j, size), cutSheetBytes(t, cutSheetJob(t, 1), size), templateBytes(t, size, small, large)} {
			for _, pt := range sizesOf(t, pdf) {
				require.GreaterOrEqual(t, pt, 7.0)
			}
		}
	}
}

// Pictures on paper are always as wide as the text, so that their smallest letters
// keep their size too; a page on a screen that is printed on A4 does as well.
func TestLettersOfPicturesOnPaper(t *testing.T) {
	for _, size := range []Paper{a4, letter} {
		width, _ := size.mm()
		perPixel := (width - 2*margin) / (shortPX * (1 - 2*bleed))
		assert.GreaterOrEqual(t, smallType.size*perPixel/pointMM, 7.0)
	}
	assert.GreaterOrEqual(t, smallType.size*297/longPX/pointMM, 7.0)
	for _, st := range []style{titleType, headingType, bodyType, strongType, numberType} {
		assert.GreaterOrEqual(t, st.size, smallType.size)
		assert.Less(t, st.size, figureType.size, "the figure is the largest")
	}
}

// A sheet's page begins with how long it takes, larger than all else on it.
func TestTheLargestFigureIsTheTime(t *testing.T) {
	j := cutSheetJob(t, 1)
	sizes := sizesOf(t, cutSheetBytes(t, j, a4))
	largest := 0.0
	for _, pt := range sizes {
		largest = math.Max(largest, pt)
	}
	assert.Equal(t, 20.0, largest)
	j.Time, j.Sheets[0].Time = "", ""
	for _, pt := range sizesOf(t, cutSheetBytes(t, j, a4)) {
		assert.Less(t, pt, 20.0, "nothing but the time is as large")
	}
}

// A sheet whose text needs the room gets a lower picture before it gets a second
// page, and only the picture that is shown goes into the file.
func TestAPictureMakesRoomForText(t *testing.T) {
	j := cutSheetJob(t, 1)
	for range 20 {
		j.Sheets[0].Cautions = append(j.Sheets[0].Cautions, "Stay with the machine: never run it unattended, and keep the lid shut for as long as anything turns or burns.")
	}
	var asked []float64
	draw := j.Sheets[0].Picture
	j.Sheets[0].Picture = func(high float64) ([]byte, error) { asked = append(asked, high); return draw(high) }
	pdf := cutSheetBytes(t, j, a4)
	assert.Subset(t, paperHeights, asked)
	assert.Equal(t, 2, bytes.Count(pdf, []byte("/Subtype /Image")))
}

// Of many trays the overview fills several pages, none higher than a page has room
// for, and every tray is on one of them.
func TestTheOverviewOnPaperGoesOnOverleaf(t *testing.T) {
	p := demoPlan(t)
	many := &plan.Plan{Cases: p.Cases}
	for i := range 30 {
		many.Trays = append(many.Trays, p.Trays[i%8])
	}
	v := newOverview(setter(t), many, OverviewOptions{Unit: units.Millimetre}, true)
	trays, cases := 0, 0
	parts := v.parts()
	for _, rows := range parts {
		assert.LessOrEqual(t, v.height(rows), tallestOnPaper*shortPX)
		for _, row := range rows {
			for _, it := range row {
				if it.kase >= 0 {
					cases++
				} else {
					trays++
				}
			}
		}
	}
	assert.Greater(t, len(parts), 1)
	assert.Equal(t, 30, trays)
	assert.Equal(t, len(p.Cases), cases)
	pictures, err := overviewOnPaper(many, OverviewOptions{})
	require.NoError(t, err)
	assert.Len(t, pictures, len(parts))
}

// says reports whether a page has a text, which the PDF holds as UTF-16 (ISO 32000-1,
// 9.7); for texts without brackets and backslashes.
func says(pdf []byte, text string) bool {
	var wide []byte
	for _, r := range text {
		wide = append(wide, byte(r>>8), byte(r))
	}
	for _, m := range packed.FindAllSubmatch(pdf, -1) {
		if z, err := zlib.NewReader(bytes.NewReader(m[1])); err == nil {
			if content, _ := io.ReadAll(z); bytes.Contains(content, wide) {
				return true
			}
		}
	}
	return false
}

// Whoever prints a template can read off its bar, and what is drawn.
func TestTemplatesSayWhatTheyAre(t *testing.T) {
	pdf := templateBytes(t, a4, tray(250, 190, pocket("keg", box(20, 20, 60, 40), 12.7), pocket("mast", box(100, 20, 60, 40), 31.75)))
	for _, text := range []string{"100 mm", "50", "250 × 190 mm", "crew · Tidewrack crew", "outline of the tray", "keg", "12.7 mm deep", "Print at 100 %, no fit to page"} {
		assert.True(t, says(pdf, text), text)
	}
	assert.False(t, says(pdf, "page 1 of"), "there is one page only")
	assert.True(t, says(templateBytes(t, a4, tray(400, 280)), "page 1 of 4: lay equal letters on each other"))
	sheet := cutSheetBytes(t, cutSheetJob(t, 2), a4)
	for _, text := range []string{"1 h 02 min", "Cut sheet for Tidewrack", "crew/2.ngc", "If it burns", "1 of 3", "3 of 3"} {
		assert.True(t, says(sheet, text), text)
	}
}

// A name is read sideways where it would have to be cut otherwise, or is larger by more
// than a point.
func TestALabelIsTurnedForAReason(t *testing.T) {
	assert.True(t, label{size: 8.5, whole: true}.better(label{size: 7, whole: true}))
	assert.False(t, label{size: 8, whole: true}.better(label{size: 7, whole: true}))
	assert.True(t, label{size: 7, whole: true}.better(label{size: 11}))
	assert.False(t, label{size: 11}.better(label{size: 7, whole: true}))
}

// What has the paper's colour is not printed on paper, and all else is.
func TestPaperIsNotPrinted(t *testing.T) {
	c := newCanvas(setter(t), 40, 20)
	c.fill(rect{10, 5, 10, 10}, ink)
	for _, onPaper := range []bool{false, true} {
		var b bytes.Buffer
		require.NoError(t, encode(&b, c.im, onPaper))
		im, err := png.Decode(&b)
		require.NoError(t, err)
		_, _, _, alpha := im.At(1, 1).RGBA()
		assert.Equal(t, onPaper, alpha == 0)
		assert.Equal(t, ink, im.At(12, 8))
	}
	var b bytes.Buffer
	c.fill(c.bounds(), ink)
	require.NoError(t, encode(&b, c.im, true), "no paper is left")
}

// Six foams in section are told apart in grey: each has a pattern of its own.
func TestFoamsInSectionDiffer(t *testing.T) {
	seen := map[string]int{}
	for foam := range 6 {
		pattern := ""
		for y := range 24 {
			for x := range 24 {
				pattern += strconv.FormatBool(foamPixel(x, y, foam) == softInk)
			}
		}
		if other, again := seen[pattern]; again {
			t.Errorf("foams %d and %d look alike", other, foam)
		}
		seen[pattern] = foam
		assert.NotEqual(t, foamPixel(3, 3, foam), color.RGBA{})
	}
}
