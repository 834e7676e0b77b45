package lettering

import (
	"bufio"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
	"golang.org/x/text/unicode/norm"

	"traywright/geometry"
)

// corpusLine is one letter, or one text, for the check against fontTools. The capital
// height is 100 font units to the millimetre; a contour is a list of [x, y, bulge].
type corpusLine struct {
	Font      string         `json:"font"`
	Text      string         `json:"text"`
	Capital   float64        `json:"capital"`
	Tolerance float64        `json:"tolerance_mm"`
	Advance   float64        `json:"advance_mm"`
	Contours  [][][3]float64 `json:"contours"`
}

// TestFontToolsCorpus writes fonts and their letters as this package sets them to the folder
// named by TRAYWRIGHT_LETTERS_OUT, for an outside program to check: the shipped fonts
// and those listed in TRAYWRIGHT_FONTS. Without it, it makes a few letters of each and
// only asks that they are valid.
func TestFontToolsCorpus(t *testing.T) {
	dir := os.Getenv("TRAYWRIGHT_LETTERS_OUT")
	if dir == "" {
		for _, s := range shipped {
			for _, line := range corpus(t, s.name, s.data, "RS&éğ") {
				require.NotEmpty(t, line.Contours)
			}
		}
		return
	}
	f, err := os.Create(filepath.Join(dir, "letters.jsonl"))
	require.NoError(t, err)
	w := bufio.NewWriter(f)
	encoder := json.NewEncoder(w)
	write := func(name string, data []byte) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
		for _, line := range corpus(t, name, data, printable()) {
			require.NoError(t, encoder.Encode(line))
		}
	}
	for _, s := range shipped {
		write(s.name+".ttf", s.data)
	}
	for _, path := range filepath.SplitList(os.Getenv("TRAYWRIGHT_FONTS")) {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		write(filepath.Base(path), data)
	}
	require.NoError(t, w.Flush())
	require.NoError(t, f.Close())
}

// printable is Latin, punctuation and signs.
func printable() string {
	var list []rune
	for r := rune('!'); r < 0x2200; r++ {
		if (r < 0x180 || r >= 0x2010) && unicode.IsPrint(r) && checkCharacter(r, 0) == nil && norm.NFC.IsNormalString(string(r)) {
			list = append(list, r)
		}
	}
	return string(list)
}

// corpus sets each of the letters that the font has, and pairs of letters that are
// usually kerned.
func corpus(t *testing.T, name string, data []byte, letters string) []corpusLine {
	face, err := ParseFont(data)
	require.NoError(t, err)
	capital := face.source.capital()
	var texts []string
	for _, r := range letters {
		texts = append(texts, string(r))
	}
	texts = append(texts, "AVATAR", "Type", "LT'Y", "Wo.", "P,A")
	var lines []corpusLine
	for _, text := range texts {
		s := Setting{HeightMM: capital / 100, ToleranceMM: 0.002}
		set, err := face.Set(text, s)
		if _, missing := err.(*MissingError); missing {
			continue
		}
		require.NoError(t, err, "%s %q", name, text)
		region, err := set.Region(joinMM)
		require.NoError(t, err)
		require.NoError(t, region.Validate(joinMM), "%s %q", name, text)
		lines = append(lines, corpusLine{name, text, capital, s.ToleranceMM, set.AdvanceMM, flat(region)})
	}
	return lines
}

func flat(r geometry.Region) [][][3]float64 {
	contours := [][][3]float64{}
	for _, c := range r.Contours() {
		var list [][3]float64
		for _, v := range c.Vertices() {
			list = append(list, [3]float64{v.X, v.Y, v.Bulge})
		}
		contours = append(contours, list)
	}
	return contours
}
