package lettering

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"
	"pgregory.net/rapid"
)

// dejaVu is Debian's package fonts-dejavu-core; other fonts are named in TRAYWRIGHT_FONTS.
const dejaVu = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"

// scripts are letters, marks and signs of one script each, and whether it runs from right to left.
var scripts = []struct {
	letters   string
	backwards bool
}{
	{"ابتجحدرسشعفقكلمنهويءآأإؤئةىپچگ\u064b\u064e\u064f\u0650\u0651\u0652\u200c\u200d", true},
	{"אבגדהוזחטיכךלמםנןסעפףצץקרשת\u05b0\u05b4\u05b8\u05b9\u05bc\u05c1\u05c2", true},
	{"abcfiltoxyqÅẞ\u0300\u0301\u0302\u0303\u0307\u0323\u0327\u0328", false},
	{"កខគងចឆជញដតន\u17b6\u17b7\u17c1\u17d2", false},
	{"कखगघचजतदनपभमयरलवशषसह\u093e\u093f\u0940\u0941\u0947\u0948\u094b\u094d\u0902\u093c", false},
	{"กขคงจฉชญดตนบปพมยรลวสหอ\u0e31\u0e34\u0e35\u0e36\u0e38\u0e48\u0e49\u0e4a\u0e33", false},
	{"αβγδεζηθικλμνξοπρστυφχψω\u0301\u0308", false},
	{"ກຂຄງຈຊຍດຕນ\u0eb1\u0eb4\u0eb5\u0ec8\u0ec9", false},
}

// Glyphs, advances and offsets are those of HarfBuzz, of which the library is a port: of hb-shape, Debian's
// libharfbuzz-bin, where that is installed.
func TestGlyphsAreThoseOfHarfBuzz(t *testing.T) {
	program, err := exec.LookPath("hb-shape")
	if err != nil {
		require.Empty(t, os.Getenv("TRAYWRIGHT_GATE"), "the gate installs hb-shape")
		t.Skip("hb-shape is not installed")
	}
	for _, path := range append([]string{dejaVu}, filepath.SplitList(os.Getenv("TRAYWRIGHT_FONTS"))...) {
		data, err := os.ReadFile(path)
		if os.IsNotExist(err) {
			require.Empty(t, os.Getenv("TRAYWRIGHT_GATE"), "the gate installs its fonts")
			t.Skip(path + " is not installed")
		}
		require.NoError(t, err)
		face, err := ParseFont(data)
		require.NoError(t, err)
		for i, s := range scripts {
			var texts []string
			word := rapid.StringOfN(rapid.SampledFrom([]rune(s.letters)), 1, 12, -1)
			rapid.Check(t, func(r *rapid.T) {
				if text := word.Draw(r, "text"); face.hasSome(text) {
					texts = append(texts, text)
				}
			})
			if texts == nil {
				continue
			}
			direction := map[bool]string{true: "rtl", false: "ltr"}[s.backwards]
			cmd := exec.Command(program, path, "--direction="+direction, "--language=und", "--no-clusters", "--no-glyph-names")
			cmd.Stdin = strings.NewReader(strings.Join(texts, "\n") + "\n")
			out, err := cmd.Output()
			require.NoError(t, err)
			theirs := strings.Split(strings.TrimSpace(string(out)), "\n")
			require.Len(t, theirs, len(texts))
			for n, text := range texts {
				assert.Equal(t, placedAs(t, theirs[n]), face.placed(t, text, s.backwards), "%s, script %d: %+q", filepath.Base(path), i, text)
			}
			t.Logf("%s: %d texts of script %d, such as %s", filepath.Base(path), len(texts), i, theirs[0])
		}
	}
}

// hasSome is whether the font has each character of a text, or it is none that is seen.
func (f *Face) hasSome(text string) bool {
	for _, r := range text {
		if !f.source.has(r) && r != '\u200c' && r != '\u200d' {
			return false
		}
	}
	return true
}

// placed is glyphs with their places, in the font's units, and where the line ends.
func (f *Face) placed(t require.TestingT, text string, backwards bool) string {
	glyphs, whole, err := f.Shape(text, backwards, f.source.capital())
	require.NoError(t, err)
	var b strings.Builder
	for _, g := range glyphs {
		fmt.Fprintf(&b, "%d at %.0f,%.0f; ", g.ID, g.X, g.Y)
	}
	return fmt.Sprintf("%s%.0f", b.String(), whole)
}

// placedAs is the same of what hb-shape prints: [glyph@x,y+advance|...].
func placedAs(t require.TestingT, printed string) string {
	pen := 0
	var b strings.Builder
	for _, g := range strings.Split(strings.Trim(printed, "[]"), "|") {
		var id, x, y, advance int
		format, into := "%d+%d", []any{&id, &advance}
		if strings.Contains(g, "@") {
			format, into = "%d@%d,%d+%d", []any{&id, &x, &y, &advance}
		}
		_, err := fmt.Sscanf(g, format, into...)
		require.NoError(t, err, printed)
		fmt.Fprintf(&b, "%d at %d,%d; ", id, pen+x, y)
		pen += advance
	}
	return fmt.Sprintf("%s%d", b.String(), pen)
}

// A damaged font is an error or other glyphs, and never a panic or a run without end: bytes of its tables for shaping are
// changed, of DejaVu Sans where it is installed, else of a Go font.
func TestShapingByDamagedFonts(t *testing.T) {
	font := goregular.TTF
	if data, err := os.ReadFile(dejaVu); err == nil {
		font = data
	}
	var tables [][2]int // from, to
	for i := range int(binary.BigEndian.Uint16(font[4:])) {
		e := font[12+16*i:]
		if strings.Contains("GSUB GPOS GDEF cmap kern hmtx hhea maxp morx", string(e[:4])) {
			from := int(binary.BigEndian.Uint32(e[8:]))
			tables = append(tables, [2]int{from, from + int(binary.BigEndian.Uint32(e[12:]))})
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		data := bytes.Clone(font)
		for range rapid.IntRange(1, 40).Draw(r, "changes") {
			table := rapid.SampledFrom(tables).Draw(r, "table")
			most := min(table[1]-table[0], rapid.SampledFrom([]int{64, 4096, 1 << 30}).Draw(r, "reach"))
			data[table[0]+rapid.IntRange(0, most-1).Draw(r, "at")] = rapid.Byte().Draw(r, "as")
		}
		face, err := ParseFont(data)
		if err != nil {
			return
		}
		for _, s := range scripts {
			text := rapid.StringOfN(rapid.SampledFrom([]rune(s.letters)), 1, 12, -1).Draw(r, "text")
			glyphs, _, err := face.Shape(text, s.backwards, 10)
			if err != nil {
				var fault *Fault
				require.ErrorAs(r, err, &fault)
				require.NotEmpty(r, fault.Hint)
			}
			for _, g := range glyphs {
				_, _ = face.Outline(g.ID, 10, 0.1)
			}
		}
	})
}

// Letters of a font's file are shaped, and no others.
func TestOnlyFontsShape(t *testing.T) {
	strokes, _ := Shipped(Strokes)
	for _, face := range []*Face{{}, strokes} {
		_, _, err := face.Shape("a", false, 10)
		require.Error(t, err)
		_, err = face.Outline(1, 10, 0.1)
		require.Error(t, err)
	}
	face, _ := Shipped("go")
	glyphs, advance, err := face.Shape("Vo龍", false, 10)
	require.NoError(t, err)
	require.Len(t, glyphs, 3)
	assert.Zero(t, glyphs[2].ID, "the font lacks it")
	line, err := face.Set("V", Setting{HeightMM: 10})
	require.NoError(t, err)
	shape, err := face.Outline(glyphs[0].ID, 10, 0.01)
	require.NoError(t, err)
	assert.Equal(t, line.Letters[0].Region, shape)
	assert.InDelta(t, line.AdvanceMM, glyphs[1].X, 1e-9)
	assert.Greater(t, advance, glyphs[2].X)
}
