package page

import (
	"bytes"
	"errors"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/stock"
	"traywright/geometry/units"
)

var (
	pageObject = regexp.MustCompile(`/Type /Page\n`)
	mediaBox   = regexp.MustCompile(`/MediaBox \[([^\]]*)\]`)
)

func pageCount(pdf []byte) int { return len(pageObject.FindAll(pdf, -1)) }

// pageBoxes are the different media boxes in the file.
func pageBoxes(pdf []byte) map[string]bool {
	found := map[string]bool{}
	for _, m := range mediaBox.FindAllSubmatch(pdf, -1) {
		found[string(m[1])] = true
	}
	return found
}

// A4 is 210 x 297 mm (ISO 216), Letter 8.5 x 11 in; 72 points are an inch (ISO
// 32000-1, 8.3.2.3).
func TestPageBoxes(t *testing.T) {
	for size, want := range map[Paper]string{a4: "0 0 595.28 841.89", letter: "0 0 612.00 792.00"} {
		pdf := cutSheetBytes(t, cutSheetJob(t, 3), size)
		assert.Equal(t, 4, pageCount(pdf), size)
		assert.Equal(t, map[string]bool{want: true}, pageBoxes(pdf), size)
	}
}

// Sheets that are parted first are drawn on a page of their own.
func TestSheetsToPartAreAPageOfThePDF(t *testing.T) {
	sawn, err := sawPages([]stock.Parted{{Sheet: "sheet-1", SizeMM: [2]float64{1000, 310}, Panels: []stock.Rect{{LengthMM: 333, WidthMM: 310}, {XMM: 333, LengthMM: 333, WidthMM: 310}, {XMM: 666, LengthMM: 334, WidthMM: 310}}}}, nil, units.Millimetre)
	require.NoError(t, err)
	job := cutSheetJob(t, 1)
	without := pageCount(cutSheetBytes(t, job, a4))
	job.Sawn = sawn
	assert.Equal(t, without+1, pageCount(cutSheetBytes(t, job, a4)))
}

func TestTemplatePages(t *testing.T) {
	for _, c := range []struct {
		name          string
		width, height float64
		size          Paper
		pages         int
	}{
		{"a small tray, one page", 120, 80, a4, 1},
		{"as wide as a lying A4 has room for", 252, 192, a4, 1},
		{"the same on Letter", 252, 192, letter, 2},
		{"upright", 180, 250, a4, 1},
		{"four pages", 400, 280, a4, 4},
		{"a sheet of a large machine", 600, 400, a4, 8},
	} {
		assert.Equal(t, c.pages, pageCount(templateBytes(t, c.size, tray(c.width, c.height))), c.name)
	}
}

func TestSameBytes(t *testing.T) {
	j := cutSheetJob(t, 12) // enough pictures of one width for the order of a map to show
	large := tray(600, 400, pocket("keg", box(20, 20, 30, 40), 25.4))
	first, second := cutSheetBytes(t, j, a4), templateBytes(t, a4, large)
	for range 5 {
		require.True(t, bytes.Equal(first, cutSheetBytes(t, j, a4)))
		require.True(t, bytes.Equal(second, templateBytes(t, a4, large)))
	}
}

func TestNames(t *testing.T) {
	for _, s := range []Paper{a4, letter} {
		got, known := PaperNamed(s.String())
		assert.True(t, known)
		assert.Equal(t, s, got)
	}
	_, known := PaperNamed("a5")
	assert.False(t, known)
}

// awkward are texts that broke, or might break, a PDF, a font or a layout.
var awkward = []string{
	"", " ", "\x00\x1b[31m", "(unclosed", "\\(\\\\)", "endstream endobj", "{nb}", "κράκεν", "Łódź", "日本", "🐙", "e\u0301", "\u202egnp.exe",
	"\xff\xfe", "%PDF-1.3\n%%EOF", "\r\n\t", strings.Repeat("x", 3000), strings.Repeat("kraken ", 500), "\ufffd", "￿",
}

func TestAnyTextPrints(t *testing.T) {
	text := rapid.OneOf(rapid.SampledFrom(awkward), rapid.String())
	rapid.Check(t, func(r *rapid.T) {
		draw := func() string { return text.Draw(r, "text") }
		j := cutSheetJob(t, 1)
		j.Title, j.Machine, j.Process, j.Before = draw(), draw(), draw(), []string{draw()}
		j.Findings = finding.List{{Where: draw(), Message: draw()}, {Message: draw()}}
		j.Material[0] = materialRow{Foam: draw(), Thickness: draw(), Blank: draw(), For: draw(), Count: 1}
		j.Cases[0] = caseText{Name: draw(), Height: draw(), Weight: draw(), Copies: 2, Rows: []caseRow{{draw(), draw(), draw()}}}
		s := &j.Sheets[0]
		s.Head, s.Aside = draw(), draw()
		s.Settings, s.Zero, s.Work = [][2]string{{draw(), draw()}}, []string{draw()}, []string{draw()}
		s.Owner, s.Cautions, s.Burns = []string{draw()}, []string{draw()}, []string{draw()}
		tray := &s.Trays[0]
		tray.Packing, tray.Glue, s.Made = []packingRow{{Piece: draw(), Count: 1}}, draw(), draw()
		j.Gluing = []string{draw()}
		tray.Tray.Pockets[0].For, tray.Tray.Label, tray.Tray.Layers[0].Foam.ID = draw(), draw(), draw()
		assert.GreaterOrEqual(r, pageCount(cutSheetBytes(t, j, a4)), 2)
		assert.Equal(r, 1, pageCount(templateBytes(t, a4, tray.Tray)))
	})
}

func TestLongTextGoesOnOverleaf(t *testing.T) {
	j := cutSheetJob(t, 1)
	for range 200 {
		j.Sheets[0].Cautions = append(j.Sheets[0].Cautions, "Stay with the machine: never run it unattended.")
	}
	assert.Greater(t, pageCount(cutSheetBytes(t, j, a4)), 2)
}

func TestLettersOfPaper(t *testing.T) {
	d, err := newDocument(a4, "", nil)
	require.NoError(t, err)
	for text, want := range map[string]string{
		"Kraken 3/4\"": "Kraken 3/4\"",
		"two\nlines":   "two lines",
		"Łódź κράκεν":  "Łódź κράκεν",
		"日🐙":           "[65E5][1F419]",
		"a\u202eb":     "ab",
		"bad\xff":      "bad\ufffd",
	} {
		assert.Equal(t, want, d.clean(text), "%q", text)
	}
}

// failing is a full disk.
type failing struct{}

var errFull = errors.New("disk full")

func (failing) Write([]byte) (int, error) { return 0, errFull }

func TestErrors(t *testing.T) {
	assert.ErrorIs(t, cutSheetJob(t, 1).paper(failing{}, a4, nil, units.Millimetre), errFull)
	assert.ErrorIs(t, templates(failing{}, []plan.Tray{*tray(100, 100)}, templateOptions{}), errFull)
	j := cutSheetJob(t, 1)
	j.Sheets[0].Picture = func(float64) ([]byte, error) { return []byte("no picture"), nil }
	err := j.paper(&bytes.Buffer{}, a4, nil, units.Millimetre)
	assert.ErrorContains(t, err, "crew/1.ngc: picture:")
}

func TestLength(t *testing.T) {
	for _, c := range []struct {
		mm   float64
		unit units.Unit
		want string
	}{
		{25.4, units.Millimetre, "25.4 mm"}, {2.5874, units.Millimetre, "2.59 mm"}, {12.7, units.Inch, "1/2 in"},
		{50.8, units.Inch, "2 in"}, {20, units.Inch, "0.787 in"}, {-0.005, units.Inch, "0 in"}, {1e300, units.Inch, "not known"},
	} {
		assert.Equal(t, c.want, Length(c.mm, c.unit))
	}
}
