package page

import (
	"bytes"
	"compress/zlib"
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
	for _, size := range []Paper{A4, Letter} {
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
	for _, size := range []Paper{A4, Letter} {
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
	sizes := sizesOf(t, cutSheetBytes(t, j, A4))
	largest := 0.0
	for _, pt := range sizes {
		largest = math.Max(largest, pt)
	}
	assert.Equal(t, 20.0, largest)
	j.Time, j.Sheets[0].Time = "", ""
	for _, pt := range sizesOf(t, cutSheetBytes(t, j, A4)) {
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
	pdf := cutSheetBytes(t, j, A4)
	assert.Equal(t, paperHeights[:len(asked)], asked, "the highest first")
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
